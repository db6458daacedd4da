package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/infile"
	"limeday/cmd/internal/quantity"
	"limeday/drying/material"
	"limeday/drying/message"
	"limeday/drying/parallel"
	"limeday/drying/practice"
)

type practiceAnswer struct {
	Schema    string             `json:"schema"`
	Level     int                `json:"level"`
	About     string             `json:"about"`
	Seed      string             `json:"seed"` // in digits: it may be larger than JSON's numbers hold
	Exercises []practiceExercise `json:"exercises"`
}

// practiceExercise is an exercise with its right answer; texts are in SI units.
type practiceExercise struct {
	Number  int              `json:"number"`
	Topic   practice.Topic   `json:"topic"`
	Given   []string         `json:"given"`
	Table   *practiceTable   `json:"table"` // null where there is none
	Asks    string           `json:"asks"`
	Wants   practice.Want    `json:"wants"`
	Choices []practiceChoice `json:"choices"`
	Hint    string           `json:"hint"`
	Day     *time.Time       `json:"day"` // the moment of asking; null where no day is asked about
	Right   practiceRight    `json:"right"`

	Answered *string        `json:"answered"` // null where nothing was
	Mark     *practice.Mark `json:"mark"`
	Says     *string        `json:"says"` // how far off it was
}

type practiceTable struct {
	Head []string   `json:"head"`
	Rows [][]string `json:"rows"`
}

type practiceChoice struct {
	Key  string `json:"key"`
	Text string `json:"text"`
}

// practiceRight has minutes after laying, mm or C as unit says; what is not of the kind that is wanted is null.
type practiceRight struct {
	Choice   *string          `json:"choice"`
	Near     []string         `json:"near"`
	Value    *float64         `json:"value"`
	Earliest *float64         `json:"earliest"`
	Latest   *float64         `json:"latest"`
	Unit     *string          `json:"unit"`
	At       *time.Time       `json:"at"`
	From     *time.Time       `json:"from"`
	Until    *time.Time       `json:"until"`
	Text     string           `json:"text"`
	Reasons  []practiceReason `json:"reasons"`
	Sign     string           `json:"sign"`
}

// practiceReason has the factor that was changed by itself, and the ratio of the times with and without; null for reasons
// that were not found that way.
type practiceReason struct {
	Text   string           `json:"text"`
	Factor *practice.Factor `json:"factor"`
	Ratio  *float64         `json:"ratio"`
}

// practiceFlags are those of the command.
type practiceFlags struct {
	level, exercise, count, board         *countFlag
	seed, record, name, guess, of, timing *textFlag
	finish, background, primer            *wordFlag
	temp, rh, speed                       *quantityFlag
	answers                               *[]string
	standing                              *bool
	out                                   *outFiles // picture, cards
	picture, cards                        *textFlag
}

// mostExercises is how many are set at once.
const mostExercises = 100

func practiceCommand() *command {
	return &command{
		name:    "practice",
		args:    "[JOB]",
		maxArgs: 1,
		files:   true,
		summary: "timing exercises for apprentices, marked by the model",
		examples: []example{
			{"limeday practice --level 3", "five exercises; the answer, the reason and the sign after each"},
			{"limeday practice --level 1 --record class.diary --name Mara", "kept, and taken up where Mara left"},
			{"limeday practice --record class.diary --name Mara --standing", "what she has done, and what is worth doing next"},
			{"limeday practice --level 2 --seed 7 --json", "the exercises with their answers, for a teacher"},
			{"limeday practice --board hall.diary --name Mara", "guess at a sample board, lay it, and compare"},
			{"limeday practice --cards cards.html hall.toml", "timing cards to print and cut, for a job's wall and finish"},
		},
		notes: practiceNotes(),
		setup: func(fs *pflag.FlagSet) runner {
			f := practiceFlags{
				level:      addCount(fs, "level", "3", "a level", 1, len(practice.Levels()), "how much is asked for; else 1"),
				seed:       addText(fs, "seed", "7", "which set of exercises; else that of today"),
				exercise:   addCount(fs, "exercise", "4", "an exercise", 1, 1e6, "begin with this one; else with the first not done"),
				count:      addCount(fs, "count", "5", "how many exercises", 1, mostExercises, "how many; else 5"),
				answers:    fs.StringArray("answer", nil, "an `ANSWER`, repeated for each exercise; - reads them from standard input"),
				record:     addText(fs, "record", "class.diary", "keep what is answered in this diary"),
				name:       addText(fs, "name", "NAME", "who answers, or guesses at a board"),
				standing:   fs.Bool("standing", false, "with --record: what was done, and what is worth doing next"),
				picture:    addText(fs, "picture", "answer.svg", "write the last answer as a drawing"),
				of:         addText(fs, "board", "hall.diary", "a sample board of this diary: guess, or compare"),
				board:      addCount(fs, "nr", "3", "an entry", 1, 1e6, "with --board: the number of the board's entry; else the last"),
				guess:      addText(fs, "guess", "damp=20min,gone=1h,dry=90min", "with --board: the guess, in place of asking"),
				timing:     addText(fs, "timing", "me.toml", "with --board, --cards: what sample learn has learned of you"),
				cards:      addText(fs, "cards", "cards.html", "write timing cards, for a job or for the flags below"),
				finish:     addWord(fs, "finish", "NAME", "finish", material.Finishes(), "cards: what is laid; else polished-lime"),
				background: addWord(fs, "background", "NAME", "background", material.Backgrounds(), "cards: what it is laid on; else primed-board"),
				primer:     addWord(fs, "primer", "tight|fair|thirsty", "primer", primerWords(), "cards: how the primer of a primed board drinks; else fair"),
				temp:       addQuantity(fs, "temp", "10C,18C,25C", quantity.Temperature, quantity.AirTemperatures, "cards: airs of your own, from cool to warm"),
				rh:         addQuantity(fs, "rh", "80%,55%,35%", quantity.Humidity, quantity.Humidities, "cards: the humidity of each"),
				speed:      addQuantity(fs, "air-speed", "0.2m/s", quantity.Speed, quantity.AirSpeeds, "cards: speed of the air along the wall; else the job's, or 0.1 m/s"),
			}
			f.out = new(filesAt(fs, f.picture, f.cards))
			return func(ctx context.Context, inv *invocation) error {
				mode := ""
				for _, m := range []struct {
					name string
					set  bool
				}{{"--cards", f.cards.set}, {"--board", f.of.set}, {"--standing", *f.standing}} {
					if m.set && mode != "" {
						return usage(m.name, mode+" or "+m.name, "%s and %s are both given; give one", mode, m.name)
					} else if m.set {
						mode = m.name
					}
				}
				if err := onlyWith(fs, mode); err != nil {
					return err
				}
				if len(inv.Args) > 0 && mode != "--cards" {
					return usage(inv.Args[0], "flags only, but for a job with --cards", "practice takes %q only with --cards, as the job that the cards are for", inv.Args[0])
				}
				if err := f.out.check(inv.Args...); err != nil {
					return err
				}
				switch mode {
				case "--cards":
					return practiceCards(ctx, inv, f)
				case "--board":
					return practiceBoard(ctx, inv, f)
				case "--standing":
					return practiceStanding(inv, f)
				}
				return practiceExercises(ctx, inv, f)
			}
		},
	}
}

// practiceNotes lists the levels under the flags.
func practiceNotes() string {
	var b strings.Builder
	b.WriteString("\nThe levels:\n")
	for i, l := range practice.Levels() {
		fmt.Fprintf(&b, "  %d  %s\n", i+1, l)
	}
	b.WriteString(`
At the terminal: an answer and Enter; ? for a hint; Enter alone, or q, leaves.
An answer within the band that eight cases in ten fall in is right. Every answer
is worked out by the model, and so are the reasons; the same --level, --seed and
number are the same exercise everywhere. No points are given.`)
	return b.String()
}

// practiceModes gives the flags that go with some modes only; "" is doing exercises.
var practiceModes = map[string]string{
	"level": "exercises", "seed": "exercises", "exercise": "exercises", "count": "exercises", "answer": "exercises", "picture": "exercises",
	"record": "exercises --standing", "name": "exercises --standing --board", "nr": "--board", "guess": "--board", "timing": "--board --cards",
	"finish": "--cards", "background": "--cards", "primer": "--cards", "temp": "--cards", "rh": "--cards", "air-speed": "--cards",
}

// onlyWith refuses a flag that a mode has no use for.
func onlyWith(fs *pflag.FlagSet, mode string) error {
	if mode == "" {
		mode = "exercises"
	}
	var err error
	fs.Visit(func(f *pflag.Flag) {
		of := strings.Fields(practiceModes[f.Name])
		for _, m := range of {
			if m == mode {
				return
			}
		}
		if err == nil && len(of) > 0 {
			goes := strings.ReplaceAll(strings.Join(of, " or "), "exercises", "doing exercises")
			err = usage("--"+f.Name, goes, "--%s goes with %s; leave it out", f.Name, goes)
		}
	})
	return err
}

// sitting is one run of exercises.
type sitting struct {
	inv    *invocation
	level  practice.Level
	seed   uint64
	first  int
	count  int
	name   string
	path   string // of the record; empty: none
	book   *diary.Book
	units  quantity.Units
	done   []answered
	missed int // answers that could not be recorded
	last   error
}

// answered is an exercise, with what was answered, if anything was.
type answered struct {
	x       practice.Exercise
	text    string // as typed
	given   *practice.Given
	marking practice.Marking
}

func practiceExercises(ctx context.Context, inv *invocation, f practiceFlags) error {
	s, err := newSitting(inv, f)
	if err != nil {
		return err
	}
	switch {
	case len(*f.answers) > 0:
		err = s.batch(ctx, *f.answers, f.count.set)
	case inv.JSON:
		err = s.draw(ctx)
	default:
		err = s.talk(ctx)
	}
	if err != nil {
		return err
	}
	if s.missed > 0 {
		return &Error{Exit: ExitFailure, Where: s.path, Expected: "a diary that can be written", Err: s.last,
			Message: fmt.Sprintf("%s could not be recorded: %s", plural(s.missed, "answer"), s.last)}
	}
	if err := inv.Answer(s.answer(), s.text); err != nil {
		return err
	}
	return s.picture(ctx, f)
}

// newSitting reads the flags, and from the record where to go on.
func newSitting(inv *invocation, f practiceFlags) (*sitting, error) {
	s := &sitting{inv: inv, units: inv.Units()}
	level, err := f.level.Value(1)
	if err != nil {
		return nil, err
	}
	s.level = practice.Level(level)
	if s.seed, err = seedOf(f.seed, inv.Now()); err != nil {
		return nil, err
	}
	if s.count, err = f.count.Value(5); err != nil {
		return nil, err
	}
	if s.first, err = f.exercise.Value(0); err != nil {
		return nil, err
	}
	if s.name, s.path, err = who(f); err != nil {
		return nil, err
	}
	if s.path != "" {
		attempts, err := attemptsOf(inv, s.path, s.name)
		if err != nil {
			return nil, err
		}
		if s.first == 0 {
			for _, a := range attempts {
				if a.level == s.level && a.seed == strconv.FormatUint(s.seed, 10) {
					s.first = max(s.first, a.number+1)
				}
			}
		}
		if s.book, err = diary.Open(s.path, inv.Now); err != nil {
			return nil, err
		}
	}
	s.first = max(s.first, 1)
	return s, nil
}

// seedOf is the seed given, or the day's: its date in digits.
func seedOf(f *textFlag, now time.Time) (uint64, error) {
	text, err := f.Value()
	if err != nil {
		return 0, err
	}
	if text == "" {
		text = now.Format("20060102")
	}
	seed, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		return 0, usage("--seed", "a whole number from 0", "--seed: %q is not a whole number from 0 to %d; give one such as 7", text, uint64(1<<64-1))
	}
	return seed, nil
}

// who reads --record and --name.
func who(f practiceFlags) (name, path string, err error) {
	if path, err = f.record.Value(); err != nil {
		return
	}
	if name, err = f.name.Value(); err != nil {
		return
	}
	name = strings.Join(strings.Fields(name), " ")
	switch {
	case path == "-":
		return name, path, usage(path, "a file", "--record: a diary is kept in a file: give its name, such as class.diary")
	case path != "" && name == "":
		return name, path, usage("--name", "a name", "--record keeps what somebody did: give the name too, such as --name Mara")
	case path == "" && name != "" && !f.of.set:
		return name, path, usage("--record", "a diary", "--name goes with --record, the diary that it is kept in, or --board; give one of them")
	}
	return name, path, nil
}

// kept is an attempt as the record has it.
type kept struct {
	practice.Attempt
	level  practice.Level
	seed   string
	number int
}

// attemptsOf is what somebody did, by the diary at path; one that does not exist yet says nothing.
func attemptsOf(inv *invocation, path, name string) ([]kept, error) {
	entries, err := readIfThere(inv, path)
	if err != nil {
		return nil, err
	}
	var out []kept
	for _, e := range diary.Amended(entries) {
		if e.Kind != diary.Exercise || !strings.EqualFold(e.Text("name"), name) {
			continue
		}
		level, _ := e.Number("level")
		number, _ := e.Number("number")
		if level < 1 || int(level) > len(practice.Levels()) {
			continue // of a later version
		}
		out = append(out, kept{practice.Attempt{Level: practice.Level(level), Topic: practice.Topic(e.Text("topic")), Mark: practice.Mark(e.Text("mark"))},
			practice.Level(level), e.Text("seed"), int(number)})
	}
	return out, nil
}

// next draws exercises one after the other, one ahead of the one that is being answered.
func (s *sitting) next(ctx context.Context) <-chan result {
	c := make(chan result)
	go func() {
		defer close(c)
		for i := range s.count {
			var x practice.Exercise
			var err error
			if p := parallel.Catch(func() { x, err = practice.New(practice.ID{Level: s.level, Seed: s.seed, Number: s.first + i}) }); p != nil {
				err = p
			}
			select {
			case c <- result{x, err}:
			case <-ctx.Done():
				return
			}
			if err != nil {
				return
			}
		}
	}()
	return c
}

type result struct {
	x   practice.Exercise
	err error
}

// wait waits for the next exercise, and says so when it takes long.
func (s *sitting) wait(ctx context.Context, from <-chan result) (x practice.Exercise, ok bool, err error) {
	var slow <-chan time.Time
	if s.inv.Patience > 0 {
		t := time.NewTimer(s.inv.Patience)
		defer t.Stop()
		slow = t.C
	}
	for {
		select {
		case <-ctx.Done():
			return x, false, ctx.Err()
		case <-slow:
			if err := write(s.inv.Notes, "Working an exercise out ...\n"); err != nil {
				return x, false, err
			}
		case r, ok := <-from:
			return r.x, ok, r.err
		}
	}
}

// draw sets the exercises without asking.
func (s *sitting) draw(ctx context.Context) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	from := s.next(ctx)
	for {
		x, ok, err := s.wait(ctx, from)
		if err != nil || !ok {
			return err
		}
		s.done = append(s.done, answered{x: x})
	}
}

// batch marks answers that were given beforehand. All of them are read before any is recorded.
func (s *sitting) batch(ctx context.Context, answers []string, counted bool) error {
	if len(answers) == 1 && answers[0] == "-" {
		data, err := infile.All(s.inv.Stdin, 1<<20)
		if err != nil {
			return fault.List{{File: "standard input", Message: "could not be read: " + fault.Plain(err), Expected: "answers, one a line"}}
		}
		answers = nil
		for _, line := range strings.Split(strings.TrimRight(string(data), "\r\n"), "\n") {
			answers = append(answers, strings.TrimRight(line, "\r"))
		}
	}
	switch {
	case !counted && len(answers) <= mostExercises:
		s.count = len(answers)
	case len(answers) > s.count || !counted:
		return usage("--answer", "an answer for each exercise", "%s for %s; give no more answers than exercises", plural(len(answers), "answer"), plural(min(s.count, mostExercises), "exercise"))
	}
	if err := s.draw(ctx); err != nil {
		return err
	}
	for i, text := range answers {
		a := &s.done[i]
		g, err := readAnswer(&a.x, text, s.units)
		if err != nil {
			e := badFlag("--answer", err)
			e.Message = fmt.Sprintf("--answer %d: %s", i+1, err)
			return e
		}
		a.text, a.given, a.marking = text, &g, a.x.Mark(g)
	}
	for i := range s.done {
		if s.done[i].given != nil {
			s.keep(&s.done[i])
		}
	}
	return nil
}

// talk asks and marks, line by line.
func (s *sitting) talk(ctx context.Context) error {
	say := func(text string) { _ = write(s.inv.Notes, text) } // nobody is left to tell
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	from := s.next(ctx)
	say(wrap("", fmt.Sprintf("Level %d: %s. Set %d, from number %d. Enter alone leaves, ? hints.", s.level, practice.Levels()[s.level-1], s.seed, s.first)))
	_, live := terminal(s.inv.Stdin)
	lines := newKeyboard(s.inv.Stdin, false)
	for {
		x, ok, err := s.wait(ctx, from)
		if err != nil || !ok {
			return s.left(err)
		}
		say(fmt.Sprintf("\n%d\n", x.Number) + questionText(&x, s.units))
		for {
			if live {
				say("> ")
			}
			text, err := s.line(ctx, lines)
			if errors.Is(err, io.EOF) || err == nil && (text == "" || strings.EqualFold(text, "q")) {
				return nil
			} else if err != nil {
				if live {
					say("\n")
				}
				return s.left(err)
			}
			if text == "?" {
				say(wrap("Hint  ", screenFor(&x, s.units).Text(x.Hint)))
				continue
			}
			g, err := readAnswer(&x, text, s.units)
			if err != nil {
				say(wrap("", sentence(err.Error())))
				continue
			}
			a := answered{x, text, &g, x.Mark(g)}
			s.keep(&a)
			s.done = append(s.done, a)
			say(markingText(&x, a.marking, s.units))
			break
		}
	}
}

// left words an interruption: what was answered is kept.
func (s *sitting) left(err error) error {
	if !errors.Is(err, context.Canceled) || s.path == "" || len(s.done) == 0 {
		return err
	}
	return &Error{Exit: ExitInterrupted, Where: s.path, Err: err,
		Message: fmt.Sprintf("interrupted; %s kept in %s, and practice goes on from there", plural(len(s.done)-s.missed, "answer"), s.path)}
}

// sentence is a clause with a capital and a full stop.
func sentence(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:] + "."
}

// line waits for a line.
func (s *sitting) line(ctx context.Context, from *keyboard) (string, error) {
	select {
	case <-ctx.Done():
		return "", ctx.Err()
	case text, ok := <-from.keys:
		switch {
		case !ok && from.err != nil:
			return "", fault.List{{File: "standard input", Message: "could not be read: " + fault.Plain(from.err), Expected: "answers"}}
		case !ok:
			return "", io.EOF
		}
		return strings.TrimSpace(text), nil
	}
}

// keep puts an answer on the disk, where there is a record.
func (s *sitting) keep(a *answered) {
	if s.book == nil {
		return
	}
	var asked []string
	for _, g := range append(append([]message.Text{}, a.x.Given...), a.x.Asks) {
		asked = append(asked, printerFor(&a.x, s.units).Text(g))
	}
	_, err := s.book.Append(diary.Entry{Kind: diary.Exercise, Data: map[string]any{
		"name": s.name, "level": float64(s.level), "seed": strconv.FormatUint(s.seed, 10), "number": float64(a.x.Number), "topic": string(a.x.Topic),
		"asked": strings.Join(asked, " "), "answer": givenText(&a.x, *a.given, s.units), "right": rightText(&a.x, s.units), "mark": string(a.marking.Mark)}})
	if err != nil {
		s.missed++
		s.last = err
		_ = write(s.inv.Notes, wrap("NOT RECORDED: ", oneLine(err.Error())))
	}
}

// text is what was done, a line each.
func (s *sitting) text() string {
	var b strings.Builder
	said := false
	for _, a := range s.done {
		if a.given != nil {
			said = true
			b.WriteString(wrap(fmt.Sprintf("%4d  ", a.x.Number), fmt.Sprintf("%s: %s (%s)", a.x.Topic.Words(), map[practice.Mark]string{practice.Right: "right", practice.Near: "near", practice.Not: "not so"}[a.marking.Mark], together(givenText(&a.x, *a.given, s.units)))))
		}
	}
	if !said {
		return "Nothing was answered.\n"
	}
	head := fmt.Sprintf("Level %d, set %d.", s.level, s.seed)
	if s.path != "" {
		head += " Kept in " + oneLine(s.path) + "."
	}
	return wrap("", head) + b.String()
}

// answer is what was set and done, for programs.
func (s *sitting) answer() practiceAnswer {
	a := practiceAnswer{"limeday.practice/1", int(s.level), practice.Levels()[s.level-1], strconv.FormatUint(s.seed, 10), []practiceExercise{}}
	for i := range s.done {
		a.Exercises = append(a.Exercises, exerciseJSON(&s.done[i]))
	}
	return a
}

func exerciseJSON(d *answered) practiceExercise {
	x := &d.x
	text := printerFor(x, quantity.Metric).Text
	e := practiceExercise{Number: x.Number, Topic: x.Topic, Given: []string{}, Asks: text(x.Asks), Wants: x.Wants, Choices: []practiceChoice{}, Hint: text(x.Hint),
		Right: practiceRight{Near: []string{}, Text: text(x.Answer.Says), Reasons: []practiceReason{}, Sign: text(x.Answer.Sign)}}
	for _, g := range x.Given {
		e.Given = append(e.Given, text(g))
	}
	if t := x.Table; t != nil {
		e.Table = &practiceTable{Head: t.Head}
		for _, r := range t.Rows {
			var row []string
			for _, c := range r {
				row = append(row, text(c))
			}
			e.Table.Rows = append(e.Table.Rows, row)
		}
	}
	if !x.Day.IsZero() {
		e.Day = &x.Day
	}
	for _, c := range x.Choices {
		e.Choices = append(e.Choices, practiceChoice{c.Key, text(c.Text)})
	}
	r := &e.Right
	per, unit := 60.0, "min"
	switch x.Wants {
	case practice.WantChoice, practice.WantVerdict:
		r.Choice = &x.Choices[x.Answer.Choice].Key
		for _, i := range x.Answer.Near {
			r.Near = append(r.Near, x.Choices[i].Key)
		}
	case practice.WantClock:
		r.At, r.From, r.Until = &x.Answer.At, &x.Answer.From, &x.Answer.Until
	case practice.WantThickness:
		per, unit = 1e-3, "mm"
	case practice.WantTemperature:
		per, unit = 1, "C"
	case practice.WantArea:
		per, unit = 1, "m2"
	}
	if x.Wants == practice.WantMinutes || unit != "min" {
		v, lo, hi := x.Answer.Value/per, x.Answer.Earliest/per, x.Answer.Latest/per
		r.Value, r.Earliest, r.Latest, r.Unit = &v, &lo, &hi, &unit
	}
	for _, why := range x.Answer.Reasons {
		p := practiceReason{Text: text(why.Text)}
		if why.Factor != "" {
			p.Factor = &why.Factor
		}
		if why.Ratio != 0 {
			p.Ratio = &why.Ratio
		}
		r.Reasons = append(r.Reasons, p)
	}
	if d.given != nil {
		given, says := givenText(x, *d.given, quantity.Metric), text(d.marking.Says)
		e.Answered, e.Mark, e.Says = &given, &d.marking.Mark, &says
	}
	return e
}
