package logfile_test

import (
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/psychro"
	"limeday/weather/logfile"
)

// quick is what a logger read, several times a minute.
type quick struct {
	at       time.Time
	temp, rh float64 // as they are written
}

// walk is n readings, a step apart.
func walk(n int, step time.Duration) []quick {
	out := make([]quick, n)
	at := time.Date(2026, 4, 14, 6, 0, 0, 0, time.UTC)
	for i := range out {
		out[i] = quick{at.Add(time.Duration(i) * step), 12 + 0.1*float64(i%7) + float64(i%1000)/500, 60 + float64(i%900)/100}
		out[i].temp, out[i].rh = round2(out[i].temp), round2(out[i].rh)
	}
	return out
}

func round2(x float64) float64 { return math.Round(100*x) / 100 }

// mean is what a minute of readings should say: the mean of temperature and of
// vapour pressure, at the time of the last.
type mean struct {
	at           time.Time
	temp, vapour float64
}

func means(all []quick) (out []mean) {
	var n float64
	for i, r := range all {
		ends := func(t time.Time) time.Time { return t.Add(time.Minute - 1).Truncate(time.Minute) }
		if i == 0 || !ends(r.at).Equal(ends(all[i-1].at)) {
			out, n = append(out, mean{}), 0
		}
		m := &out[len(out)-1]
		n++
		m.at = r.at
		m.temp += (r.temp - m.temp) / n
		m.vapour += (r.rh/100*float64(psychro.SaturationWater(psychro.Celsius(r.temp))) - m.vapour) / n
	}
	return out
}

func quickFile(head string, all []quick, layout string) string {
	var b strings.Builder
	b.WriteString(head + "\n")
	for _, r := range all {
		when := r.at.Format(layout)
		if layout == "ms" {
			when = strconv.FormatInt(r.at.UnixMilli(), 10)
		}
		fmt.Fprintf(&b, "%s,%.2f,%.2f\n", when, r.temp, r.rh)
	}
	return b.String()
}

func fast(t interface {
	Helper()
	Fatalf(string, ...any)
}, res logfile.Result, want []mean) {
	t.Helper()
	if len(res.Series.Records) != len(want) {
		t.Fatalf("%d records, want %d: %v", len(res.Series.Records), len(want), res.Notes)
	}
	for i, r := range res.Series.Records {
		if w := want[i]; !r.Time.Equal(w.at) || math.Abs(r.Temperature.V-w.temp) > 1e-9 || math.Abs(r.Vapour.V-w.vapour) > 1e-6 {
			t.Fatalf("record %d: %v %.6f %.6f, want %v", i, r.Time, r.Temperature.V, r.Vapour.V, w)
		}
	}
}

// Readings several times a minute are averaged, however their times are written.
func TestAveraged(t *testing.T) {
	const head = "time,temp (°C),rh"
	tenth := walk(3600*10, 100*time.Millisecond)
	for name, tc := range map[string]struct {
		content string
		want    []mean
		note    string
	}{
		"ten a second":    {quickFile(head, tenth, "2006-01-02 15:04:05.0"), means(tenth), "the logger read every 0.1 s: averaged to the minute, 61 means of 36000 readings"},
		"in milliseconds": {quickFile(head, tenth, "ms"), means(tenth), "every 0.1 s"},
		"every ten seconds": {quickFile(head, walk(2000, 10*time.Second), "2006-01-02T15:04:05Z07:00"),
			means(walk(2000, 10*time.Second)), "every 10 s"},
		"twice a minute": {quickFile(head, walk(2000, 30*time.Second), "02/01/2006 15:04:05"), means(walk(2000, 30*time.Second)), "every 30 s"},
	} {
		t.Run(name, func(t *testing.T) {
			o := utc
			if strings.Contains(tc.content[:40], "/") {
				o.DateOrder = logfile.DayFirst
			}
			res, err := read(tc.content, o)
			if err != nil {
				t.Fatal(err)
			}
			fast(t, res, tc.want)
			if got := strings.Join(res.Notes, "\n"); !strings.Contains(got, tc.note) {
				t.Errorf("notes %q, want %q", got, tc.note)
			}
			if res.Series.Step() != time.Minute {
				t.Errorf("a step of %v", res.Series.Step())
			}
			pins := res.Decided.Pins()
			again, err := read(tc.content, pins)
			if err != nil {
				t.Fatal(err)
			}
			fast(t, again, tc.want)
			// Newest first it says the same.
			lines := strings.SplitAfter(tc.content, "\n")
			lines = lines[:len(lines)-1]
			for i, j := 1, len(lines)-1; i < j; i, j = i+1, j-1 {
				lines[i], lines[j] = lines[j], lines[i]
			}
			if res, err = read(strings.Join(lines, ""), o); err != nil {
				t.Fatal(err)
			}
			fast(t, res, tc.want)
		})
	}
}

// A clock that shows no fractions, or no seconds, shows one time for several readings.
func TestAveragedCoarse(t *testing.T) {
	all := walk(20*600, 100*time.Millisecond)
	for _, tc := range []struct {
		layout string
		grain  time.Duration
		note   string
	}{
		{"2006-01-02 15:04:05", time.Second, "10 times in 1 s"},
		{"2006-01-02 15:04", time.Minute, "times in 1 min"},
	} {
		told := make([]quick, len(all))
		for i, r := range all {
			told[i] = quick{r.at.Truncate(tc.grain), r.temp, r.rh}
		}
		res, err := read(quickFile("time,temp (C),rh", all, tc.layout), utc)
		if err != nil {
			t.Fatal(err)
		}
		fast(t, res, means(told))
		if got := strings.Join(res.Notes, "\n"); !strings.Contains(got, tc.note) {
			t.Errorf("notes %q, want %q", got, tc.note)
		}
	}
}

// Readings at less than two a minute stand as they are.
func TestNotAveraged(t *testing.T) {
	for _, step := range []time.Duration{31 * time.Second, 45 * time.Second, 59 * time.Second, time.Minute, 61 * time.Second, 15 * time.Minute} {
		all := walk(500, step)
		for i := range all {
			all[i].at = all[i].at.Add(time.Duration(i%3) * time.Second) // a clock that shivers
		}
		if step < 32*time.Second {
			all = walk(500, step)
		}
		res, err := read(quickFile("time,temp (C),rh", all, "2006-01-02 15:04:05"), utc)
		if err != nil {
			t.Fatal(err)
		}
		if len(res.Series.Records) != len(all) || strings.Contains(strings.Join(res.Notes, ""), "averaged") {
			t.Errorf("step %v: %d records of %d: %v", step, len(res.Series.Records), len(all), res.Notes)
		}
	}
}

// What is refused of a fast logger, and where.
func TestFastRefused(t *testing.T) {
	const layout = "2006-01-02 15:04:05"
	change := func(line int, to string) string {
		lines := strings.Split(quickFile("time,temp (C),rh", walk(9000, 10*time.Second), layout), "\n")
		lines[line-1] = lines[line-1][:len(layout)] + to
		return strings.Join(lines, "\n")
	}
	twice := func() string {
		var b strings.Builder
		b.WriteString("time,temp (C),rh\n")
		for _, r := range walk(3000, 10*time.Second) {
			fmt.Fprintf(&b, "%s,%.2f,60.0\n%s,%.2f,55.0\n", r.at.Format(layout), r.temp, r.at.Format(layout), r.temp+3)
		}
		return b.String()
	}
	for _, tc := range []struct{ name, content, says string }{
		{"a jump", change(8000, ",31.00,60.00"), "hall.csv:8000: the temperature jumps by"},
		{"too hot", change(8000, ",61.00,60.00"), "hall.csv:8000: the temperature is 61.0 C"},
		{"too dry", change(8000, ",12.00,0.50"), "hall.csv:8000: the humidity is 0.5 %"},
		{"no number", change(8000, ",warm,60.00"), "hall.csv:8000"},
		{"a decimal comma", change(8000, ",\"12,5\",60.00"), "hall.csv:8000: is no number with a decimal point"},
		{"too many cells", change(8000, ",12,5,60.00"), "a value stands under no name"},
		{"an open quote", change(8000, ",\"12.5,60.00"), "a quote is opened and not closed"},
		{"a NUL", change(8000, ",12.5\x00,60.00"), "hall.csv:8000: holds NUL bytes"},
		{"another form of time", strings.Replace(change(8000, ",12.50,60.00"), "2026-04-15 04:13:00", "15.04.2026 04:13:00", 1), "the times above are"},
		{"two loggers in one file", twice(), "hall.csv:3: has the time of line 2 but another reading"},
		{"stuck", quickFile("time,temp (C),rh", func() []quick {
			all := walk(9000, 10*time.Second)
			for i := 2000; i < 2000+13*360; i++ {
				all[i].temp, all[i].rh = 8.37, 99.13
			}
			return all
		}(), layout), "the sensor is stuck: 8.4 C and 99.1 % without a change for 12 h"},
		{"no unit and above 45", strings.ReplaceAll(change(8000, ",55.00,60.00"), " (C)", ""), "55 C or 55 F"},
		{"a fraction", quickFile("time,temp (C),rh", func() []quick {
			all := walk(1000, 10*time.Second)
			for i := range all {
				all[i].rh /= 100
			}
			return all
		}(), layout), "0.69 % or 0.69 as a fraction"},
	} {
		_, err := read(tc.content, utc)
		var f logfile.Fault
		if !errors.As(err, &f) || !strings.Contains(err.Error(), tc.says) {
			t.Errorf("%s: %v, want %q", tc.name, err, tc.says)
		}
	}
	// After the moment asked they refuse nothing.
	o := utc
	o.At = time.Date(2026, 4, 14, 20, 0, 0, 0, time.UTC)
	for _, to := range []string{",31.00,60.00", ",61.00,60.00"} {
		res, err := read(change(8000, to), o)
		if err != nil || !strings.Contains(strings.Join(res.Notes, "\n"), "later than the moment asked, are left out") {
			t.Errorf("%q: %v %v", to, err, res.Notes)
		}
	}
}

// What was known at a full minute does not depend on what came after, nor on
// where the file was copied.
func TestFastKnownByTheMinute(t *testing.T) {
	all := walk(20000, 3*time.Second)
	content := quickFile("time,temp (C),rh", all, "2006-01-02 15:04:05")
	whole, err := read(content, utc)
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		cut := rapid.IntRange(len(content)/4, len(content)).Draw(t, "cut")
		res, err := read(content[:cut], utc)
		if err != nil {
			t.Fatal(err)
		}
		last := res.Series.Issued.Truncate(time.Minute)
		a, _ := whole.Series.Before(last)
		b, _ := res.Series.Before(last)
		if say(a) != say(b) {
			t.Fatalf("cut at %d: known at %v\n%s\n%s", cut, last, say(b), say(a))
		}
	})
}

// stream writes rows as they are read: a file without end would fill no memory here.
type stream struct {
	rows, step int // how many, and 1/1000 s
	i          int
	left       []byte
	peak       uint64 // bytes in use, live or not yet swept
	read       int
}

func (s *stream) Read(p []byte) (int, error) {
	if len(s.left) == 0 {
		if s.i == 0 {
			s.left = append(s.left, "time,temp (C),rh\n"...)
		}
		for range 1000 {
			if s.i == s.rows {
				break
			}
			at := time.Date(2026, 4, 14, 6, 0, 0, 0, time.UTC).Add(time.Duration(s.i*s.step) * time.Millisecond)
			s.left = at.AppendFormat(s.left, "2006-01-02 15:04:05.0,")
			s.left = strconv.AppendFloat(s.left, 12+float64(s.i%97)/50, 'f', 2, 64)
			s.left = append(strconv.AppendFloat(append(s.left, ','), 60+float64(s.i%89)/10, 'f', 2, 64), '\n')
			s.i++
		}
		if s.i%100_000 == 0 {
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			s.peak = max(s.peak, m.HeapInuse)
		}
		if len(s.left) == 0 {
			return 0, io.EOF
		}
	}
	n := copy(p, s.left)
	s.read += n
	s.left = append(s.left[:0], s.left[n:]...)
	return n, nil
}

// fastMemory reads so many rows of ten a second and says how much memory that took.
func fastMemory(t *testing.T, rows int) {
	t.Helper()
	runtime.GC()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	s := &stream{rows: rows, step: 100}
	res, err := logfile.Read("tenth.csv", s, utc)
	if err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	peak := max(s.peak, after.HeapInuse) - before.HeapInuse
	t.Logf("%d rows, %d MB: %d records, %.1f MB of memory at the most", rows, s.read>>20, len(res.Series.Records), float64(peak)/(1<<20))
	if want := rows/600 + 1; len(res.Series.Records) < want-1 || len(res.Series.Records) > want+1 {
		t.Errorf("%d records, want %d", len(res.Series.Records), want)
	}
	if peak > 64<<20 {
		t.Errorf("%d MB of memory, want 64 at the most", peak>>20)
	}
}

func TestFastMemory(t *testing.T) { fastMemory(t, 400_000) }
