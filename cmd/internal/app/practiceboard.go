package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/text"
	"limeday/cmd/internal/view"
	"limeday/drying"
	"limeday/drying/message"
	"limeday/drying/practice"
	"limeday/weather"
)

type boardAnswer struct {
	Schema  string           `json:"schema"`
	File    string           `json:"file"`
	Board   diary.Entry      `json:"board"`
	Guess   *diary.Entry     `json:"guess"`  // null where none was made in time
	States  []boardState     `json:"states"` // empty until it was laid
	Reasons []practiceReason `json:"reasons"`
	Note    string           `json:"note"`
}

// boardState has minutes after laying; null for what was not guessed, seen or reached.
type boardState struct {
	What     drying.SeenState `json:"what"`
	Guess    *float64         `json:"guess_min"`
	Seen     *float64         `json:"seen_min"`
	NotBy    *float64         `json:"not_by_min"` // looked then, and it had not come
	Likely   *float64         `json:"likely_min"`
	Earliest *float64         `json:"earliest_min"`
	Latest   *float64         `json:"latest_min"`
	Says     string           `json:"says"`
}

// guessed are the states that are guessed at, in their order, with the question.
var guessed = []struct{ what, asks string }{
	{diary.Damp, "How long after laying will it be damp (it opens)?"},
	{diary.Gone, "How long until it is gone by, too dry to burnish?"},
	{diary.Dry, "How long until it is evenly pale, dry for the next coat?"},
}

// practiceBoard takes a guess at a board before it is laid, and holds it against board and model after.
func practiceBoard(ctx context.Context, inv *invocation, f practiceFlags) error {
	path, err := f.of.Value()
	if err != nil {
		return err
	}
	name, err := f.name.Value()
	if err != nil {
		return err
	}
	if name = strings.Join(strings.Fields(name), " "); name == "" {
		return usage("--name", "a name", "--board needs to know who guesses: give --name, such as --name Mara")
	}
	s, entries, err := boardOf(inv, path, f.board)
	if err != nil {
		return err
	}
	laid, isLaid := s.Reached(diary.Laid)
	if !isLaid {
		return guessBoard(ctx, inv, f, path, name, s)
	}
	if f.guess.set {
		return usage("--guess", "a board that has not been laid", "board %d was laid at %s, and a guess comes before; guess at the next board", s.Board.N, laid.Format("15:04 on 2 January"))
	}
	return compareBoard(inv, f, path, name, s, entries, laid)
}

// boardOf finds the board that is meant.
func boardOf(inv *invocation, path string, nr *countFlag) (diary.Sample, []diary.Entry, error) {
	s, err := openSample(inv, path, sampleFlags{board: nr})
	if err != nil {
		return s, nil, err
	}
	entries, _, err := diary.Read(path) // its faults have been told
	return s, entries, err
}

// guessBoard asks for the guess and keeps it.
func guessBoard(ctx context.Context, inv *invocation, f practiceFlags, path, name string, s diary.Sample) error {
	data := map[string]any{"name": name, "board": float64(s.Board.N)}
	e := diary.Entry{Kind: diary.Guess, At: inv.Now(), Data: data}
	if g, ok := s.GuessOf(name); ok && !f.guess.set {
		return inv.Answer(boardAnswer{"limeday.practice-board/1", path, s.Board, &g, []boardState{}, []practiceReason{}, ""}, func() string {
			return boardHead(path, s, inv.Units()) + wrap("", name+" has guessed: "+guessText(g)+". Lay it and time it: limeday sample time "+path+".")
		})
	}
	if err := s.Check(e); err != nil {
		return err
	}
	text, err := f.guess.Value()
	if err != nil {
		return err
	}
	switch {
	case text != "":
		if err := readGuess(text, data, inv.Units()); err != nil {
			return err
		}
	case inv.JSON:
		return usage("--guess", "a guess", "--json does not ask: give the guess, as in --guess damp=20min,gone=1h,dry=90min")
	default:
		left, err := askGuess(ctx, inv, path, s, data)
		if err != nil {
			return err
		}
		if left {
			return inv.Answer(nil, func() string { return "No guess was kept.\n" })
		}
	}
	if err := diary.Check(e); err != nil {
		return err
	}
	b, err := diary.Open(path, inv.Now)
	if err != nil {
		return err
	}
	if e, err = b.Append(e); err != nil {
		return err
	}
	return inv.Answer(boardAnswer{"limeday.practice-board/1", path, s.Board, &e, []boardState{}, []practiceReason{}, ""}, func() string {
		var b strings.Builder
		b.WriteString(wrap("", fmt.Sprintf("%s: entry %d: %s guesses %s.", path, e.N, name, guessText(e))))
		b.WriteString("\nBefore you lay it:\n")
		for _, c := range slices.Backward(drying.Cautions()) { // the data sheet first
			b.WriteString(wrap("  - ", c))
		}
		b.WriteString("\n" + wrap("", fmt.Sprintf("Then time it, limeday sample time %s, and ask here again.", path)))
		return b.String()
	})
}

// guessText is a guess in a line.
func guessText(g diary.Entry) string {
	var said []string
	for _, q := range guessed {
		if t, ok := g.Number(q.what); ok {
			said = append(said, q.what+" after "+keeping(quantity.Metric).Quantity(message.Seconds(t)))
		}
	}
	return strings.Join(said, ", ")
}

// asGuess reads a guess as any time after laying is read.
func asGuess(text string, u quantity.Units) (float64, error) {
	return readSpell(&practice.Exercise{Wants: practice.WantMinutes}, text, u)
}

// readGuess reads --guess.
func readGuess(text string, data map[string]any, u quantity.Units) error {
	const wanted = "damp=20min,gone=1h,dry=90min"
	for _, word := range strings.Split(text, ",") {
		what, when, ok := strings.Cut(word, "=")
		what = strings.ToLower(strings.TrimSpace(what))
		known := slices.ContainsFunc(guessed, func(q struct{ what, asks string }) bool { return q.what == what })
		switch _, twice := data[what]; {
		case !ok || !known:
			return usage("--guess", wanted, "--guess: %q is not damp, gone or dry with a time; give %s", word, wanted)
		case twice:
			return usage("--guess", wanted, "--guess: %s is given twice; give it once", what)
		}
		t, err := asGuess(when, u)
		if err != nil {
			return badFlag("--guess", err)
		}
		data[what] = t
	}
	return nil
}

// askGuess asks for the guess, state by state; left where it was left.
func askGuess(ctx context.Context, inv *invocation, path string, s diary.Sample, data map[string]any) (left bool, err error) {
	say := func(text string) { _ = write(inv.Notes, text) } // nobody is left to tell
	say(boardHead(path, s, inv.Units()) + boardAirText(s, inv.Units()) + "Guess before you lay it. Enter alone leaves.\n")
	_, live := terminal(inv.Stdin)
	lines := newKeyboard(inv.Stdin, false)
	sit := &sitting{}
	was := 0.0
	for _, q := range guessed {
		for {
			say(q.asks + "\n")
			if live {
				say("> ")
			}
			text, err := sit.line(ctx, lines)
			if errors.Is(err, io.EOF) || err == nil && (text == "" || strings.EqualFold(text, "q")) {
				return true, nil
			} else if err != nil {
				return true, err
			}
			t, err := asGuess(text, inv.Units())
			if err == nil && t < was {
				err = &quantity.Error{Reason: fmt.Sprintf("it cannot be %s before %s; give a time after that", q.what, (view.Printer{}).Spell(was))}
			}
			if err != nil {
				say(wrap("", sentence(err.Error())))
				continue
			}
			data[q.what], was = t, t
			break
		}
	}
	return false, nil
}

// boardAirText is the air that a board was set up in; empty where it is not known.
func boardAirText(s diary.Sample, u quantity.Units) string {
	form, _ := diary.FormOf(diary.Board)
	var said []string
	for _, name := range []string{"temp", "rh", "wall_temp", "air_speed"} {
		f, _ := form.Field(name)
		if v, ok := s.Board.Number(name); ok {
			said = append(said, together(map[string]string{"temp": "air ", "wall_temp": "board ", "air_speed": "air speed ", "rh": ""}[name]+f.Show(v, u)))
		}
	}
	if len(said) == 0 {
		return ""
	}
	return wrap("", "It stands in "+strings.Join(said, ", ")+".")
}

// compareBoard holds guess, board and model against each other.
func compareBoard(inv *invocation, f practiceFlags, path, name string, s diary.Sample, entries []diary.Entry, laid time.Time) error {
	if err := s.Sound(); err != nil {
		return fmt.Errorf("%s, board %d: %w", path, s.Board.N, err)
	}
	x, err := sampleFrom(path, s, laid, entries, weather.Series{})
	if err != nil {
		return err
	}
	learned, err := f.timing.Value()
	if err != nil {
		return err
	}
	timing, _, err := intake.Timing(learned, []drying.Coat{{Finish: x.Finish}})
	if err != nil {
		return err
	}
	a := boardAnswer{Schema: "limeday.practice-board/1", File: path, Board: s.Board, States: []boardState{}, Reasons: []practiceReason{}}
	guess := map[drying.SeenState]float64{}
	if g, ok := s.GuessOf(name); ok {
		a.Guess = &g
		for _, q := range guessed {
			if t, ok := g.Number(q.what); ok {
				guess[drying.SeenState(q.what)] = t
			}
		}
	}
	tell, told := inv.progress("Working out how sure the times are")
	got, err := practice.Foretell(x, guess, timing, drying.Bands{Members: inv.Members, Seed: 1, Tell: tell})
	told()
	if err != nil {
		return err
	}
	text := view.Printer{}.Text
	number := func(s float64) *float64 {
		if math.IsNaN(s) {
			return nil
		}
		return minutes(s)
	}
	for _, st := range got.States {
		b := boardState{st.State, number(st.Guess), number(st.Seen), nil, number(st.Likely), number(st.Earliest), number(st.Latest), text(st.Says)}
		if math.IsInf(st.Seen, 1) {
			b.NotBy = number(st.By)
		}
		a.States = append(a.States, b)
	}
	for _, r := range got.Reasons {
		p := practiceReason{Text: text(r.Text)}
		if r.Factor != "" {
			p.Factor, p.Ratio = &r.Factor, &r.Ratio
		}
		a.Reasons = append(a.Reasons, p)
	}
	a.Note = text(got.Note)
	return inv.Answer(a, func() string { return compareText(path, name, s, a.Guess, got, inv.Units()) })
}

func compareText(path, name string, s diary.Sample, guess *diary.Entry, got practice.Board, u quantity.Units) string {
	var b strings.Builder
	p := keeping(u)
	b.WriteString(boardHead(path, s, u) + boardAirText(s, u))
	if guess == nil {
		said := name + " made no guess at it"
		if slices.ContainsFunc(s.Guesses, func(g diary.Entry) bool { return g.Text("name") == name }) {
			said = "The guess of " + name + " was written down after laying and does not count"
		}
		b.WriteString(wrap("", said+"."))
	}
	fmt.Fprintf(&b, "\n%-6s  %12s  %12s  %12s  %s\n", "", "guess", "seen", "model", "eight in ten")
	time := func(t float64) string {
		if math.IsNaN(t) {
			return "-"
		}
		return p.Spell(t)
	}
	for _, st := range got.States {
		seen := time(st.Seen)
		if math.IsInf(st.Seen, 1) {
			seen = "not yet"
		}
		model := view.Printer{}.Quantity(message.Quantity{Kind: message.Spell, Value: st.Likely, Edge: message.Begins})
		fmt.Fprintf(&b, "%-6s  %12s  %12s  %12s  %s\n", st.State, time(st.Guess), seen, model, p.Between(st.Earliest, st.Latest))
	}
	b.WriteString("\n")
	for _, st := range got.States {
		if guess != nil || !math.IsNaN(st.Seen) {
			b.WriteString(wrap(fmt.Sprintf("%-6s  ", st.State), p.Text(st.Says)+"."))
		}
	}
	if len(got.Reasons) > 0 {
		b.WriteString("Why, against an ordinary board:\n")
		for _, r := range got.Reasons {
			b.WriteString(wrap("  - ", p.Text(r.Text)))
		}
	}
	if len(got.Note) > 0 {
		b.WriteString(wrap("! ", p.Text(got.Note)))
	}
	b.WriteString("\nThe sign rules over the clock:\n" + text.Signs(view.Signs(drying.EventOpens, drying.EventCloses, drying.EventNext), true))
	return b.String()
}
