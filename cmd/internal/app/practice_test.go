package app

import (
	"bytes"
	"context"
	"encoding/xml"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/quantity"
	"limeday/drying"
	"limeday/drying/practice"
)

var april14 = time.Date(2026, 4, 14, 9, 0, 0, 0, time.UTC)

// How answers are read, of each kind.
func TestReadAnswer(t *testing.T) {
	day := time.Date(2026, 4, 14, 6, 30, 0, 0, zone(t, "Europe/Dublin"))
	choice := practice.Exercise{Wants: practice.WantChoice, Choices: []practice.Choice{{Key: "a"}, {Key: "b"}, {Key: "c"}}}
	verdict := practice.Exercise{Wants: practice.WantVerdict, Choices: []practice.Choice{{Key: "go"}, {Key: "care"}, {Key: "no-go"}}}
	minutes := practice.Exercise{Wants: practice.WantMinutes}
	clock := practice.Exercise{Wants: practice.WantClock, Day: day}
	thick := practice.Exercise{Wants: practice.WantThickness}
	temp := practice.Exercise{Wants: practice.WantTemperature}
	at := func(text string) time.Time {
		t.Helper()
		m, err := time.Parse(time.RFC3339, text)
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	for _, tc := range []struct {
		x    practice.Exercise
		text string
		u    quantity.Units
		want practice.Given
		says string // of a refusal
	}{
		{choice, "b", 0, practice.Given{Choice: 1}, ""},
		{choice, " C. ", 0, practice.Given{Choice: 2}, ""},
		{choice, "d", 0, practice.Given{}, `"d" is none of the answers; give a, b or c`},
		{choice, "12 min", 0, practice.Given{}, "none of the answers"},
		{verdict, "GO", 0, practice.Given{}, ""},
		{verdict, "go, with care", 0, practice.Given{Choice: 1}, ""},
		{verdict, "nogo", 0, practice.Given{Choice: 2}, ""},
		{verdict, "no go", 0, practice.Given{Choice: 2}, ""},
		{verdict, "maybe", 0, practice.Given{}, "none of the answers; give go, care or no-go"},
		{minutes, "80", 0, practice.Given{Value: 4800}, ""},
		{minutes, "1h20", 0, practice.Given{Value: 4800}, ""},
		{minutes, "1 h 20 min", 1, practice.Given{Value: 4800}, ""},
		{minutes, "1.5 hours", 0, practice.Given{Value: 5400}, ""},
		{minutes, "at once", 0, practice.Given{}, ""},
		{minutes, "0", 0, practice.Given{}, ""},
		{minutes, "-5", 0, practice.Given{}, "is not a time after laying"},
		{minutes, "3 parsecs", 0, practice.Given{}, `"parsecs" is not a unit of time`},
		{minutes, "20 min 1 h", 0, practice.Given{}, "goes from small to large"},
		{minutes, "20 20", 0, practice.Given{}, "goes from small to large"},
		{minutes, "100000", 0, practice.Given{}, "over 45 days"},
		{minutes, strings.Repeat("9", 400), 0, practice.Given{}, "too large"},
		{minutes, "", 0, practice.Given{}, "empty"},
		{minutes, "10:40", 0, practice.Given{}, "is not a time after laying"},
		{clock, "10:40", 0, practice.Given{At: at("2026-04-14T10:40:00+01:00")}, ""},
		{clock, "9.05", 0, practice.Given{At: at("2026-04-14T09:05:00+01:00")}, ""},
		{clock, "2026-04-15T02:30", 0, practice.Given{At: at("2026-04-15T02:30:00+01:00")}, ""},
		{clock, "25:00", 0, practice.Given{}, "is not a time of day"},
		{clock, "80 min", 0, practice.Given{}, "is not a time of day"},
		{clock, "2026-05-15T02:30", 0, practice.Given{}, "is not of that day, 14 April 2026"},
		{thick, "0.15mm", 0, practice.Given{Value: 0.00015}, ""},
		{thick, "6", 1, practice.Given{Value: 6 * 0.0000254}, ""},
		{thick, "6", 0, practice.Given{Value: 0.006}, ""},
		{thick, "2 h", 0, practice.Given{}, "is not a unit of thickness"},
		{thick, "900mm", 0, practice.Given{}, "outside"},
		{temp, "48F", 0, practice.Given{Value: 80.0 / 9}, ""},
		{temp, "-4", 0, practice.Given{Value: -4}, ""},
		{temp, "999", 0, practice.Given{}, "outside"},
	} {
		got, err := readAnswer(&tc.x, tc.text, tc.u)
		switch {
		case tc.says != "" && (err == nil || !strings.Contains(err.Error(), tc.says)):
			// A thickness above the range is worded by quantity: "must be above 0, up to 60 mm".
			if tc.says == "outside" && err != nil && strings.Contains(err.Error(), "must be") {
				continue
			}
			t.Errorf("%s %q: %v, %v; want %q", tc.x.Wants, tc.text, got, err, tc.says)
		case tc.says == "" && (err != nil || got.Choice != tc.want.Choice || math.Abs(got.Value-tc.want.Value) > 1e-9 || !got.At.Equal(tc.want.At)):
			t.Errorf("%s %q: %+v, %v; want %+v", tc.x.Wants, tc.text, got, err, tc.want)
		}
	}
}

// On days on which the clock is changed an hour that is skipped is refused, one that comes twice is asked about, and what
// is marked is the moment, not what the clock shows.
func TestReadAnswerOverClockChange(t *testing.T) {
	dublin := zone(t, "Europe/Dublin")
	back := practice.Exercise{Wants: practice.WantClock, Day: time.Date(2026, 10, 25, 0, 30, 0, 0, dublin)}
	forward := practice.Exercise{Wants: practice.WantClock, Day: time.Date(2026, 3, 29, 0, 30, 0, 0, dublin)}
	for _, tc := range []struct {
		x          practice.Exercise
		text, says string
	}{
		{forward, "01:30", "skips 01:30 that day"},
		{back, "01:30", "shows 01:30 twice that day, as it is put back; say which with the offset: 2026-10-25T01:30:00+01:00 or 2026-10-25T01:30:00Z"},
	} {
		if _, err := readAnswer(&tc.x, tc.text, 0); err == nil || !strings.Contains(err.Error(), tc.says) {
			t.Errorf("%v, want %q", err, tc.says)
		}
	}
	// From 01:50 summer time to 01:20 winter time is half an hour.
	back.Answer.From, back.Answer.At, back.Answer.Until = time.Date(2026, 10, 25, 0, 50, 0, 0, time.UTC), time.Date(2026, 10, 25, 1, 0, 0, 0, time.UTC), time.Date(2026, 10, 25, 1, 20, 0, 0, time.UTC)
	for text, want := range map[string]practice.Mark{"01:50+01:00": practice.Right, "01:10Z": practice.Right, "01:10+01:00": practice.Not, "01:40Z": practice.Near, "02:30": practice.Not} {
		g, err := readAnswer(&back, text, 0)
		if m := back.Mark(g); err != nil || m.Mark != want {
			t.Errorf("%s: %s, %v; want %s", text, m.Mark, err, want)
		}
	}
}

// Whatever is typed, it is read as what an answer can be, or refused in one line.
func FuzzReadAnswer(f *testing.F) {
	for _, s := range []string{"", "a", "no-go", "80", "1h20", "1 h 20 min", "10:40", "9.05", "2026-04-15T02:30", "01:30+01:00", "0.15mm", "48F", "-4", "1e309", "at once", "\x00", "½ h", "T"} {
		f.Add(s)
	}
	day := time.Date(2026, 10, 25, 6, 30, 0, 0, time.UTC)
	if dublin, err := time.LoadLocation("Europe/Dublin"); err == nil {
		day = day.In(dublin)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, want := range practice.Wants() {
			x := practice.Exercise{Wants: want, Day: day, Choices: []practice.Choice{{Key: "a"}, {Key: "b"}}}
			if want == practice.WantVerdict {
				x.Choices = []practice.Choice{{Key: "go"}, {Key: "care"}, {Key: "no-go"}}
			}
			for _, u := range []quantity.Units{quantity.Metric, quantity.US} {
				g, err := readAnswer(&x, text, u)
				if err != nil {
					if said := wrap("", sentence(err.Error())); strings.TrimSpace(said) == "" || !utf8.ValidString(said) {
						t.Errorf("%s %q: refused with %q", want, text, said)
					}
					continue
				}
				if g.Choice < 0 || g.Choice >= len(x.Choices) || math.IsNaN(g.Value) || math.IsInf(g.Value, 0) ||
					want == practice.WantMinutes && (g.Value < 0 || g.Value > drying.Horizon) || want == practice.WantClock && g.At.IsZero() {
					t.Errorf("%s %q: %+v", want, text, g)
				}
				x.Mark(g)
			}
		}
	})
}

// A conversation: a hint, an answer that is none, answers; kept in the record as they come, and taken up where it was left.
func TestPracticeTalk(t *testing.T) {
	path := filepath.Join(t.TempDir(), "class.diary")
	code, out, errs := runIn(april14, "?\nblue\nA\nb\n\nc\n", "practice", "--level", "1", "--seed", "3", "--record", path, "--name", "Mara")
	for _, want := range []string{"Level 1: which dries first. Set 3, from number 1.", "\nHint  Water leaves a coat two ways", "\"blue\" is none of the answers; give a, b or c.\n", "\n1\n", "\n2\n", "\n3\n", "Sign  "} {
		if !strings.Contains(errs, want) {
			t.Errorf("%q is not in\n%s", want, errs)
		}
	}
	if code != ExitOK || strings.Contains(errs, "\n4\n") || !strings.HasPrefix(strings.ReplaceAll(out, "\n", " "), "Level 1, set 3. Kept in ") || strings.Count(out, "dries first: ") != 2 {
		t.Errorf("%d, %s\n%s", code, out, errs)
	}
	for _, line := range strings.Split(errs+out, "\n") {
		if utf8.RuneCountInString(line) > width {
			t.Errorf("too wide: %s", line)
		}
	}
	entries, faults, err := diary.Read(path)
	if err != nil || len(faults) > 0 || len(entries) != 2 {
		t.Fatalf("%v, %v, %v", entries, faults, err)
	}
	for i, e := range entries {
		if n, _ := e.Number("number"); e.Kind != diary.Exercise || int(n) != i+1 || e.Text("seed") != "3" || e.Text("name") != "Mara" || e.Text("topic") != "dries-first" || !strings.HasPrefix(e.Text("asked"), "Two walls, A and B.") || e.Text("right") == "" {
			t.Errorf("%+v", e)
		}
	}
	// It goes on with number 3; another name begins at 1.
	if _, _, errs := runIn(april14, "q\n", "practice", "--level", "1", "--seed", "3", "--record", path, "--name", "mara"); !strings.Contains(errs, "from number 3") {
		t.Error(errs)
	}
	if _, out, errs := runIn(april14, "", "practice", "--level", "1", "--seed", "3", "--record", path, "--name", "Bo"); !strings.Contains(errs, "from number 1") || out != "Nothing was answered.\n" {
		t.Error(out, errs)
	}
	// What she did, without a score.
	code, out, errs = runIn(april14, "", "practice", "--record", path, "--name", "Mara", "--standing")
	if code != ExitOK || !strings.HasPrefix(out, "What Mara did:\n  1  which dries first. 2 exercises; lately ") || !strings.Contains(out, "Worth doing next: level 1, which dries first.") {
		t.Errorf("%d, %s%s", code, out, errs)
	}
	if code, _, errs := runIn(april14, "", "practice", "--record", path, "--name", "Ann", "--standing"); code != ExitBadInput || !strings.Contains(errs, "nothing that Ann did is in it; it has exercises of Mara") {
		t.Errorf("%d, %s", code, errs)
	}
}

// The day's set is the same for all on a day, and another the next.
func TestPracticeSetOfTheDay(t *testing.T) {
	_, today, _ := runIn(april14, "", "practice", "--json", "--count", "1")
	_, later, _ := runIn(april14.Add(5*time.Hour), "", "practice", "--json", "--count", "1")
	_, tomorrow, _ := runIn(april14.AddDate(0, 0, 1), "", "practice", "--json", "--count", "1")
	if today != later || today == tomorrow || !strings.Contains(today, `"seed": "20260414"`) {
		t.Errorf("%s\n%s\n%s", today, later, tomorrow)
	}
}

// hesitant is a keyboard at which, after some lines, nothing more is typed until it is hung up.
type hesitant struct {
	lines []string
	after func() // called once, when nothing more comes
	hang  chan struct{}
}

func (h *hesitant) Read(p []byte) (int, error) {
	if len(h.lines) == 0 {
		if h.after != nil {
			h.after()
			h.after = nil
		}
		<-h.hang
		return 0, io.EOF
	}
	n := copy(p, h.lines[0])
	h.lines = h.lines[1:]
	return n, nil
}

// Ctrl-C leaves at once with 130, and what was answered is kept.
func TestPracticeInterrupted(t *testing.T) {
	path := filepath.Join(t.TempDir(), "class.diary")
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	kept := func() bool {
		entries, _, err := diary.Read(path)
		return err == nil && len(entries) == 1
	}
	h := &hesitant{lines: []string{"a\n"}, hang: make(chan struct{})}
	defer close(h.hang)
	h.after = func() {
		for range 2000 {
			if kept() {
				break
			}
			time.Sleep(5 * time.Millisecond)
		}
		cancel()
	}
	var out, errs bytes.Buffer
	code := Run(ctx, []string{"practice", "--level", "1", "--seed", "3", "--record", path, "--name", "Mara"},
		Env{Stdin: h, Stdout: &out, Stderr: &errs, Now: func() time.Time { return april14 }})
	if code != ExitInterrupted || out.Len() > 0 || !strings.Contains(errs.String(), "limeday: interrupted; 1 answer kept in "+path) || !kept() {
		t.Errorf("%d, %s, %s", code, out.String(), errs.String())
	}
}

// An answer that cannot be recorded is said at once, and again at the end, with a failure.
func TestPracticeNotRecorded(t *testing.T) {
	path := filepath.Join(t.TempDir(), "class.diary")
	var out, errs bytes.Buffer
	first := true
	code := Run(context.Background(), []string{"practice", "--level", "1", "--seed", "3", "--record", path, "--name", "Mara"},
		Env{Stdin: readerFunc(func(p []byte) (int, error) {
			if !first {
				return 0, io.EOF
			}
			first = false
			if err := os.Remove(path); err != nil {
				t.Error(err)
			}
			return copy(p, "a\n"), nil
		}), Stdout: &out, Stderr: &errs, Now: func() time.Time { return april14 }})
	said := strings.Join(strings.Fields(errs.String()), " ")
	if code != ExitFailure || out.Len() > 0 || !strings.Contains(said, "NOT RECORDED: "+path+": the file is gone") || !strings.Contains(said, "limeday: 1 answer could not be recorded: ") {
		t.Errorf("%d, %s, %s", code, out.String(), errs.String())
	}
}

type readerFunc func(p []byte) (int, error)

func (f readerFunc) Read(p []byte) (int, error) { return f(p) }

// A board from the guess to the comparison. The guess is refused once it was laid, and does not count where it was
// written down only then.
func TestPracticeBoard(t *testing.T) {
	start := time.Date(2026, 4, 14, 9, 0, 0, 0, zone(t, "Europe/Dublin"))
	path := filepath.Join(t.TempDir(), "hall.diary")
	step := func(minute int, stdin string, want int, says string, args ...string) (out, errs string) {
		t.Helper()
		var o, e bytes.Buffer
		code := Run(context.Background(), args, Env{Members: 40, Stdin: strings.NewReader(stdin), Stdout: &o, Stderr: &e, Now: func() time.Time { return start.Add(time.Duration(minute) * time.Minute) }})
		out, errs = o.String(), e.String()
		if said := strings.Join(strings.Fields(out+errs), " "); code != want || !strings.Contains(said, says) {
			t.Errorf("%v: %d, %q is not in\n%s%s", args, code, says, out, errs)
		}
		return out, errs
	}
	board := []string{"sample", "board", path, "finish=polished-lime", "background=primed-board", "primer=tight", "coat=1", "thickness=0.25mm", "temp=14C", "rh=70"}
	step(0, "", ExitBadInput, "there is no such file", "practice", "--board", path, "--name", "Mara")
	step(0, "", ExitOK, "", board...)
	step(1, "", ExitUsage, "--board needs to know who guesses", "practice", "--board", path)
	step(2, "20\n\n", ExitOK, "No guess was kept.", "practice", "--board", path, "--name", "Mara")
	step(2, "", ExitUsage, "the states come in the order damp, gone, dry", "practice", "--board", path, "--name", "Mara", "--guess", "damp=1h,gone=20")
	step(2, "", ExitUsage, "is not damp, gone or dry with a time", "practice", "--board", path, "--name", "Mara", "--guess", "wet=1h")
	out, errs := step(3, "20\nsoon\n10\n45 min\n1h10\n", ExitOK, "Mara guesses damp after 20 min, gone after 45 min, dry after 70 min.", "practice", "--board", path, "--name", "Mara")
	if !strings.Contains(errs, `"soon" is not a time after laying`) && !strings.Contains(strings.ReplaceAll(errs, "\n", " "), `"soon" is not a time after laying`) || !strings.Contains(errs, "It cannot be gone before 20 min") {
		t.Error(errs)
	}
	if sheet, lime := strings.Index(out, "Data sheet"), strings.Index(out, "Wet lime burns"); sheet < 0 || lime < sheet {
		t.Errorf("the cautions, data sheet first:\n%s", out)
	}
	step(4, "", ExitOK, "Mara has guessed: damp after 20 min", "practice", "--board", path, "--name", "Mara")
	step(4, "", ExitUsage, "Mara has guessed at board 1 already, in entry 2; amend that one", "practice", "--board", path, "--name", "Mara", "--guess", "damp=30")
	// Bo writes his down after laying, before that is entered.
	step(12, "", ExitOK, "Bo guesses", "practice", "--board", path, "--name", "Bo", "--guess", "damp=45min")
	step(13, "", ExitOK, "", "sample", "enter", path, "laid@09:10")
	step(14, "", ExitUsage, "board 1 was laid at 09:10 on 14 April, and a guess comes before", "practice", "--board", path, "--name", "Ann", "--guess", "damp=30")
	step(14, "", ExitUsage, "a guess comes before; guess at the next board", "diary", "write", path, "guess", "name=Ann", "board=1", "damp=30min")
	step(15, "", ExitUsage, "a guess comes before; guess at the next board", "diary", "amend", path, "2", "damp=30min")
	step(300, "", ExitOK, "", "sample", "enter", path, "notyet-damp@09:30", "damp@09:55", "gone@12:00")
	out, _ = step(301, "", ExitOK, "damp the guess is 25 min too early; the board is within what the model has.", "practice", "--board", path, "--name", "Mara")
	for _, want := range []string{"Why, against an ordinary board:", "The air is damper, 70 % and not 50 %", "The air is colder, 14 C and not 20 C", "times as late", "The sign rules over the clock:"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
	for _, line := range strings.Split(out, "\n") {
		if utf8.RuneCountInString(line) > width {
			t.Errorf("too wide: %s", line)
		}
	}
	step(302, "", ExitOK, "The guess of Bo was written down after laying and does not count.", "practice", "--board", path, "--name", "Bo")
	step(303, "", ExitOK, "Cy made no guess at it.", "practice", "--board", path, "--name", "Cy")
	out, _ = step(304, "", ExitOK, `"schema": "limeday.practice-board/1"`, "practice", "--board", path, "--name", "Mara", "--json")
	if !strings.Contains(out, `"factor": "air-humidity"`) || !strings.Contains(out, `"guess_min": 45`) || !strings.Contains(out, `"seen_min": 170`) {
		t.Error(out)
	}
}

// The deck is whole, in either set of units; every card is on both sides, each row of the back the other way round.
func TestPracticeCards(t *testing.T) {
	for _, units := range []string{"metric", "us"} {
		path := filepath.Join(t.TempDir(), "cards.html")
		code, out, errs := runAt("", "practice", "--cards", path, "--units", units, "--primer", "tight")
		data, err := os.ReadFile(path)
		if code != ExitOK || err != nil || !strings.HasPrefix(out, "15 cards on 2 sheets") {
			t.Fatalf("%d, %v, %s, %s", code, err, out, errs)
		}
		page := string(data)
		dec := xml.NewDecoder(strings.NewReader(strings.TrimPrefix(page, "<!DOCTYPE html>\n")))
		for {
			if _, err := dec.Token(); err == io.EOF {
				break
			} else if err != nil {
				t.Fatalf("not well formed: %v", err)
			}
		}
		unit := map[string][2]string{"metric": {"10 C", " mm wet"}, "us": {"50 F", " mil wet"}}[units]
		if n := strings.Count(page, "<article>"); n != 2*2*8 || strings.Count(page, unit[0]) < 6 || !strings.Contains(page, unit[1]) || strings.Contains(page, "NaN") || strings.Contains(page, "Inf") {
			t.Errorf("%s: %d cards", units, n)
		}
		sides := strings.Split(page, "<section class=\"leaf\"")
		front, back := strings.Split(sides[1], "<article>"), strings.Split(sides[2], "<article>")
		for i := 1; i <= 8; i += 2 {
			if coat := coatOn(front[i]); coat == "" || coat != coatOn(back[i+1]) || coatOn(front[i+1]) != coatOn(back[i]) {
				t.Errorf("behind %q lies %q", coat, coatOn(back[i+1]))
			}
		}
		before := page
		if code, _, errs := runAt("", "practice", "--cards", path); code != ExitUsage || !strings.Contains(errs, "it exists and is left as it is") {
			t.Errorf("%d, %s", code, errs)
		}
		if data, _ := os.ReadFile(path); string(data) != before {
			t.Error("it was written over")
		}
		if code, _, errs := runAt("", "practice", "--cards", path, "--force", "--temp", "18C", "--rh", "50"); code != ExitOK {
			t.Errorf("%d, %s", code, errs)
		}
	}
}

// coatOn is which coat, of which thickness, a side of a card names.
func coatOn(side string) string {
	_, rest, ok := strings.Cut(side, "coat ")
	if !ok {
		return ""
	}
	return rest[:1]
}

// A job's own cards: its name, its wall, its coats.
func TestPracticeCardsOfJob(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cards.html")
	code, out, errs := runAt("[place]\nname = \"Alder House\"\naltitude = \"200m\"\n[room]\nair_speed = \"0.3m/s\"\n[[layer]]\nbackground = \"brick\"\n[[coat]]\nfinish = \"marble-coat\"\nthickness = \"1mm\"\n[[coat]]\nfinish = \"polished-lime\"\nthickness = \"0.1mm\"\n",
		"practice", "--cards", path, "-", "--json")
	data, err := os.ReadFile(path)
	if code != ExitOK || err != nil || !strings.Contains(out, `"schema": "limeday.practice-cards/1"`) {
		t.Fatalf("%d, %v, %s, %s", code, err, out, errs)
	}
	for _, want := range []string{"<b>Alder House</b>", "On fired clay brick", "0.3 m/s", "coat 1 of marble coat", "coat 2 of polished lime", "Each coat is taken to lie on coats of its own finish.", "Data sheet, local codes and licensed practice come first."} {
		if !strings.Contains(string(data), want) {
			t.Errorf("%q is not in the page", want)
		}
	}
}

// The drawing of the last answer, of each kind there is.
func TestPracticePicture(t *testing.T) {
	for _, args := range [][]string{
		{"--level", "1", "--seed", "3", "--answer", "a"},
		{"--level", "3", "--seed", "7", "--exercise", "2", "--answer", "45"},
		{"--level", "5", "--seed", "3", "--answer", "care"},
	} {
		path := filepath.Join(t.TempDir(), "answer.svg")
		code, _, errs := runAt("", append([]string{"practice", "--picture", path}, args...)...)
		data, err := os.ReadFile(path)
		if code != ExitOK || err != nil || !bytes.Contains(data, []byte("<svg")) {
			t.Errorf("%v: %d, %v, %s", args, code, err, errs)
		}
	}
}

// The kinds of a diary have the words of the exercises, and the README lists what programs meet.
func TestPracticeWords(t *testing.T) {
	form, _ := diary.FormOf(diary.Exercise)
	mark, _ := form.Field("mark")
	var marks []string
	for _, m := range practice.Marks() {
		marks = append(marks, string(m))
	}
	if !slices.Equal(mark.Words, marks) {
		t.Errorf("a diary has %v, exercises are marked %v", mark.Words, marks)
	}
	readme, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	words := slices.Clone(marks)
	for _, w := range practice.Wants() {
		words = append(words, string(w))
	}
	for _, f := range practice.Factors() {
		words = append(words, string(f))
	}
	for l := range practice.Levels() {
		for _, topic := range practice.Topics(practice.Level(l + 1)) {
			words = append(words, string(topic))
		}
	}
	for _, w := range words {
		if !bytes.Contains(readme, []byte("`"+w+"`")) {
			t.Errorf("README.md does not list `%s`", w)
		}
	}
}

// Every line of every exercise fits, in both sets of units, and holds no figure that is none. A level whose exercises take seconds is
// asked in one set, the next such level in the other; the study asks it in both.
func TestPracticeFits(t *testing.T) {
	for _, units := range []string{"metric", "us"} {
		for level := 1; level <= len(practice.Levels()); level++ {
			n := "5"
			if level > 4 {
				n = "1"
			}
			if dear := level == 3 || level > 4; dear && thinned > 1 && (units == "us") == (level%2 == 0) {
				continue
			}
			// A wrong kind of answer is refused; a right one of some kind is among these.
			code, out, errs := runIn(april14, strings.Repeat("a\ngo\n40\n0.1mm\n10:40\n9C\n?\n", 12), "practice", "--level", string(rune('0'+level)), "--seed", "5", "--count", n, "--units", units)
			if code != ExitOK {
				t.Fatalf("level %d: %d, %s", level, code, errs)
			}
			for _, line := range strings.Split(errs+out, "\n") {
				if utf8.RuneCountInString(line) > width || strings.TrimRight(line, " ") != line || strings.Contains(line, "NaN") || strings.Contains(line, "Inf") || strings.Contains(line, "%!") || strings.Contains(line, "..") && !strings.Contains(line, " ...") {
					t.Errorf("level %d, %s: %q", level, units, line)
				}
			}
		}
	}
}
