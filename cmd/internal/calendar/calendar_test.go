package calendar

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// property is one line of a calendar after unfolding.
type property struct{ name, value string }

var (
	date    = regexp.MustCompile(`^\d{8}$`)
	utc     = regexp.MustCompile(`^\d{8}T\d{6}Z$`)
	trigger = regexp.MustCompile(`^-PT\d+M$`)
	token   = regexp.MustCompile(`^[A-Z-]+$`)
)

// wholeDay marks a value that is a date.
const wholeDay = " whole day"

// read holds a file against RFC 5545: CRLF ends and 75 octets (3.1), folding on whole characters, nesting and
// properties of VCALENDAR (3.6), VEVENT (3.6.1) and VALARM (3.6.6), text (3.3.11), UTC times (3.3.5). It gives
// each component's properties, events and alarms by their own name.
func read(file []byte) (map[string][]map[string]string, error) {
	s := string(file)
	switch {
	case !strings.HasSuffix(s, "\r\n"):
		return nil, errors.New("the last line has no end")
	case strings.Count(s, "\n") != strings.Count(s, "\r\n") || strings.Count(s, "\r") != strings.Count(s, "\r\n"):
		return nil, errors.New("a line end is not CRLF")
	}
	for _, line := range strings.Split(strings.TrimSuffix(s, "\r\n"), "\r\n") {
		switch {
		case len(line) > 75:
			return nil, fmt.Errorf("%d octets: %q", len(line), line)
		case !utf8.ValidString(line):
			return nil, fmt.Errorf("folded inside a character: %q", line)
		case strings.TrimSpace(line) == "":
			return nil, errors.New("an empty line")
		}
	}
	var props []property
	for _, line := range strings.Split(strings.TrimSuffix(strings.ReplaceAll(s, "\r\n ", ""), "\r\n"), "\r\n") {
		name, value, ok := strings.Cut(line, ":")
		if plain, isDate := strings.CutSuffix(name, ";VALUE=DATE"); isDate { // 3.3.4
			if name = plain; !date.MatchString(value) || name != "DTSTART" {
				return nil, fmt.Errorf("no date: %q", line)
			}
			value += wholeDay
		}
		if !ok || !token.MatchString(name) {
			return nil, fmt.Errorf("no property: %q", line)
		}
		props = append(props, property{name, value})
	}
	out := map[string][]map[string]string{}
	var open []string
	var at []map[string]string
	for _, p := range props {
		switch p.name {
		case "BEGIN":
			parent := map[string]string{"VCALENDAR": "", "VEVENT": "VCALENDAR", "VALARM": "VEVENT"}
			if want, ok := parent[p.value]; !ok || want != strings.Join(open[max(len(open)-1, 0):], "") {
				return nil, fmt.Errorf("%s inside %q", p.value, open)
			}
			open, at = append(open, p.value), append(at, map[string]string{})
		case "END":
			if len(open) == 0 || open[len(open)-1] != p.value {
				return nil, fmt.Errorf("END:%s inside %q", p.value, open)
			}
			out[p.value] = append(out[p.value], at[len(at)-1])
			open, at = open[:len(open)-1], at[:len(at)-1]
		default:
			if len(open) == 0 {
				return nil, fmt.Errorf("%s outside", p.name)
			}
			value, err := valueOf(p)
			if err != nil {
				return nil, err
			}
			if _, twice := at[len(at)-1][p.name]; twice {
				return nil, fmt.Errorf("%s twice", p.name)
			}
			at[len(at)-1][p.name] = value
		}
	}
	if len(open) > 0 || len(out["VCALENDAR"]) != 1 {
		return nil, fmt.Errorf("%q left open", open)
	}
	for component, need := range map[string][]string{"VCALENDAR": {"PRODID", "VERSION"}, "VEVENT": {"UID", "DTSTAMP", "DTSTART", "SUMMARY"}, "VALARM": {"ACTION", "TRIGGER", "DESCRIPTION"}} {
		for _, c := range out[component] {
			for _, n := range need {
				if c[n] == "" {
					return nil, fmt.Errorf("%s without %s", component, n)
				}
			}
		}
	}
	uids := map[string]bool{}
	for _, e := range out["VEVENT"] {
		if uids[e["UID"]] {
			return nil, fmt.Errorf("UID %s twice", e["UID"])
		}
		uids[e["UID"]] = true
		if end, ok := e["DTEND"]; ok && end <= e["DTSTART"] {
			return nil, fmt.Errorf("ends at %s, begins at %s", end, e["DTSTART"])
		}
	}
	if out["VCALENDAR"][0]["VERSION"] != "2.0" {
		return nil, errors.New("not version 2.0")
	}
	return out, nil
}

func valueOf(p property) (string, error) {
	switch p.name {
	case "DTSTART", "DTEND", "DTSTAMP", "LAST-MODIFIED":
		if whole, ok := strings.CutSuffix(p.value, wholeDay); ok {
			return whole, nil
		}
		if !utc.MatchString(p.value) {
			return "", fmt.Errorf("%s is %q", p.name, p.value)
		}
	case "TRIGGER":
		if !trigger.MatchString(p.value) {
			return "", fmt.Errorf("TRIGGER is %q", p.value)
		}
	default:
		var b strings.Builder
		for i := 0; i < len(p.value); i++ {
			switch c := p.value[i]; {
			case c == ';' || c == ',':
				return "", fmt.Errorf("%s has a bare %c: %q", p.name, c, p.value)
			case c < ' ':
				return "", fmt.Errorf("%s has a control character: %q", p.name, p.value)
			case c == '\\' && i+1 < len(p.value) && strings.IndexByte(`\;,nN`, p.value[i+1]) >= 0:
				i++
				b.WriteString(strings.NewReplacer("n", "\n", "N", "\n").Replace(p.value[i : i+1]))
			case c == '\\':
				return "", fmt.Errorf("%s has a bare backslash: %q", p.name, p.value)
			default:
				b.WriteByte(c)
			}
		}
		return b.String(), nil
	}
	return p.value, nil
}

func written(t interface{ Fatal(...any) }, d Day) map[string][]map[string]string {
	var b bytes.Buffer
	if err := Write(&b, d); err != nil {
		t.Fatal(err)
	}
	got, err := read(b.Bytes())
	if err != nil {
		t.Fatal(err.Error() + "\n" + b.String())
	}
	return got
}

func example() Day {
	dublin := time.FixedZone("summer", 3600)
	return Day{
		Job: "Stair hall; north, \\ wall\nupper", Date: "2026-04-14", Place: "Stair hall", Stamp: time.Date(2026, 4, 14, 6, 30, 0, 0, dublin),
		Events: []Event{
			{Key: "coat-1-lay", Start: time.Date(2026, 4, 14, 7, 30, 0, 0, dublin), Title: "Lay coat 1: polished-lime, 0.20 mm"},
			{Key: "coat-3-close", Start: time.Date(2026, 4, 14, 12, 50, 0, 0, dublin), End: time.Date(2026, 4, 14, 13, 30, 0, 0, dublin),
				Title: "Compress; burnish", Note: "wet shine gone, cool and damp; a light finger lifts no lime, whatever the clock says\ngone by: C:\\pale", Alarm: 10 * time.Minute},
		},
	}
}

func TestDay(t *testing.T) {
	got := written(t, example())
	events := got["VEVENT"]
	if len(events) != 2 || len(got["VALARM"]) != 1 {
		t.Fatalf("%v", got)
	}
	for name, want := range map[string]string{"DTSTAMP": "20260414T053000Z", "DTSTART": "20260414T115000Z", "DTEND": "20260414T123000Z",
		"SUMMARY": "Compress; burnish", "DESCRIPTION": "wet shine gone, cool and damp; a light finger lifts no lime, whatever the clock says\ngone by: C:\\pale", "LOCATION": "Stair hall"} {
		if events[1][name] != want {
			t.Errorf("%s is %q, want %q", name, events[1][name], want)
		}
	}
	if _, ok := events[0]["DTEND"]; ok {
		t.Error("a moment has an end")
	}
	if a := got["VALARM"][0]; a["TRIGGER"] != "-PT10M" || a["ACTION"] != "DISPLAY" {
		t.Errorf("%v", a)
	}
}

// A whole day is the one on the clock of its zone, without an end, so that it ends with the day (3.6.1).
func TestWholeDay(t *testing.T) {
	auckland := time.FixedZone("summer", 13*3600)
	d := example()
	d.Events = []Event{{Key: "first", Start: time.Date(2026, 9, 18, 0, 30, 0, 0, auckland), End: time.Date(2026, 9, 18, 2, 0, 0, 0, auckland), Whole: true, Title: "First", Alarm: time.Hour}}
	got := written(t, d)
	e := got["VEVENT"][0]
	if _, ends := e["DTEND"]; e["DTSTART"] != "20260918" || ends || len(got["VALARM"]) != 0 {
		t.Errorf("%v", got)
	}
}

// The same thing to do keeps its identity when its time changes; another job, day or thing has another.
func TestIdentity(t *testing.T) {
	ids := func(change func(*Day)) string {
		d := example()
		change(&d)
		return written(t, d)["VEVENT"][0]["UID"]
	}
	same := ids(func(*Day) {})
	if ids(func(d *Day) { d.Stamp = d.Stamp.Add(time.Hour); d.Events[0].Start = d.Events[0].Start.Add(time.Hour) }) != same {
		t.Error("a later answer has another identity")
	}
	for i, change := range []func(*Day){func(d *Day) { d.Job += "x" }, func(d *Day) { d.Date = "2026-04-15" }, func(d *Day) { d.Events[0].Key = "coat-2-lay" }} {
		if ids(change) == same {
			t.Errorf("change %d keeps the identity", i)
		}
	}
}

// Whatever the texts hold, the file keeps to RFC 5545 and gives them back, control characters aside.
func TestAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := example()
		s := rapid.OneOf(rapid.String(), rapid.StringMatching(`[ <>,;\\:\n\r"é漢]{0,300}`)).Draw(t, "text")
		d.Job, d.Place, d.Events[0].Note, d.Events[1].Title = s, s, s, "x"+s
		want := "x" + clean(s)
		if got := written(t, d)["VEVENT"][1]["SUMMARY"]; got != want {
			t.Fatalf("%q came back as %q", want, got)
		}
	})
}

func TestNotUTF8(t *testing.T) {
	d := example()
	d.Events[0].Title = "bad \xff\x00 bytes"
	if got := written(t, d)["VEVENT"][0]["SUMMARY"]; got != "bad \uFFFD  bytes" {
		t.Errorf("%q", got)
	}
}

// The checker itself finds what is wrong.
func TestCheckerBites(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, example()); err != nil {
		t.Fatal(err)
	}
	good := b.String()
	for i, bad := range []string{
		strings.ReplaceAll(good, "\r\n", "\n"), strings.ReplaceAll(good, "\r\n ", ""), strings.Replace(good, "DTSTAMP", "DTSTUMP", 1),
		strings.Replace(good, "UID:", "UID:,", 1), strings.Replace(good, "END:VALARM\r\n", "", 1), strings.Replace(good, "053000Z", "053000", 1),
		strings.Replace(good, "T123000Z", "T003000Z", 1), strings.Replace(good, `\n`, `\q`, 1), strings.TrimSuffix(good, "\r\n"), good + "\r\n",
		strings.Replace(good, "-PT10M", "PT-10M", 1), strings.Replace(good, "VERSION:2.0\r\n", "", 1), good + good,
		strings.Replace(good, "DTSTART:", "DTSTART;VALUE=DATE:", 1),
	} {
		if _, err := read([]byte(bad)); err == nil || bad == good {
			t.Errorf("planted fault %d is not found", i)
		}
	}
}

func TestCallersBug(t *testing.T) {
	for _, events := range [][]Event{{{Title: "no key", Start: time.Unix(0, 0)}}, {{Key: "no start"}}, {{Key: "a", Start: time.Unix(0, 0)}, {Key: "a", Start: time.Unix(0, 0)}}} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%v is written", events)
				}
			}()
			_ = Write(&bytes.Buffer{}, Day{Events: events})
		}()
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestFullDisk(t *testing.T) {
	if err := Write(full{}, example()); err == nil {
		t.Error("no error")
	}
}
