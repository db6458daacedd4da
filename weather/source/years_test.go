package source_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"limeday/weather"
	"limeday/weather/columns"
	"limeday/weather/sky"
	"limeday/weather/source"
)

// sample is a file of testdata/weather.
func sample(t testing.TB, parts ...string) source.File {
	t.Helper()
	path := filepath.Join(append([]string{"..", "..", "testdata", "weather"}, parts...)...)
	return source.File{Name: parts[len(parts)-1], Open: func() (io.ReadCloser, error) { return os.Open(path) }}
}

// text is a file that holds s.
func text(name, s string) source.File {
	return source.File{Name: name, Open: func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(s)), nil }}
}

// plain is what a file of testdata holds, unpacked.
func plain(t testing.TB, parts ...string) string {
	t.Helper()
	f, err := sample(t, parts...).Open()
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r, err := weather.Unpack("x", f)
	if err != nil {
		t.Fatal(err)
	}
	all, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(all)
}

func packed(t testing.TB, s string) string {
	t.Helper()
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestSpeed)
	if err != nil {
		t.Fatal(err)
	}
	_, err = io.WriteString(z, s)
	if err = errors.Join(err, z.Close()); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func read(t testing.TB, o source.YearsOptions, files ...source.File) source.Years {
	t.Helper()
	y, err := source.ReadYears(context.Background(), files, o)
	if err != nil {
		t.Fatal(err)
	}
	return y
}

func refused(t testing.TB, o source.YearsOptions, files ...source.File) error {
	t.Helper()
	y, err := source.ReadYears(context.Background(), files, o)
	if err == nil {
		t.Fatalf("years %v were read, with %q", y.Span, y.Notes)
	}
	return err
}

// badData fails unless err is a fault of the data that says where it is and what was expected.
func badData(t testing.TB, err error) {
	t.Helper()
	where, expected, bad := source.BadData(err)
	if !bad || where == "" || expected == "" || !strings.Contains(err.Error(), "expected ") {
		t.Errorf("%v: bad %v, where %q, expected %q", err, bad, where, expected)
	}
}

func noted(y source.Years, what string) bool {
	return strings.Contains(strings.Join(y.Notes, "\n"), what)
}

// checkReady fails where the season could not go on: records out of order or outside the years, an hour without
// temperature and humidity but at the ends, air beyond saturation, an hour whose light cannot be had.
func checkReady(t *testing.T, y source.Years, site weather.Place) {
	t.Helper()
	s, err := sky.NewSite(site)
	if err != nil {
		t.Fatal(err)
	}
	rs := y.Series.Records
	for i, r := range rs {
		in := slices.ContainsFunc(y.Span, func(s source.Year) bool { return !r.Time.Before(s.From) && r.Time.Before(s.To) })
		if !in || i > 0 && !r.Time.After(rs[i-1].Time) || r.Time.Location() != time.UTC {
			t.Fatalf("record at %v: in the years %v, after %v", r.Time, in, rs[max(i-1, 0)].Time)
		}
		if !r.Temperature.Known() || !r.Vapour.Known() {
			if slices.ContainsFunc(y.Span, func(s source.Year) bool {
				return r.Time.Sub(s.From).Abs() < 24*time.Hour || r.Time.Sub(s.To).Abs() < 24*time.Hour
			}) {
				continue // the zone's hours beyond the years of the files
			}
			t.Fatalf("no state at %v", r.Time)
		}
		sun, share := s.SunOver(r.Time, time.Hour)
		if _, err := s.Light(r, sun, share); err != nil {
			t.Fatal(err)
		}
	}
	if y.Series.Notes != nil {
		t.Errorf("notes are left in the series: %q", y.Series.Notes)
	}
}

var ohare = weather.Place{Name: "Chicago", Lat: 41.98, Lon: -87.9, Altitude: 205} // about; from memory

// Two real years of a station, of which half the cloud is missing.
func TestRealYears(t *testing.T) {
	z := zone(t, "America/Chicago")
	told := 0
	y := read(t, source.YearsOptions{Place: &ohare, Zone: z, Told: func(done, total int) { told = 10*done + total }},
		sample(t, "isdlite", "725300-2017.gz"), sample(t, "isdlite", "725300-2016.gz"))
	checkReady(t, y, ohare)
	if len(y.Span) != 2 || y.Span[0].Label != 2016 || !y.Span[0].From.Equal(time.Date(2016, 1, 1, 6, 0, 0, 0, time.UTC)) ||
		!y.Span[1].To.Equal(time.Date(2018, 1, 1, 6, 0, 0, 0, time.UTC)) || y.Typical || y.South || told != 22 {
		t.Errorf("%+v, told %d", y, told)
	}
	// Counted in the files: two hours of 2016 and one of 2017 are not there, all of them between neighbours. 2017
	// ends with the year in UTC, six hours before that of the place.
	if y.Span[0].Holes != 0 || math.Abs(y.Span[1].Holes-6.0/8760) > 1e-9 || !noted(y, "No temperature or humidity in 3 hours") {
		t.Errorf("holes %v, %q", y.Span, y.Notes)
	}
	if !slices.Equal(y.Lacks, []string{"radiation"}) {
		t.Errorf("lacks %q", y.Lacks)
	}
	if y.Place != ohare || y.Series.Grid != nil || !noted(y, "does not say where") || !noted(y, "1434 traces of rain") {
		t.Errorf("%v, %q", y.Place, y.Notes)
	}
	leap := 0
	var cloud, n [24]float64
	for _, r := range y.Series.Records {
		if at := r.Time.In(z); at.Month() == time.February && at.Day() == 29 {
			leap++
		}
		if !r.Wind.Known() || !r.Cloud.Known() || !r.Pressure.Known() {
			t.Fatalf("%+v", r)
		}
		cloud[r.Time.Hour()] += r.Cloud.V
		n[r.Time.Hour()]++
	}
	if leap != 24 {
		t.Errorf("29 February has %d hours", leap)
	}
	// The station gives nearly all cloud at 0, 6, 12 and 18 UTC, with a mean of 0.66, and in between mostly where
	// there is little, with a mean of 0.3 (counted in the files). Filled, no hour may be clear by that alone.
	for h := range cloud {
		if mean := cloud[h] / n[h]; mean < 0.5 || mean > 0.75 {
			t.Errorf("at %d UTC the mean cloud is %.2f", h, mean)
		}
	}
}

// A season of the south spans New Year, and needs two calendar years.
func TestSouthOfTheEquator(t *testing.T) {
	files := []source.File{sample(t, "isdlite", "725300-2016.gz"), sample(t, "isdlite", "725300-2017.gz")}
	y := read(t, source.YearsOptions{South: true}, files...)
	if len(y.Span) != 1 || y.Span[0].Label != 2016 || !y.South || len(y.Series.Records) != 8760 || y.Span[0].Holes != 0 ||
		!noted(y, "Of 2015/16 there is only the time from 2016-01-01 to 2016-06-30") || !noted(y, "Of 2017/18") {
		t.Errorf("%v, %q", y.Span, y.Notes)
	}
	var none *source.NoYearError
	if err := refused(t, source.YearsOptions{South: true}, files[1]); !errors.As(err, &none) || !strings.Contains(err.Error(), "1 July to 30 June") {
		t.Error(err)
	} else {
		badData(t, err)
	}
	place := weather.Place{Lat: -33, Lon: 151}
	if y := read(t, source.YearsOptions{Place: &place}, files...); !y.South {
		t.Error("a place south of the equator is not in the south")
	}
}

// Typical years are whole, run round, give no odds, and have too little rain to plan by.
func TestTypicalYears(t *testing.T) {
	for name, z := range map[string]string{"duluth.epw.gz": "America/Chicago", "portland.epw.gz": "America/Los_Angeles"} {
		f := sample(t, "epw", name)
		y := read(t, source.YearsOptions{Zone: zone(t, z)}, f)
		checkReady(t, y, y.Place)
		if len(y.Span) != 1 || y.Span[0].Holes != 0 || len(y.Series.Records) != 8760 || !y.Typical || !slices.Equal(y.Lacks, []string{"rain"}) ||
			!noted(y, "ISO 15927-4") || !noted(y, "too few hours to count on it: the typical year") {
			t.Errorf("%s: %v, %d records, lacks %q, %q", name, y.Span, len(y.Series.Records), y.Lacks, y.Notes)
		}
		first := y.Series.Records[0]
		if !first.Temperature.Known() || !first.Global.Known() || first.Time.In(zone(t, z)).Hour() != 0 {
			t.Errorf("%s begins with %+v", name, first)
		}
		south := read(t, source.YearsOptions{Zone: zone(t, z), South: true}, f)
		if m := south.Series.Records[0].Time.In(zone(t, z)); m.Month() != time.July || m.Day() != 1 || len(south.Series.Records) != 8760 || !south.Series.Records[0].Temperature.Known() {
			t.Errorf("%s in the south begins at %v with %d records", name, m, len(south.Series.Records))
		}
		sum := func(y source.Years) (s float64) {
			for _, r := range y.Series.Records {
				s += r.Temperature.V + r.Global.V
			}
			return s
		}
		if a, b := sum(y), sum(south); math.Abs(a-b) > 1e-6*math.Abs(a) {
			t.Errorf("%s: turned round, %g became %g", name, a, b)
		}
		// In a zone that is not the file's.
		if y := read(t, source.YearsOptions{Zone: zone(t, "Asia/Kathmandu")}, f); len(y.Series.Records) != 8760 || !y.Series.Records[0].Temperature.Known() {
			t.Errorf("%s in another zone: %d records from %+v", name, len(y.Series.Records), y.Series.Records[0])
		}
	}
}

// A typical year that observes 29 February keeps it, in the south too.
func TestTypicalLeapYear(t *testing.T) {
	var leap strings.Builder
	for _, line := range strings.SplitAfter(plain(t, "epw", "duluth.epw.gz"), "\n") {
		if cells := strings.SplitN(line, ",", 4); len(cells) == 4 && cells[1] == "3" && cells[2] == "1" && strings.HasPrefix(cells[3], "1,") {
			for h := 1; h <= 24; h++ { // the first hour of March, for 24 hours before it
				_, rest, _ := strings.Cut(cells[3], ",")
				leap.WriteString("1976,2,29," + fmt.Sprint(h) + "," + rest)
			}
		}
		leap.WriteString(strings.Replace(line, "1977,2,", "1976,2,", 1)) // February is of a leap year then
	}
	for _, south := range []bool{false, true} {
		y := read(t, source.YearsOptions{South: south, Zone: zone(t, "America/Chicago")}, text("leap", leap.String()))
		n := 0
		for _, r := range y.Series.Records {
			if at := r.Time.In(zone(t, "America/Chicago")); at.Month() == time.February && at.Day() == 29 {
				n++
			}
		}
		if len(y.Series.Records) != 8784 || n != 24 || y.Span[0].Holes != 0 {
			t.Errorf("south %v: %d records, %d of 29 February, %v", south, len(y.Series.Records), n, y.Span)
		}
	}
}

// An EPW for elsewhere is said to be, and refused when it is another region's.
func TestElsewhere(t *testing.T) {
	duluth := weather.Place{Lat: 46.83, Lon: -92.22, Altitude: 433}
	at := func(lat, up float64) *weather.Place {
		return &weather.Place{Lat: duluth.Lat + lat, Lon: duluth.Lon, Altitude: duluth.Altitude + up}
	}
	f := sample(t, "epw", "duluth.epw.gz")
	for _, tc := range []struct {
		job  *weather.Place
		note string
		far  bool
	}{
		{at(0, 0), "are for Duluth International Arpt (46.83, -92.22), 0 km from the job.", false},
		{at(0.3, -60), "33 km from the job and 60 m higher: far, and its weather may not be that of the job.", false},
		{at(0, 250), "0 km from the job and 250 m lower: far", false},
		{at(0, math.NaN()), "how much higher or lower is not known", false},
		{at(0, 400), "400 m lower", true},
		{at(1, 0), "111 km from the job", true},
	} {
		y, err := source.ReadYears(context.Background(), []source.File{f}, source.YearsOptions{Place: tc.job})
		var far *source.FarError
		switch {
		case tc.far && (!errors.As(err, &far) || !strings.Contains(err.Error(), tc.note) || !strings.Contains(err.Error(), "expected at most 100 km and 300 m")):
			t.Errorf("%+v: %v", tc.job, err)
		case tc.far:
			badData(t, err)
			y = read(t, source.YearsOptions{Place: tc.job, Anywhere: true}, f)
			if !noted(y, tc.note) || !noted(y, "far, and its weather") || y.Place.Lat != duluth.Lat {
				t.Errorf("%+v: %q", tc.job, y.Notes)
			}
		case err != nil || !noted(y, tc.note):
			t.Errorf("%+v: %v, %q", tc.job, err, y.Notes)
		}
	}
}

// The kind is told by the content, whatever the name, packed or not.
func TestKindsByContent(t *testing.T) {
	epw, lite := plain(t, "epw", "duluth.epw.gz"), plain(t, "isdlite", "725300-2017.gz")
	for name, content := range map[string]string{"epw": epw, "epw packed": packed(t, epw), "epw with a mark": "\ufeff" + epw, "lite": lite, "lite packed": packed(t, lite)} {
		y := read(t, source.YearsOptions{Zone: zone(t, "America/Chicago")}, text("weather.csv", content))
		if (y.Typical != strings.HasPrefix(name, "epw")) || len(y.Span) != 1 {
			t.Errorf("%s: %v", name, y.Span)
		}
	}
	y := read(t, source.YearsOptions{}, text("a.epw", hoursCSV(2019, nil)))
	checkReady(t, y, weather.Place{Lat: 50})
	if len(y.Span) != 1 || len(y.Series.Records) != 8760 {
		t.Errorf("CSV: %v", y.Span)
	}
	y = read(t, source.YearsOptions{Place: &weather.Place{Lat: 46.83, Lon: -92.22, Altitude: 430}}, text("a.txt", string(powerYear(2019, 0))))
	checkReady(t, y, y.Place)
	if len(y.Span) != 1 || y.Series.Grid == nil || !slices.Equal(y.Lacks, []string{"cloud", "wind direction"}) {
		t.Errorf("POWER: %v, lacks %q", y.Span, y.Lacks)
	}
}

func TestFilesThatAreNone(t *testing.T) {
	cut := packed(t, plain(t, "isdlite", "725300-2017.gz"))
	for _, tc := range []struct{ name, content, says string }{
		{"empty", "", "f: is empty; expected an EPW file"},
		{"blank", "\n \n", "f: is empty"},
		{"a page", "<!doctype html>\n<p>log in, please</p>", `f: is no kind of weather file that is known; it begins: "<!doctype html>"; expected an EPW file, an ISD-Lite file, a CSV of hours with a header, or an hourly answer of NASA POWER as JSON`},
		{"words", "weather of 2019\n", "is no kind of weather file"},
		{"UTF-16", "t\x00i\x00m\x00e\x00,\x00", "is no kind of weather file"},
		{"a zip", "PK\x03\x04\x14\x00\x06\x00", "is no kind of weather file"},
		{"other JSON", `{"a":1}`, "properties.parameter"},
		{"half JSON", `{"a":`, "ends too soon"},
		{"a table without air", "time,price\n2019-01-01T00:00:00Z,3\n", "f:1: the header: has no temperature"},
		{"a cut file", cut[:len(cut)/2], "f: is no whole gzip file"},
		{"a cut row", plain(t, "isdlite", "725300-2017.gz")[:1000], "f:17: the row has"},
		{"one day", hoursCSV(2019, func(at time.Time) bool { return at.YearDay() == 1 }), "hold no whole year"},
		{"no day", "time,temp_c,rh\n2019-01-01T00:00:00Z,NA,50\n", "holds no hour with temperature and humidity"},
	} {
		if err := refused(t, source.YearsOptions{}, text("f", tc.content)); !strings.Contains(err.Error(), tc.says) || !strings.HasPrefix(err.Error(), "f:") {
			t.Errorf("%s: %v, want %q", tc.name, err, tc.says)
		} else {
			badData(t, err)
		}
	}
	broken := errors.New("the disk is gone")
	if _, _, bad := source.BadData(broken); bad {
		t.Error("a disk is no data")
	}
	f := source.File{Name: "f", Open: func() (io.ReadCloser, error) { return nil, broken }}
	if err := refused(t, source.YearsOptions{}, f); !errors.Is(err, broken) {
		t.Error(err)
	}
	for _, head := range []string{"", "2017 01 01 00", "time,temp_c,rh\n", "{", "LOCATION,a"} {
		f.Open = func() (io.ReadCloser, error) {
			return io.NopCloser(io.MultiReader(strings.NewReader(head), failing{broken})), nil
		}
		if err := refused(t, source.YearsOptions{}, f); !errors.Is(err, broken) || !strings.HasPrefix(err.Error(), "f: ") {
			t.Errorf("%q and then a fault: %v", head, err)
		}
	}
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

// The same year twice is said, or refused where the two differ.
func TestYearsTwice(t *testing.T) {
	a, b := sample(t, "isdlite", "725300-2016.gz"), sample(t, "isdlite", "725300-2017.gz")
	copied := text("copy", plain(t, "isdlite", "725300-2016.gz"))
	y := read(t, source.YearsOptions{}, a, b, copied)
	if len(y.Span) != 2 || !noted(y, "copy holds the same as 725300-2016.gz: it counts once.") {
		t.Errorf("%v, %q", y.Span, y.Notes)
	}
	changed := []byte(plain(t, "isdlite", "725300-2016.gz"))
	changed[bytes.Index(changed, []byte("2016 03 01 12 "))+18] ^= 1 // a tenth of a kelvin
	other := text("other", string(changed))
	var conflict *weather.ConflictError
	if err := refused(t, source.YearsOptions{}, a, other); !errors.As(err, &conflict) || !strings.Contains(err.Error(), "2016-03-01T12:00:00Z") {
		t.Error(err)
	} else {
		badData(t, err)
	}
	tmy := sample(t, "epw", "duluth.epw.gz")
	for _, files := range [][]source.File{{a, tmy}, {tmy, a}, {tmy, sample(t, "epw", "portland.epw.gz")}} {
		if err := refused(t, source.YearsOptions{}, files...); !strings.Contains(err.Error(), "is a typical year, which has no place beside other years") {
			t.Error(err)
		}
	}
	if y := read(t, source.YearsOptions{}, tmy, tmy); !y.Typical || !noted(y, "it counts once") {
		t.Errorf("a typical year twice: %q", y.Notes)
	}
}

// Real years of one station each, as EPW, must be of one place.
func TestPlacesThatDiffer(t *testing.T) {
	year := func(name, from string, year string) source.File {
		lines := strings.Split(plain(t, "epw", from), "\n")
		for i, l := range lines {
			if l != "" && l[0] >= '0' && l[0] <= '9' {
				lines[i] = year + l[4:]
			}
		}
		return text(name, strings.Replace(strings.Join(lines, "\n"), ",TMY3,", ",observed,", 1))
	}
	a, b := year("a", "duluth.epw.gz", "2017"), year("b", "duluth.epw.gz", "2018")
	y := read(t, source.YearsOptions{Zone: zone(t, "America/Chicago")}, b, a)
	checkReady(t, y, y.Place)
	if len(y.Span) != 2 || y.Typical || y.Place.Name != "Duluth International Arpt" {
		t.Errorf("%+v", y.Span)
	}
	if err := refused(t, source.YearsOptions{}, a, year("c", "portland.epw.gz", "2018")); !strings.Contains(err.Error(), "c: is for Portland International Ap (45.60, -122.62), a for Duluth International Arpt (46.83, -92.22); expected files of one place") {
		t.Error(err)
	}
}

// Times in a zone that is not theirs are doubted, not refused.
func TestWrongZone(t *testing.T) {
	for _, tc := range []struct {
		lon   float64
		doubt bool
	}{{-87.9, false}, {-60, false}, {0, true}, {150, true}} {
		p := weather.Place{Lat: 42, Lon: tc.lon, Altitude: 205}
		y := read(t, source.YearsOptions{Place: &p}, sample(t, "isdlite", "725300-2017.gz"))
		if noted(y, "may be in another zone") != tc.doubt {
			t.Errorf("at longitude %g: %q", tc.lon, y.Notes)
		}
	}
}

func TestColumnsOptions(t *testing.T) {
	bare := strings.NewReplacer("temp_c", "temp", "Z,", ",").Replace(hoursCSV(2019, nil))
	if err := refused(t, source.YearsOptions{}, text("f", bare)); !strings.Contains(err.Error(), "states no unit") {
		t.Error(err)
	}
	z := zone(t, "Europe/Dublin")
	o := source.YearsOptions{Zone: z, Columns: columns.Options{Units: columns.Metric}}
	// 2 in the morning of 31 March 2019 is skipped by the clocks of Dublin at 1.
	if err := refused(t, o, text("f", bare)); !strings.Contains(err.Error(), "the clocks go forward") {
		t.Error(err)
	}
	o.Columns.Zone = time.UTC
	if y := read(t, o, text("f", bare)); len(y.Span) != 1 || y.Span[0].From.Location() != z {
		t.Errorf("%v", y.Span)
	}
	wild := strings.Replace(hoursCSV(2019, nil), "Z,", "Z,99,5,3,200,0,0\n2019-01-01T00:30:00Z,", 1)
	if err := refused(t, source.YearsOptions{}, text("f", wild)); !strings.Contains(err.Error(), "f:2: temperature") {
		t.Error(err)
	}
	if y := read(t, source.YearsOptions{DropBad: true}, text("f", wild)); !noted(y, "out of range") {
		t.Errorf("%q", y.Notes)
	}
}

func TestReadingStops(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	second := source.File{Name: "b", Open: func() (io.ReadCloser, error) {
		stop()
		return io.NopCloser(strings.NewReader(hoursCSV(2020, nil))), nil
	}}
	_, err := source.ReadYears(ctx, []source.File{text("a", hoursCSV(2019, nil)), second}, source.YearsOptions{})
	if !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}
