package source_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/psychro"
	"limeday/weather"
	"limeday/weather/source"
)

// hourAt is invented weather of an hour: a yearly and a daily course of the temperature, C.
func hourAt(at time.Time) float64 {
	year := 2 * math.Pi * float64(at.YearDay()-110) / 365
	day := 2 * math.Pi * (float64(at.Hour()) - 9) / 24
	return 9 + 11*math.Sin(year) + 4*math.Sin(day)
}

// hoursCSV is a year of invented hours in UTC; nil keeps all.
func hoursCSV(year int, keep func(time.Time) bool) string {
	var b strings.Builder
	b.WriteString("time,temp_c,rh,wind_ms,wind_dir,rain_mm,cloud_pct\n")
	for at := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC); at.Year() == year; at = at.Add(time.Hour) {
		if keep == nil || keep(at) {
			fmt.Fprintf(&b, "%s,%.2f,%d,3,200,0,%d\n", at.Format(time.RFC3339), hourAt(at), 60+at.Day(), at.Day())
		}
	}
	return b.String()
}

// without keeps all but some hours from a time on.
func without(from time.Time, hours int) func(time.Time) bool {
	return func(at time.Time) bool {
		return at.Before(from) || !at.Before(from.Add(time.Duration(hours)*time.Hour))
	}
}

var may = time.Date(2019, 5, 7, 5, 0, 0, 0, time.UTC)

// Holes are filled by their length, tagged and told; longer ones refuse the year.
func TestHoles(t *testing.T) {
	at := func(y source.Years, when time.Time) weather.Record {
		t.Helper()
		i := slices.IndexFunc(y.Series.Records, func(r weather.Record) bool { return r.Time.Equal(when) })
		if i < 0 {
			t.Fatalf("no record at %v", when)
		}
		return y.Series.Records[i]
	}
	for _, tc := range []struct {
		hours  int // of the hole
		holes  int // of Years
		tag    weather.Tag
		says   string
		within float64 // K of the invented weather
	}{
		{2, 0, weather.Interpolated, "No temperature or humidity in 2 hours (0.023 %): taken on a line", 1},
		{3, 3, weather.Estimated, "No temperature or humidity in 3 hours (0.034 %): for longer than 3 hours on end, and so estimated as the mean day", 0.3},
		{40, 40, weather.Estimated, "in 40 hours", 0.3},
		{168, 168, weather.Estimated, "in 168 hours", 0.5},
	} {
		y := read(t, source.YearsOptions{}, text("f", hoursCSV(2019, without(may, tc.hours))))
		checkReady(t, y, weather.Place{Lat: 50})
		if got := y.Span[0].Holes; math.Abs(got-float64(tc.holes)/8760) > 1e-9 || !noted(y, tc.says) || len(y.Series.Records) != 8760 {
			t.Errorf("%d hours: holes %g, %d records, %q", tc.hours, got, len(y.Series.Records), y.Notes)
		}
		for k := range tc.hours {
			r := at(y, may.Add(time.Duration(k)*time.Hour))
			if off := r.Temperature.V - hourAt(r.Time); math.Abs(off) > tc.within || r.Temperature.Tag != tc.tag || r.Vapour.Tag != tc.tag {
				t.Errorf("%d hours: %v is %+v, %.2f K off", tc.hours, r.Time, r.Temperature, off)
			}
			if r.Rain.Known() && k < tc.hours-1 { // that of the last hour is told by the row after it
				t.Errorf("rain is invented at %v", r.Time)
			}
			if top := psychro.SaturationWater(psychro.Celsius(r.Temperature.V)); r.Vapour.V > float64(top) || r.Vapour.V <= 0 {
				t.Errorf("%v Pa at %v", r.Vapour.V, r.Time)
			}
		}
	}
	var hole *source.HoleError
	err := refused(t, source.YearsOptions{}, text("f", hoursCSV(2019, without(may, 169))))
	if !errors.As(err, &hole) || hole.Label != 2019 || !hole.From.Equal(may) ||
		err.Error() != "f: 2019 lacks temperature or humidity in 1.9 % of its hours, the longest time for 7.0 days from 7 May; expected at most 10 %, and no more than 7 days on end: fill the year from another source or skip it" {
		t.Errorf("%v", err)
	}
	badData(t, err)
	tenth := func(n int) func(time.Time) bool { // n hours of every fifth day
		return func(at time.Time) bool { return at.YearDay()%5 != 0 || at.Hour() >= n }
	}
	if y := read(t, source.YearsOptions{}, text("f", hoursCSV(2019, tenth(12)))); math.Abs(y.Span[0].Holes-0.1) > 1e-9 {
		t.Errorf("a tenth: %v", y.Span)
	}
	if err := refused(t, source.YearsOptions{}, text("f", hoursCSV(2019, tenth(13)))); !errors.As(err, &hole) {
		t.Error(err)
	}
	// Observations every three hours are within a line.
	if y := read(t, source.YearsOptions{}, text("f", hoursCSV(2019, func(at time.Time) bool { return at.Hour()%3 == 0 }))); y.Span[0].Holes > 1e-3 || len(y.Series.Records) != 8758 {
		t.Errorf("every three hours: %v, %d records, %q", y.Span, len(y.Series.Records), y.Notes)
	}
}

// A year with holes can be skipped, one that is only begun is left out, and what is left must be a year.
func TestYearsLeftOut(t *testing.T) {
	good, bad := text("good", hoursCSV(2018, nil)), text("bad", hoursCSV(2019, without(may, 400)))
	y := read(t, source.YearsOptions{Skip: []int{2019, 1990}}, good, bad)
	if len(y.Span) != 1 || y.Span[0].Label != 2018 || len(y.Series.Records) != 8760 || !noted(y, "2019 is left out, as asked.") || !noted(y, "1990 was to be left out, and is not there.") {
		t.Errorf("%v, %q", y.Span, y.Notes)
	}
	var none *source.NoYearError
	if err := refused(t, source.YearsOptions{Skip: []int{2019}}, bad); !errors.As(err, &none) || !none.Skipped {
		t.Error(err)
	} else {
		badData(t, err)
	}
	begun := text("begun", hoursCSV(2019, func(at time.Time) bool { return at.Before(may) }))
	if y := read(t, source.YearsOptions{}, good, begun); len(y.Span) != 1 || !noted(y, "Of 2019 there is only the time from 2019-01-01 to 2019-05-07: it is left out.") {
		t.Errorf("%v, %q", y.Span, y.Notes)
	}
	// A year between two that is not given leaves a jump; a zone's hours beyond the years are no year.
	far := text("far", hoursCSV(2021, nil))
	tokyo := zone(t, "Asia/Tokyo")
	y = read(t, source.YearsOptions{Zone: tokyo}, far, good)
	checkReady(t, y, weather.Place{Lat: 35, Lon: 140})
	if len(y.Span) != 2 || y.Span[1].Label != 2021 || noted(y, "there is only") {
		t.Errorf("%v, %q", y.Span, y.Notes)
	}
	for _, r := range y.Series.Records {
		if year := r.Time.In(tokyo).Year(); year == 2019 || year == 2020 {
			t.Fatalf("a record at %v", r.Time)
		}
	}
}

// What is hardly ever given is said; what is given now and then is filled, and tagged.
func TestLacks(t *testing.T) {
	blank := func(column int, of func(time.Time) bool) string {
		lines := strings.Split(hoursCSV(2019, nil), "\n")
		for i, l := range lines[1:] {
			if cells := strings.Split(l, ","); len(cells) > column {
				if at, err := time.Parse(time.RFC3339, cells[0]); err == nil && of(at) {
					cells[column] = ""
				}
				lines[i+1] = strings.Join(cells, ",")
			}
		}
		return strings.Join(lines, "\n")
	}
	always := func(time.Time) bool { return true }
	for _, tc := range []struct {
		column int
		of     func(time.Time) bool
		lacks  []string
		note   string
	}{
		{5, always, []string{"radiation", "rain"}, "Rain is told in too few hours"},
		{5, func(at time.Time) bool { return at.Hour()%4 == 0 }, []string{"radiation", "rain"}, "Rain is told in too few hours to count on it: 2019 (75 %)"},
		{5, func(at time.Time) bool { return at.Hour() == 7 }, []string{"radiation"}, ""},
		{3, always, []string{"radiation", "wind"}, ""},
		{3, func(at time.Time) bool { return at.Month() == 3 && at.Day() == 9 }, []string{"radiation"}, "No wind in 24 hours (0.27 %): estimated as the month's mean at that hour."},
		{6, func(at time.Time) bool { return at.Hour()%6 != 0 }, []string{"radiation"}, "No cloud in 7295 hours"},
		{6, func(at time.Time) bool { return at.Month() == 3 && at.Day() < 31 }, []string{"radiation"}, "No cloud in 720 hours (8.2 %): estimated as the month's mean at that hour."},
	} {
		y := read(t, source.YearsOptions{}, text("f", blank(tc.column, tc.of)))
		checkReady(t, y, weather.Place{Lat: 50})
		if !slices.Equal(y.Lacks, tc.lacks) || !noted(y, tc.note) {
			t.Errorf("column %d: lacks %q, %q", tc.column, y.Lacks, y.Notes)
		}
		for _, r := range y.Series.Records {
			if tc.column == 5 && tc.of(r.Time.Add(time.Hour)) && r.Rain.Known() {
				t.Fatalf("rain is invented at %v", r.Time)
			}
		}
	}
	var dark *source.LightError
	for _, of := range []func(time.Time) bool{always, func(at time.Time) bool { return at.Month() <= 2 }} {
		if err := refused(t, source.YearsOptions{}, text("f", blank(6, of))); !errors.As(err, &dark) || !strings.Contains(err.Error(), "neither radiation nor cloud") {
			t.Error(err)
		} else {
			badData(t, err)
		}
	}
}

// However a run of years is cut into files, packed and put in order, it is the same years.
func TestCutIntoFiles(t *testing.T) {
	rows := strings.SplitAfter(plain(t, "isdlite", "725300-2016.gz")+plain(t, "isdlite", "725300-2017.gz"), "\n")
	rows = rows[8600 : len(rows)-1] // from the last week of the first year on
	whole := read(t, source.YearsOptions{Place: &ohare}, text("a", strings.Join(rows, "")))
	rapid.Check(t, func(r *rapid.T) {
		cuts := rapid.SliceOfN(rapid.IntRange(1, len(rows)-1), 0, 5).Draw(r, "cuts")
		slices.Sort(cuts)
		var files []source.File
		from := 0
		for _, to := range append(slices.Compact(cuts), len(rows)) {
			content := strings.Join(rows[from:to], "")
			if rapid.Bool().Draw(r, "packed") {
				content = packed(t, content)
			}
			files = append(files, text(fmt.Sprint(from), content))
			from = to
		}
		files = rapid.Permutation(files).Draw(r, "order")
		y, err := source.ReadYears(context.Background(), files, source.YearsOptions{Place: &ohare})
		if err != nil {
			r.Fatal(err)
		}
		// Six-hour rain that spans a cut is not spread, as no file has all six hours of it.
		same := slices.EqualFunc(y.Series.Records, whole.Series.Records, func(a, b weather.Record) bool {
			if b.Rain.Tag == weather.Coarse || a.Rain.Tag == weather.Coarse {
				a.Rain, a.Span, b.Rain, b.Span = weather.Value{}, 0, weather.Value{}, 0
			}
			return a == b
		})
		if !same || !slices.Equal(y.Span, whole.Span) {
			r.Fatalf("cut at %v: %v of %d records, whole %v of %d", cuts, y.Span, len(y.Series.Records), whole.Span, len(whole.Series.Records))
		}
	})
}

// Whatever is missing: the share told is the one counted by hand, what is told as filled is, and nothing else changed.
func TestHolesCounted(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		lost := map[time.Time]bool{}
		for range rapid.IntRange(0, 12).Draw(r, "holes") {
			from := time.Date(2019, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(rapid.IntRange(0, 8759).Draw(r, "from")) * time.Hour)
			for k := range rapid.IntRange(1, 180).Draw(r, "hours") {
				lost[from.Add(time.Duration(k)*time.Hour)] = true
			}
		}
		missing, longest, ends, piece := 0, 0, 0, 0
		add := func(atEnd bool) {
			if piece > 2 || atEnd { // two hours lie within a line of three
				missing += piece
				longest = max(longest, piece)
			}
			if atEnd {
				ends += piece
			}
			piece = 0
		}
		first := true
		for at := time.Date(2019, 1, 1, 0, 0, 0, 0, time.UTC); at.Year() == 2019; at = at.Add(time.Hour) {
			if lost[at] {
				piece++
				continue
			}
			add(first && piece > 0)
			first = false
		}
		add(piece > 0)
		y, err := source.ReadYears(context.Background(), []source.File{text("f", hoursCSV(2019, func(at time.Time) bool { return !lost[at] }))}, source.YearsOptions{})
		var hole *source.HoleError
		var none *source.NoYearError
		tooMuch := float64(missing) > 876 || longest > 168
		switch {
		case errors.As(err, &none):
			if ends <= 168 {
				r.Fatalf("%v, with %d missing at the ends", err, ends)
			}
			return
		case errors.As(err, &hole):
			if !tooMuch || math.Abs(hole.Share-float64(missing)/8760) > 1e-9 {
				r.Fatalf("%v, with %d missing, %d on end", err, missing, longest)
			}
			return
		case err != nil:
			var dark *source.LightError
			if !errors.As(err, &dark) {
				r.Fatal(err)
			}
			return
		}
		if tooMuch || math.Abs(y.Span[0].Holes-float64(missing)/8760) > 1e-9 {
			r.Fatalf("holes %g, with %d missing, %d on end", y.Span[0].Holes, missing, longest)
		}
		for _, rec := range y.Series.Records {
			switch v := rec.Temperature; {
			case !lost[rec.Time] && (v.Tag != weather.Measured || math.Abs(v.V-hourAt(rec.Time)) > 0.006):
				r.Fatalf("%v became %+v", rec.Time, v)
			case lost[rec.Time] && v.Known() && (v.Tag == weather.Measured || math.Abs(v.V-hourAt(rec.Time)) > 2):
				r.Fatalf("%v was filled with %+v, %.1f in the invented weather", rec.Time, v, hourAt(rec.Time))
			}
		}
	})
}

// Whatever the bytes: no panic, and years or an error that names the file.
func FuzzReadYears(f *testing.F) {
	for _, parts := range [][]string{{"epw", "duluth.epw.gz"}, {"isdlite", "725300-2017.gz"}, {"columns", "newark-2013.csv.gz"}, {"power", "hours-invented.json"}} {
		content := plain(f, parts...)
		f.Add([]byte(content[:min(len(content), 3000)]))
	}
	f.Add([]byte("\ufeffLOCATION,a,b,c,TMY3,1,2,3,4,5\n"))
	f.Add([]byte("2017 01 01 00 -9999 -9999 -9999 -9999 -9999 -9999 -9999 -9999\n"))
	f.Add([]byte("{}"))
	f.Add([]byte("\x1f\x8b"))
	f.Fuzz(func(t *testing.T, data []byte) {
		file := source.File{Name: "the file", Open: func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(string(data))), nil }}
		y, err := source.ReadYears(context.Background(), []source.File{file}, source.YearsOptions{Zone: time.UTC})
		if err == nil && len(y.Span) == 0 {
			t.Fatal("no years and no error")
		}
		if err != nil && !strings.Contains(err.Error(), "the file") {
			t.Fatalf("%v does not name the file", err)
		}
	})
}

// BenchmarkReadYears reads ten years of an ISD-Lite station: the two real ones, five times over.
func BenchmarkReadYears(b *testing.B) {
	two := []string{plain(b, "isdlite", "725300-2016.gz"), plain(b, "isdlite", "725300-2017.gz")}
	var files []source.File
	for k := range 5 {
		for i, year := range []string{"2016", "2017"} {
			label := fmt.Sprint(2000 + 4*k + i) // leap years are leap years
			rows := strings.Split(two[i], "\n")
			for n, row := range rows {
				rows[n] = strings.Replace(row, year, label, 1)
			}
			files = append(files, text(label, strings.Join(rows, "\n")))
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		if y, err := source.ReadYears(context.Background(), files, source.YearsOptions{Place: &ohare}); err != nil || len(y.Span) != 10 {
			b.Fatal(err, len(y.Span))
		}
	}
}
