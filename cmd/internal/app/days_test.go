package app

import (
	"context"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/job"
	"limeday/drying"
	"limeday/drying/coat"
	"limeday/psychro"
	"limeday/weather"
)

// tale is a wall over days: its job, what its diary comes to hold, and the moments at which it is asked about.
type tale struct {
	name, job string
	zone      string
	from      string // the first moment of asking, by the clock
	hours     int    // how many moments, an hour apart
	every     int    // one in so many is asked and kept; each is asked under the study
	diary     string // lines of: moment, what, and its numbers
	weather   func(t time.Time) weather.Record
}

const taleClock = "2006-01-02 15:04"

// entries reads a tale's diary: "reading C % [wall C]", "wall C", or "laid|damp|gone|dry|notdamp|notgone|notdry coat".
func (x *tale) entries(t *testing.T, zone *time.Location) (out []diary.Entry) {
	t.Helper()
	for _, line := range strings.Split(strings.TrimSpace(x.diary), "\n") {
		f := strings.Fields(line)
		at, err := time.ParseInLocation(taleClock, f[0]+" "+f[1], zone)
		if err != nil {
			t.Fatal(err)
		}
		var n [3]float64
		for i, s := range f[3:] {
			if _, err := fmt.Sscan(s, &n[i]); err != nil {
				t.Fatal(err)
			}
		}
		e := diary.Entry{N: len(out) + 1, At: at, Written: at, Kind: diary.Reading}
		switch what := f[2]; what {
		case "reading":
			e.Data = map[string]any{"temp": n[0], "rh": n[1]}
			if len(f) > 5 {
				e.Data["wall_temp"] = n[2]
			}
		case "wall":
			e.Data = map[string]any{"wall_temp": n[0]}
		default:
			e.Kind, e.Data = diary.Event, map[string]any{"coat": n[0], "what": strings.TrimPrefix(what, "not")}
			if strings.HasPrefix(what, "not") {
				e.Data["looked"] = true
			}
		}
		if err := diary.Check(e); err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		out = append(out, e)
	}
	return out
}

// service tells the hours from since on and the seven days after now.
func (x *tale) service(now time.Time) func(context.Context, weather.Place, string, bool, time.Time) (weather.Series, error) {
	return func(_ context.Context, _ weather.Place, _ string, _ bool, since time.Time) (weather.Series, error) {
		made := now.Truncate(time.Hour)
		past := made.Truncate(24 * time.Hour).Add(-48 * time.Hour) // as the services have it
		if since.IsZero() || since.After(past) {
			since = past
		}
		s := weather.Series{Source: "invented weather", Issued: made, Fetched: now}
		for h := since.Truncate(24 * time.Hour); !h.After(made.Add(7 * 24 * time.Hour)); h = h.Add(time.Hour) {
			s.Records = append(s.Records, x.weather(h))
		}
		return s.Told(), nil
	}
}

// ask answers at a moment from what the diary held by then, as today --diary does.
func (x *tale) ask(t *testing.T, file *job.Job, held []diary.Entry, at time.Time) drying.Answer {
	t.Helper()
	in := &intake.Intake{Now: func() time.Time { return at }, Stdin: strings.NewReader("")}
	if x.weather != nil {
		in.Ask = x.service(at)
	}
	d, err := in.Day(t.Context(), intake.Request{File: file, Diary: held, Lenient: true})
	if err != nil {
		t.Fatalf("%s: %v", at.Format(taleClock), err)
	}
	set := drying.Bands{Members: 8, Seed: 1}
	if len(d.Seen) > 0 {
		a, err := drying.Resume(d.Walls[0], d.Ask, d.Seen, set)
		if err != nil {
			t.Fatalf("%s: %v", at.Format(taleClock), err)
		}
		return a
	}
	a, err := drying.Check(d.Walls[0], d.Ask)
	if err == nil {
		err = a.Band(d.Ask, set)
	}
	if err != nil {
		t.Fatalf("%s: %v", at.Format(taleClock), err)
	}
	return a
}

// short is an answer in a line.
func short(a drying.Answer) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s:", a.At.Format("Mon 02 15:04"), a.Verdict)
	for _, c := range a.Coats {
		due := string(c.Due)
		if c.Done {
			due = "laid"
		}
		lay := "never"
		if !c.Lay.IsZero() {
			lay = c.Lay.Format("02 15:04")
		}
		fmt.Fprintf(&b, " %d %s %s;", c.Number, due, lay)
	}
	if a.Verdict == drying.NoGo && len(a.Reasons) > 0 {
		fmt.Fprintf(&b, " %s;", a.Reasons[0].Code)
	}
	return strings.TrimSuffix(b.String(), ";")
}

// stands holds an answer to what no plan may break.
func stands(t *testing.T, a drying.Answer, laid map[int]time.Time) {
	t.Helper()
	when := a.At.Format(taleClock)
	for i, c := range a.Coats {
		if b := a.Coats[max(i-1, 0)]; i > 0 && (c.Lay.Before(b.Lay) || c.Lay.Equal(b.Lay) && c.Due != drying.NotBefore) {
			t.Errorf("%s: coat %d is laid at %s, not after the one before", when, c.Number, c.Lay.Format(taleClock))
		}
		if told, ok := laid[c.Number]; ok != c.Done || ok && !c.Lay.Equal(told) {
			t.Errorf("%s: coat %d stands at %s, done %t; told %s", when, c.Number, c.Lay.Format(taleClock), c.Done, told.Format(taleClock))
		}
		if c.Done {
			continue
		}
		from, to := a.Job.Hours.On(c.Lay)
		if c.Lay.Before(a.At) || c.Lay.Before(from) || !c.Lay.Before(to) || !a.Job.Hours.Works(c.Lay) {
			t.Errorf("%s: coat %d is planned at %s", when, c.Number, c.Lay.Format(taleClock))
		}
		if i > 0 {
			if b := a.Coats[i-1]; !b.Custom.IsZero() && c.Lay.Before(b.Custom) {
				t.Errorf("%s: coat %d is planned at %s, before the trade's wait is over at %s", when, c.Number, c.Lay.Format(taleClock), b.Custom.Format(taleClock))
			}
		}
	}
	if n := len(a.Coats); a.Verdict != drying.NoGo && n < len(a.Job.Coats) && !math.IsInf(a.Coats[n-1].Times.Dry, 1) {
		t.Errorf("%s: %s, and only %d of %d coats are planned", when, a.Verdict, n, len(a.Job.Coats))
	}
}

// shift is what moved between two answers: a lay by a minute, an event by more than half a percent and 5 s after laying.
func shift(was, is drying.Answer) (lays, events []int) {
	for i := range min(len(was.Coats), len(is.Coats)) {
		a, b := was.Coats[i], is.Coats[i]
		if a.Lay.Sub(b.Lay).Abs() >= time.Minute {
			lays = append(lays, a.Number)
			continue
		}
		if a.Due == drying.NotBefore || b.Due == drying.NotBefore {
			continue // nothing is told of it after laying
		}
		for _, v := range [][2]float64{{a.Times.Opens, b.Times.Opens}, {a.Times.Burnish, b.Times.Burnish}, {a.Times.Closes, b.Times.Closes}, {a.Times.Dry, b.Times.Dry}} {
			if math.IsInf(v[0], 1) != math.IsInf(v[1], 1) || math.Abs(v[0]-v[1]) > 0.005*v[0]+5 {
				events = append(events, a.Number)
				break
			}
		}
	}
	return lays, events
}

// within tells whether the events of a coat lie in the band that was told of them before, one grain wider.
func within(was, is drying.CoatPlan) bool {
	ok := func(low, high, now float64) bool {
		return math.IsInf(now, 1) || now > low*0.9-300 && now < high*1.1+300
	}
	return ok(was.Soonest.Opens, was.Slowest.Opens, is.Times.Opens) && ok(was.Soonest.Dry, was.Slowest.Dry, is.Times.Dry)
}

// run asks at each moment, holds the answers to one another, and compares them with those kept.
func (x *tale) run(t *testing.T) {
	zone, err := time.LoadLocation(x.zone)
	if err != nil {
		t.Fatal(err)
	}
	file, err := job.Parse(x.name+".toml", []byte(x.job), intake.Names())
	if err != nil {
		t.Fatal(err)
	}
	begin, err := time.ParseInLocation(taleClock, x.from, zone)
	if err != nil {
		t.Fatal(err)
	}
	every, hourly := x.every, thinned == 1
	if hourly { // what must hold, without the answers kept
		every = 1
	}
	all := x.entries(t, zone)
	golden := "testdata/days/" + x.name + ".txt"
	kept, err := os.ReadFile(golden)
	if err != nil && !*update {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(kept)), "\n")
	var out []string
	var was drying.Answer
	held, slowest := 0, time.Duration(0)
	for h := 0; h < x.hours; h += every {
		at := begin.Add(time.Duration(h) * time.Hour)
		n := held
		laid := map[int]time.Time{}
		var news []string
		for i, e := range all {
			if e.At.After(at) {
				break
			}
			n = i + 1
			if e.Text("what") == "laid" {
				c, _ := e.Number("coat")
				laid[int(c)] = e.At
			}
			if i >= held {
				what := string(e.Kind)
				if e.Kind == diary.Event {
					c, _ := e.Number("coat")
					what = fmt.Sprintf("coat %.0f %s", c, e.Text("what"))
					if e.Flag("looked") {
						what += ", not yet"
					}
				} else if _, ok := e.Number("temp"); !ok {
					what = "wall"
				}
				news = append(news, what)
			}
		}
		held = n
		begun := time.Now()
		is := x.ask(t, file, all[:n], at)
		slowest = max(slowest, time.Since(begun))
		stands(t, is, laid)
		line := short(is)
		if h > 0 {
			lays, events := shift(was, is)
			line += x.explained(t, was, is, lays, events, news)
		}
		out = append(out, line)
		was = is
		if n := len(out); !*update && !hourly && (n > len(lines) || line != lines[n-1]) {
			t.Errorf("is   %s\nwas  %s", line, append(lines, make([]string, n)...)[n-1])
		}
	}
	t.Logf("%d moments, the slowest answered in %s", len(out), slowest.Round(time.Millisecond))
	if *update && !hourly {
		if err := os.MkdirAll("testdata/days", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(golden, []byte(strings.Join(out, "\n")+"\n"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// explained says what moved and by what, and faults what moved by nothing.
func (x *tale) explained(t *testing.T, was, is drying.Answer, lays, events []int, news []string) string {
	t.Helper()
	if len(lays)+len(events) == 0 && len(news) == 0 {
		return ""
	}
	why := strings.Join(news, ", ")
	overdue := time.Time{}
	for _, c := range was.Coats {
		if !c.Done && c.Lay.Before(is.At) {
			overdue = c.Lay
			break
		}
	}
	if len(news) == 0 {
		switch {
		case !overdue.IsZero():
			why = "overdue"
		case was.At.YearDay() != is.At.YearDay():
			why = "another day"
		case x.weather != nil && !is.Known.End.Equal(was.Known.End):
			why = "the forecast reaches further"
		}
	}
	for _, n := range lays { // on the day itself its starts are tried, for the best of them
		if b := is.Coats[n-1].Lay; len(news) == 0 && overdue.IsZero() && was.Coats[n-1].Due != drying.NotBefore && why != "another day" {
			t.Errorf("%s: coat %d moved from %s to %s (%s)", is.At.Format(taleClock), n, was.Coats[n-1].Lay.Format(taleClock), b.Format(taleClock), why)
		}
	}
	for _, n := range events {
		a, b := was.Coats[n-1], is.Coats[n-1]
		if len(news) == 0 && (a.Done || overdue.IsZero()) {
			t.Errorf("%s: times of coat %d moved: %s", is.At.Format(taleClock), n, timesMoved(a.Times, b.Times))
		}
		if was.Banded && a.Slowest.Dry > 0 && !within(a, b) {
			why += fmt.Sprintf(", coat %d out of its band", n)
		}
	}
	said := ""
	if len(lays) > 0 {
		said += fmt.Sprintf(" lay of %v", lays)
	}
	if len(events) > 0 {
		said += fmt.Sprintf(" times of %v", events)
	}
	if said == "" {
		said = " nothing moved"
	}
	return " |" + said + ": " + why
}

func timesMoved(a, b coat.Times) string {
	return fmt.Sprintf("opens %.0f -> %.0f, burnish %.0f -> %.0f, gone by %.0f -> %.0f, dry %.0f -> %.0f", a.Opens, b.Opens, a.Burnish, b.Burnish, a.Closes, b.Closes, a.Dry, b.Dry)
}

// TestBathroomOverDays: a bathroom of four coats, asked about through five days from a diary that grows.
func TestBathroomOverDays(t *testing.T) {
	(&tale{name: "bathroom", zone: "Europe/Dublin", from: "2026-04-13 06:30", hours: 5*24 - 8, every: 3,
		job: `[place]
name = "Bathroom, Weir Cottage"
zone = "Europe/Dublin"
altitude = "40m"
[room]
volume = "16m3"
air_changes = 0.8
[[wall]]
height = "2.4m"
width = "2.6m"
[[layer]]
background = "cement-board"
[[coat]]
finish = "grit-primer"
thickness = "0.5mm"
[[coat]]
finish = "marble-coat"
thickness = "1mm"
[[coat]]
finish = "polished-lime"
thickness = "0.2mm"
[[coat]]
finish = "polished-lime"
thickness = "0.1mm"
[hours]
from = "08:00"
to = "17:00"
days = "Mon-Fri"
`,
		diary: `
2026-04-13 06:25 reading 16.0 62
2026-04-13 07:40 wall 15.2
2026-04-13 08:04 laid 1
2026-04-13 12:30 reading 16.4 63
2026-04-14 07:20 reading 15.8 61
2026-04-14 08:12 laid 2
2026-04-14 12:20 reading 16.2 64
2026-04-14 16:40 notdry 2
2026-04-15 07:10 reading 16.0 62
2026-04-15 15:44 laid 3
2026-04-16 07:15 reading 15.7 63
2026-04-16 08:14 laid 4
2026-04-16 08:20 notdamp 4
2026-04-16 12:10 reading 16.2 64
2026-04-17 07:25 reading 16.1 61
`}).run(t)
}

// facadeAir is three weeks of invented weather: mild, rain on the second Tuesday, and a cold clear night after it.
func facadeAir(t time.Time) weather.Record {
	begin := time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC)
	h := t.Sub(begin).Hours()
	day, hour := int(math.Floor(h/24)), math.Mod(h+24*100, 24)
	fc := func(v float64) weather.Value { return weather.Value{V: v, Tag: weather.Forecast} }
	temp, cloud, rain, wind := 12+5*math.Sin(2*math.Pi*(hour-9)/24)+1.5*math.Sin(float64(day)), 0.4, 0.0, 2.0
	switch {
	case day == 8 && hour >= 6 && hour < 18:
		temp, cloud, rain, wind = temp-3, 1, 1.5, 5
	case day == 9 && (hour < 7 || hour > 20):
		temp, cloud, wind = temp-6, 0, 0.5
	case day%4 == 1:
		cloud = 0
	}
	dew := 6 + 1.5*math.Sin(float64(day))
	vapour := math.Min(float64(psychro.SaturationWater(psychro.Celsius(dew))), 0.97*float64(psychro.SaturationWater(psychro.Celsius(temp))))
	return weather.Record{Time: t, Temperature: fc(temp), Vapour: fc(vapour), Wind: fc(wind), WindFrom: fc(220), Cloud: fc(cloud), Rain: fc(rain)}
}

// TestFacadeOverDays: a facade of render in two coats and a finish coat, asked about through three weeks, each time with the
// hours gone by and a forecast of seven days.
func TestFacadeOverDays(t *testing.T) { facade().run(t) }

func facade() *tale {
	return &tale{name: "facade", zone: "Europe/Dublin", from: "2026-05-04 06:30", hours: 21 * 24, every: 12, weather: facadeAir,
		job: `[place]
name = "Street front, Weir Cottage"
zone = "Europe/Dublin"
lat = 53.0
lon = -7.0
altitude = "40m"
[[wall]]
name = "front"
bearing = "S"
height = "5m"
width = "6m"
shelter = 0.5
[[layer]]
background = "brick"
damped = true
[[coat]]
finish = "nhl-render"
thickness = "8mm"
[[coat]]
finish = "nhl-render"
thickness = "5mm"
[[coat]]
finish = "nhl-render"
thickness = "3mm"
[hours]
from = "07:30"
to = "17:00"
days = "Mon-Fri"
`,
		diary: `
2026-05-04 08:10 laid 1
2026-05-07 07:41 laid 2
2026-05-13 08:02 laid 3
`}
}
