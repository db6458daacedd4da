package intake_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/job"
	"limeday/weather"
)

var asking = time.Date(2026, 4, 14, 6, 30, 0, 0, time.UTC)

// entry is the n-th of a diary, so many hours before the moment of asking.
func entry(n int, before float64, kind diary.Kind, data map[string]any) diary.Entry {
	return diary.Entry{N: n, At: asking.Add(-time.Duration(before * float64(time.Hour))), Kind: kind, Data: data}
}

func event(n int, before float64, coat int, what string) diary.Entry {
	return entry(n, before, diary.Event, map[string]any{"coat": float64(coat), "what": what})
}

// What was seen is told of the present round alone, which may have begun days ago.
func TestSeenIn(t *testing.T) {
	const day = 24
	for name, tc := range map[string]struct {
		entries []diary.Entry
		want    string
		late    int
	}{
		"days ago":          {[]diary.Entry{event(1, 5*day, 1, "laid"), event(2, 4*day, 1, "dry"), event(3, 1, 2, "laid")}, "1 laid 120h, 1 dry 96h, 2 laid 1h", 0},
		"told late":         {[]diary.Entry{event(1, 1, 2, "laid"), event(2, 4*day, 1, "dry"), event(3, 5*day, 1, "laid")}, "1 laid 120h, 1 dry 96h, 2 laid 1h", 0},
		"an earlier round":  {[]diary.Entry{event(1, 9*day, 1, "laid"), event(2, 8*day, 2, "laid"), event(3, 2*day, 1, "laid"), event(4, 1, 1, "dry")}, "1 laid 48h, 1 dry 1h", 0},
		"60 days":           {[]diary.Entry{event(1, 60*day, 1, "laid"), event(2, 1, 1, "dry")}, "1 laid 1440h, 1 dry 1h", 0},
		"over 60 days":      {[]diary.Entry{event(1, 60*day+1, 1, "laid"), event(2, 1, 1, "dry")}, "", 0},
		"no beginning":      {[]diary.Entry{event(1, 3, 2, "laid")}, "2 laid 3h", 0},
		"later":             {[]diary.Entry{event(1, 1, 1, "laid"), event(2, -1, 1, "dry"), event(3, -day, 2, "laid")}, "1 laid 1h", 1},
		"a later beginning": {[]diary.Entry{event(1, 1, 1, "laid"), event(2, -1, 1, "laid")}, "1 laid 1h", 1},
		"taken back":        {[]diary.Entry{event(1, 30, 1, "laid"), event(2, 2, 1, "laid"), {N: 3, Kind: diary.Withdrawal, Amends: 2, At: asking}}, "1 laid 30h", 0},
		"of a board":        {[]diary.Entry{entry(1, 2, diary.Event, map[string]any{"coat": 1.0, "what": "laid", "board": 1.0}), event(2, 1, 1, "burnished")}, "", 0},
	} {
		seen, late := intake.SeenIn(tc.entries, asking, time.UTC)
		var says []string
		for _, s := range seen {
			says = append(says, fmt.Sprintf("%d %s %.0fh", s.Coat, s.What, asking.Sub(s.At).Hours()))
		}
		if got := strings.Join(says, ", "); got != tc.want || len(late) != tc.late {
			t.Errorf("%s: %s; want %s; %d late", name, got, tc.want, len(late))
		}
	}
}

// told is a service's hourly forecast from so many hours before the moment of asking to so many after it, 9 C and 800 Pa.
func told(from, to int, made time.Time) weather.Series {
	s := weather.Series{Source: "a service", Issued: made, Fetched: made}
	for h := -from; h <= to; h++ {
		s.Records = append(s.Records, weather.Record{Time: asking.Truncate(time.Hour).Add(time.Duration(h) * time.Hour), Temperature: weather.Value{V: 9, Tag: weather.Forecast}, Vapour: weather.Value{V: 800, Tag: weather.Forecast}})
	}
	return s.Told()
}

// asked asks about a day of the job, and tells what the service was asked.
func asked(t *testing.T, text string, r intake.Request, answer weather.Series) (d intake.Day, since []time.Time, place weather.Place, err error) {
	t.Helper()
	if r.File, err = job.Parse("a.toml", []byte(text), intake.Names()); err != nil {
		t.Fatal(err)
	}
	i := in()
	i.Now = func() time.Time { return asking }
	i.Stdin = strings.NewReader("time,temp_c,rh_pct\n2026-04-14T05:00:00Z,13,61\n2026-04-14T06:00:00Z,13.5,60\n")
	i.Ask = func(_ context.Context, p weather.Place, _ string, _ bool, from time.Time) (weather.Series, error) {
		since, place = append(since, from), p
		return answer, nil
	}
	d, err = i.Day(t.Context(), r)
	return d, since, place, err
}

const (
	inRoom  = "[place]\nlat = 53\nlon = -6\nzone = \"UTC\"\n[room]\nheating = 16\n" + coats
	noPlace = "[place]\nzone = \"UTC\"\n[room]\n" + coats
)

func reading(n int, before, temp float64) diary.Entry {
	return entry(n, before, diary.Reading, map[string]any{"temp": temp, "rh": 60.0})
}

func kinds(s weather.Series) (out []weather.Kind) {
	for _, p := range s.Parts {
		out = append(out, p.Kind)
	}
	return out
}

// Readings of earlier days stay when another comes, and are joined to a logger's and to a forecast.
func TestHistoryOfAir(t *testing.T) {
	book := []diary.Entry{reading(1, 61*24, 8), reading(2, 50, 11), reading(3, 20, 12), entry(4, 19, diary.Reading, map[string]any{"wall_temp": 10.5}), reading(5, -2, 30)}
	now := &intake.Reading{Temp: 14, RH: 60}
	temps := func(s weather.Series) (out []float64) {
		for _, r := range s.Records {
			out = append(out, math.Round(10*r.Temperature.V)/10)
		}
		return out
	}
	d, since, _, err := asked(t, inRoom, intake.Request{Diary: book, Reading: now}, weather.Series{})
	if err != nil || !reflect.DeepEqual(temps(d.Ask.Air), []float64{11, 12, 14}) || len(since) > 0 || d.Reading.Temp != 14 || len(d.Ask.Faces) != 1 || !slices.Equal(kinds(d.Ask.Air), []weather.Kind{weather.Typed}) {
		t.Errorf("typed: %v, %v, asked %v, %+v", err, temps(d.Ask.Air), since, d.Ask.Faces)
	}
	told := told(60, 40, asking.Add(-2*time.Hour))
	d, since, _, err = asked(t, inRoom, intake.Request{Diary: book}, told)
	if err != nil || len(since) != 1 || d.Reading != nil || len(d.Ask.Air.Records) != len(told.Records)+2 || !slices.Equal(kinds(d.Ask.Air), []weather.Kind{weather.Past, weather.Typed, weather.Foretold}) {
		t.Errorf("none of today: %v, asked %v, %v", err, since, d.Ask.Air.Parts)
	}
	d, _, _, err = asked(t, noPlace, intake.Request{Diary: book}, told)
	if err != nil || !reflect.DeepEqual(temps(d.Ask.Air), []float64{11, 12}) || d.Reading == nil || d.Reading.Temp != 12 {
		t.Errorf("none of today, no place: %v, %v", err, temps(d.Ask.Air))
	}
	var none *intake.Error
	if _, _, _, err = asked(t, noPlace, intake.Request{Diary: book[:1]}, told); !errors.As(err, &none) || none.Reason != intake.NoPlace {
		t.Errorf("none at all: %v", err)
	}
	d, _, _, err = asked(t, inRoom, intake.Request{Diary: book, Logger: "-"}, told)
	if err != nil || !reflect.DeepEqual(temps(d.Ask.Air), []float64{11, 12, 13, 13.5}) || !slices.Equal(kinds(d.Ask.Air), []weather.Kind{weather.Typed, weather.Logged}) || d.Ask.Air.Source != "readings in standard input" {
		t.Errorf("logged: %v, %v of %s, %v", err, temps(d.Ask.Air), d.Ask.Air.Source, kinds(d.Ask.Air))
	}
}

// The weather is asked for from a week before the first thing seen of the coats on, as far back as it is told; a place whose height is not said
// is asked for without one.
func TestAsksSince(t *testing.T) {
	for _, tc := range []struct{ laid, want float64 }{{30, 198}, {90 * 24, 0}, {59 * 24, 66 * 24}} {
		d, since, place, err := asked(t, inRoom, intake.Request{Diary: []diary.Entry{event(1, tc.laid, 1, "laid"), event(2, 1, 1, "dry")}}, told(2, 40, asking))
		var want time.Time
		if tc.want > 0 {
			want = asking.Add(-time.Duration(tc.want) * time.Hour)
		}
		if err != nil || len(since) != 1 || !since[0].Equal(want) || !math.IsNaN(place.Altitude) || len(d.Seen) > 0 != (tc.want > 0) {
			t.Errorf("laid %g h ago: %v, since %v, altitude %g", tc.laid, err, since, place.Altitude)
		}
	}
	if d, since, place, err := asked(t, strings.Replace(inRoom, "lat", "altitude = 40\nlat", 1), intake.Request{Since: "coat1=laid@2026-04-12T15:10,dry@06:20"}, told(2, 40, asking)); err != nil || !since[0].Equal(asking.Add(-207*time.Hour-20*time.Minute)) || place.Altitude != 40 || len(d.Seen) != 2 {
		t.Errorf("%v, %v, %v", err, since, d.Seen)
	}
}

// A forecast is judged by the hours it covers, not by its age.
func TestForecastCovers(t *testing.T) {
	old := asking.Add(-9 * 24 * time.Hour)
	d, _, _, err := asked(t, inRoom, intake.Request{}, told(9*24, 40, old))
	if err != nil || !d.Ask.Air.Covers(asking) || len(d.Ask.Air.Notes) != 1 {
		t.Errorf("old: %v, %q", err, d.Ask.Air.Notes)
	}
	d, _, _, err = asked(t, inRoom, intake.Request{}, told(9*24, 8, old))
	if err != nil || !strings.Contains(strings.Join(d.Ask.Air.Notes, " "), "The forecast ends at 14:00, within the hours of today.") {
		t.Errorf("ends today: %v, %q", err, d.Ask.Air.Notes)
	}
	_, _, _, err = asked(t, inRoom, intake.Request{}, told(9*24, -30, old))
	var none *intake.Error
	if !errors.As(err, &none) || none.Reason != intake.NoWeather || err.Error() != "the forecast for a.toml, made 2026-04-05 06:30, ends 2026-04-13 00:00, before the moment of asking, 2026-04-14 06:30: ask again with a network, or give a reading with --temp and --rh" {
		t.Errorf("ended: %v", err)
	}
	if d, _, _, err = asked(t, inRoom, intake.Request{Reading: &intake.Reading{Temp: 14, RH: 60}, Source: intake.Any, Lenient: true}, told(9*24, -30, old)); err != nil || len(d.Ask.Air.Records) != 1 || d.Reading == nil {
		t.Errorf("ended, with a reading on the page: %v", err)
	}
}

// A base coat of a later day is refused.
func TestBase(t *testing.T) {
	base := strings.Replace(noPlace, "board\"\n", "board\"\nwet = 2026-04-15\n", 1)
	if _, _, _, err := asked(t, base, intake.Request{}, weather.Series{}); err == nil || !strings.Contains(err.Error(), "a.toml:4: the base coat was laid on 2026-04-15, which is after the moment of asking, 2026-04-14") {
		t.Errorf("%v", err)
	}
	if d, _, _, err := asked(t, strings.Replace(base, "04-15", "04-14", 1), intake.Request{Reading: &intake.Reading{Temp: 14, RH: 60}}, weather.Series{}); err != nil || !d.Job.BaseLaid.Equal(asking.Truncate(24*time.Hour)) {
		t.Errorf("%v, %v", err, d.Job.BaseLaid)
	}
}
