package logfile_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"pgregory.net/rapid"

	"limeday/psychro"
	"limeday/weather/logfile"
)

// truth is what a written file says.
type truth struct {
	at       time.Time
	temp, rh string // as numbers with a decimal point
}

// dialect is a way of writing.
type dialect struct {
	delimiter, decimal, order, encoding, newline string
	preamble, twelve, quoted, newestFirst        bool
}

func drawDialect(t *rapid.T) dialect {
	return dialect{
		delimiter:   rapid.SampledFrom([]string{",", ";", "\t", "|"}).Draw(t, "delimiter"),
		decimal:     rapid.SampledFrom([]string{".", ","}).Draw(t, "decimal"),
		order:       rapid.SampledFrom([]string{"2006-01-02", "2006/1/2", "02.01.2006", "2/1/2006", "01/02/2006", "1/2/06", "02-01-06", "06/01/02"}).Draw(t, "order"),
		encoding:    rapid.SampledFrom([]string{"utf8", "bom", "utf16le", "utf16be", "1252"}).Draw(t, "encoding"),
		newline:     rapid.SampledFrom([]string{"\r\n", "\n", "\r", "mixed"}).Draw(t, "newline"),
		preamble:    rapid.Bool().Draw(t, "preamble"),
		twelve:      rapid.Bool().Draw(t, "twelve"),
		quoted:      rapid.Bool().Draw(t, "quoted"),
		newestFirst: rapid.Bool().Draw(t, "newest first"),
	}
}

// write writes rows, whose times are in zone.
func (d dialect) write(rows []truth, zone *time.Location) string {
	clock := " 15:04:05"
	if d.twelve {
		clock = " 03:04:05 PM"
	}
	cell := func(s string) string {
		if d.quoted || strings.Contains(s, d.delimiter) {
			return `"` + s + `"`
		}
		return s
	}
	var b strings.Builder
	n := 0
	line := func(cells ...string) {
		for i, c := range cells {
			if i > 0 {
				b.WriteString(d.delimiter)
			}
			b.WriteString(cell(c))
		}
		n++
		if d.newline == "mixed" {
			b.WriteString([]string{"\r\n", "\n", "\r"}[n%3])
		} else {
			b.WriteString(d.newline)
		}
	}
	if d.preamble {
		line("Halle Süd")
		line("")
	}
	line("Zeit", "Temperatur, °C", "Feuchte, %")
	for i := range rows {
		r := rows[i]
		if d.newestFirst {
			r = rows[len(rows)-1-i]
		}
		line(r.at.In(zone).Format(d.order+clock), strings.Replace(r.temp, ".", d.decimal, 1), strings.Replace(r.rh, ".", d.decimal, 1))
	}
	out, err := b.String(), error(nil)
	switch d.encoding {
	case "bom":
		out = "\ufeff" + out
	case "utf16le":
		out, err = unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().String(out)
	case "utf16be":
		out, err = unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewEncoder().String(out)
	case "1252":
		out, err = charmap.Windows1252.NewEncoder().String(out)
	}
	if err != nil {
		panic(err)
	}
	return out
}

// drawRows walks through the air in equal steps, with a gap now and then.
func drawRows(t *rapid.T, start time.Time, step time.Duration, most int) []truth {
	decimals := rapid.IntRange(0, 3).Draw(t, "decimals")
	temp, rh := rapid.Float64Range(-20, 40).Draw(t, "temp"), rapid.Float64Range(30, 90).Draw(t, "rh")
	rows := make([]truth, rapid.IntRange(1, most).Draw(t, "rows"))
	for i := range rows {
		rows[i] = truth{start, fmt.Sprintf("%.*f", decimals, temp), fmt.Sprintf("%.*f", decimals, rh)}
		start = start.Add(step)
		temp += rapid.Float64Range(-0.5, 0.5).Draw(t, "dT")
		rh = min(max(rh+rapid.Float64Range(-2, 2).Draw(t, "dRH"), 2), 94)
	}
	return rows
}

// same fails unless the result says what was written.
func same(t *rapid.T, res logfile.Result, rows []truth, content string) {
	if len(res.Series.Records) != len(rows) {
		t.Fatalf("%d records of %d rows\n%s", len(res.Series.Records), len(rows), content)
	}
	for i, r := range res.Series.Records {
		var temp, rh float64
		fmt.Sscan(rows[i].temp, &temp)
		fmt.Sscan(rows[i].rh, &rh)
		e := rh / 100 * float64(psychro.SaturationWater(psychro.Celsius(temp)))
		if !r.Time.Equal(rows[i].at) || r.Temperature.V != temp || math.Abs(r.Vapour.V-e) > 1e-9*e {
			t.Fatalf("record %d is %v, want %v\n%s\n%s", i, r, rows[i], res.Decided, content)
		}
	}
}

// What is written in any dialect reads back equal, or is refused as ambiguous;
// and with the dialect pinned it is never refused.
func TestReadsBackOrAsks(t *testing.T) {
	var asked, answered int
	rapid.Check(t, func(t *rapid.T) {
		d := drawDialect(t)
		start := time.Unix(rapid.Int64Range(946684800, 1893456000).Draw(t, "start"), 0).UTC() // 2000 to 2030
		step := time.Duration(rapid.SampledFrom([]int{1, 15, 16, 60, 180, 720}).Draw(t, "minutes")) * time.Minute
		rows := drawRows(t, start, step, 40)
		content := d.write(rows, time.UTC)
		res, err := logfile.Read("x.csv", strings.NewReader(content), logfile.Options{SiteZone: time.UTC})
		var open *logfile.AmbiguityError
		switch {
		case errors.As(err, &open):
			asked++
			if open.Option != logfile.OptDateOrder && open.Option != logfile.OptDecimal {
				t.Fatalf("%v\n%s", err, content)
			}
			// A date is asked about only where no day is over 12 or the year could be one.
			if open.Option == logfile.OptDateOrder && strings.HasPrefix(d.order, "2006") {
				t.Fatalf("%v\n%s", err, content)
			}
			if open.Option == logfile.OptDecimal && len(rows[0].temp)-strings.IndexByte(rows[0].temp, '.') != 4 {
				t.Fatalf("%v\n%s", err, content)
			}
		case err != nil:
			t.Fatalf("%v\n%s", err, content)
		default:
			answered++
			same(t, res, rows, content)
		}
		pins := logfile.Options{Zone: time.UTC, Delimiter: rune(d.delimiter[0]), Decimal: logfile.Point, DateOrder: logfile.DayFirst,
			TempUnit: logfile.Celsius, HumidityUnit: logfile.Percent, TimeColumn: "Zeit", TempColumn: "temperatur, °c", HumidityColumn: "3"}
		if d.decimal == "," {
			pins.Decimal = logfile.Comma
		}
		switch d.order[:2] {
		case "20", "06":
			pins.DateOrder = logfile.YearFirst
		case "01", "1/":
			pins.DateOrder = logfile.MonthFirst
		}
		res, err = logfile.Read("x.csv", strings.NewReader(content), pins)
		if err != nil {
			t.Fatalf("pinned: %v\n%s", err, content)
		}
		same(t, res, rows, content)
	})
	if answered == 0 || asked == 0 {
		t.Errorf("%d files read, %d asked about: the property says nothing", answered, asked)
	}
	t.Logf("%d files read, %d asked about", answered, asked)
}

// The clock on the wall of a zone, over its changes, reads back as the same
// instants or is asked about.
func TestReadsBackOverClockChanges(t *testing.T) {
	// Changes of 2026 in UTC (IANA tzdata).
	changes := map[string][]time.Time{
		"Europe/Berlin":       {time.Date(2026, 3, 29, 1, 0, 0, 0, time.UTC), time.Date(2026, 10, 25, 1, 0, 0, 0, time.UTC)},
		"America/New_York":    {time.Date(2026, 3, 8, 7, 0, 0, 0, time.UTC), time.Date(2026, 11, 1, 6, 0, 0, 0, time.UTC)},
		"Australia/Lord_Howe": {time.Date(2026, 4, 4, 15, 0, 0, 0, time.UTC), time.Date(2026, 10, 3, 15, 30, 0, 0, time.UTC)},
		"Asia/Kathmandu":      {time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)},
	}
	var asked, answered int
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom([]string{"Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu"}).Draw(t, "zone")
		z, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		d := drawDialect(t)
		d.order, d.decimal = "2006-01-02", "."
		step := time.Duration(rapid.SampledFrom([]int{5, 15, 16, 30, 60, 90, 120}).Draw(t, "minutes")) * time.Minute
		change := rapid.SampledFrom(changes[name]).Draw(t, "change")
		before := time.Duration(rapid.IntRange(-20, 300).Draw(t, "before")) * time.Minute
		rows := drawRows(t, change.Add(-before), step, 60)
		for i := range rows { // no three decimals between tabs here
			rows[i].temp, _, _ = strings.Cut(rows[i].temp, ".")
			rows[i].rh, _, _ = strings.Cut(rows[i].rh, ".")
		}
		content := d.write(rows, z)
		res, err := logfile.Read("x.csv", strings.NewReader(content), logfile.Options{SiteZone: z})
		var open *logfile.AmbiguityError
		if errors.As(err, &open) && open.Option == logfile.OptZone {
			asked++
			return
		}
		if err != nil {
			t.Fatalf("%v\n%s", err, content)
		}
		answered++
		same(t, res, rows, content)
	})
	if answered == 0 || asked == 0 {
		t.Errorf("%d files read, %d asked about: the property says nothing", answered, asked)
	}
	t.Logf("%d files read, %d asked about", answered, asked)
}
