package practice

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"limeday/drying"
	"limeday/drying/crew"
	"limeday/drying/message"
)

// Level is how much an exercise asks for, from 1.
type Level int

// Levels lists them, with what each is about: one line, no full stop.
func Levels() []string {
	return []string{
		"which dries first",
		"read the air",
		"choose the coat, and when it is ready and gone by",
		"the next coat, and the signs at the blade",
		"a whole morning indoors",
		"a full day outdoors",
		"how much wall, and when the helper begins",
	}
}

// ID names an exercise.
type ID struct {
	Level  Level // 1 to len(Levels())
	Seed   uint64
	Number int // from 1
}

// Topic is what an exercise asks about.
type Topic string

// The topics, level by level.
const (
	DriesFirst   Topic = "dries-first"
	DewPoint     Topic = "dew-point"
	WallAboveDew Topic = "wall-above-dew-point"
	ThirstyAir   Topic = "thirsty-air"
	DryTheAir    Topic = "dry-the-air"
	GoneBy       Topic = "gone-by"
	BurnishFrom  Topic = "burnish-from"
	OpensWhen    Topic = "opens"
	WhichCoat    Topic = "which-coat"
	HowThick     Topic = "how-thick"
	AtTheBlade   Topic = "at-the-blade"
	WhatToSee    Topic = "what-to-see"
	DullPatches  Topic = "dull-patches"
	SlowestCoat  Topic = "slowest-coat"
	NextCoat     Topic = "next-coat"
	MorningGo    Topic = "morning-verdict"
	MorningNext  Topic = "morning-next-coat"
	MorningGone  Topic = "morning-gone-by"
	MorningHelp  Topic = "morning-what-helps"
	OutdoorsGo   Topic = "outdoors-verdict"
	OutdoorsStop Topic = "outdoors-what-stops"
	OutdoorsGone Topic = "outdoors-gone-by"
	OutdoorsHelp Topic = "outdoors-what-helps"
	SectionSize  Topic = "section-size"
	HelperStarts Topic = "helper-starts"
)

// topics is what each level asks, and how an exercise of it is drawn.
func topics() [][]topic {
	return [][]topic{
		{{DriesFirst, driesFirst}},
		{{DewPoint, dewPoint}, {WallAboveDew, wallAboveDew}, {ThirstyAir, thirstyAir}, {DryTheAir, dryTheAir}},
		{{GoneBy, goneBy}, {WhichCoat, whichCoat}, {BurnishFrom, burnishFrom}, {HowThick, howThick}, {OpensWhen, opensWhen}},
		{{AtTheBlade, atTheBlade}, {NextCoat, nextCoat}, {DullPatches, dullPatches}, {WhatToSee, whatToSee}, {SlowestCoat, slowestCoat}},
		{{MorningGo, morningGo}, {MorningHelp, morningHelp}, {MorningNext, morningNext}, {MorningGone, morningGone}},
		{{OutdoorsGo, outdoorsGo}, {OutdoorsStop, outdoorsStop}, {OutdoorsGone, outdoorsGone}, {OutdoorsHelp, outdoorsHelp}},
		{{SectionSize, sectionSize}, {HelperStarts, helperStarts}},
	}
}

type topic struct {
	name Topic
	draw func(*maker) (Exercise, error)
}

// Topics lists the topics of a level.
func Topics(l Level) []Topic {
	var out []Topic
	for _, t := range topics()[l-1] {
		out = append(out, t.name)
	}
	return out
}

// Want is the kind of an answer.
type Want string

// The kinds of answers.
const (
	WantChoice      Want = "choice"      // one of Choices
	WantMinutes     Want = "minutes"     // a time after laying
	WantClock       Want = "clock"       // a time of day, of Day or soon after
	WantThickness   Want = "thickness"   // wet
	WantTemperature Want = "temperature" //
	WantVerdict     Want = "verdict"     // go, care, no-go: Choices has them, in this order
	WantArea        Want = "area"        // of a wall
)

// Wants lists them.
func Wants() []Want {
	return []Want{WantChoice, WantMinutes, WantClock, WantThickness, WantTemperature, WantVerdict, WantArea}
}

// Exercise is a question with its answer.
type Exercise struct {
	ID
	Topic   Topic
	Given   []message.Text // the set-up, a paragraph each
	Table   *Table         // the weather of a day; nil where there is none
	Asks    message.Text
	Wants   Want
	Choices []Choice
	Hint    message.Text
	Day     time.Time // the moment of asking, by the job's clock, where a time of day is wanted
	Answer  Answer
}

// Choice is one of the answers to choose from.
type Choice struct {
	Key  string // what is typed for it: "a"; of a verdict, "go"
	Text message.Text
}

// Table is numbers in rows.
type Table struct {
	Head []string
	Rows [][]message.Text
}

// Answer is what is right, and why.
type Answer struct {
	Choice int   // index of the right one of Choices
	Near   []int // those that are not far off
	// Value is the likely one, Earliest and Latest the band that counts as right: s after laying, m, C, or m2.
	Value, Earliest, Latest float64
	At, From, Until         time.Time    // likewise, of a time of day
	Says                    message.Text // the answer with its band
	Reasons                 []Reason     // what brings it about, the strongest first
	Sign                    message.Text // what is seen, heard or felt then; empty where nothing is
	Coats                   []Run        // what it was worked out from, to be drawn: coats in constant air,
	Morning                 *Morning     // or a day
	Wall                    *crew.Ask    // the wall and who works on it; nil where there is none
}

// Reason is one physical reason. Factor and Ratio are set where it was found by changing one thing: the time asked about
// comes Ratio times as late as it would with that thing as in Than.
type Reason struct {
	Text   message.Text
	Factor Factor
	Ratio  float64
	Case   Case // with
	Than   Case // without
	Event  drying.Event
}

// Run is a coat followed by the model.
type Run struct {
	Name string // "A"; empty where there is but one
	Case
}

// Morning is a day worked out by the model, banded.
type Morning struct {
	Job    drying.Job
	Ask    drying.Ask
	Answer drying.Answer
}

// UnclearError says that no set-up with a clear answer was found.
type UnclearError struct{ ID ID }

func (e *UnclearError) Error() string {
	return fmt.Sprintf("no exercise with a clear answer was found for level %d, seed %d, number %d; take another number", e.ID.Level, e.ID.Seed, e.ID.Number)
}

// errUnclear asks for another draw.
var errUnclear = errors.New("practice: the answer would not be clear")

// Work is bounded: so many draws of one topic, and so many members of the ensembles behind the bands. Both are part of what
// an exercise is: with others it would be another.
const (
	tries    = 40
	members  = 60
	patience = 10 // draws that may wait for the outcome that is wanted
	hurry    = 4  // the same, of whole days, which take longer
)

var bands = drying.Bands{Members: members, Seed: 1}

// maker draws one exercise.
type maker struct {
	*rand.Rand
	lot int // a number from 0 to 5 that stays for all the draws of one topic, so that what is rare comes as often as what is not
	try int // of tries
}

// settle picks the one of a few that this exercise is to come out as; past a few tries any will do.
func settle[T comparable](m *maker, got T, of ...T) error {
	if m.try < hurry && got != of[m.lot%len(of)] {
		return errUnclear
	}
	return nil
}

// New draws an exercise. It panics where id is none. The error is an *UnclearError.
func New(id ID) (Exercise, error) {
	all := topics()
	if id.Level < 1 || int(id.Level) > len(all) || id.Number < 1 {
		panic("practice: no such exercise")
	}
	of := all[id.Level-1]
	// The topics come in turn, from one that hangs on the seed.
	first := rand.New(rand.NewPCG(id.Seed, uint64(id.Level))).IntN(len(of)) + id.Number - 1
	m := &maker{Rand: rand.New(rand.NewPCG(id.Seed, uint64(id.Level)<<32|uint64(uint32(id.Number))))}
	for k := range of {
		t := of[(first+k)%len(of)]
		m.lot = m.IntN(6)
		for m.try = range tries {
			x, err := t.draw(m)
			var stuck *drying.NotConvergedError
			var never *drying.NeverDryError
			if errors.Is(err, errUnclear) || errors.As(err, &stuck) || errors.As(err, &never) {
				continue
			}
			x.ID, x.Topic = id, t.name
			return x, err
		}
	}
	return Exercise{}, &UnclearError{id}
}

// oneOf draws one of a few.
func oneOf[T any](m *maker, of ...T) T { return of[m.IntN(len(of))] }

// whole draws a multiple of step from low to high.
func (m *maker) whole(low, high, step float64) float64 {
	return low + step*float64(m.IntN(int((high-low)/step+1.5)))
}

// choose puts texts in a drawn order as choices, and gives the index of each.
func (m *maker) choose(texts ...message.Text) (out []Choice, at []int) {
	at = make([]int, len(texts))
	for i, k := range m.Perm(len(texts)) {
		out = append(out, Choice{string(rune('a' + i)), texts[k]})
		at[k] = i
	}
	return out, at
}

// inOrder puts texts as choices as they come.
func inOrder(texts ...message.Text) (out []Choice) {
	for i, t := range texts {
		out = append(out, Choice{string(rune('a' + i)), t})
	}
	return out
}

// verdicts are the choices of WantVerdict.
func verdicts() []Choice {
	return []Choice{
		{string(drying.Go), message.Say("go")},
		{string(drying.Care), message.Say("go, with care")},
		{string(drying.NoGo), message.Say("no-go")},
	}
}

func verdictAt(v drying.Verdict) int {
	return slices.Index([]drying.Verdict{drying.Go, drying.Care, drying.NoGo}, v)
}
