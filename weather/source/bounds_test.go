package source_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"
	"time"

	"limeday/weather"
	"limeday/weather/columns"
	"limeday/weather/epw"
	"limeday/weather/isdlite"
)

// rowsOf writes rows as they are read, without end.
type rowsOf struct {
	row  func(b []byte, hour int) []byte
	i    int
	left []byte
}

func (r *rowsOf) Read(p []byte) (int, error) {
	for len(r.left) < len(p) {
		r.left = r.row(r.left, r.i)
		r.i++
	}
	n := copy(p, r.left)
	r.left = append(r.left[:0], r.left[n:]...)
	return n, nil
}

// A file that does not end is refused, whatever its kind, and fills no memory
// but for the rows that a long one may have.
func TestEndlessFiles(t *testing.T) {
	hour := func(i int) time.Time {
		return time.Date(1900, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(i) * time.Hour)
	}
	const epwHead = "LOCATION,A,B,C,D,1,53,-6,0,10\n"
	repeat := func(s string) func([]byte, int) []byte {
		return func(b []byte, _ int) []byte { return append(b, s...) }
	}
	isd := func(r io.Reader) error { _, err := isdlite.Read("x", r, isdlite.Options{}); return err }
	csv := func(r io.Reader) error {
		_, err := columns.Read("x", r, columns.Options{Zone: time.UTC})
		return err
	}
	wx := func(r io.Reader) error { _, _, err := epw.Read("x", r, epw.Options{}); return err }
	for _, tc := range []struct {
		name, begins string
		row          func([]byte, int) []byte
		read         func(io.Reader) error
		want         string
		most         uint64 // bytes allocated, all in all
	}{
		{"EPW, rows", epwHead, func(b []byte, i int) []byte {
			at := hour(i)
			return fmt.Appendf(b, "%d,%d,%d,%d,60,A,10,5,70,101000\n", at.Year(), at.Month(), at.Day(), at.Hour()+1)
		}, wx, "x:262146: holds more than 262144 rows", 0},
		{"EPW, one line", epwHead, repeat("2001,"), wx, "the line is longer than 1 MiB", 8 << 20},
		{"ISD-Lite, one line", "", repeat("2001 01 01 "), isd, "a line is longer than 64 KiB", 8 << 20},
		{"CSV, one line", "time,temp_c,rh\n", repeat("2001-"), csv, "x:2: a row is longer than 256 KiB", 16 << 20},
		{"CSV, an open quote", "time,temp_c,rh\n2001-01-01T00:00:00Z,1,70\n\"", repeat("2001-01-01T01:00:00Z,1,70\n"), csv, "x:3: a row is longer than 256 KiB, or a quote in it is not closed", 16 << 20},
		{"CSV, one header", "time,temp_c,rh", repeat(",x"), csv, "x:1: a row is longer than 256 KiB", 64 << 20},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			err := tc.read(io.MultiReader(strings.NewReader(tc.begins), &rowsOf{row: tc.row}))
			runtime.ReadMemStats(&after)
			var bad *weather.DataError
			if !errors.As(err, &bad) || !strings.Contains(err.Error(), tc.want) {
				t.Errorf("%v, want %q", err, tc.want)
			}
			if took := after.TotalAlloc - before.TotalAlloc; tc.most > 0 && took > tc.most {
				t.Errorf("%d MB of memory", took>>20)
			}
		})
	}
}

// A limit of rows lets all pass that keep to it, however they are read.
func TestRowLimit(t *testing.T) {
	var text bytes.Buffer
	for i := range 1000 {
		text.WriteString(strings.Repeat("x", i%90) + "\n")
	}
	l := &weather.RowLimit{R: &text, Max: 100}
	one := make([]byte, 1)
	for offset := int64(1); ; offset++ {
		_, err := l.Read(one)
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if one[0] == '\n' {
			l.Done(offset)
		}
		if _, open := l.Open(offset); open {
			t.Fatal("open before the end")
		}
	}
	l = &weather.RowLimit{R: strings.NewReader("a\nbc\"" + strings.Repeat("d", 200)), Max: 100}
	if _, err := io.Copy(io.Discard, l); !errors.Is(err, weather.ErrLongRow) {
		t.Errorf("%v", err)
	}
	l = &weather.RowLimit{R: strings.NewReader("a\nbc\""), Max: 100}
	if _, err := io.Copy(io.Discard, l); err != nil {
		t.Error(err)
	}
	if last, open := l.Open(5); !open || last != '"' {
		t.Errorf("%q %v", last, open)
	}
}
