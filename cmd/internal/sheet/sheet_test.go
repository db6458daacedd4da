package sheet

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/xml"
	"errors"
	"html"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/view"
	"limeday/drying/message"
)

// example fills every part with s somewhere in it.
func example(s string) view.Day {
	from := time.Date(2026, 4, 14, 8, 0, 0, 0, time.UTC)
	says := func(w string) message.Text { return message.Words(w + s) }
	step := func(name string, at int) view.Step {
		return view.Step{Code: name, Name: name, At: view.Time{At: from.Add(time.Duration(at) * time.Minute), Laid: from, Edge: message.Begins}}
	}
	d := view.Day{Head: "Stair hall" + s, Place: "Hall" + s, At: from, Verdict: view.Verdict{Word: "GO", Joint: ": ", Says: says("Lay at 08:00.")}, Reasons: []view.Reason{{Says: says("dry")}},
		State: []view.Row{{Label: "Air", Says: []message.Text{says("15 C"), says("only said")}}}, AllTheSame: true,
		Plan: []view.Coat{{Name: says("1 lime"), Lay: view.Time{At: from}, Edge: view.Time{At: from.Add(20 * time.Minute), Laid: from, Edge: message.Ends}, Band: says("between"),
			Then: []view.Step{step("compress", 60), step("burnish", 70), step("gone by", 90)}}, {Name: says("2 lime"), Lay: view.Time{At: from}, Then: []view.Step{step("next coat", 120)}}},
		Left: says("1 coat more"), Signs: []view.Sign{{Name: "opens", Says: "damp"}}, Watch: []view.Pair{{Name: "tears", Says: "wait"}}, Changes: []view.Change{{Says: says("shade"), Effect: says("no")}},
		Later: []view.Row{{Label: "Next", Says: []message.Text{says("Wed")}}}, Tint: "pale" + s, Limits: []view.Limit{{Says: says("met")}}, Unknown: "salts", Danger: []string{"goggles"},
		After: []view.Due{{Name: "wax", When: says("later"), Do: "Wait.", Why: "It traps water."}, {Name: "soap", Wall: "yard" + s, When: says("soon")}}, Hours: view.Span{From: from, To: from.Add(9 * time.Hour)}}
	for i := range 109 {
		d.Course = append(d.Course, view.Point{Time: from.Add(time.Duration(5*i) * time.Minute), Air: 15, DewPoint: 9, Face: 14})
	}
	return d
}

type fataler interface{ Fatalf(string, ...any) }

func written(t fataler, d view.Day) string {
	var b bytes.Buffer
	if err := Write(&b, d, view.Printer{Day: d.ToldOn()}); err != nil {
		t.Fatalf("%v", err)
	}
	return b.String()
}

// sound reads the page with strict nesting and refuses what would need another file, run, or break a strict
// content policy.
func sound(t fataler, page string) {
	if !strings.HasPrefix(page, "<!DOCTYPE html>\n") {
		t.Fatalf("no doctype: %.40q", page)
	}
	dec := xml.NewDecoder(strings.NewReader(page))
	dec.Entity = xml.HTMLEntity
	styles, sections := 0, 0
	policy := ""
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("%v\n%s", err, page)
		}
		e, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		switch e.Name.Local {
		case "script", "img", "link", "iframe", "object", "base", "form", "a", "b", "i":
			t.Fatalf("<%s> on the page", e.Name.Local)
		case "style":
			styles++
		case "section":
			sections++
		}
		for _, a := range e.Attr {
			name := strings.ToLower(a.Name.Local)
			if name == "style" || strings.HasPrefix(name, "on") || name == "href" || name == "src" {
				t.Fatalf("%s=%q", name, a.Value)
			}
			if strings.HasPrefix(a.Value, "default-src") {
				policy = a.Value
			}
		}
	}
	if styles != 1 || sections == 0 {
		t.Fatalf("%d style elements, %d sections", styles, sections)
	}
	style := regexp.MustCompile(`(?s)<style>(.*?)</style>`).FindStringSubmatch(page)[1]
	sum := sha256.Sum256([]byte(style))
	if want := "style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"; !strings.Contains(policy, want) || !strings.HasPrefix(policy, "default-src 'none'") {
		t.Fatalf("the policy %q does not name the style, %s", policy, want)
	}
	if strings.Contains(style, "url(") || strings.Contains(style, "@import") {
		t.Fatalf("the style needs another file")
	}
}

func TestPage(t *testing.T) {
	page := written(t, example(""))
	sound(t, page)
	for _, want := range []string{"<strong>GO</strong>: Lay at 08:00.", "Were it laid", "<dt>Air</dt><dd>15 C</dd><dd>only said</dd>", "<td data-k=\"burnish\"><span class=\"k\">burnish </span>from 09:10</td>",
		"What you can change", "The data sheet", "Afterwards", "<dt>wax</dt><dd>later. Wait. It traps water.</dd>", "<dt>Laid</dt><dd>yard: soap soon.</dd>", "Another day", "Eight days in ten", "Not known", "Lime burns",
		"<th scope=\"row\">08:00</th><td>15.0 C</td><td>9.0 C</td><td>14.0 C</td>", "role=\"img\""} {
		if !strings.Contains(page, want) {
			t.Errorf("%q is not on the page", want)
		}
	}
	// A line to write the real time on, for each time that applies.
	if got := strings.Count(page, "><span></span></td>"); got != 5+3 {
		t.Errorf("%d lines to write on", got)
	}
}

func TestEmptyPartsAreLeftOut(t *testing.T) {
	page := written(t, view.Day{Verdict: view.Verdict{Word: "NO-GO", Says: message.Words("today.")}, Danger: []string{"goggles"}})
	sound(t, page)
	for _, not := range []string{"What you can change", "The data sheet", "Afterwards", "Why", "The coats", "<table"} {
		if strings.Contains(page, not) {
			t.Errorf("%q is on an empty page", not)
		}
	}
}

func TestHostileNames(t *testing.T) {
	for _, s := range []string{`</title><script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `</style><b>x</b>`, "{{.Policy}}", "javascript:alert(1)", "\x00\xff\u202e", "]]>&amp;"} {
		page := written(t, example(s))
		sound(t, page)
		if got := html.UnescapeString(page); !strings.Contains(got, "<strong>GO</strong>: Lay at 08:00."+plain(s)) {
			t.Errorf("%q is not said as it is", s)
		}
	}
}

func TestAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { sound(t, written(t, example(rapid.String().Draw(t, "text")))) })
}

// The page's own colours are those of the drawing that stands on it, whose contrast is tested there.
func TestColours(t *testing.T) {
	for _, m := range regexp.MustCompile(`--[a-z]+:#[0-9a-f]{6}`).FindAllString(css, -1) {
		if !strings.Contains(drawing.Style, m) {
			t.Errorf("%s is not of the drawing", m)
		}
	}
	if n := len(regexp.MustCompile(`--[a-z]+:#`).FindAllString(css, -1)); n != 8 {
		t.Errorf("%d colours", n)
	}
	for _, u := range regexp.MustCompile(`var\((--[a-z]+)\)`).FindAllStringSubmatch(css, -1) {
		if !slices.Contains([]string{"--paper", "--ink", "--quiet", "--rule"}, u[1]) {
			t.Errorf("%s is not set", u[1])
		}
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestFullDisk(t *testing.T) {
	if err := Write(full{}, example(""), view.Printer{}); err == nil {
		t.Error("no error")
	}
}

// record fills every part with s somewhere in it.
func record(s string) Record {
	e := RecordEntry{Number: "1", Time: "09:42" + s, Kind: "reading" + s, Says: []Fact{{"temp" + s, "14 C" + s}, {"", "coat 1 damp" + s}}, Note: "north end" + s,
		Written: "written down later" + s, Fate: "amended by entry 2" + s, Gone: true}
	now := e
	now.Gone, now.Fate = false, ""
	return Record{Head: "hall" + s, Count: "2 entries" + s, Span: "14 Apr" + s, Made: "15 Apr" + s, Faults: []string{"torn" + s}, Tint: "dry" + s,
		Cautions: []string{"goggles" + s}, Days: []RecordDay{{"Tue 14 Apr" + s, []RecordEntry{e, now}}}}
}

func recordWritten(t fataler, r Record) string {
	var b bytes.Buffer
	if err := WriteRecord(&b, r); err != nil {
		t.Fatalf("%v", err)
	}
	return b.String()
}

// What was amended is struck through and says by which entry; what holds is not.
func TestRecord(t *testing.T) {
	page := recordWritten(t, record(""))
	sound(t, page)
	for _, want := range []string{"<title>Job record: hall</title>", "2 entries, 14 Apr", "<p class=\"fate\">amended by entry 2</p>",
		"<del><dl><div><dt>temp</dt><dd>14 C</dd></div><div><dd>coat 1 damp</dd></div></dl></del>", "<p><del>north end</del></p>",
		"\n<dl><div><dt>temp</dt>", "<p>north end</p>", "The diary is not whole", "Lime burns", "Handed over by"} {
		if !strings.Contains(page, want) {
			t.Errorf("%q is not on the page", want)
		}
	}
	if n := strings.Count(page, "<del>"); n != 2 {
		t.Errorf("%d parts struck through", n)
	}
	empty := recordWritten(t, Record{Head: "hall"})
	sound(t, empty)
	for _, not := range []string{"not whole", "Lime burns", "<del>"} {
		if strings.Contains(empty, not) {
			t.Errorf("%q is on an empty page", not)
		}
	}
	if err := WriteRecord(full{}, record("")); err == nil {
		t.Error("a full disk is no error")
	}
}

func TestRecordOfAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { sound(t, recordWritten(t, record(rapid.String().Draw(t, "text")))) })
}
