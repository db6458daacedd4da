package readings

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
)

const head = "time,temp_c,rh_pct\n"

func TestExampleReadings(t *testing.T) {
	rs, err := Parse(job.ExampleName, bytes.NewReader(job.ExampleReadings()))
	if err != nil {
		t.Fatal(err)
	}
	at, err := time.Parse(time.RFC3339, job.ExampleAt)
	if err != nil {
		t.Fatal(err)
	}
	if first, last := rs[0].Time, rs[len(rs)-1].Time; !first.Before(at.Add(-12*time.Hour)) || last.Before(at) {
		t.Errorf("readings run from %s to %s; the moment is %s", first, last, at)
	}
	if r := rs[0]; r.Temp != 17.4 || r.RH != 55.8 {
		t.Errorf("first reading %+v", r)
	}
}

func TestRefused(t *testing.T) {
	stuck := head
	for i := range 20 {
		stuck += fmt.Sprintf("2026-04-14T%02d:00:00Z,14.0,62.0\n", i)
	}
	for name, tc := range map[string]struct {
		text string
		want []string
	}{
		"empty":      {"", []string{"a.csv: is empty"}},
		"header":     {"time,temp,rh\n", []string{"a.csv:1: the first line"}},
		"no rows":    {head, []string{"a.csv: has no readings"}},
		"columns":    {head + "2026-04-14T05:00:00Z,14\n", []string{"a.csv:2: has 2 values"}},
		"humidity":   {head + "2026-04-14T05:00:00Z,14,0.72\n2026-04-14T06:00:00Z,14,172\n", []string{`a.csv:2: rh_pct is "0.72"`, `a.csv:3: rh_pct is "172"`}},
		"nan":        {head + "2026-04-14T05:00:00Z,NaN,60\n", []string{`a.csv:2: temp_c is "NaN"`}},
		"no offset":  {head + "2026-04-14T05:00:00,14,60\n", []string{"a.csv:2: "}},
		"backwards":  {head + "2026-04-14T05:00:00Z,14,60\n2026-04-14T05:00:00+01:00,14,61\n", []string{"a.csv:3: the time"}},
		"stuck":      {stuck, []string{"a.csv:13: temperature and humidity have not moved since 2026-04-14T00:00:00Z"}},
		"nul":        {head + "2026-04-14T05:00:00Z,14,60\n\x00\n", []string{"a.csv:3: is not UTF-8 text"}},
		"binary":     {"\x89PNG\r\n", []string{"a.csv:1: is not UTF-8 text"}},
		"bare quote": {head + "2026-04-14T05:00:00Z,1\"4,60\n", []string{"a.csv:2: is not readable CSV"}},
	} {
		_, err := Parse("a.csv", strings.NewReader(tc.text))
		var l fault.List
		if !errors.As(err, &l) || len(l) != len(tc.want) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for i, f := range l {
			if !strings.HasPrefix(f.String(), tc.want[i]) {
				t.Errorf("%s: got %q, want %q", name, f, tc.want[i])
			}
		}
	}
}

// Loggers write what spreadsheets want: a byte-order mark and carriage returns.
func TestSpreadsheetText(t *testing.T) {
	rs, err := Parse("a.csv", strings.NewReader("\ufefftime,temp_c,rh_pct\r\n2026-04-14T05:00:00Z,14,60\r\n"))
	if err != nil || len(rs) != 1 || rs[0].Temp != 14 || rs[0].RH != 60 {
		t.Errorf("%v, %v", rs, err)
	}
}

func FuzzParse(f *testing.F) {
	f.Add(job.ExampleReadings())
	f.Add([]byte(head + "2026-04-14T05:00:00Z,14,60\n"))
	f.Add([]byte(head + "\"2026\n\",,\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		rs, err := Parse("f.csv", bytes.NewReader(data))
		var l fault.List
		if err != nil && (!errors.As(err, &l) || len(l) == 0) || err == nil && len(rs) == 0 {
			t.Fatalf("%d readings, error %v", len(rs), err)
		}
		for i, r := range rs {
			if !quantity.AirTemperatures.Contains(r.Temp) || !quantity.Humidities.Contains(r.RH) || i > 0 && !r.Time.After(rs[i-1].Time) {
				t.Fatalf("reading %d is %+v", i, r)
			}
		}
	})
}
