package logfile_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/weather/logfile"
)

// A last row without a line end: kept where nothing more can have stood there.
func TestLastRowWithoutEnd(t *testing.T) {
	head := "time,temp_c,rh_pct\n"
	for _, tc := range []struct {
		name, content string
		rows          int
		note          string // of the last row; empty: none
	}{
		{"as many decimals", head + "2026-04-14 06:30,12.5,65.61\n2026-04-14 06:45,12.5,65.58", 2, ""},
		{"a decimal less", head + "2026-04-14 06:30,12.5,65.61\n2026-04-14 06:45,12.5,65.5", 1, "line 3 has no line end and may be cut short at \"65.5\""},
		{"cut at the mark", head + "2026-04-14 06:30,12.5,65.61\n2026-04-14 06:45,12.5,65.", 1, "line 3"},
		{"65.58 as 6", head + "2026-04-14 06:30,12.5,65.61\n2026-04-14 06:45,12.5,6", 1, "line 3"},
		{"nothing of it", head + "2026-04-14 06:30,12.5,65.61\n2026-04-14 06:45,12.5,", 1, "line 3 is cut short"},
		{"a cell less", head + "2026-04-14 06:30,12.5,65.61\n2026-04-14 06:45,12.5", 1, "line 3 is cut short"},
		{"whole number, near", head + "2026-04-14 06:30,12.5,65\n2026-04-14 06:45,12.5,66", 2, ""},
		{"whole number, 100", head + "2026-04-14 06:30,12.5,99\n2026-04-14 06:45,12.5,100", 2, ""},
		{"100 as 10", head + "2026-04-14 06:30,12.5,100\n2026-04-14 06:45,12.5,10", 1, "line 3"},
		{"66 as 6", head + "2026-04-14 06:30,12.5,65\n2026-04-14 06:45,12.5,6", 1, "line 3"},
		{"6 after 6", head + "2026-04-14 06:30,12.5,6\n2026-04-14 06:45,12.5,6", 2, ""},
		{"minus twelve as minus one", "time,rh,temp_c\n2026-04-14 06:30,65,-12\n2026-04-14 06:45,65,-1", 1, "line 3"},
		{"minus twelve as minus", "time,rh,temp_c\n2026-04-14 06:30,65,-12\n2026-04-14 06:45,65,-", 1, "line 3"},
		{"minus one", "time,rh,temp_c\n2026-04-14 06:30,65,0\n2026-04-14 06:45,65,-1", 2, ""},
		{"the unit is gone", "time,temp,rh\n2026-04-14 06:30,12 °C,65 %\n2026-04-14 06:45,12 °C,65", 1, "line 3"},
		{"the unit is there", "time,temp,rh\n2026-04-14 06:30,12 °C,65 %\n2026-04-14 06:45,12 °C,65 %", 2, ""},
		{"half a character", "time,rh,temp\n2026-04-14 06:30,65,12 °C\n2026-04-14 06:45,65,12 \xc2", 1, "line 3"},
		{"the quote is closed", head + "2026-04-14 06:30,12.5,\"65.61\"\n2026-04-14 06:45,12.5,\"65.5\"", 2, ""},
		{"the quote is open", head + "2026-04-14 06:30,12.5,\"65.61\"\n2026-04-14 06:45,12.5,\"65.5", 1, "line 3"},
		{"another column behind", "time,temp_c,rh,battery\n2026-04-14 06:30,12.5,65.61,3.71\n2026-04-14 06:45,12.5,65.58,3", 2, ""},
		{"another column is missing", "time,temp_c,rh,battery\n2026-04-14 06:30,12.5,65,3.71\n2026-04-14 06:45,12.5,65", 1, "line 3 is cut short"},
		{"a delimiter behind is missing", head + "2026-04-14 06:30,12.5,65,\n2026-04-14 06:45,12.5,65", 1, "line 3 is cut short"},
		{"a time cut", "temp_c,rh,time\n12.5,65,2026-04-14 06:30:00\n12.5,65,2026-04-14 06:45", 1, "line 3 is cut short"},
		{"a time whole", "temp_c,rh,time\n12.5,65,2026-04-14 06:30:00\n12.5,65,2026-04-14 06:45:00", 2, ""},
		{"Unix seconds cut", "temp_c,rh,epoch\n12.5,65,1776148200\n12.5,65,177614910", 1, "line 3 is cut short"},
		{"a row alone", head + "2026-04-14 06:30,12.5,65", 1, "line 2 has no line end, and no other row shows whether it is whole"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			res, err := read(tc.content, utc)
			if err != nil {
				t.Fatal(err)
			}
			if len(res.Series.Records) != tc.rows {
				t.Errorf("read %s", say(res.Series))
			}
			if got := strings.Join(res.Notes, "\n"); !strings.Contains(got, tc.note) || tc.note == "" && got != "" {
				t.Errorf("notes %q, want %q", got, tc.note)
			}
			// With its end, and in another kind of it, the row is whole.
			if tc.note != "" {
				return
			}
			for _, end := range []string{"\n", "\r\n", "\r"} {
				if ended, err := read(tc.content+end, utc); err != nil || say(ended.Series) != say(res.Series) {
					t.Errorf("with %q behind: %v %s, want %s", end, err, say(ended.Series), say(res.Series))
				}
			}
		})
	}
}

// A dew point that is cut off checks nothing: -1 may be -12.
func TestDewPointCut(t *testing.T) {
	const content = "time,temp_c,rh,dew point\n2026-04-14 06:30,-10.0,65,-12.5\n2026-04-14 06:45,-10.0,65,-1"
	if res, err := read(content, utc); err != nil || len(res.Series.Records) != 2 {
		t.Errorf("%v %s", err, say(res.Series))
	}
	if _, err := read(content+"\n", utc); err == nil || !strings.Contains(err.Error(), "dew point") {
		t.Errorf("whole: %v", err)
	}
}

// Wherever a file is cut off, what is read of it is the rows before, and no row
// that does not stand in it. Its last row, when whole, is read with a line end
// and without.
func TestCutAnywhere(t *testing.T) {
	var kept, left int
	rapid.Check(t, func(t *rapid.T) {
		d := drawDialect(t)
		d.order, d.newestFirst, d.decimal = "2006-01-02", false, "."
		if d.encoding != "bom" {
			d.encoding = "utf8"
		}
		step := time.Duration(rapid.SampledFrom([]int{1, 15, 60}).Draw(t, "minutes")) * time.Minute
		rows := drawRows(t, time.Unix(rapid.Int64Range(946684800, 1893456000).Draw(t, "start"), 0).UTC(), step, 12)
		if len(rows) < 4 || len(rows[0].temp)-strings.IndexByte(rows[0].temp, '.') == 4 {
			return // three decimals are asked about
		}
		content := d.write(rows, time.UTC)
		// From behind the third row on.
		line := func(n int) int {
			lines := strings.SplitAfter(strings.NewReplacer("\r\n", " \n", "\r", "\n").Replace(content), "\n")
			return len(strings.Join(lines[:n], ""))
		}
		first := 4
		if d.preamble {
			first = 6
		}
		cut := rapid.IntRange(line(first), len(content)).Draw(t, "cut")
		if rapid.Bool().Draw(t, "at the end of a row") {
			cut = line(rapid.IntRange(first, first+len(rows)-3).Draw(t, "row"))
			cut = len(strings.TrimRight(content[:cut], "\r\n"))
		}
		res, err := logfile.Read("x.csv", strings.NewReader(content[:cut]), utc)
		if err != nil {
			t.Fatalf("cut at %d: %v\n%q", cut, err, content[:cut])
		}
		n := len(res.Series.Records)
		same(t, res, rows[:n], content[:cut])
		ended := strings.Count(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(content[:cut]), "\n") - first + 3
		if n < ended || n > ended+1 {
			t.Fatalf("%d rows of %d with an end\n%q", n, ended, content[:cut])
		}
		if whole := strings.TrimRight(content, "\r\n"); n == ended {
			left++
		} else if kept++; cut < len(whole) && !strings.ContainsAny(content[cut:cut+1], "\r\n\"") {
			t.Fatalf("a row cut short was kept\n%q", content[:cut])
		}
		// The whole file without its last line end.
		res, err = logfile.Read("x.csv", strings.NewReader(strings.TrimRight(content, "\r\n")), utc)
		if err != nil {
			t.Fatal(err)
		}
		same(t, res, rows, content)
	})
	if kept == 0 || left == 0 {
		t.Errorf("%d last rows kept, %d left out: the property says nothing", kept, left)
	}
	t.Logf("%d last rows kept, %d left out", kept, left)
}

// Readings after the moment asked do not refuse an answer about it.
func TestJudgedUpToTheMoment(t *testing.T) {
	at := func(h int) time.Time {
		return time.Date(2026, 4, 14, 6, 0, 0, 0, time.UTC).Add(time.Duration(h) * time.Hour)
	}
	// Hours of readings that move, but for those of a fault.
	file := func(n int, fault func(i int, at time.Time) (string, bool)) string {
		return rows("time,temp (C),rh", n, time.Hour, func(i int, at time.Time) string {
			if s, ok := fault(i, at); ok {
				return s
			}
			return fmt.Sprintf("%s,%.1f,%d", at.Format("2006-01-02 15:04"), 10+0.1*float64(i%5), 70+i%3)
		})
	}
	line := func(i int, at time.Time, from, to int, values string) (string, bool) {
		return at.Format("2006-01-02 15:04") + "," + values, i >= from && i < to
	}
	stuck := file(24*24, func(i int, at time.Time) (string, bool) { return line(i, at, 21*24, 22*24, "8.5,99") })
	for _, tc := range []struct {
		name, content string
		at            time.Time
		refused, note string
		last          int // hours; of what is left
	}{
		{"stuck three weeks later", stuck, at(30), "", "the rows from line 506 on, later than the moment asked, are left out: the sensor is stuck", 21*24 - 1},
		{"stuck before", stuck, at(23 * 24), "the sensor is stuck", "", 0},
		{"stuck for twelve hours by now", stuck, at(21*24 + 12), "the sensor is stuck", "", 0},
		{"stuck for eleven hours by now", stuck, at(21*24 + 11), "", "the rows from line 518 on", 21*24 + 11},
		{"stuck, and nothing asked", stuck, time.Time{}, "the sensor is stuck", "", 0},
		{"a jump later", file(48, func(i int, at time.Time) (string, bool) { return line(i, at, 40, 41, "30.0,70") }), at(39), "", "from line 42 on, later than the moment asked, are left out: the temperature jumps", 39},
		{"a jump by now", file(48, func(i int, at time.Time) (string, bool) { return line(i, at, 40, 41, "30.0,70") }), at(40), "jumps by", "", 0},
		{"too hot later", file(48, func(i int, at time.Time) (string, bool) { return line(i, at, 40, 48, "61.0,70") }), at(30), "", "from line 42 on, later than the moment asked, are left out: the temperature is 61.0 C", 39},
		{"too hot by now", file(48, func(i int, at time.Time) (string, bool) { return line(i, at, 40, 48, "61.0,70") }), at(41), "the temperature is 61.0 C", "", 0},
		{"too hot, all later", file(48, func(i int, at time.Time) (string, bool) { return line(i, at, 0, 48, "61.0,70") }), at(-3), "the temperature is 61.0 C", "", 0},
		{"gaps later", strings.ReplaceAll(file(24, func(int, time.Time) (string, bool) { return "", false }), "2026-04-15 05", "2026-04-22 05"), at(12), "", "no readings for", 23 + 7*24},
		{"gaps by now", strings.ReplaceAll(file(24, func(int, time.Time) (string, bool) { return "", false }), "2026-04-15 05", "2026-04-22 05"), at(300), "of the readings are missing", "", 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			o := utc
			o.At = tc.at
			res, err := read(tc.content, o)
			if tc.refused != "" {
				if err == nil || !strings.Contains(err.Error(), tc.refused) {
					t.Fatalf("%v, want %q", err, tc.refused)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if got := strings.Join(res.Notes, "\n"); !strings.Contains(got, tc.note) {
				t.Errorf("notes %q, want %q", got, tc.note)
			}
			if last := res.Series.Records[len(res.Series.Records)-1].Time; !last.Equal(at(tc.last)) {
				t.Errorf("the last left is of %v, want %v", last, at(tc.last))
			}
			// What was known by the moment is that of the file cut off there.
			n := 1
			for _, l := range strings.Split(tc.content, "\n")[1:] {
				if l == "" || l[:16] > tc.at.Format("2006-01-02 15:04") {
					break
				}
				n++
			}
			short, err := read(strings.Join(strings.SplitAfter(tc.content, "\n")[:n], ""), o)
			if err != nil {
				t.Fatal(err)
			}
			known, _ := res.Series.Before(tc.at)
			if say(known) != say(short.Series) {
				t.Errorf("known by then:\n%s\nof the file cut off then:\n%s", say(known), say(short.Series))
			}
		})
	}
}
