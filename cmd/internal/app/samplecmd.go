package app

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/quantity"
	"limeday/drying"
	"limeday/drying/material"
)

type sampleAnswer struct {
	Schema    string        `json:"schema"`
	File      string        `json:"file"`
	Board     diary.Entry   `json:"board"`
	Events    []diary.Entry `json:"events"`
	Weighings []diary.Entry `json:"weighings"`
	Next      *string       `json:"next"` // the state to look for; null once the board is dry
}

// sampleFlags are those of every action of sample.
type sampleFlags struct {
	at, note, day     *textFlag
	board             *countFlag
	earlier, readings *textFlag
	finish            *wordFlag
	timing            *outFiles
	seed              *uint
	air               *airFlags
}

// sampleActions is the table of what sample does: each gets the arguments after its name.
var sampleActions = []struct {
	name  string
	flags string // of sampleFlags, that it has
	run   func(ctx context.Context, inv *invocation, f sampleFlags, args []string) error
}{
	{"board", "at note", sampleBoard},
	{"time", "board", sampleTime},
	{"enter", "board day", sampleEnter},
	{"learn", "timing force earlier finish readings seed", sampleLearn},
	{"plan", "temp rh pressure altitude earlier", samplePlan},
}

func sampleCommand() *command {
	var names []string
	use := map[string]string{}
	for _, a := range sampleActions {
		names = append(names, a.name)
		for _, flag := range strings.Fields(a.flags) {
			use[flag] = strings.TrimSpace(use[flag] + " " + a.name)
		}
	}
	return &command{
		name:    "sample",
		args:    strings.Join(names, "|") + " FILE ...",
		maxArgs: manyArgs,
		words:   names,
		files:   true,
		summary: "time a sample board and keep it in the diary",
		examples: []example{
			{"limeday sample board hall.diary finish=polished-lime background=brick ...", "a board set up; diary kinds board lists all that it can say"},
			{"limeday sample time hall.diary", "time it live: one key for laid, damp, gone by, dry"},
			{"limeday sample enter hall.diary laid@09:10 notyet-damp@09:30 damp@09:42", "or enter the times afterwards"},
			{"limeday sample enter hall.diary weigh@09:30=1.234kg weigh@10:00=1.221kg", "weighings tell more than any look"},
			{"limeday sample learn hall.diary --timing me.toml", "what the boards tell, kept for today --timing me.toml"},
			{"limeday sample plan hall.toml --temp 18C --rh 55", "which boards would narrow the job's times most"},
		},
		notes: `
Set up boards rigid, upright, at least 600 mm, on the wall's own primer. FILE is
a diary and can hold several boards; the last one is meant, or --board N.

At the terminal: l laid, d damp (it opens), g gone by, e dry (evenly pale),
w looked and not yet, u undo, n note, q leave. Every key is on the disk before
the screen says so; leave when you like, and start again to go on. Without a
terminal each line of standard input is a key.`,
		setup: func(fs *pflag.FlagSet) runner {
			f := sampleFlags{
				at:       addText(fs, "at", "2026-04-14T06:30", "board: when it was set up; else now"),
				note:     addText(fs, "note", "TEXT", "board: a note to it"),
				day:      addText(fs, "day", "2026-04-14", "enter: the day of times without one; else today"),
				timing:   new(filesAt(fs, addText(fs, "timing", "me.toml", "learn: the file that what was learned is kept in"))),
				earlier:  addText(fs, "earlier", "me.toml", "learn, plan: what was learned before, to go on from"),
				finish:   addWord(fs, "finish", "NAME", "finish", material.Finishes(), "learn: boards of this finish only"),
				readings: addText(fs, "readings", "FILE.csv", "learn: a logger that stood by the boards, in place of the diary's readings"),
				seed:     addSeed(fs),
				air:      addAirFlags(fs),
				board:    addCount(fs, "board", "N", "an entry", 1, 1e6, "time, enter: the number of the board's entry; else the last"),
			}
			return func(ctx context.Context, inv *invocation) error {
				if len(inv.Args) == 0 {
					return usage("sample", strings.Join(names, ", "), "sample needs to be told what to do: %s", strings.Join(names, ", "))
				}
				act, args := inv.Args[0], inv.Args[1:]
				i := slices.Index(names, act)
				if i < 0 {
					e := quantity.Unknown("action of sample", act, names)
					return usage(act, e.Expected, "%s", e.Reason)
				}
				if err := onlyFor(fs, act, use); err != nil {
					return err
				}
				if len(args) == 0 || args[0] == "" {
					return usage("FILE", "a file", "sample %s needs a diary, such as sample %s hall.diary", act, act)
				}
				return sampleActions[i].run(ctx, inv, f, args)
			}
		},
	}
}

func sampleBoard(_ context.Context, inv *invocation, f sampleFlags, args []string) error {
	w := diaryWriter{inv: inv, file: args[0], at: f.at, note: f.note}
	return w.add(diary.Entry{Kind: diary.Board}, args[1:])
}

// possibleBoard refuses a board that nobody lays.
func possibleBoard(e diary.Entry, u quantity.Units) error {
	f, err := material.FinishNamed(e.Text("finish"))
	if err != nil {
		return badFlag("finish", err)
	}
	on, err := material.BackgroundNamed(e.Text("background"), material.Primer(e.Text("primer")))
	switch {
	case err != nil:
		return badFlag("background", err)
	case e.Text("primer") != "" && !on.Primed:
		return usage("primer", "a primed background", "primer goes with a primed background, and %s has none; leave it out", on.Name)
	case e.Flag("damped") && on.CheckDamp() != nil:
		return badFlag("damped", on.CheckDamp())
	}
	name := "thickness"
	thick, ok := e.Number(name)
	if !ok {
		name = "spread"
		spread, _ := e.Number(name)
		thick = f.Thickness(spread)
	}
	if err := intake.CheckCoat(f, thick, u); err != nil {
		return badFlag(name, err)
	}
	return nil
}

// sampleOf finds the board that an event or weighing names, else the last.
func sampleOf(path string, entries []diary.Entry, e diary.Entry) (diary.Sample, error) {
	all := diary.Samples(entries)
	n, named := e.Number("board")
	if !named {
		if len(all) == 0 {
			return diary.Sample{}, &Error{Exit: ExitBadInput, Where: path, Expected: "a diary with a sample board",
				Message: path + ": there is no sample board in it; set one up with limeday sample board " + path + " finish=... background=... coat=1 thickness=..."}
		}
		return all[len(all)-1], nil
	}
	i := slices.IndexFunc(all, func(s diary.Sample) bool { return s.Board.N == int(n) })
	if i < 0 {
		return diary.Sample{}, &Error{Exit: ExitUsage, Where: "board", Expected: "the number of a board's entry",
			Message: fmt.Sprintf("%s: entry %.0f is no sample board; diary list shows the numbers", path, n)}
	}
	return all[i], nil
}

// openSample reads the board that is meant; an entry with its number is what events are made from.
func openSample(inv *invocation, path string, f sampleFlags) (diary.Sample, error) {
	if path == "-" {
		return diary.Sample{}, usage(path, "a file", "a diary is kept in a file: give its name, such as hall.diary")
	}
	n, err := f.board.Value(0)
	if err != nil {
		return diary.Sample{}, err
	}
	entries, faults, err := diary.Read(path)
	if err != nil {
		return diary.Sample{}, err
	}
	if err := tellFaults(inv, faults); err != nil {
		return diary.Sample{}, err
	}
	var e diary.Entry
	if n > 0 {
		e.Data = map[string]any{"board": float64(n)}
	}
	return sampleOf(path, entries, e)
}

// eventOf is an event of a board.
func eventOf(s diary.Sample, what string, looked bool, at time.Time) diary.Entry {
	coat, _ := s.Board.Number("coat")
	e := diary.Entry{Kind: diary.Event, At: at, Data: map[string]any{"coat": coat, "what": what, "board": float64(s.Board.N)}}
	if looked {
		e.Data["looked"] = true
	}
	return e
}

// sampleEnter enters events and weighings after the fact, all or none.
func sampleEnter(_ context.Context, inv *invocation, f sampleFlags, args []string) error {
	path, words := args[0], args[1:]
	s, err := openSample(inv, path, f)
	if err != nil {
		return err
	}
	if len(words) == 0 {
		return usage("damp@09:42", enterWanted, "sample enter needs what came and when: %s", enterWanted)
	}
	day, err := f.day.Value()
	if err != nil {
		return err
	}
	if day == "" {
		day = inv.Now().Format(time.DateOnly)
	} else if _, err := time.Parse(time.DateOnly, day); err != nil {
		return usage("--day", "2026-04-14", "--day: %q is not a day; give it as year-month-day, such as 2026-04-14", day)
	}
	var events []diary.Entry
	for _, word := range words {
		e, err := enterWord(inv, s, word, day)
		if err != nil {
			return err
		}
		if err := diary.Check(e); err != nil {
			return usage(word, enterWanted, "%s: %s", word, err)
		}
		events = append(events, e)
	}
	diary.SortEvents(events)
	after := s
	for _, e := range events {
		if err := after.Check(e); err != nil {
			return err
		}
		after.Add(e)
	}
	b, err := diary.Open(path, inv.Now)
	if err != nil {
		return err
	}
	for i, e := range events {
		e, err := b.Append(e)
		if err != nil {
			return fmt.Errorf("%d of %d were written: %w", i, len(events), err)
		}
		s.Add(e)
	}
	return answerSample(inv, path, s)
}

const enterWanted = "laid@09:10, notyet-damp@09:30, damp@09:42, gone@10:05, dry@11:20 or weigh@09:30=1.234kg"

// enterWord reads one event or weighing: damp@09:42, notyet-damp@09:30, weigh@09:30=1.234kg.
func enterWord(inv *invocation, s diary.Sample, word, day string) (diary.Entry, error) {
	what, when, ok := strings.Cut(word, "@")
	if !ok {
		return diary.Entry{}, usage(word, enterWanted, "%q does not say what came @ when; give %s", word, enterWanted)
	}
	what = strings.ToLower(strings.TrimSpace(what))
	when, mass, weighed := strings.Cut(when, "=")
	known := []string{diary.Laid, diary.Damp, diary.Gone, diary.Dry, "notyet-damp", "notyet-gone", "notyet-dry", "weigh"}
	what = strings.Replace(what, "not-yet-", "notyet-", 1)
	switch {
	case !slices.Contains(known, what):
		q := quantity.Unknown("event", what, known)
		return diary.Entry{}, usage(word, q.Expected, "%s: %s", word, q.Reason)
	case weighed != (what == "weigh"):
		return diary.Entry{}, usage(word, enterWanted, "%s: only a weighing has a value, as in weigh@09:30=1.234kg", word)
	}
	at, err := enterMoment(inv, word, when, day)
	if err != nil {
		return diary.Entry{}, err
	}
	if what != "weigh" {
		state, looked := strings.CutPrefix(what, "notyet-")
		return eventOf(s, state, looked, at), nil
	}
	form, _ := diary.FormOf(diary.Weighing)
	field, _ := form.Field("mass")
	v, err := field.Parse(mass, inv.Units(), nil)
	if err != nil {
		return diary.Entry{}, usage(word, field.Wanted(inv.Units()), "%s: %s", word, err)
	}
	return diary.Entry{Kind: diary.Weighing, At: at, Data: map[string]any{"mass": v, "board": float64(s.Board.N)}}, nil
}

// enterMoment reads a time of day of a day, or a whole moment, that has been.
func enterMoment(inv *invocation, word, when, day string) (time.Time, error) {
	whole := when
	if !strings.ContainsAny(when, "Tt ") {
		whole = day + "T" + when
	}
	t, err := past(inv, word, whole)
	if err != nil && whole != when && !t.IsZero() {
		return t, usage(word, "a moment that has been", "%s: %s is still to come (it is %s); if it was another day, give it, as in --day %s",
			word, when, inv.Now().Format(entryStamp), inv.Now().AddDate(0, 0, -1).Format(time.DateOnly))
	}
	return t, err
}

func answerSample(inv *invocation, path string, s diary.Sample) error {
	a := sampleAnswer{"limeday.sample/1", path, s.Board, append([]diary.Entry{}, s.Events...), append([]diary.Entry{}, s.Weighings...), nil}
	if next := s.Next(); next != "" {
		a.Next = &next
	}
	return inv.Answer(a, func() string {
		return boardHead(path, s, inv.Units()) + "\n" + eventsText(s, inv.Units()) + nextText(s)
	})
}

// boardHead says which board it is.
func boardHead(path string, s diary.Sample, u quantity.Units) string {
	e := s.Board
	name := ""
	if n := e.Text("name"); n != "" {
		name = " " + quoted(n)
	}
	on := e.Text("background")
	if p := e.Text("primer"); p != "" {
		on += ", " + p + " primer"
	}
	coat, _ := e.Number("coat")
	thick := ""
	if t, ok := e.Number("thickness"); ok {
		thick = quantity.Short(quantity.Thickness, t, u)
	} else if k, ok := e.Number("spread"); ok {
		thick = quantity.Short(quantity.Spread, k, u)
	}
	return wrap("", fmt.Sprintf("%s, board %d%s: coat %.0f of %s, %s, on %s.", path, e.N, name, coat, e.Text("finish"), together(thick), on))
}

// eventsText is a line for each event and weighing.
func eventsText(s diary.Sample, u quantity.Units) string {
	all := slices.Concat(s.Events, s.Weighings)
	diary.SortEvents(all)
	var b strings.Builder
	for _, e := range all {
		b.WriteString(eventLine(s, e, u))
	}
	return b.String()
}

func eventLine(s diary.Sample, e diary.Entry, u quantity.Units) string {
	name, _, _ := strings.Cut(diary.Describe(e), " at ")
	if m, ok := e.Number("mass"); ok {
		name += " " + quantity.Short(quantity.Mass, m, u)
	}
	after := ""
	if laid, ok := s.Reached(diary.Laid); ok && !e.At.Equal(laid) {
		after = since(e.At.Sub(laid)) + " after laying"
	}
	return wrap("", together(fmt.Sprintf("%4d  %s %-8s  %-18s  %s", e.N, e.At.Format("Mon"), clockTime(e), name, after)))
}

// since is a time since laying, in whole seconds.
func since(d time.Duration) string {
	sec := int(d / time.Second)
	return fmt.Sprintf("%d:%02d:%02d", sec/3600, sec/60%60, sec%60)
}

// stateWords are the states that are looked for, in the words of the times of a coat.
var stateWords = map[string]string{diary.Damp: "damp (it opens)", diary.Gone: "gone by", diary.Dry: "dry (the next coat can follow)"}

// stateEvents are the times of a coat at which a board reaches its states.
var stateEvents = map[string]drying.Event{diary.Damp: drying.EventOpens, diary.Gone: drying.EventCloses, diary.Dry: drying.EventNext}

// nextText says what to look for.
func nextText(s diary.Sample) string {
	switch next := s.Next(); next {
	case "":
		return "The board is dry: nothing more to look for.\n"
	case diary.Laid:
		return "Not laid yet.\n"
	default:
		return wrap("", "Look for "+stateWords[next]+": "+stateEvents[next].Sign()+".")
	}
}
