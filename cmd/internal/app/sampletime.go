package app

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"golang.org/x/term"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/infile"
	"limeday/cmd/internal/text"
	"limeday/drying/parallel"
)

const timeKeys = `Keys: l laid, d damp, g gone by, e dry (evenly pale), w looked and not yet,
      u undo, n note, q leave. Every key is on the disk before it shows here.
`

// keyboard gives what is typed: at a terminal a rune at a time, else a line at a time. Reading is done apart, so
// that an interruption need not wait for a key.
type keyboard struct {
	live bool
	keys chan string // closed at the end of the input
	err  error       // set before keys is closed
}

// longestLine is the longest line taken from standard input, in bytes.
const longestLine = 64 << 10

func newKeyboard(in io.Reader, live bool) *keyboard {
	k := &keyboard{live: live, keys: make(chan string)}
	go func() {
		defer close(k.keys)
		if p := parallel.Catch(func() { k.read(in) }); p != nil {
			k.err = p
		}
	}()
	return k
}

func (k *keyboard) read(in io.Reader) {
	r := bufio.NewReaderSize(in, longestLine)
	for {
		var text string
		var err error
		if k.live {
			var c rune
			c, _, err = r.ReadRune()
			text = string(c)
			if text == escape {
				skipSequence(r)
			}
		} else {
			var line []byte
			line, err = r.ReadSlice('\n')
			if text = string(line); errors.Is(err, bufio.ErrBufferFull) {
				text, err = "", fmt.Errorf("a line is longer than %s; give one key or answer a line", infile.Size(longestLine))
			}
		}
		if err == nil || !k.live && text != "" {
			k.keys <- text
		}
		if err != nil {
			if !errors.Is(err, io.EOF) {
				k.err = err
			}
			return
		}
	}
}

// skipSequence passes over what an arrow or function key sends after an escape: it ends in a letter.
func skipSequence(r *bufio.Reader) {
	if r.Buffered() == 0 {
		return
	}
	if c, err := r.Peek(1); err != nil || c[0] != '[' && c[0] != 'O' {
		return
	}
	_, _ = r.ReadByte() // it is buffered, as is the rest
	for r.Buffered() > 0 {
		if c, err := r.ReadByte(); err != nil || c >= '@' && c <= '~' {
			return
		}
	}
}

// Control codes that a terminal in raw mode passes on.
const (
	ctrlC     = "\x03"
	ctrlD     = "\x04"
	backspace = "\x08"
	enter     = "\r"
	escape    = "\x1b"
	del       = "\x7f"
)

var errInterrupted = errors.New("interrupted at the keyboard")

// screen is where timing shows: lines that stay and, at a terminal, a last line that is written over.
type screen struct {
	w      io.Writer
	live   bool
	status int // characters of the last line
}

// lines writes whole lines.
func (s *screen) lines(text string) {
	if s.live {
		s.clear()
		text = strings.ReplaceAll(text, "\n", "\r\n")
	}
	_ = write(s.w, text) // nobody is left to tell
}

// line writes the last line over.
func (s *screen) line(says string) {
	if !s.live {
		return
	}
	says = text.End(says, width-1) // the end is where one types
	blank := max(0, s.status-text.Wide(says))
	s.status = text.Wide(says)
	_ = write(s.w, "\r"+says+strings.Repeat(" ", blank)+strings.Repeat("\b", blank))
}

// clear empties the last line.
func (s *screen) clear() {
	if !s.live {
		return
	}
	s.line("")
	_ = write(s.w, "\r")
}

// timing is one sitting at a board.
type timing struct {
	inv    *invocation
	path   string
	board  int
	book   *diary.Book
	sample diary.Sample
	keys   *keyboard
	screen *screen
	ticks  <-chan struct{}
	missed int // keys that could not be recorded
	last   error
}

// sampleTime times a board live.
func sampleTime(ctx context.Context, inv *invocation, f sampleFlags, args []string) error {
	if len(args) > 1 {
		return usage(args[1], "one diary", "sample time does not take %q; it takes one diary", args[1])
	}
	path := args[0]
	s, err := openSample(inv, path, f)
	if err != nil {
		return err
	}
	t := &timing{inv: inv, path: path, board: s.Board.N, sample: s}
	if t.book, err = diary.Open(path, inv.Now); err != nil {
		return err
	}
	in, live := terminal(inv.Stdin)
	if live {
		was, err := term.MakeRaw(in)
		if err != nil {
			return &Error{Exit: ExitFailure, Where: "the terminal", Message: "the terminal does not give single keys: " + err.Error(), Expected: "a terminal, or keys on standard input", Err: err}
		}
		defer func() { _ = term.Restore(in, was) }() // nothing better can be done
	}
	_, shown := terminal(inv.Stderr)
	t.screen = &screen{w: inv.Notes, live: live && shown}
	t.keys = newKeyboard(inv.Stdin, live)
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	if t.screen.live {
		t.ticks = everySecond(ctx, inv.Sleep)
	}
	t.screen.lines(boardHead(path, s, inv.Units()) + timeKeys + eventsText(s, inv.Units()) + nextText(s))
	err = t.run(ctx)
	t.screen.clear()
	if err != nil {
		return err
	}
	if t.missed > 0 {
		return &Error{Exit: ExitFailure, Where: path, Expected: "a diary that can be written", Err: t.last,
			Message: fmt.Sprintf("%s could not be recorded: %s", plural(t.missed, "key"), t.last)}
	}
	if t.sample, err = t.read(); err != nil {
		return err
	}
	return answerSample(inv, path, t.sample)
}

// terminal tells whether a stream is one.
func terminal(stream any) (int, bool) {
	f, ok := stream.(*os.File)
	if !ok {
		return 0, false
	}
	return int(f.Fd()), term.IsTerminal(int(f.Fd()))
}

// everySecond ticks until ctx ends. What is shown at a tick is by the injected clock.
func everySecond(ctx context.Context, sleep func(context.Context, time.Duration) error) <-chan struct{} {
	if sleep == nil {
		sleep = func(ctx context.Context, d time.Duration) error {
			select {
			case <-ctx.Done():
				return ctx.Err()
			case <-time.After(d):
				return nil
			}
		}
	}
	c := make(chan struct{})
	go func() {
		for sleep(ctx, time.Second) == nil {
			select {
			case c <- struct{}{}:
			case <-ctx.Done():
				return
			}
		}
	}()
	return c
}

// run takes keys until it is left.
func (t *timing) run(ctx context.Context) error {
	for {
		t.screen.line(t.status())
		key, err := t.key(ctx)
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		text := strings.TrimSpace(key)
		if text == "" || key == escape {
			continue
		}
		c, n := utf8.DecodeRuneInString(text)
		first, rest := strings.ToLower(string(c)), strings.TrimSpace(text[n:])
		if first == "q" || first == ctrlD {
			return nil
		}
		if err := t.press(ctx, first, rest); err != nil {
			return err
		}
	}
}

// key waits for one: io.EOF at the end of the input. Ticks meanwhile move the clock on.
func (t *timing) key(ctx context.Context) (string, error) {
	for {
		select {
		case <-ctx.Done():
			return "", ctx.Err()
		case <-t.ticks:
			t.screen.line(t.status())
		case key, ok := <-t.keys.keys:
			switch {
			case !ok && t.keys.err != nil:
				return "", fault.List{{File: "standard input", Message: "could not be read: " + fault.Plain(t.keys.err), Expected: "keys"}}
			case !ok:
				return "", io.EOF
			case t.keys.live && key == ctrlC:
				return "", &Error{Exit: ExitInterrupted, Where: t.path, Err: errInterrupted,
					Message: "interrupted; every key that was shown is in " + t.path + ", and sample time goes on from there"}
			}
			return key, nil
		}
	}
}

// status is the last line: how long since laying, and what is next.
func (t *timing) status() string {
	next := t.sample.Next()
	laid, ok := t.sample.Reached(diary.Laid)
	switch {
	case !ok:
		return "press l when it is laid"
	case next == "":
		return "dry; q leaves"
	}
	return since(t.inv.Now().Sub(laid)) + " since laying; look for " + stateWords[next]
}

// press does what a key stands for. Its error ends the sitting; what cannot be done is said, and it goes on.
func (t *timing) press(ctx context.Context, key, rest string) error {
	states := map[string]string{"l": diary.Laid, "d": diary.Damp, "g": diary.Gone, "e": diary.Dry}
	now := t.inv.Now()
	s, err := t.read()
	if err != nil {
		t.miss(err)
		return nil
	}
	t.sample = s
	switch {
	case states[key] != "":
		t.record(eventOf(s, states[key], false, now))
	case key == "w" && (s.Next() == "" || s.Next() == diary.Laid):
		t.screen.lines(map[bool]string{true: "The board is dry already; nothing is left to look for.\n", false: "The board has not been laid; press l first.\n"}[s.Next() == ""])
	case key == "w":
		t.record(eventOf(s, s.Next(), true, now))
	case key == "u":
		t.undo(s)
	case key == "n":
		if t.keys.live {
			if rest, err = t.typed(ctx); err != nil {
				return err
			}
		}
		if rest != "" {
			t.record(diary.Entry{Kind: diary.Note, At: now, Note: rest})
		} else {
			t.screen.lines("No note: it was empty.\n")
		}
	default:
		t.screen.lines(wrap("", fmt.Sprintf("%q is no key here: l d g e w u n q are.", key)))
	}
	return nil
}

// read reads the board as the diary has it now.
func (t *timing) read() (diary.Sample, error) {
	entries, _, err := diary.Read(t.path)
	if err != nil {
		return diary.Sample{}, err
	}
	return sampleOf(t.path, entries, diary.Entry{Data: map[string]any{"board": float64(t.board)}})
}

// record puts an entry on the disk, and then says so.
func (t *timing) record(e diary.Entry) {
	err := diary.Check(e)
	if err == nil && e.Kind == diary.Event {
		err = t.sample.Check(e)
	}
	if err != nil {
		t.screen.lines(wrap("Not entered: ", oneLine(err.Error())))
		return
	}
	if e, err = t.book.Append(e); err != nil {
		t.miss(err)
		return
	}
	if e.Kind != diary.Event {
		t.screen.lines(wrap(fmt.Sprintf("%4d  %s %-8s  note  ", e.N, e.At.Format("Mon"), clockTime(e)), e.Note))
		return
	}
	t.sample.Add(e)
	said := eventLine(t.sample, e, t.inv.Units())
	if !e.Flag("looked") {
		said += nextText(t.sample)
	}
	t.screen.lines(said)
}

// undo takes the last event of the board back.
func (t *timing) undo(s diary.Sample) {
	var last diary.Entry
	for _, e := range s.Events {
		if e.N > last.N {
			last = e
		}
	}
	if last.N == 0 {
		t.screen.lines("Nothing to take back.\n")
		return
	}
	e, err := t.book.Append(diary.Entry{Kind: diary.Withdrawal, Amends: last.N})
	if err != nil {
		t.miss(err)
		return
	}
	if t.sample, err = t.read(); err != nil {
		t.miss(err)
		return
	}
	t.screen.lines(wrap(fmt.Sprintf("%4d  %s %-8s  ", e.N, e.At.Format("Mon"), clockTime(e)), "taken back: "+diary.Describe(last)+", entry "+fmt.Sprint(last.N)) + nextText(t.sample))
}

// miss says that a key could not be recorded.
func (t *timing) miss(err error) {
	t.missed++
	t.last = err
	t.screen.lines(wrap("NOT RECORDED: ", oneLine(err.Error())))
}

// typed reads a line in raw mode: empty when it is left with escape.
func (t *timing) typed(ctx context.Context) (string, error) {
	var text []rune
	for {
		t.screen.line("note: " + string(text))
		key, err := t.key(ctx)
		if err != nil {
			return "", err
		}
		switch {
		case key == enter || key == "\n":
			return strings.TrimSpace(string(text)), nil
		case key == escape:
			return "", nil
		case key == del || key == backspace:
			text = text[:max(0, len(text)-1)]
		default:
			for _, r := range key {
				if unicode.IsPrint(r) {
					text = append(text, r)
				}
			}
		}
	}
}
