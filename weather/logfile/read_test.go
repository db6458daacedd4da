package logfile_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"
	"time"
	_ "time/tzdata"

	"golang.org/x/text/encoding/unicode"

	"limeday/psychro"
	"limeday/weather"
	"limeday/weather/logfile"
)

func zone(tb testing.TB, name string) *time.Location {
	tb.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		tb.Fatal(err)
	}
	return z
}

func read(content string, o logfile.Options) (logfile.Result, error) {
	return logfile.Read("hall.csv", strings.NewReader(content), o)
}

// utc is the option of most tests here: the place is at UTC.
var utc = logfile.Options{SiteZone: time.UTC}

// say is a series as text: times in UTC, C and percent, rounded.
func say(s weather.Series) string {
	var b strings.Builder
	for i, r := range s.Records {
		if i > 0 {
			b.WriteString(" | ")
		}
		b.WriteString(r.Time.UTC().Format("2006-01-02T15:04:05.999"))
		if r.Temperature.Known() {
			fmt.Fprintf(&b, " %.2f", r.Temperature.V)
		} else {
			b.WriteString(" ?")
		}
		if r.Vapour.Known() {
			fmt.Fprintf(&b, " %.2f", 100*r.Vapour.V/float64(psychro.SaturationWater(psychro.Celsius(r.Temperature.V))))
		} else {
			b.WriteString(" ?")
		}
	}
	return b.String()
}

func TestRealFiles(t *testing.T) {
	dir := filepath.Join("..", "..", "testdata", "logger")
	open := func(name string) *os.File {
		f, err := os.Open(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { f.Close() })
		return f
	}
	_, err := logfile.Read("logger-a.csv", open("logger-a.csv"), logfile.Options{})
	var stuck *logfile.StuckError
	if !errors.As(err, &stuck) {
		t.Fatalf("logger-a: %v, want a stuck sensor", err)
	}
	// From the file by eye: lines 4 to 87 read 37.20,102.60.
	if stuck.Line != 4 || stuck.LastLine != 87 || stuck.RH != 102.6 || stuck.To.Sub(stuck.From) != 22*time.Hour+8*time.Minute {
		t.Errorf("logger-a: %+v", stuck)
	}
	if want := time.Date(2000, 5, 25, 18, 8, 42, 0, time.UTC); !stuck.From.Equal(want) {
		t.Errorf("logger-a: stuck from %v, want %v", stuck.From, want)
	}

	res, err := logfile.Read("logger-b.csv", open("logger-b.csv"), logfile.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := res.Decided.String(), "read 986 rows; comma; decimal point; year first; +05:00; F; %"; got != want {
		t.Errorf("logger-b: %s, want %s", got, want)
	}
	if got := strings.Join(res.Notes, "\n"); !strings.Contains(got, "15 rows without temperature and humidity skipped, the first in line 5") {
		t.Errorf("logger-b notes: %s", got)
	}
	first := say(weather.Series{Records: res.Series.Records[:1]})
	if want := "2018-05-03T03:08:23 12.35 85.10"; first != want { // 54.23 F
		t.Errorf("logger-b begins %s, want %s", first, want)
	}
	// The logger computed dew points itself (another equation): they agree.
	e := res.Series.Records[0].Vapour.V
	if dew, err := psychro.DewPoint(psychro.Pascal(e)); err != nil || math.Abs(float64(dew)-(49.88-32)/1.8) > 0.05 {
		t.Errorf("dew point %v (%v), the logger says 49.88 F", dew, err)
	}
	if s := res.Series; s.Source != "logger-b.csv" || s.Step() != 15*time.Minute || s.MissingShare() != 0 ||
		!s.Issued.Equal(s.Records[985].Time) || s.Records[0].Temperature.Tag != weather.Measured || s.Records[0].Vapour.Tag != weather.Measured {
		t.Errorf("series: %s %s %s %g", s.Source, s.Issued, s.Step(), s.MissingShare())
	}
	// The pins read the file again in the same way.
	again, err := logfile.Read("logger-b.csv", open("logger-b.csv"), res.Decided.Pins())
	if err != nil || again.Decided.String() != res.Decided.String() || say(again.Series) != say(res.Series) {
		t.Errorf("pinned: %v %s", err, again.Decided)
	}
}

const plainFile = "time,temp_c,rh_pct\n2026-04-14 06:30,12.5,70\n2026-04-14 06:45,12.6,71\n"
const plainRead = "2026-04-14T06:30:00 12.50 70.00 | 2026-04-14T06:45:00 12.60 71.00"

func utf16(order unicode.Endianness, s string) string {
	out, err := unicode.UTF16(order, unicode.UseBOM).NewEncoder().String(s)
	if err != nil {
		panic(err)
	}
	return out
}

// What is read, and how.
func TestReads(t *testing.T) {
	berlin := zone(t, "Europe/Berlin")
	with := func(f func(*logfile.Options)) logfile.Options {
		o := utc
		f(&o)
		return o
	}
	for _, tc := range []struct {
		name, content string
		o             logfile.Options
		want          string
		decided       string // contained, if not empty
		note          string // contained, if not empty
	}{
		{"plain", plainFile, utc, plainRead, "read 2 rows; comma; decimal point; year first; UTC (the place's); C; %", ""},

		// Bytes.
		{"byte order mark", "\ufeff" + plainFile, utc, plainRead, "", ""},
		{"UTF-16 LE", utf16(unicode.LittleEndian, plainFile), utc, plainRead, "UTF-16", ""},
		{"UTF-16 BE", utf16(unicode.BigEndian, plainFile), utc, plainRead, "UTF-16", ""},
		{"Windows-1252", "Zeit;Temp (\xb0C);Feuchte\n14.04.2026 06:30;12,5;70\n", utc, "2026-04-14T06:30:00 12.50 70.00", "Windows-1252; semicolon; decimal comma; day first; UTC (the place's); C; %", ""},

		// Lines.
		{"CRLF", strings.ReplaceAll(plainFile, "\n", "\r\n"), utc, plainRead, "", ""},
		{"CR", strings.ReplaceAll(plainFile, "\n", "\r"), utc, plainRead, "", ""},
		{"mixed", strings.Replace(plainFile, "\n", "\r\n", 1), utc, plainRead, "", ""},
		{"no last newline", strings.TrimSuffix(plainFile, "\n"), utc, plainRead, "", ""},
		{"blank lines", "\n\n" + strings.ReplaceAll(plainFile, "\n", "\n\n"), utc, plainRead, "", ""},
		{"sep line", "sep=;\n" + strings.ReplaceAll(plainFile, ",", ";"), utc, plainRead, "semicolon", ""},
		{"sep line in quotes", "\"sep=\t\"\n" + strings.ReplaceAll(plainFile, ",", "\t"), utc, plainRead, "tab", ""},
		{"comments", "# hall, north wall\n" + plainFile + "# end, \"quoted\"\n", utc, plainRead, "", ""},
		{"header as comment", "# " + plainFile, utc, plainRead, "", ""},
		{"preamble", strings.Repeat("Serial: 17, north\n", 30) + plainFile, utc, plainRead, "", ""},
		{"trailer", plainFile + "End of data\nRows: 2\n", utc, plainRead, "", "2 rows without temperature and humidity skipped, the first in line 4"},
		{"header again", plainFile + plainFile[:19] + "2026-04-14 07:00,12.7,72\n", utc, plainRead + " | 2026-04-14T07:00:00 12.70 72.00", "", "the header repeated: 1 row skipped"},
		{"row of units", "time,temp,rh\n,°F,%\n2026-04-14 06:30,68,70\n", utc, "2026-04-14T06:30:00 20.00 70.00", "; F; %", ""},
		{"cut short", plainFile + "2026-04-14 07:00,12", utc, plainRead, "", "line 4 is cut short"},
		{"break in a quoted name", "time,\"temp\n(°F)\",rh\n2026-04-14 06:30,68,70\n", utc, "2026-04-14T06:30:00 20.00 70.00", "; F; %", ""},
		{"empty columns behind", "time,temp,rh,,\n2026-04-14 06:30,12.5,70,,\n", utc, "2026-04-14T06:30:00 12.50 70.00", "", ""},
		{"a delimiter behind every row", "time,temp,rh\n2026-04-14 06:30,12.5,70,\n2026-04-14 06:45,12.6,71,\n", utc, plainRead, "", ""},
		{"a row commented out", plainFile + "#2026-04-14 07:00,99,70\n", utc, plainRead, "", ""},
		{"events", "time,temp,rh,event\n2026-04-14 06:30, , ,started\n2026-04-14 06:31,12.5,70, \n", utc, "2026-04-14T06:31:00 12.50 70.00", "read 1 row;", "1 row without"},

		// Delimiters.
		{"tab", strings.ReplaceAll(plainFile, ",", "\t"), utc, plainRead, "tab", ""},
		{"bar", strings.ReplaceAll(plainFile, ",", "|"), utc, plainRead, "bar", ""},
		{"semicolon and decimal comma", "time;temp;rh\n2026-04-14 06:30;12,5;70,0\n", utc, "2026-04-14T06:30:00 12.50 70.00", "semicolon; decimal comma", ""},
		{"comma in a quoted name", "\"#\",\"Date Time, GMT+02:00\",\"Temp, °C\",\"RH, %\"\n1,2026-04-14 06:30,12.5,70\n", utc, "2026-04-14T04:30:00 12.50 70.00", "+02:00; C; %", ""},
		{"blanks before quotes", "time, \"temp, C\", \"rh\"\n2026-04-14 06:30, \"12.5\", \"70\"\n", utc, "2026-04-14T06:30:00 12.50 70.00", "; C; %", ""},

		// Numbers.
		{"quoted decimal commas", "time,temp,rh\n2026-04-14 06:30,\"12,5\",\"70,25\"\n", utc, "2026-04-14T06:30:00 12.50 70.25", "comma; decimal comma", ""},
		{"minus, plus, exponent, unit", "time,temp,rh\n2026-04-14 06:30,\u22123.5 °C,70 %\n2026-04-14 06:45,+3.0,71\n2026-04-14 07:00,0.31E1,7.2e1\n", utc,
			"2026-04-14T06:30:00 -3.50 70.00 | 2026-04-14T06:45:00 3.00 71.00 | 2026-04-14T07:00:00 3.10 72.00", "decimal point; year first; UTC (the place's); C; %", ""},
		{"missing", "time,temp,rh\n2026-04-14 06:30,12.5,NaN\n2026-04-14 06:45,12.6,71\n2026-04-14 07:00,-9999,72\n2026-04-14 07:15,OL,Err\n2026-04-14 07:30,999.9,850\n", utc,
			"2026-04-14T06:30:00 12.50 ? | 2026-04-14T06:45:00 12.60 71.00 | 2026-04-14T07:00:00 ? ? | 2026-04-14T07:15:00 ? ? | 2026-04-14T07:30:00 ? ?", "", "4 readings without temperature or without humidity"},
		{"three decimals between commas", "time,temp,rh\n2026-04-14 06:30,21.346,70\n", utc, "2026-04-14T06:30:00 21.35 70.00", "decimal point", ""},
		{"three decimals between semicolons", "time;temp;rh\n2026-04-14 06:30;21,345;70\n2026-04-14 06:45;21,402;70\n", utc,
			"2026-04-14T06:30:00 21.34 70.00 | 2026-04-14T06:45:00 21.40 70.00", "decimal comma", ""},
		{"the other column decides", "time;temp;rh\n2026-04-14 06:30;1,234;70,5\n", utc, "2026-04-14T06:30:00 1.23 70.50", "decimal comma", ""},
		{"1,234 pinned", "time;temp;rh\n2026-04-14 06:30;1,234;70\n", with(func(o *logfile.Options) { o.Decimal = logfile.Comma }), "2026-04-14T06:30:00 1.23 70.00", "", ""},

		// Headers and units.
		{"German", "Datum;Uhrzeit;Temperatur [°C];rel. Feuchte [%]\n14.04.2026;06:30:00;12,5;70,1\n", utc, "2026-04-14T06:30:00 12.50 70.10", "day first", ""},
		{"French", "Date;Heure;Température (°C);Humidité (%)\n14/04/2026;06:30;12,5;70,1\n", utc, "2026-04-14T06:30:00 12.50 70.10", "day first", ""},
		{"Spanish", "Fecha y hora;Temperatura °C;Humedad relativa %\n14/04/2026 06:30;12,5;70,1\n", utc, "2026-04-14T06:30:00 12.50 70.10", "", ""},
		{"Italian", "Data;Ora;Temperatura (°C);Umidità (%)\n14/04/2026;06:30;12,5;70,1\n", utc, "2026-04-14T06:30:00 12.50 70.10", "", ""},
		{"Dutch", "Datum;Tijd;Temperatuur (°C);Vochtigheid (%)\n14-04-2026;06:30;12,5;70,1\n", utc, "2026-04-14T06:30:00 12.50 70.10", "", ""},
		{"star F", "Time,\"Temp, (*F)\",\"RH, (%)\"\n2026-04-14 06:30,68,70\n", utc, "2026-04-14T06:30:00 20.00 70.00", "; F; %", ""},
		{"bare F", "Time,Temperature F,RH %\n2026-04-14 06:30,68,70\n", utc, "2026-04-14T06:30:00 20.00 70.00", "; F; %", ""},
		{"bracketed F", "Time,Temp [F],RH\n2026-04-14 06:30,68,70\n", utc, "2026-04-14T06:30:00 20.00 70.00", "; F; %", ""},
		{"kelvin", "timestamp,T (K),RH\n2026-04-14 06:30,293.15,70\n", utc, "2026-04-14T06:30:00 20.00 70.00", "; K; %", ""},
		{"unit in the cell", "Time,Temp,RH\n2026-04-14 06:30,68 °F,70\n", utc, "2026-04-14T06:30:00 20.00 70.00", "; F; %", ""},
		{"unit assumed", "Time,Temp,RH\n2026-04-14 06:30,12.5,70\n", utc, "2026-04-14T06:30:00 12.50 70.00", "; C (not stated); %", ""},
		{"unit pinned", "Time,Temp,RH\n2026-04-14 06:30,68,0.7\n", with(func(o *logfile.Options) { o.TempUnit, o.HumidityUnit = logfile.Fahrenheit, logfile.FromZero }),
			"2026-04-14T06:30:00 20.00 70.00", "; F; fraction", ""},
		{"other columns", "Time,Temp C,Wet bulb (°C),Absolute humidity (g/m³),RH %,Dew point (°F)\n2026-04-14 06:30,20,16,12,70,57\n", utc, "2026-04-14T06:30:00 20.00 70.00", "", ""},
		{"column pinned by name", "Time,Temp air,Temp wall,RH\n2026-04-14 06:30,20,16,70\n", with(func(o *logfile.Options) { o.TempColumn = "temp  Wall" }), "2026-04-14T06:30:00 16.00 70.00", "", ""},
		{"column pinned by number", "Time,Temp,Temp,RH\n2026-04-14 06:30,20,16,70\n", with(func(o *logfile.Options) { o.TempColumn = "3" }), "2026-04-14T06:30:00 16.00 70.00", "", ""},
		{"time columns pinned", "Start,Date,Time,Time of upload,Temp,RH\nx,2026-04-14,06:30,07:00,20,70\n", with(func(o *logfile.Options) { o.TimeColumn = "Date + Time" }), "2026-04-14T06:30:00 20.00 70.00", "", ""},

		// Times.
		{"ISO", "time,temp,rh\n2026-04-14T06:30:00.250Z,12,70\n2026-04-14T08:45:00+0200,12,71\n2026-04-14T09:00:00+02,12,71\n20260414T091500+02:00,12,71\n", logfile.Options{},
			"2026-04-14T06:30:00.25 12.00 70.00 | 2026-04-14T06:45:00 12.00 71.00 | 2026-04-14T07:00:00 12.00 71.00 | 2026-04-14T07:15:00 12.00 71.00", "offsets in the times", ""},
		{"comma fraction", "time;temp;rh\n2026-04-14 06:30:00,250;12;70\n", utc, "2026-04-14T06:30:00.25 12.00 70.00", "", ""},
		{"AM and PM", "time,temp (F),rh\n4/14/26 12:05 AM,68,70\n4/14/26 11:05 a.m.,68,70\n4/14/26 12:05:10 PM,68,70\n4/14/26 1:05 p.\u00a0m.,68,70\n4/14/26 2 PM,68,70\n", utc,
			"2026-04-14T00:05:00 20.00 70.00 | 2026-04-14T11:05:00 20.00 70.00 | 2026-04-14T12:05:10 20.00 70.00 | 2026-04-14T13:05:00 20.00 70.00 | 2026-04-14T14:00:00 20.00 70.00", "month first", ""},
		{"24:00", "time,temp,rh\n2026-12-31 24:00,12,70\n", utc, "2027-01-01T00:00:00 12.00 70.00", "", ""},
		{"two-digit years", "time,temp,rh\n14.04.68 06:30,12,70\n", utc, "2068-04-14T06:30:00 12.00 70.00", "", ""},
		{"two-digit years of last century", "time,temp,rh\n14.04.69 06:30,12,70\n", utc, "1969-04-14T06:30:00 12.00 70.00", "", ""},
		{"Unix seconds", "epoch,temp,rh\n1776148200,12,70\n1776148200.5,12,71\n", logfile.Options{}, "2026-04-14T06:30:00 12.00 70.00 | 2026-04-14T06:30:00.5 12.00 71.00", "Unix seconds", ""},
		{"Unix milliseconds", "timestamp,temp,rh\n1776148200250,12,70\n", logfile.Options{}, "2026-04-14T06:30:00.25 12.00 70.00", "Unix milliseconds", ""},
		// 45000 is 2023-03-15 (any spreadsheet; from memory).
		{"spreadsheet days", "time,temp,rh\n45000.25,12,70\n45000.2708333333,12,71\n", utc, "2023-03-15T06:00:00 12.00 70.00 | 2023-03-15T06:30:00 12.00 71.00", "", ""},
		{"spreadsheet days with a comma", "time;temp;rh\n45000,25;12,5;70\n", utc, "2023-03-15T06:00:00 12.50 70.00", "decimal comma", ""},
		{"a comma between date and time", "time;temp;rh\n14/04/2026, 06:30;12,5;70\n", utc, "2026-04-14T06:30:00 12.50 70.00", "", ""},

		// The order of dates.
		{"a day over 12", "time,temp (C),rh\n04/03/2026 23:45,12,70\n04/13/2026 00:00,12,70\n", utc, "2026-04-03T23:45:00 12.00 70.00 | 2026-04-13T00:00:00 12.00 70.00", "month first", ""},
		{"a steady step, day first", "time,temp (C),rh\n03/04/2026 23:30,12,70\n03/04/2026 23:45,12,71\n04/04/2026 00:00,12,70\n", utc,
			"2026-04-03T23:30:00 12.00 70.00 | 2026-04-03T23:45:00 12.00 71.00 | 2026-04-04T00:00:00 12.00 70.00", "day first", ""},
		{"a steady step, month first", "time,temp (C),rh\n04/03/26 23:30,12,70\n04/03/26 23:45,12,71\n04/04/26 00:00,12,70\n", utc,
			"2026-04-03T23:30:00 12.00 70.00 | 2026-04-03T23:45:00 12.00 71.00 | 2026-04-04T00:00:00 12.00 70.00", "month first", ""},
		{"two-digit year first", "time,temp (C),rh\n26/04/03 23:30,12,70\n26/04/03 23:45,12,71\n26/04/04 00:00,12,70\n", utc,
			"2026-04-03T23:30:00 12.00 70.00 | 2026-04-03T23:45:00 12.00 71.00 | 2026-04-04T00:00:00 12.00 70.00", "year first", ""},
		{"order pinned", "time,temp (C),rh\n03/04/2026 06:30,12,70\n", with(func(o *logfile.Options) { o.DateOrder = logfile.DayFirst }), "2026-04-03T06:30:00 12.00 70.00", "day first", ""},

		// Zones.
		{"offset in the text first", "\"time, GMT+01:00\",temp,rh\n2026-04-14T06:30+02:00,12,70\n", utc, "2026-04-14T04:30:00 12.00 70.00", "; +02:00;", "not the header's +01:00"},
		{"offset in the header second", "\"time, GMT-07:00\",temp,rh\n2026-04-14 06:30,12,70\n", utc, "2026-04-14T13:30:00 12.00 70.00", "; -07:00;", ""},
		{"UTC in the header", "time (UTC),temp,rh\n2026-04-14 06:30,12,70\n", logfile.Options{SiteZone: berlin}, "2026-04-14T06:30:00 12.00 70.00", "; +00:00;", ""},
		{"the user's zone third", "time,temp,rh\n2026-04-14 06:30,12,70\n", logfile.Options{Zone: berlin, SiteZone: time.UTC}, "2026-04-14T04:30:00 12.00 70.00", "; Europe/Berlin;", ""},
		{"the place's zone last", "time,temp,rh\n2026-01-14 06:30,12,70\n", logfile.Options{SiteZone: berlin}, "2026-01-14T05:30:00 12.00 70.00", "; Europe/Berlin (the place's);", ""},
		{"a zone that agrees", "\"time, GMT+02:00\",temp,rh\n2026-04-14 06:30,12,70\n", logfile.Options{Zone: berlin}, "2026-04-14T04:30:00 12.00 70.00", "; +02:00;", ""},
		// Berlin 2026: clocks go back on 25 October at 01:00 UTC (IANA tzdata).
		{"the hour that comes twice", "time,temp,rh\n2026-10-25 01:30,12,70\n2026-10-25 02:00,12,71\n2026-10-25 02:30,12,72\n2026-10-25 02:00,12,73\n2026-10-25 02:30,12,74\n2026-10-25 03:00,12,75\n",
			logfile.Options{SiteZone: berlin},
			"2026-10-24T23:30:00 12.00 70.00 | 2026-10-25T00:00:00 12.00 71.00 | 2026-10-25T00:30:00 12.00 72.00 | 2026-10-25T01:00:00 12.00 73.00 | 2026-10-25T01:30:00 12.00 74.00 | 2026-10-25T02:00:00 12.00 75.00", "", ""},
		{"the same, newest first", "time,temp,rh\n2026-10-25 03:00,12,75\n2026-10-25 02:30,12,74\n2026-10-25 02:00,12,73\n2026-10-25 02:30,12,72\n2026-10-25 02:00,12,71\n2026-10-25 01:30,12,70\n",
			logfile.Options{SiteZone: berlin},
			"2026-10-24T23:30:00 12.00 70.00 | 2026-10-25T00:00:00 12.00 71.00 | 2026-10-25T00:30:00 12.00 72.00 | 2026-10-25T01:00:00 12.00 73.00 | 2026-10-25T01:30:00 12.00 74.00 | 2026-10-25T02:00:00 12.00 75.00", "", "newest reading stood first"},
		{"the hour left out, with an offset", "time,temp,rh\n2026-03-29 02:30+01:00,12,70\n", logfile.Options{SiteZone: berlin}, "2026-03-29T01:30:00 12.00 70.00", "", ""},
		{"no hour left out at 3", "time,temp,rh\n2026-03-29 01:59,12,70\n2026-03-29 03:00,12,70\n", logfile.Options{SiteZone: berlin}, "2026-03-29T00:59:00 12.00 70.00 | 2026-03-29T01:00:00 12.00 70.00", "", ""},

		// The series.
		{"parts out of order", plainFile + "2026-04-14 06:15,12.4,69\n2026-04-14 06:30,12.5,70\n", utc, "2026-04-14T06:15:00 12.40 69.00 | " + plainRead, "read 3 rows", "1 reading dropped that stood there twice"},
		{"a wet sensor", "time,temp,rh\n2026-04-14 06:30,12.5,104.9\n", utc, "2026-04-14T06:30:00 12.50 100.00", "", "1 reading above 100 % (up to 104.9)"},
		{"a jump over hours", "time,temp,rh\n2026-04-14 06:30,2,70\n2026-04-14 09:30,14,70\n", utc, "2026-04-14T06:30:00 2.00 70.00 | 2026-04-14T09:30:00 14.00 70.00", "", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			res, err := read(tc.content, tc.o)
			if err != nil {
				t.Fatal(err)
			}
			if got := say(res.Series); got != tc.want {
				t.Errorf("read  %s\nwant %s", got, tc.want)
			}
			if got := res.Decided.String(); !strings.Contains(got, tc.decided) {
				t.Errorf("decided %q, want %q in it", got, tc.decided)
			}
			if got := strings.Join(res.Notes, "\n"); !strings.Contains(got, tc.note) {
				t.Errorf("notes %q, want %q in them", got, tc.note)
			}
			// What was decided can be pinned.
			pins := res.Decided.Pins()
			pins.SiteZone = tc.o.SiteZone
			if again, err := read(tc.content, pins); err != nil || say(again.Series) != tc.want {
				t.Errorf("with its own pins %+v: %v %s", pins, err, say(again.Series))
			}
		})
	}
}

// rows makes a file of n readings, step apart, from what line writes.
func rows(head string, n int, step time.Duration, line func(i int, at time.Time) string) string {
	var b strings.Builder
	b.WriteString(head + "\n")
	at := time.Date(2026, 4, 14, 6, 0, 0, 0, time.UTC)
	for i := range n {
		b.WriteString(line(i, at.Add(time.Duration(i)*step)) + "\n")
	}
	return b.String()
}

// What is refused, as what kind of fault, and where.
func TestRefuses(t *testing.T) {
	const (
		plainError = "error"
		ambiguous  = "ambiguous"
		pin        = "pin"
		stuck      = "stuck"
	)
	berlin := zone(t, "Europe/Berlin")
	still := func(rh string, hours int) string {
		return rows("time,temp,rh", hours*4+1, 15*time.Minute, func(_ int, at time.Time) string { return at.Format("2006-01-02 15:04") + ",8.5," + rh })
	}
	with := func(f func(*logfile.Options)) logfile.Options {
		o := utc
		f(&o)
		return o
	}
	for _, tc := range []struct {
		name, content string
		o             logfile.Options
		kind, where   string
		says          string         // contained
		option        logfile.Option // of ambiguous and pin
	}{
		{"empty", "", utc, plainError, "hall.csv", "is empty", ""},
		{"UTF-16 without a mark", utf16(unicode.LittleEndian, plainFile)[2:], utc, plainError, "hall.csv:1", "UTF-16", ""},
		{"workbook", "PK\x03\x04....", utc, plainError, "hall.csv", "workbook", ""},
		{"no header", "2026-04-14 06:30,12.5,70\n", utc, plainError, "hall.csv", "no header", ""},
		{"header too late", strings.Repeat("x\n", 31) + plainFile, utc, plainError, "hall.csv", "no header", ""},
		{"no humidity", "time,temp\n2026-04-14 06:30,12.5\n", utc, plainError, "hall.csv", "no header", ""},
		{"absolute humidity", "time,temp,humidity (g/m³)\n2026-04-14 06:30,12.5,9\n", utc, plainError, "hall.csv", "no header", ""},
		{"no readings", "time,temp,rh\n2026-04-14 06:30, , \n", utc, plainError, "hall.csv:1", "no readings", ""},
		{"nothing known", "time,temp,rh\n2026-04-14 06:30,NaN,70\n", utc, plainError, "hall.csv:1", "no row holds both", ""},
		{"open quote", "time,temp,rh\n\"2026-04-14 06:30,12,70\n" + strings.Repeat("2026-04-14 06:30,12,70\n", 20), utc, plainError, "hall.csv:2", "quote", ""},
		{"decimal commas between commas", "time,temp,rh\n2026-04-14 06:30,12,5,70,0\n", utc, plainError, "hall.csv:2:23", "under no name", ""},
		{"a decimal comma before an empty cell", plainFile + "2026-04-14 07:00,12,5,\n", utc, plainError, "hall.csv:4", "has 4 cells", ""},
		{"a cell too narrow", plainFile + "########,12.7,72\n", utc, plainError, "hall.csv:4:1", "########", ""},
		{"a text for a number", "Zeit;Temp (°C);Feuchte\nä;;\n2026-04-14 06:30;warm;70\n", utc, plainError, "hall.csv:3:18", "warm", ""},
		{"a number in another unit", "time,temp (°F),rh\n2026-04-14 06:30,20 °C,70\n", utc, plainError, "hall.csv:2:18", "20 °C", ""},
		{"marks mixed in a column", "time;temp;rh\n2026-04-14 06:30;12,5;70\n2026-04-14 06:45;12,6;70\n2026-04-14 07:00;12.5;70\n", utc, plainError, "hall.csv:4:18", "12.5", ""},
		{"marks mixed in a file", "time;temp;rh\n2026-04-14 06:30;12,5;70.5\n", utc, plainError, "hall.csv:2:23", "humidity has a decimal point", ""},
		{"no time", "time,temp,rh\n2026-04-14 06:30,12,70\nyesterday,12,70\n", utc, plainError, "hall.csv:3:1", "yesterday", ""},
		{"no time of day", "time,temp,rh\n2026-04-14,12,70\n", utc, plainError, "hall.csv:2:1", "no time of day", ""},
		{"no such time", "time,temp,rh\n2026-04-14 24:01,12,70\n", utc, plainError, "hall.csv:2:1", "no such time", ""},
		{"13 PM", "time,temp,rh\n2026-04-14 13:00 PM,12,70\n", utc, plainError, "hall.csv:2:1", "1 to 12", ""},
		{"no such date", "time,temp,rh\n2026-02-29 06:30,12,70\n", utc, plainError, "hall.csv:2:1", "no such date", ""},
		{"no order fits", "time,temp,rh\n13/01/2026 06:30,12,70\n01/13/2026 06:30,12,70\n", utc, plainError, "hall.csv:3:1", "no such date", ""},
		{"two ways of writing times", "time,temp,rh\n2026-04-14 06:30,12,70\n14/04/2026 06:45,12,70\n", utc, plainError, "hall.csv:3:1", "year last", ""},
		{"zones in words", "time,temp,rh\n2026-04-14 06:30 CET,12,70\n", utc, plainError, "hall.csv:2:1", "CET", ""},
		{"some offsets", "time,temp,rh\n2026-04-14 06:30Z,12,70\n2026-04-14 06:45,12,70\n", utc, plainError, "hall.csv:3:1", "states no offset", ""},
		{"an hour that does not exist", "time,temp,rh\n2026-03-29 01:30,12,70\n2026-03-29 02:30,12,70\n", logfile.Options{SiteZone: berlin}, plainError, "hall.csv:3:1", "02:30 does not exist on 2026-03-29", ""},
		{"too hot", "time,temp (C),rh\n2026-04-14 06:30,60.1,70\n", utc, plainError, "hall.csv:2:18", "60.1", ""},
		{"too cold", "time,temp (C),rh\n2026-04-14 06:30,-40.1,70\n", utc, plainError, "hall.csv:2:18", "-40.1", ""},
		{"too wet", "time,temp (C),rh\n2026-04-14 06:30,12,105.1\n", utc, plainError, "hall.csv:2:21", "105.1", ""},
		{"too dry", "time,temp (C),rh\n2026-04-14 06:30,12,0.5\n2026-04-14 06:45,12,50\n", utc, plainError, "hall.csv:2:21", "0.5", ""},
		{"dew point above", "time,temp (C),rh,dew point\n2026-04-14 06:30,12,70,12.6\n", utc, plainError, "hall.csv:2:24", "dew point", ""},
		{"a jump", "time,temp (C),rh\n2026-04-14 06:30,2,70\n2026-04-14 06:45,12.1,70\n", utc, plainError, "hall.csv:3:18", "jumps by 10.1 K in 15 min", ""},
		{"conflict", "time,temp (C),rh\n2026-04-14 06:30,12,70\n2026-04-14 06:30,12.1,70\n", utc, plainError, "hall.csv:3:1", "time of line 2", ""},
		{"clock put back", "time,temp (C),rh\n2026-04-14 06:00,12,70\n2026-04-14 06:15,12,70\n2026-04-14 06:30,12,70\n2026-04-14 06:08,12,70\n2026-04-14 06:23,12,70\n", utc, plainError, "hall.csv:5:1", "clock was put back", ""},
		{"gaps", rows("time,temp,rh", 18, 15*time.Minute, func(i int, at time.Time) string {
			if i > 12 {
				at = at.Add(30 * time.Minute) // 2 of 20 readings
			}
			return at.Format("2006-01-02 15:04") + ",12,70"
		}) + "2026-04-14 11:15,12,70\n", utc, plainError, "hall.csv", "% of the readings are missing", ""},

		{"stuck", still("97", 12), utc, stuck, "hall.csv:2:22", "8.5 C and 97.0 % without a change for 12 h, from line 2 to line 50", ""},
		{"stuck above 100", still("103", 12), utc, stuck, "hall.csv:2:22", "stuck", ""},

		{"1,234 alone", "time;temp;rh\n2026-04-14 06:30;1,234;70\n", utc, ambiguous, "hall.csv:2:18", "1234 (decimal point) or 1.234 (decimal comma)", logfile.OptDecimal},
		{"1,234 alone in quotes", "time,temp,rh\n2026-04-14 06:30,\"1,234\",70\n", utc, ambiguous, "hall.csv:2:18", "1234 (decimal point) or 1.234 (decimal comma)", logfile.OptDecimal},
		{"a date in both orders", "time,temp (C),rh\n03/04/2026 06:30,12,70\n03/04/2026 06:45,12,70\n03/04/2026 07:00,12,70\n", utc, ambiguous, "hall.csv:2:1", "3 April 2026 (day first) or 4 March 2026 (month first)", logfile.OptDateOrder},
		{"no zone", plainFile, logfile.Options{}, ambiguous, "hall.csv:2:1", "zone", logfile.OptZone},
		{"a zone in letters", "Time (CST),temp,rh\n2026-04-14 06:30,12,70\n", utc, ambiguous, "hall.csv:1", "CST", logfile.OptZone},
		{"one pass of the hour that comes twice", "time,temp,rh\n2026-10-25 01:30,12,70\n2026-10-25 02:00,12,70\n2026-10-25 02:30,12,70\n2026-10-25 03:00,12,70\n", logfile.Options{SiteZone: berlin}, ambiguous, "hall.csv:3:1", "at +02:00 or at +01:00", logfile.OptZone},
		{"a broken pass", "time,temp,rh\n2026-10-25 01:45,12,70\n2026-10-25 02:00,12,70\n2026-10-25 02:00,12,70\n2026-10-25 02:15,12,70\n2026-10-25 02:30,12,70\n2026-10-25 02:45,12,70\n", logfile.Options{SiteZone: berlin}, ambiguous, "hall.csv:3:1", "which 02:00", logfile.OptZone},
		{"two temperatures", "Time,Temp air,Temp wall,RH\n2026-04-14 06:30,20,16,70\n", utc, ambiguous, "hall.csv:1", "\"Temp air\" or \"Temp wall\"", logfile.OptTempColumn},
		{"two humidities", "Time,Temp,RH in,RH out\n2026-04-14 06:30,20,16,70\n", utc, ambiguous, "hall.csv:1", "\"RH in\" or \"RH out\"", logfile.OptHumidityColumn},
		{"two times", "Timestamp,Unix,Temp,RH\n2026-04-14 06:30,1776148200,20,70\n", utc, ambiguous, "hall.csv:1", "\"Timestamp\" or \"Unix\"", logfile.OptTimeColumn},
		{"no unit and above 45", "Time,Temp,RH\n2026-04-14 06:30,45.1,70\n", utc, ambiguous, "hall.csv:2:18", "45.1 C or 45.1 F", logfile.OptTempUnit},
		{"no unit and American dates", "Time,Temp,RH\n04/14/2026 06:30,41,70\n", utc, ambiguous, "hall.csv:1", "United States", logfile.OptTempUnit},
		{"two units", "Time,Temp °C/°F,RH\n2026-04-14 06:30,20,70\n", utc, ambiguous, "hall.csv:1", "unit", logfile.OptTempUnit},
		{"a fraction", "Time,Temp (C),RH\n2026-04-14 06:30,20,0.72\n", utc, ambiguous, "hall.csv:2:21", "0.72 % or 0.72 as a fraction, 72 %", logfile.OptHumidityUnit},

		{"pinned delimiter", plainFile, with(func(o *logfile.Options) { o.Delimiter = ';' }), pin, "hall.csv", "can only be read with comma", logfile.OptDelimiter},
		{"pinned delimiter and sep line", "sep=,\n" + plainFile, with(func(o *logfile.Options) { o.Delimiter = ';' }), pin, "hall.csv:1", "says comma", logfile.OptDelimiter},
		{"no delimiter", plainFile, with(func(o *logfile.Options) { o.Delimiter = ':' }), pin, "hall.csv", "comma, semicolon, tab and bar", logfile.OptDelimiter},
		{"pinned decimal", plainFile, with(func(o *logfile.Options) { o.Decimal = logfile.Comma }), pin, "hall.csv:2:18", "decimal point", logfile.OptDecimal},
		{"pinned order", "time,temp (C),rh\n14/04/2026 06:30,12,70\n", with(func(o *logfile.Options) { o.DateOrder = logfile.MonthFirst }), pin, "hall.csv:2:1", "14/04/2026", logfile.OptDateOrder},
		{"pinned order of ISO dates", plainFile, with(func(o *logfile.Options) { o.DateOrder = logfile.DayFirst }), pin, "hall.csv:2:1", "2026-04-14", logfile.OptDateOrder},
		{"pinned order of numbers", "epoch,temp,rh\n1776148200,12,70\n", with(func(o *logfile.Options) { o.DateOrder = logfile.DayFirst }), pin, "hall.csv:2:1", "Unix seconds", logfile.OptDateOrder},
		{"pinned zone and header", "\"time, GMT+02:00\",temp,rh\n2026-01-14 06:30,12,70\n", logfile.Options{Zone: berlin}, pin, "hall.csv:2:1", "states +02:00, where that zone had +01:00", logfile.OptZone},
		{"pinned zone and text", "time,temp,rh\n2026-01-14T06:30Z,12,70\n", logfile.Options{Zone: berlin}, pin, "hall.csv:2:1", "states +00:00, where that zone had +01:00", logfile.OptZone},
		{"pinned unit", plainFile, with(func(o *logfile.Options) { o.TempUnit = logfile.Fahrenheit }), pin, "hall.csv:1", "states C", logfile.OptTempUnit},
		{"pinned fraction", plainFile, with(func(o *logfile.Options) { o.HumidityUnit = logfile.FromZero }), pin, "hall.csv:3:23", "above 1", logfile.OptHumidityUnit},
		{"pinned column", plainFile, with(func(o *logfile.Options) { o.TempColumn = "wall" }), pin, "hall.csv:1", "\"temp_c\"", logfile.OptTempColumn},
		{"a pin that means nothing", plainFile, with(func(o *logfile.Options) { o.DateOrder = "dmy" }), pin, "hall.csv", "day, month or year", logfile.OptDateOrder},
	} {
		t.Run(tc.name, func(t *testing.T) {
			res, err := read(tc.content, tc.o)
			if err == nil {
				t.Fatalf("was read: %s: %s", res.Decided, say(res.Series))
			}
			var f logfile.Fault
			if !errors.As(err, &f) {
				t.Fatalf("%v is no Fault", err)
			}
			kind, option := "", logfile.Option("")
			switch e := err.(type) {
			case *logfile.Error:
				kind = plainError
			case *logfile.AmbiguityError:
				kind, option = ambiguous, e.Option
			case *logfile.PinError:
				kind, option = pin, e.Option
			case *logfile.StuckError:
				kind = stuck
			}
			if kind != tc.kind || option != tc.option {
				t.Errorf("%s %q: %v; want %s %q", kind, option, err, tc.kind, tc.option)
			}
			if got := f.Place().String(); got != tc.where {
				t.Errorf("at %s, want %s: %v", got, tc.where, err)
			}
			if !strings.Contains(f.Says(), tc.says) {
				t.Errorf("says %q, want %q in it", f.Says(), tc.says)
			}
			if f.Expected() == "" || strings.Contains(err.Error(), "\n") {
				t.Errorf("%q", err)
			}
		})
	}
}

// What stands still may be right: in dry air, for a shorter time, or with one of
// the two values moving.
func TestNotStuck(t *testing.T) {
	for name, content := range map[string]string{
		"dry":   rows("time,temp,rh", 60, 15*time.Minute, func(_ int, at time.Time) string { return at.Format("2006-01-02 15:04") + ",8.5,94.9" }),
		"short": rows("time,temp,rh", 48, 15*time.Minute, func(_ int, at time.Time) string { return at.Format("2006-01-02 15:04") + ",8.5,99" }),
		"fog": rows("time,temp,rh", 60, 15*time.Minute, func(i int, at time.Time) string {
			return fmt.Sprintf("%s,%.1f,100", at.Format("2006-01-02 15:04"), 8+0.1*float64(i%2))
		}),
	} {
		if _, err := read(content, utc); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestSizeCap(t *testing.T) {
	line := strings.Repeat(" ", 1023) + "\n"
	big := io.LimitReader(io.MultiReader(strings.NewReader(plainFile), &repeat{text: line}), logfile.MaxSize+1)
	_, err := logfile.Read("big.csv", big, utc)
	var f *logfile.Error
	if !errors.As(err, &f) || !strings.Contains(err.Error(), "32 MiB") {
		t.Errorf("%v", err)
	}
}

type repeat struct{ text string }

func (r *repeat) Read(p []byte) (int, error) { return copy(p, r.text), nil }

func TestReaderFails(t *testing.T) {
	broken := errors.New("cable pulled")
	_, err := logfile.Read("hall.csv", io.MultiReader(strings.NewReader(plainFile), iotest.ErrReader(broken)), utc)
	var f logfile.Fault
	if !errors.Is(err, broken) || errors.As(err, &f) {
		t.Errorf("%v", err)
	}
}

// A reader that gives a byte at a time changes nothing.
func TestSmallReads(t *testing.T) {
	res, err := logfile.Read("hall.csv", iotest.OneByteReader(bytes.NewBufferString(plainFile)), utc)
	if err != nil || say(res.Series) != plainRead {
		t.Errorf("%v %s", err, say(res.Series))
	}
}
