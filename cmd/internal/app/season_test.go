package app

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/rivo/uniseg"
	"pgregory.net/rapid"

	"limeday/cmd/internal/calendar"
	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
	"limeday/drying/season"
	"limeday/weather"
)

// halfMonth is the i-th of a year, from January or July.
func halfMonth(i int, south bool) (from, to season.MonthDay) {
	m := i / 2
	if south {
		m += 6
	}
	month := time.Month(m%12 + 1)
	if i%2 == 0 {
		return season.MonthDay{Month: month, Day: 1}, season.MonthDay{Month: month, Day: 15}
	}
	return season.MonthDay{Month: month, Day: 16}, season.MonthDay{Month: month, Day: time.Date(2023, month+1, 0, 0, 0, 0, 0, time.UTC).Day()}
}

// inventedSeason is invented: ten years at two walls, with a summer in the middle of the year's axis.
func inventedSeason(south bool) season.Result {
	zone := time.FixedZone("there", 3600)
	r := season.Result{Place: weather.Place{Name: "Lodge, Copse Lane", Lat: 52.1, Lon: -1.5, Altitude: 85}, Zone: zone, Source: "Invented weather (a file)",
		Notes: []string{"nothing of it ever was"}, South: south, Need: 3, Starts: []time.Duration{8 * time.Hour, 11 * time.Hour}}
	for y := 2015; y < 2025; y++ {
		r.Years = append(r.Years, y)
	}
	for k, name := range []string{"gable", "lane side"} {
		w := season.Wall{Name: name, Bearing: 180 - 135*float64(k), Lays: 7300}
		for i := range 24 {
			likely := math.Round(1000*max(0, 0.97-math.Pow((float64(i)-11.5)/9, 2))) / 1000
			p := season.Period{Days: 150, Workable: season.Spread{Low: likely * 0.75, Likely: likely, High: min(1, likely*1.25)}, Care: likely / 4,
				ByStart: []float64{likely * 0.9, likely / 2}, Best: 0, Good: int(150 * likely), Run: likely,
				Opens: season.Spread{Low: 20, Likely: 30, High: 45}, Closes: season.Spread{Low: 150, Likely: 200, High: 400}, Window: season.Spread{Low: 100, Likely: 150, High: 330}}
			p.From, p.To = halfMonth(i, south)
			why := season.Cold
			if i > 6 && i < 18 {
				why = season.Rain
			}
			p.Lost = []season.Lost{{Why: why, Share: 0.75 * (1 - likely)}, {Why: season.Hours, Share: 0.25 * (1 - likely)}}
			if likely == 0 {
				p.Best, p.Good = -1, 0
			}
			if i == 20 {
				p = season.Period{From: p.From, To: p.To, Days: 150, Best: -1, ByStart: []float64{0, 0}, Lost: []season.Lost{{Why: season.NoData, Share: 1}}}
			}
			w.Periods = append(w.Periods, p)
		}
		spring, autumn := time.April, time.September
		next := 0
		if south {
			spring, autumn, next = time.October, time.March, 1
		}
		w.Frost = season.FrostSafe{Finish: "nhl-render", Days: [3]float64{14, 28, 45}, Safe: []season.Share{
			{First: season.MonthDay{Month: spring, Day: 24}, Last: season.MonthDay{Month: autumn, Day: 18 - k}, Share: 0.9},
			{First: season.MonthDay{Month: spring, Day: 8}, Last: season.MonthDay{Month: autumn, Day: 28}, Share: 0.5}}}
		for i, y := range r.Years {
			f := season.YearFrost{Year: y, First: time.Date(y, spring, 2+2*i, 0, 0, 0, 0, zone), Last: time.Date(y+next, autumn, 12+i, 0, 0, 0, 0, zone), Physics: 60 + i, Rule: 20}
			if i == 4 {
				f.First, f.Last = time.Time{}, time.Time{}
			}
			f.Open = i == 9
			w.Frost.Years = append(w.Frost.Years, f)
		}
		r.Walls = append(r.Walls, w)
	}
	return r
}

// inventedTypical is the same as a typical year without rain.
func inventedTypical() season.Result {
	r := inventedSeason(false)
	r.Typical, r.Years, r.Lacks = true, r.Years[:1], []string{"wind direction", "rain"}
	for i := range r.Walls {
		r.Walls[i].Frost.Safe, r.Walls[i].Frost.Years = nil, r.Walls[i].Frost.Years[:1]
		for k := range r.Walls[i].Periods {
			p := &r.Walls[i].Periods[k]
			p.Workable = season.Spread{Low: p.Workable.Likely, Likely: p.Workable.Likely, High: p.Workable.Likely}
		}
	}
	return r
}

func TestSeasonText(t *testing.T) {
	many, typical := inventedSeason(false), inventedTypical()
	never, always := inventedSeason(true), inventedSeason(false)
	for i := range never.Walls {
		never.Walls[i].Frost.Never, never.Walls[i].Frost.Safe = true, nil
		always.Walls[i].Frost.Always, always.Walls[i].Frost.Safe = true, nil
	}
	none, few, unsized := inventedSeason(false), inventedSeason(false), inventedSeason(false)
	none.Walls[0].Frost.Safe[0].None = true
	few.Years = few.Years[:2]
	unsized.Need = 0
	plain := func(r season.Result) string { return seasonText(r, quantity.Metric, false) }
	for _, tc := range []struct{ name, text, want string }{
		{"head", plain(many), `^Lodge, Copse Lane: the season, from 10 years, 2015 to 2024\n\nFrost-safe to lay \(nhl-render\):\n`},
		{"each wall its dates", plain(many), `  gable, looking south\n  in 9 years of 10      24 Apr to 18 Sep\n  in half the years     8 Apr to 28 Sep\n  lane side, looking north-east\n  in 9 years of 10      24 Apr to 17 Sep\n`},
		{"advice", plain(many), `Published advice varies: no frost for 14 to 45 days after laying, longer in\n  the cold; 28 here\.`},
		{"advice and model", plain(many), `about 65 are followed by frost .*\n.*advice rules\n?\s+out 20 more`},
		{"a half-month", plain(many), `\n16-30 Jun  73     97  100  08:00  20-45 min 1\.5-5\.5 h  rain 2\n`},
		{"not known", plain(many), `\n1-15 Nov           \?       -      -         -          weather not known 100\n`},
		{"walls", plain(many), `Walls +gable, looking south: about 171 days a year can be worked; eight in ten\n +or more: 1 May to 31 Aug; frost-safe 24 Apr to 18 Sep\n`},
		{"run", plain(many), `Run      the job wants 3 workable days in a row; on gable they can begin, in 9\n +years of 10: 1 Jun to 31 Jul; in half the years: 1 Apr to 30 Sep\n`},
		{"from", plain(many), `From     Invented weather \(a file\), 10 years, 2015 to 2024, for 52\.10 N, 1\.50 W,\n +85 m; 14600 lays worked out\n`},
		{"cautions", plain(many), `(?s)No warranty against frost\.\n.*Danger   Wet lime burns`},
		{"typical", plain(typical), `(?s)from a typical year\n.*no frost odds are drawn from it.*ISO\s+15927-4.*extremes that do moisture damage`},
		{"no rain", plain(typical), `(?s)\nRain     never or hardly ever told in this weather, and that is not taken for\s+dry`},
		{"lacking", plain(typical), `\nLacking  wind direction: estimated or left out\n`},
		{"no frost", plain(never), `\n  No frost of air or wall in these years\.\n`},
		{"south", plain(never), `from 10 years, 2015/16 to 2024/25\n(?s).*lost to\n1-15 Jul .*\n16-30 Jun `},
		{"never safe", plain(always), `\n  No safe day: frost comes before the wall may have any, whenever it is laid, or\n`},
		{"no day in nine", plain(none), `\n  in 9 years of 10      no safe day\n  in half the years     8 Apr to 28 Sep\n`},
		{"few years", plain(few), `\n  From 2 years only: too few for such odds to be counted on\.\n`},
		{"no size", plain(unsized), `Run      how many days in a row the job wants is not known`},
		{"years", seasonText(many, quantity.US, true), `\n  2015     2 Apr    12 Sep                         60           20\n(?s).*\n  2019     no safe  day .*\n  2024     20 Apr   21 Sep, weather ends .*for 52\.10 N, 1\.50 W,\n +279 ft`},
	} {
		if !regexp.MustCompile(tc.want).MatchString(tc.text) || regexp.MustCompile(`NaN|Inf|%!`).MatchString(tc.text) {
			t.Errorf("%s: %s is not in\n%s", tc.name, tc.want, tc.text)
		}
	}
	for _, bad := range []string{"in 9 years", "2015", "low"} {
		if strings.Contains(plain(typical), bad+" ") {
			t.Errorf("odds of a typical year: %q in\n%s", bad, plain(typical))
		}
	}
	if detail := seasonText(many, quantity.Metric, true); strings.Count(detail, "lost to") != 2 || strings.Count(detail, "freeze wet") != 2 {
		t.Errorf("--detail has not every wall:\n%s", detail)
	}
}

// anySeason draws a result as drying/season could give it, and some that it could not.
func anySeason(t *rapid.T) season.Result {
	words := rapid.OneOf(rapid.SampledFrom([]string{"", "gable", "a wall with a name that is longer than any that people give to walls, and then some more"}), rapid.String())
	share := rapid.OneOf(rapid.Float64Range(0, 1), rapid.SampledFrom([]float64{0, 1, 0.5, 0.9}))
	spread := func(name string, most float64) season.Spread {
		x := []float64{rapid.Float64Range(0, most).Draw(t, name), rapid.Float64Range(0, most).Draw(t, name), rapid.Float64Range(0, most).Draw(t, name)}
		slices.Sort(x)
		return season.Spread{Low: x[0], Likely: x[1], High: x[2]}
	}
	monthDay := rapid.Custom(func(t *rapid.T) season.MonthDay {
		return season.MonthDay{Month: time.Month(rapid.IntRange(1, 12).Draw(t, "month")), Day: rapid.IntRange(1, 28).Draw(t, "day")}
	})
	r := season.Result{Place: weather.Place{Name: words.Draw(t, "place"), Lat: rapid.Float64Range(-90, 90).Draw(t, "lat")}, Zone: time.UTC, Source: words.Draw(t, "source"),
		Credit: words.Draw(t, "credit"), Notes: rapid.SliceOfN(words, 0, 5).Draw(t, "notes"), Typical: rapid.Bool().Draw(t, "typical"), South: rapid.Bool().Draw(t, "south"),
		Lacks: rapid.SampledFrom([][]string{nil, {"rain"}, {"wind", "rain"}, {"radiation", "cloud", "wind", "wind direction"}}).Draw(t, "lacks"), Need: rapid.IntRange(0, 40).Draw(t, "need")}
	for y := range rapid.IntRange(0, 40).Draw(t, "years") {
		r.Years = append(r.Years, 1984+y)
	}
	for i := range rapid.IntRange(1, 8).Draw(t, "starts") {
		r.Starts = append(r.Starts, time.Duration(6+i)*time.Hour)
	}
	for range rapid.IntRange(0, 4).Draw(t, "walls") {
		w := season.Wall{Name: words.Draw(t, "wall"), Bearing: rapid.Float64Range(0, 359.99).Draw(t, "bearing"), Lays: rapid.IntRange(0, 1e6).Draw(t, "lays")}
		var some []season.Period
		for range 3 {
			p := season.Period{Days: rapid.IntRange(0, 640).Draw(t, "days"), Workable: spread("workable", 1), Care: share.Draw(t, "care"), Best: rapid.IntRange(-1, len(r.Starts)-1).Draw(t, "best"),
				Opens: spread("opens", 2880), Closes: spread("closes", 9000), Window: spread("window", 200), Good: rapid.IntRange(0, 3).Draw(t, "good"), Run: share.Draw(t, "run")}
			for range r.Starts {
				p.ByStart = append(p.ByStart, share.Draw(t, "by start"))
			}
			for _, why := range season.Whys() {
				if rapid.Bool().Draw(t, "lost") {
					p.Lost = append(p.Lost, season.Lost{Why: why, Share: share.Draw(t, "lost share")})
				}
			}
			some = append(some, p)
		}
		for i := range 24 {
			p := some[i%len(some)]
			p.From, p.To = halfMonth(i, r.South)
			w.Periods = append(w.Periods, p)
		}
		w.Frost = season.FrostSafe{Finish: words.Draw(t, "finish"), Days: [3]float64{14, 28, 45}, Never: rapid.Bool().Draw(t, "never"), Always: rapid.Bool().Draw(t, "always")}
		if !r.Typical {
			for _, s := range []float64{0.9, 0.5} {
				w.Frost.Safe = append(w.Frost.Safe, season.Share{First: monthDay.Draw(t, "first"), Last: monthDay.Draw(t, "last"), Share: s, None: rapid.Bool().Draw(t, "none")})
			}
		}
		for _, y := range r.Years {
			f := season.YearFrost{Year: y, Open: rapid.Bool().Draw(t, "open"), Physics: rapid.IntRange(0, 366).Draw(t, "physics"), Rule: rapid.IntRange(0, 366).Draw(t, "rule")}
			if rapid.Bool().Draw(t, "safe") {
				f.First = time.Date(y, 1, rapid.IntRange(1, 200).Draw(t, "from"), 0, 0, 0, 0, time.UTC)
				f.Last = f.First.AddDate(0, 0, rapid.IntRange(0, 164).Draw(t, "for"))
			}
			w.Frost.Years = append(w.Frost.Years, f)
		}
		r.Walls = append(r.Walls, w)
	}
	return r
}

const periodFields = "best_start care_share closes_min closes_min_earliest closes_min_latest days from opens_min opens_min_earliest opens_min_latest reasons run_share to" +
	" window_min window_min_high window_min_low workable_share workable_share_by_start workable_share_high workable_share_low"

// Whatever the result: the text fits, the JSON has its fields and no null for a list, the CSV is a table, the calendar and the
// picture are written.
func TestAnySeasonResult(t *testing.T) {
	monthDay, now := regexp.MustCompile(`^\d\d-\d\d$`), time.Date(2026, 2, 28, 12, 0, 0, 0, time.UTC)
	rapid.Check(t, func(t *rapid.T) {
		r := anySeason(t)
		for _, detail := range []bool{false, true} {
			for _, line := range strings.Split(seasonText(r, rapid.SampledFrom([]quantity.Units{quantity.Metric, quantity.US}).Draw(t, "units"), detail), "\n") {
				if n := uniseg.StringWidth(line); n > width || strings.TrimRight(line, " ") != line || oneLine(line) != line {
					t.Fatalf("%d columns: %q", n, line)
				}
			}
		}
		data, err := json.Marshal(answerSeason(r))
		if err != nil {
			t.Fatal(err)
		}
		var a map[string]any
		if err := json.Unmarshal(data, &a); err != nil {
			t.Fatal(err)
		}
		if got := keys(a); got != "assumed bearing_deg frost_safe lays need_days periods place schema starts wall walls weather year_begins" || a["schema"] != "limeday.season/1" {
			t.Fatalf("fields %s", got)
		}
		walls := a["walls"].([]any)
		if len(walls) != len(r.Walls) || len(walls) > 0 && !equalJSON(walls[0].(map[string]any)["periods"], a["periods"]) {
			t.Fatalf("%d walls, the first not at the top", len(walls))
		}
		for _, w := range append(walls, a) {
			w := w.(map[string]any)
			for _, p := range w["periods"].([]any) {
				p := p.(map[string]any)
				if keys(p) != periodFields || !monthDay.MatchString(p["from"].(string)) || !monthDay.MatchString(p["to"].(string)) {
					t.Fatalf("%v", p)
				}
				_, _ = p["reasons"].([]any), p["workable_share_by_start"].([]any) // panics on null
			}
			f := w["frost_safe"].(map[string]any)
			if keys(f) != "finish first frost_free_days last no_frost no_safe_day share shares years" || f["first"] != nil && !monthDay.MatchString(f["first"].(string)) || r.Typical && f["share"] != nil {
				t.Fatalf("%v", f)
			}
			_, _ = f["shares"].([]any), f["years"].([]any)
		}
		var table bytes.Buffer
		if err := seasonCSV(&table, r); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&table).ReadAll()
		if err != nil || len(rows) != 1+24*len(r.Walls) {
			t.Fatalf("%d rows, %v", len(rows), err)
		}
		if err := calendar.Write(io.Discard, seasonCalendar(r, now)); err != nil {
			t.Fatal(err)
		}
		if err := drawing.SeasonSVG(io.Discard, seasonDrawing(r)); err != nil {
			t.Fatal(err)
		}
	})
}

func equalJSON(a, b any) bool {
	x, _ := json.Marshal(a)
	y, _ := json.Marshal(b)
	return bytes.Equal(x, y)
}

func TestSeasonJSON(t *testing.T) {
	a := answerSeason(inventedSeason(true))
	p, unknown := a.Periods[11], a.Periods[20]
	if a.YearBegins != "07-01" || a.Periods[0].From != "07-01" || *a.Need != 3 || a.Wall != "gable" || a.Starts[1] != "11:00" {
		t.Errorf("%+v", a)
	}
	if *p.Workable != 0.967 || *p.WorkableLow >= *p.Workable || *p.Opens != 30 || *p.Closes != 200 || *p.BestStart != "08:00" || p.Reasons[0].Code != "rain" || p.Reasons[1].Code != "window-past-the-hours" {
		t.Errorf("%+v", p)
	}
	if unknown.Workable != nil || unknown.Opens != nil || unknown.BestStart != nil || unknown.Run != nil || len(unknown.ByStart) != 0 || unknown.Reasons[0].Code != "weather-not-known" {
		t.Errorf("%+v", unknown)
	}
	f := a.FrostSafe
	if *f.First != "10-24" || *f.Last != "03-18" || *f.Share != 0.9 || *f.Shares[1].First != "10-08" || f.Years[4].First != nil || *f.Years[0].First != "2015-10-02" || !f.Years[9].Open {
		t.Errorf("%+v", f)
	}
	if t2 := answerSeason(inventedTypical()).FrostSafe; t2.First != nil || t2.Share != nil || len(t2.Shares) != 0 {
		t.Errorf("%+v", t2)
	}
}

// The CSV holds the same numbers as the JSON, and nothing where nothing is known.
func TestSeasonCSV(t *testing.T) {
	var b bytes.Buffer
	r := inventedSeason(false)
	if err := seasonCSV(&b, r); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil || len(rows) != 49 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	get := func(row int, name string) string {
		i := slices.Index(rows[0], name)
		if i < 0 {
			t.Fatalf("no column %s in %v", name, rows[0])
		}
		return rows[row][i]
	}
	for name, want := range map[string]string{"wall": "gable", "bearing_deg": "180", "from": "06-16", "to": "06-30", "workable_share": "0.967", "workable_share_1100": "0.4835", "best_start": "08:00",
		"opens_min": "30", "closes_min_latest": "400", "window_min_low": "100", "run_share": "0.967", "lost_rain_share": "0.0248", "lost_cold_share": "0", "lost_window_past_the_hours_share": "0.0083"} {
		if got := get(12, name); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
	if get(21, "workable_share") != "" || get(21, "opens_min") != "" || get(21, "lost_weather_not_known_share") != "1" || get(48, "wall") != "lane side" {
		t.Errorf("%v", rows[21])
	}
}

// Dates are entered once, for the next time that they come, and stay the same events when they are asked for again.
func TestSeasonCalendar(t *testing.T) {
	now := time.Date(2026, 4, 24, 23, 30, 0, 0, time.FixedZone("there", 3600))
	d := seasonCalendar(inventedSeason(false), now)
	var got []string
	for _, e := range d.Events {
		if !e.Whole || !strings.Contains(e.Note, "no warranty") || !strings.Contains(e.Note, "10 years, 2015 to 2024 of Invented weather") {
			t.Errorf("%+v", e)
		}
		got = append(got, e.Start.Format("2006-01-02 ")+e.Title)
	}
	want := []string{"2026-04-24 First frost-safe day to lay, in 9 years of 10", "2026-09-17 Last frost-safe day to lay, in 9 years of 10: lane side",
		"2026-09-18 Last frost-safe day to lay, in 9 years of 10: gable", "2026-09-28 Last frost-safe day to lay, in half the years", "2027-04-08 First frost-safe day to lay, in half the years"}
	if !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
	keysOf := func(d calendar.Day) (k []string) {
		for _, e := range d.Events {
			k = append(k, e.Key)
		}
		return k
	}
	if again := seasonCalendar(inventedSeason(false), now.AddDate(0, 0, -3)); !slices.Contains(keysOf(again), keysOf(d)[1]) {
		t.Errorf("%v, then %v", keysOf(again), keysOf(d))
	}
	never := inventedSeason(false)
	for i := range never.Walls {
		never.Walls[i].Frost.Never = true
	}
	for _, r := range []season.Result{never, inventedTypical(), {}} {
		if e := seasonCalendar(r, now).Events; len(e) != 0 {
			t.Errorf("%v", e)
		}
	}
	if got := coming(season.MonthDay{Month: time.February, Day: 29}, time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)).Format(time.DateOnly); got != "2027-02-28" {
		t.Error(got)
	}
}

func TestSeasonDrawing(t *testing.T) {
	d := seasonDrawing(inventedSeason(true))
	if d.Says != "Frost-safe to lay 24 Oct to 18 Mar, in 9 years of 10." || d.From != "Invented weather, 10 years, 2015/16 to 2024/25" || !d.July || len(d.Maps) != 3 || len(d.Maps[2].Rows) != 2 {
		t.Errorf("%+v", d)
	}
	if b := d.Band; len(b.Years) != 10 || b.Years[0].Label != "15/16" || !b.Years[4].None || !b.Years[9].Open || len(b.Lines) != 4 || b.Lines[0].Says != "9 years of 10: from 24 Oct" || !b.Lines[3].Usual || !b.Lines[3].End {
		t.Errorf("%+v", b)
	}
	if s := d.Maps[0].Rows[0].Shares; s[11] != 0.967 || !math.IsNaN(s[20]) || d.Maps[1].Rows[1].Shares[11] != 0.967/2 {
		t.Errorf("%v", s)
	}
	typical := seasonDrawing(inventedTypical())
	if len(typical.Band.Years) != 0 || !strings.Contains(fmt.Sprint(typical.Band.Notes), "no frost odds") || !strings.Contains(typical.From, "rain is not known") {
		t.Errorf("%+v", typical)
	}
}

// tellSeason answers as the command does, from a result.
func tellSeason(ctx context.Context, asJSON bool, args map[string]string, r season.Result) (out, errs string, err error) {
	var o, e bytes.Buffer
	now := func() time.Time { return time.Date(2026, 4, 14, 5, 30, 0, 0, time.UTC) }
	inv := &invocation{Env: Env{Now: now}, Out: &o, Notes: &e, JSON: asJSON}
	fs := newFlags("season")
	f := seasonFlags{files: addSeasonFiles(fs)}
	for name, v := range args {
		if err := fs.Set(name, v); err != nil {
			return "", "", err
		}
	}
	err = f.tell(ctx, inv, r, &job.Job{}, []string{"hours 08:00 to 17:00"}, false)
	return o.String(), e.String(), err
}

func TestSeasonFiles(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	all := map[string]string{"picture": in("a.svg"), "csv": in("a.csv"), "calendar": in("a.ics")}
	out, errs, err := tellSeason(context.Background(), true, all, inventedSeason(false))
	if err != nil || !strings.HasPrefix(out, "{") || !strings.Contains(out, `"hours 08:00 to 17:00"`) || strings.Count(errs, "\n") != 3 {
		t.Fatalf("%v, %q", err, errs)
	}
	for name, want := range map[string][]string{
		"a.svg": {"<svg xmlns", "<style>", "no safe day", `class="share"`, "from 24 Apr"},
		"a.csv": {"wall,bearing_deg,from,to", "gable,180,06-16,06-30,150,"},
		"a.ics": {"DTSTAMP:20260414T053000Z\r\n", "DTSTART;VALUE=DATE:20260424\r\n", "SUMMARY:First frost-safe day to lay\\, in 9 years of 10\r\n"},
	} {
		b, err := os.ReadFile(in(name))
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range want {
			if !strings.Contains(string(b), w) {
				t.Errorf("%q is not in %s", w, name)
			}
		}
	}
	if _, _, err = tellSeason(context.Background(), false, all, inventedSeason(false)); err == nil || !strings.Contains(err.Error(), "it exists and is left as it is") {
		t.Errorf("written over: %v", err)
	}
	_, errs, err = tellSeason(context.Background(), false, map[string]string{"calendar": in("b.ics")}, inventedTypical())
	if _, serr := os.Stat(in("b.ics")); err != nil || serr == nil || !strings.Contains(errs, "No calendar: there are no frost-safe dates") {
		t.Errorf("%v, %q", err, errs)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err = tellSeason(ctx, false, map[string]string{"picture": in("c.svg")}, inventedSeason(false)); err == nil {
		t.Error("not interrupted")
	}
	if left, _ := filepath.Glob(in("*")); len(left) != 3 {
		t.Errorf("left: %v", left)
	}
}

// What is wrong is refused before anything is worked out, in one sentence.
func TestSeasonRefuses(t *testing.T) {
	dir := t.TempDir()
	put := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	gable, room := put("gable.toml", gableJob), put("room.toml", "[room]\n[[layer]]\nbackground = \"primed-board\"\n[[coat]]\nfinish = \"polished-lime\"\nthickness = \"0.1mm\"\n")
	for _, tc := range []struct {
		args []string
		says string
		code int
	}{
		{nil, "season needs a job file", ExitUsage},
		{[]string{"-", "--weather", "-"}, "cannot both come from standard input", ExitUsage},
		{[]string{room, "--weather", "x.epw"}, "season is for walls outdoors", ExitBadInput},
		{[]string{gable, "--weather", "x.epw", "--offline"}, "give one or the other", ExitUsage},
		{[]string{gable, "--weather", "x.epw", "--source", "power"}, "give one or the other", ExitUsage},
		{[]string{gable, "--weather", "x.epw", "--weather", "x.epw"}, "x.epw is given twice", ExitUsage},
		{[]string{gable, "--weather", ""}, "it is empty", ExitUsage},
		{[]string{gable, "--weather", filepath.Join(dir, "no.epw")}, "could not be read", ExitBadInput},
		{[]string{gable, "--years", "2024-2015"}, "--years: \"2024-2015\" is not", ExitUsage},
		{[]string{gable, "--years", "lately"}, "is not a year", ExitUsage},
		{[]string{gable, "--skip", "2015,x"}, "--skip: \"x\"", ExitUsage},
		{[]string{gable, "--starts", "8"}, "--starts: \"8\" is not a time of day", ExitUsage},
		{[]string{gable, "--starts", "08:00,08:00"}, "is there twice", ExitUsage},
		{[]string{gable, "--starts", "03:00"}, "03:00 is not in the working hours", ExitUsage},
		{[]string{gable, "--starts", "08:00,08:10,08:20,08:30,08:40,08:50,09:00,09:10,09:20"}, "too many", ExitUsage},
		{[]string{gable, "--picture", "-"}, "not to standard output", ExitUsage},
		{[]string{gable, "--csv", gable, "--force"}, "what the answer is made from", ExitUsage},
		{[]string{gable, "--source", "pwer"}, "power", ExitUsage},
	} {
		code, out, errs := runAt("", append([]string{"season"}, tc.args...)...)
		if code != tc.code || out != "" || !strings.Contains(errs, tc.says) || strings.Count(errs, "\n") != 1 {
			t.Errorf("%q: exit status %d, %q", tc.args, code, errs)
		}
	}
}

// inventedYear is a year of hourly weather with a winter, and rain on every seventh day.
func inventedYear() string {
	var w strings.Builder
	w.WriteString("time,temp_c,rh,wind_m_s,precip_mm,cloud_okta\n")
	for at := time.Date(2021, 1, 1, 0, 0, 0, 0, time.UTC); at.Year() == 2021; at = at.Add(time.Hour) {
		rain := 0
		if at.YearDay()%7 == 3 && at.Hour() >= 9 && at.Hour() < 12 {
			rain = 3
		}
		mean := 8 - 9*math.Cos(2*math.Pi*float64(at.YearDay()-20)/365)
		fmt.Fprintf(&w, "%s,%.1f,75,2,%d,4\n", at.Format(time.RFC3339), mean+4*math.Sin(2*math.Pi*float64(at.Hour()-9)/24), rain)
	}
	return w.String()
}

// oneGable is a job outdoors.
const oneGable = `[place]
lat = 52.0
lon = 0.0
zone = "Europe/London"
[[wall]]
bearing = "N"
[[layer]]
background = "brick"
[[coat]]
finish = "nhl-render"
thickness = "10mm"
`

// The command from a file of invented weather, a year with a winter, to its answer and its files.
func TestSeasonRuns(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	for name, text := range map[string]string{"a.csv": inventedYear(), "a.toml": oneGable} {
		if err := os.WriteFile(in(name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	code, out, errs := runAt("", "season", in("a.toml"), "--weather", in("a.csv"), "--starts", "09:00", "--csv", in("out.csv"), "--picture", in("out.svg"), "--json")
	var a seasonAnswer
	if err := json.Unmarshal([]byte(out), &a); code != ExitOK || err != nil || strings.Count(errs, "\n") != 2 {
		t.Fatalf("exit status %d, %q, %v", code, errs, err)
	}
	if len(a.Walls) != 1 || a.Lays < 360 || a.Lays > 365 || !slices.Equal(a.Weather.Years, []int{2021}) || a.FrostSafe.First == nil {
		t.Fatalf("%d walls, %d lays, years %v, safe %v", len(a.Walls), a.Lays, a.Weather.Years, a.FrostSafe)
	}
	jan, jul := a.Periods[0], a.Periods[12]
	if jan.From != "01-01" || jul.From != "07-01" || *jan.Workable > 0.2 || *jul.Workable < 0.5 || jul.Opens == nil || jan.Reasons[0].Code != "cold" {
		t.Errorf("January %.2f, July %.2f of the days, %v and %v", *jan.Workable, *jul.Workable, jan.Reasons, jul.Reasons)
	}
	for _, name := range []string{"out.csv", "out.svg"} {
		if b, err := os.ReadFile(in(name)); err != nil || len(b) < 1000 {
			t.Errorf("%s: %d bytes, %v", name, len(b), err)
		}
	}
	code, _, errs = runAt("", "season", in("a.toml"), "--weather", in("a.csv"), "--years", "1999")
	if code != ExitUsage || !strings.Contains(errs, "none of the years of --years") {
		t.Errorf("exit status %d, %q", code, errs)
	}
}

// The README lists every reason for which days are lost.
func TestReadmeHasEveryWhy(t *testing.T) {
	readme, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range season.Whys() {
		if !bytes.Contains(readme, []byte("`"+whyCode(w)+"`")) {
			t.Errorf("README.md does not list `%s`", whyCode(w))
		}
	}
}

func TestHalfRanges(t *testing.T) {
	ps := inventedSeason(false).Walls[0].Periods
	for _, tc := range []struct {
		so   string // + for those that are
		want string
	}{
		{"++++++++++++++++++++++++", "the whole year"},
		{"------------------------", ""},
		{"++--------------------+-", "1 Jan to 31 Jan, 1 Dec to 15 Dec"},
		{"++--------------------++", "1 Dec to 31 Jan"},
		{"-+-----++++-------------", "16 Jan to 31 Jan, 16 Apr to 15 Jun"},
	} {
		at := map[season.MonthDay]bool{}
		for k, p := range ps {
			at[p.From] = tc.so[k] == '+'
		}
		got := strings.Join(halfRanges(ps, func(p season.Period) bool { return at[p.From] }), ", ")
		if got != tc.want {
			t.Errorf("%s: %q, want %q", tc.so, got, tc.want)
		}
	}
}
