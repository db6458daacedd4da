package app

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"limeday/psychro"
)

// toldDay is what today answers, as far as the tests of what if read it.
type toldDay struct {
	Verdict string
	Reasons []struct{ Code string }
	Start   time.Time
	Coats   []toldCoat
	WhatIf  []struct {
		Codes   []string
		Verdict string
		Helps   bool
		Effect  string
		Lay     *time.Time
		Due     []int
		Window  float64 `json:"window_min"`
		Done    *time.Time
	} `json:"what_if"`
	Changes []struct {
		Code, Effect, Verdict string
		Helps                 bool
	}
}

type toldCoat struct {
	Coat                                int
	Due                                 string
	Done                                bool
	Lay, Opens, Burnish, Closes, Recoat *time.Time
	LayLatest                           *time.Time `json:"lay_latest"`
	ClosesEarliest                      *time.Time `json:"closes_earliest"`
	ClosesLatest                        *time.Time `json:"closes_latest"`
}

// todayOf asks today about a job.
func todayOf(t *testing.T, job string, args ...string) (a toldDay, code int, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	code = Run(context.Background(), append([]string{"today", "-", "--json"}, args...), Env{Members: 4, Stdin: strings.NewReader(job), Stdout: &o, Stderr: &e,
		Now: func() time.Time { return time.Date(2026, 4, 14, 5, 30, 0, 0, time.UTC) }, ConfigDir: t.TempDir(), CacheDir: t.TempDir()})
	if code == ExitOK {
		if err := json.Unmarshal(o.Bytes(), &a); err != nil {
			t.Fatal(err)
		}
	}
	var fault struct{ Message string }
	if code != ExitOK {
		if err := json.Unmarshal(e.Bytes(), &fault); err != nil {
			t.Fatal(err)
		}
	}
	return a, code, fault.Message
}

// near5s compares two moments: within 0.5 % of the time since laying, and 5 s.
func near5s(a, b, laid *time.Time) bool {
	if a == nil || b == nil || laid == nil {
		return (a == nil) == (b == nil)
	}
	return a.Sub(*b).Abs().Seconds() <= 5+0.005*math.Abs(a.Sub(*laid).Seconds())
}

// equalsJob tells whether the answer with a change is that of the job with the thing in it.
func equalsJob(t *testing.T, name string, with, job toldDay, to string) {
	t.Helper()
	if len(with.WhatIf) < 2 {
		t.Fatalf("%s: %+v", name, with.WhatIf)
	}
	w := with.WhatIf[1]
	if w.Verdict != job.Verdict {
		t.Errorf("%s: %s, the job %s %v", name, w.Verdict, job.Verdict, job.Reasons)
	}
	var lay *time.Time
	var due []int
	for _, c := range job.Coats {
		if !c.Done && lay == nil {
			lay = c.Lay
		}
		if !c.Done && c.Due == "due" {
			due = append(due, c.Coat)
		}
	}
	if !slices.Equal(due, w.Due) {
		t.Errorf("%s: coats %v today, the job %v", name, w.Due, due)
	}
	last := job.Coats[len(job.Coats)-1]
	if !near5s(w.Lay, lay, lay) || job.Verdict != "no-go" && !near5s(w.Done, last.Closes, last.Lay) {
		t.Errorf("%s: lay %v done %v, the job %v %v", name, w.Lay, w.Done, lay, last.Closes)
	}
	if last.Burnish != nil && last.Closes != nil && last.Closes.Format("15:04") < to && last.Closes.Sub(*last.Burnish) < 8*time.Hour {
		if window := last.Closes.Sub(*last.Burnish).Minutes(); math.Abs(window-w.Window) > 0.2+0.005*last.Closes.Sub(*last.Lay).Minutes() {
			t.Errorf("%s: window %g min, the job %g", name, w.Window, window)
		}
	}
}

// Each change asked for is the job with that thing in it.
func TestWhatIfEqualsTheJob(t *testing.T) {
	at := []string{"--at", "2026-04-14T06:30"}
	reading := func(temp, rh float64) []string {
		return append([]string{"--temp", fmt.Sprintf("%gC", temp), "--rh", fmt.Sprintf("%.9f", rh)}, at...)
	}
	warmed := 62 * float64(psychro.SaturationWater(16)/psychro.SaturationWater(18))
	swap := func(job, old, new string) string {
		if !strings.Contains(job, old) {
			t.Fatalf("no %q in the job", old)
		}
		return strings.Replace(job, old, new, 1)
	}
	plain := swap(hallJob, "volume = \"62m3\"\nair_changes = 0.5\n", "")
	blown := swap(hallJob, "[[wall]]", "air_speed = \"0.3m/s\"\nvent = \"0.6m/s\"\n[[wall]]")
	sunny := swap(hallJob, "[[wall]]", "sun = \"09:00-12:00\"\n[[wall]]")
	last := "thickness = \"0.08mm\"\n"
	for name, c := range map[string]struct {
		job, edited string
		air, raised []string
	}{
		"heat=18C":       {hallJob, hallJob, reading(16, 62), reading(18, warmed)},
		"heat=64.4F":     {plain, plain, reading(16, 62), reading(18, warmed)},
		"air-out":        {hallJob, swap(hallJob, "air_changes = 0.5", "air_changes = 3"), reading(16, 62), nil},
		"dehumidify":     {hallJob, plain, reading(16, 62), reading(16, 50)},
		"dehumidify=45%": {plain, plain, reading(16, 62), reading(16, 45)},
		"mist":           {hallJob, swap(hallJob, last, last+"mist = true\n"), reading(16, 62), nil},
		"thin":           {hallJob, swap(swap(hallJob, "0.2mm", "0.15mm"), "0.12mm", "0.1mm"), reading(16, 62), nil},
		"thick":          {hallJob, swap(hallJob, "0.08mm", "0.1mm"), reading(16, 62), nil},
		"half":           {hallJob, swap(hallJob, "width = \"4.4m\"", "width = \"2.2m\""), reading(16, 62), nil},
		"hand":           {hallJob, hallJob + "[crew]\npeople = 2\n", reading(16, 62), nil},
		"still":          {blown, hallJob[:strings.Index(hallJob, "[[wall]]")] + "air_speed = \"0.05m/s\"\n" + hallJob[strings.Index(hallJob, "[[wall]]"):], reading(16, 62), nil},
		"shade":          {sunny, hallJob, reading(16, 62), nil},
		"damp":           {renderJob, swap(renderJob, "background = \"brick\"\n", "background = \"brick\"\ndamped = true\n"), reading(16, 62), nil},
	} {
		t.Run(name, func(t *testing.T) {
			if c.raised == nil {
				c.raised = c.air
			}
			a, code, errs := todayOf(t, c.job, append(c.air, "--if", name)...)
			b, code2, errs2 := todayOf(t, c.edited, c.raised...)
			if code+code2 != 0 {
				t.Fatal(errs, errs2)
			}
			equalsJob(t, name, a, b, "16:55")
		})
	}
}

// So too in a forecast: carried into the room, or outdoors.
func TestWhatIfInAForecast(t *testing.T) {
	s := newSite(t, withContact)
	s.now = time.Date(2026, 5, 20, 5, 30, 0, 0, time.UTC)
	ask := func(job string, temp, dew float64, args ...string) (a toldDay) {
		t.Helper()
		s.answer, s.job = s.steady(temp, dew, 72), job
		if code := s.run(append(args, "--json")...); code != ExitOK {
			t.Fatalf("exit %d: %s", code, s.errOut)
		}
		if err := json.Unmarshal([]byte(s.out), &a); err != nil {
			t.Fatal(err)
		}
		return a
	}
	cool := strings.Replace(siteJob, "17C", "12C", 1)
	bare := strings.Replace(siteJob, "heating = \"17C\"\n", "", 1)
	equalsJob(t, "heat", ask(cool, 6, 3, "--if", "heat=17C"), ask(siteJob, 6, 3), "16:55")
	equalsJob(t, "heat, unheated", ask(bare, 6, 3, "--if", "heat=17C"), ask(siteJob, 6, 3), "16:55")
	one := gableJob[:strings.Index(gableJob, "[[wall]]\nname = \"porch")] + gableJob[strings.Index(gableJob, "[[layer]]"):]
	for name, new := range map[string][2]string{
		"net": {"bearing", "cover = \"shaded\"\nbearing"}, "shade": {"bearing", "cover = \"shaded\"\nbearing"}, "sheet": {"bearing", "cover = \"sheeted\"\nbearing"},
		"hand": {"people = 2", "people = 3"},
		"mist": {"thickness = \"0.09mm\"", "mist = true\nthickness = \"0.09mm\""},
	} {
		equalsJob(t, name+" outdoors", ask(one, 14, 8, "--if", name), ask(strings.Replace(one, new[0], new[1], 1), 14, 8), "16:55")
	}
}

// Of a wall begun, what was before now stays.
func TestWhatIfOfAWallBegun(t *testing.T) {
	plain := strings.Replace(hallJob, "volume = \"62m3\"\nair_changes = 0.5\n", "", 1)
	since := []string{"--at", "2026-04-14T10:00", "--since", "coat1=laid@08:10"}
	file := func(temp, rh float64) string {
		var b strings.Builder
		b.WriteString("time,temp,rh\n")
		for h := range 24 * 5 {
			fmt.Fprintf(&b, "2026-04-%02dT%02d:00,16,62\n", 12+h/24, h%24)
			if h == 24*2+10 {
				fmt.Fprintf(&b, "2026-04-14T10:01,%g,%.6f\n", temp, rh)
			}
			if h >= 24*2+10 {
				break
			}
		}
		name := filepath.Join(t.TempDir(), "air.csv")
		if err := os.WriteFile(name, []byte(b.String()), 0o600); err != nil {
			t.Fatal(err)
		}
		return name
	}
	stays := file(16, 62)
	with := func(job, air, wish string) toldDay {
		args := append([]string{"--readings", air}, since...)
		if wish != "" {
			args = append(args, "--if", wish)
		}
		a, code, errs := todayOf(t, job, args...)
		if code != 0 {
			t.Fatal(errs)
		}
		return a
	}
	equalsJob(t, "heat", with(plain, stays, "heat=18C"), with(plain, file(18, 62*float64(psychro.SaturationWater(16)/psychro.SaturationWater(18))), ""), "16:55")
	equalsJob(t, "dehumidify", with(plain, stays, "dehumidify"), with(plain, file(16, 50), ""), "16:55")
	equalsJob(t, "thin", with(plain, stays, "thin"), with(strings.Replace(plain, "0.12mm", "0.1mm", 1), stays, ""), "16:55")
	equalsJob(t, "mist", with(plain, stays, "mist"), with(strings.Replace(plain, "thickness = \"0.08mm\"\n", "thickness = \"0.08mm\"\nmist = true\n", 1), stays, ""), "16:55")
	// The room's own balance: each makes it drier from now on, and never touches what was.
	typed := append([]string{"--temp", "16C", "--rh", "62", "--if", "air-out,dehumidify=60%"}, since...)
	a, code, errs := todayOf(t, hallJob, typed...)
	if code != 0 {
		t.Fatal(errs)
	}
	if w := a.WhatIf; len(w) != 4 || w[0].Done == nil || w[1].Done == nil || w[2].Done == nil || !w[1].Done.Before(*w[0].Done) || !w[2].Done.Before(*w[1].Done) {
		t.Errorf("%+v", w)
	}
	if _, code, errs := todayOf(t, strings.Replace(hallJob, "primed-board", "brick", 1), append([]string{"--temp", "16C", "--rh", "62", "--if", "damp"}, since...)...); code != ExitUsage || !strings.Contains(errs, "coats are on the wall") {
		t.Error(code, errs)
	}
}

// A start asked for is the plan's own where the plan starts then; asked about earlier it has the same times; one that cannot be is refused.
func TestStart(t *testing.T) {
	ask := func(at string, args ...string) toldDay {
		t.Helper()
		a, code, errs := todayOf(t, hallJob, append([]string{"--temp", "16C", "--rh", "62", "--at", at}, args...)...)
		if code != 0 {
			t.Fatal(errs)
		}
		return a
	}
	like := func(a, b toldDay) {
		t.Helper()
		if a.Verdict != b.Verdict || len(a.Coats) != len(b.Coats) {
			t.Fatalf("%s %d, %s %d", a.Verdict, len(a.Coats), b.Verdict, len(b.Coats))
		}
		for i, x := range a.Coats {
			y := b.Coats[i]
			for _, p := range [][2]*time.Time{{x.Lay, y.Lay}, {x.Opens, y.Opens}, {x.Burnish, y.Burnish}, {x.Closes, y.Closes}, {x.Recoat, y.Recoat}, {x.ClosesEarliest, y.ClosesEarliest}, {x.ClosesLatest, y.ClosesLatest}} {
				if !near5s(p[0], p[1], x.Lay) {
					t.Errorf("coat %d: %v, %v", x.Coat, p[0], p[1])
				}
			}
		}
	}
	const day = "2026-04-14T"
	free := ask(day + "06:30")
	like(free, ask(day+"06:30", "--start", free.Coats[0].Lay.Format("15:04")))
	late := ask(day+"06:30", "--start", "09:20")
	if got := late.Coats[0].Lay.Format("15:04"); got != "09:20" {
		t.Error(got)
	}
	like(late, ask(day+"08:10", "--start", "09:20"))
	like(late, ask(day+"09:20", "--start", "09:20"))
	begun := []string{"--since", "coat1=laid@08:00"}
	rest := ask(day+"09:00", begun...)
	lay := rest.Coats[1].Lay
	like(rest, ask(day+"09:00", append(begun, "--start", lay.Format("15:04"))...))
	waits := ask(day+"09:00", append(begun, "--start", "14:20")...)
	if got := waits.Coats[1]; got.Lay.Format("15:04") != "14:20" || got.LayLatest == nil || got.LayLatest.Before(*got.Lay) {
		t.Errorf("%+v", got)
	}
	for args, want := range map[string]string{
		"06:30 --start 06:00":                          "before the moment of asking, 06:30; it can be from 08:00",
		"06:30 --start 07:00":                          "before the working hours",
		"06:30 --start 17:00":                          "after the working hours; it can be from 08:00",
		"06:30 --start 2026-04-15T09:00":               "not on the day asked about",
		"09:00 --since coat1=laid@08:00 --start 09:10": "coat 1 is not ready for the next; it can be from " + lay.Format("15:04"),
		"06:30 --start noon":                           "write it as 13:00",
		"06:30 --start=":                               "--start is empty",
		"16:00 --since coat1=laid@08:00,coat2=laid@11:00,coat3=laid@14:00 --start 16:30": "all coats are laid",
	} {
		f := strings.Fields(args)
		_, code, errs := todayOf(t, hallJob, append([]string{"--temp", "16C", "--rh", "62", "--at", day + f[0]}, f[1:]...)...)
		if code != ExitUsage || !strings.Contains(errs, want) || strings.Contains(errs, "\n") {
			t.Errorf("%s: exit %d, %s", args, code, errs)
		}
	}
	if _, code, errs := todayOf(t, hallJob+"days = \"Mon,Wed\"\n", "--temp", "16C", "--rh", "62", "--at", day+"06:30", "--start", "09:00"); code != ExitUsage || !strings.Contains(errs, "no working day") {
		t.Error(code, errs)
	}
}

// What cannot be had is refused in a sentence, never ignored.
func TestWhatIfRefused(t *testing.T) {
	cold := strings.Replace(hallJob, "[[wall]]", "heating = \"off\"\n[[wall]]", 1)
	for _, c := range []struct{ job, wish, want string }{
		{hallJob, "", "it is empty"},
		{hallJob, ",", "a change is empty"},
		{hallJob, "heat,", "a change is empty"},
		{hallJob, "dehumidfy", "did you mean dehumidify?"},
		{hallJob, "heat=18C,heat=20C", "heat is given twice"},
		{hallJob, strings.Repeat("mist,", 50) + "mist", "mist is given twice"},
		{hallJob, "heat=80C", "did you mean 80F?"},
		{hallJob, "heat=", "temperature is empty"},
		{hallJob, "air-out=3", "takes no value"},
		{hallJob, "dehumidify=0.5", "did you mean 50%?"},
		{hallJob, "stop", "after which coat"},
		{hallJob, "stop=3", "nothing is left after coat 3"},
		{hallJob, "stop=0", "from 1 to 2"},
		{hallJob, "net", "indoors"},
		{hallJob, "sheet", "indoors"},
		{hallJob, "damp", "only masonry is"},
		{hallJob, "shade", "no sun falls on the wall"},
		{cold, "heat", "no heating"},
		{cold, "air-out,heat=18C", "no heating"},
		{strings.Replace(hallJob, "volume = \"62m3\"\nair_changes = 0.5\n", "", 1), "air-out", "give the room's volume"},
		{strings.Replace(hallJob, "0.08mm\"", "0.08mm\"\ntint = \"anthracite\"", 1), "thick,air-out,mist", ""},
	} {
		a, code, errs := todayOf(t, c.job, "--temp", "14C", "--rh", "62", "--at", "2026-04-14T06:30", "--if", c.wish)
		if c.want == "" {
			continue
		}
		if code != ExitUsage || !strings.Contains(errs, c.want) || strings.Contains(errs, "\n") {
			t.Errorf("%.40s: exit %d, %s %+v", c.wish, code, errs, a.WhatIf)
		}
	}
	// A room without heating is offered none.
	a, _, _ := todayOf(t, cold, "--temp", "11C", "--rh", "80", "--wall-temp", "9C", "--at", "2026-04-14T06:30")
	b, _, _ := todayOf(t, hallJob, "--temp", "11C", "--rh", "80", "--wall-temp", "9C", "--at", "2026-04-14T06:30")
	offered := func(x toldDay) bool {
		for _, c := range x.Changes {
			if c.Code == "heat-from-the-day-before" {
				return true
			}
		}
		return false
	}
	if offered(a) || !offered(b) || a.Verdict != b.Verdict || !near5s(a.Coats[0].Lay, b.Coats[0].Lay, b.Coats[0].Lay) {
		t.Errorf("%+v, %+v", a.Changes, b.Changes)
	}
}

// A bed that is misted is so whether the coats before are planned or told.
func TestMistedToldBack(t *testing.T) {
	job := strings.Replace(hallJob, "thickness = \"0.08mm\"\n", "thickness = \"0.08mm\"\nmist = true\n", 1)
	air := []string{"--temp", "16C", "--rh", "62"}
	plan, code, errs := todayOf(t, job, append(air, "--at", "2026-04-14T06:30")...)
	if code != 0 || len(plan.Coats) != 3 {
		t.Fatal(errs, plan)
	}
	told := fmt.Sprintf("coat1=laid@%s,coat2=laid@%s", plan.Coats[0].Lay.Format("15:04"), plan.Coats[1].Lay.Format("15:04"))
	dir := t.TempDir()
	csv := filepath.Join(dir, "air.csv")
	if err := os.WriteFile(csv, []byte("time,temp,rh\n2026-04-14T06:30,16,62\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	rest, code, errs := todayOf(t, job, "--readings", csv, "--at", plan.Coats[1].Lay.Add(20*time.Minute).Format("2006-01-02T15:04"), "--since", told)
	if code != 0 {
		t.Fatal(errs)
	}
	if a, b := plan.Coats[2], rest.Coats[2]; !near5s(a.Lay, b.Lay, a.Lay) || !near5s(a.Closes, b.Closes, a.Lay) {
		t.Errorf("planned %v to %v, told back %v to %v", a.Lay, a.Closes, b.Lay, b.Closes)
	}
}
