package app

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"limeday/cmd/internal/diary"
	"limeday/drying/material"
)

// siteInputs is how many inputs TestSiteInputs asks; the study asks 3,000.
var siteInputs = 24

// siteInput is a job, and how it is asked about, as it might come from a site: mostly sound, now and then with what cannot be.
func siteInput(t *testing.T, r *rand.Rand, dir string) (args []string, stdin string) {
	t.Helper()
	pick := func(words ...string) string { return words[r.IntN(len(words))] }
	often := func(share float64) bool { return r.Float64() < share }
	rarely := func(usual string, odd ...string) string { // the odd ones once in 30
		if often(1.0 / 30) {
			return pick(odd...)
		}
		return usual
	}
	num := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	zone := pick("Europe/Dublin", "America/Chicago", "Australia/Lord_Howe", "UTC")
	loc, err := time.LoadLocation(zone)
	if err != nil {
		t.Fatal(err)
	}
	day := pick("2026-04-14", "2026-03-29", "2026-10-25", "2026-03-08", "2026-12-24", "2026-07-02")
	at, err := time.ParseInLocation("2006-01-02 15:04", day+" "+pick("06:30", "00:05", "01:30", "09:47", "12:00", "16:55", "23:59"), loc)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	p := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	if often(0.2) {
		p("units = %q", pick("us", "metric", "us", "metric", "us", "metric", "feet"))
	}
	p("[place]\nname = %q\nzone = %q", rarely("Mill", "Ä", strings.Repeat("long ", 30), ""), zone)
	if often(0.3) {
		p("altitude = \"%.0fm\"", num(-10, 3000))
	}
	indoors := often(0.75)
	if !indoors {
		p("lat = %.1f\nlon = %.1f", num(-60, 69), num(-10, 10))
	}
	if indoors {
		p("[room]\nair_speed = \"%.2fm/s\"", num(0.02, 1.2))
		if often(0.4) {
			p("volume = \"%.0fm3\"\nair_changes = %.2f", num(3, 200), num(0, 8))
		}
		if often(0.2) {
			p("sun = %q", rarely(pick("10:00-12:00", "06:00-20:00"), "12:00-12:00"))
		}
		if often(0.2) {
			p("vent = \"%.1fm/s\"", num(0, 4))
		}
	}
	p("[[wall]]\nheight = \"%.1fm\"\nwidth = \"%.1fm\"", num(0.5, 9), num(0.3, 20))
	if !indoors {
		p("shelter = %.1f", num(0, 1))
		p("bearing = %q", pick("N", "SW", "E"))
	}
	if often(0.4) {
		p("behind = %q", pick("partition", "solid", "cavity", "room"))
		if often(0.3) {
			p("behind_temp = \"%.0fC\"", num(-10, 30))
		}
	}
	bg := pick(material.Backgrounds()...)
	p("[[layer]]\nbackground = %q", bg)
	if bg == "primed-board" && often(0.6) || often(0.03) {
		p("primer = %q", pick("tight", "fair", "thirsty"))
	}
	if often(0.25) {
		p("wet = %q", pick("dry", "damp", "wet", day, at.AddDate(0, 0, -r.IntN(80)).Format(time.DateOnly)))
	}
	if (bg == "brick" || bg == "old-lime" || bg == "aerated-block") && often(0.5) || often(0.03) {
		p("damped = true")
	}
	coats := 1 + r.IntN(4)
	for range coats {
		f := pick(material.Finishes()...)
		usual := map[string]float64{"polished-lime": 0.15, "marble-coat": 1, "float-coat": 8, "nhl-render": 8, "grit-primer": 0.4}[f]
		p("[[coat]]\nfinish = %q\nthickness = \"%.3fmm\"", f, usual*num(0.4, 1.6))
		if often(0.15) {
			p("wait = %q", rarely(pick("16 h", "3-10 d", "30 d"), "0 h", "10-3 d"))
		}
		if often(0.1) {
			p("mist = false")
		}
		if often(0.2) {
			p("tint = %q", pick("ochre", "natural", "black"))
		}
	}
	if often(0.5) {
		p("[hours]\nfrom = %q\nto = %q", rarely(pick("06:00", "07:30", "00:00", "02:00"), "22:00"), rarely(pick("17:00", "12:00", "23:59", "23:00"), "03:00"))
		if often(0.6) {
			p("days = %q", pick("Mon-Fri", "Sat", "Mon,Wed", "Sun-Thu"))
		}
		if often(0.3) {
			p("off = [%q]", at.AddDate(0, 0, r.IntN(4)).Format(time.DateOnly))
		}
	}
	if often(0.2) {
		p("[suction]\ndrop_test = [%q, %q]", pick("5s", "40s", "10min"), pick("5s", "2min", "30min"))
	}
	if often(0.1) {
		p("[[laid]]\nfinish = %q\non = %q", pick(material.Finishes()...), at.AddDate(0, 0, -r.IntN(90)).Format(time.DateOnly))
	}
	args = []string{"today", "-", "--at", at.Format("2006-01-02T15:04:05Z07:00")}
	if often(0.2) {
		args[3] = at.Format("2006-01-02T15:04") // one that may not be, or be twice
	}
	temp, rh := num(-3, 38), num(15, 100)
	switch {
	case !indoors && often(0.9):
	case often(0.5):
		args = append(args, "--temp", fmt.Sprintf("%.1fC", temp), "--rh", fmt.Sprintf("%.0f", rh))
	case often(0.85):
		var log strings.Builder
		log.WriteString("time,temp_c,rh_pct\n")
		begin, step := at.Add(-time.Duration(r.IntN(200))*time.Hour), []time.Duration{2 * time.Hour, 20 * time.Minute, 7 * time.Hour}[r.IntN(3)]
		for i := range 1 + r.IntN(250) {
			fmt.Fprintf(&log, "%s,%.1f,%.0f\n", begin.Add(time.Duration(i)*step).Format(time.RFC3339), temp+num(-2, 2), min(100, max(1, rh+num(-8, 8))))
		}
		path := filepath.Join(dir, "log.csv")
		if err := os.WriteFile(path, []byte(log.String()), 0o600); err != nil {
			t.Fatal(err)
		}
		args = append(args, "--readings", path)
	}
	if often(0.25) {
		args = append(args, "--wall-temp", fmt.Sprintf("%.1fC", temp+num(-6, 4)))
	}
	if often(0.2) {
		args = append(args, "--since", rarely("coat1=laid@"+at.Add(-time.Duration(r.IntN(70*60))*time.Minute).Format("2006-01-02T15:04Z07:00"), "coat1=laid@"+at.Add(-time.Duration(r.IntN(70))*time.Hour).Format("2006-01-02T15:04"), "coat1=laid@06:00,damp@06:20", "coat2=laid@05:00", "coat1=dry@04:00", "coat1=laid@99:00"))
	} else if often(0.5) {
		args = append(args, "--diary", siteDiary(t, r, filepath.Join(dir, "book.diary"), at, coats, temp, rh))
	}
	if often(0.2) {
		args = append(args, "--units", pick("us", "metric"))
	}
	if often(0.3) {
		args = append(args, pick("--json", "--detail"))
	}
	return args, b.String()
}

// siteDiary writes a diary of some days, with events in odd order.
func siteDiary(t *testing.T, r *rand.Rand, path string, at time.Time, coats int, temp, rh float64) string {
	t.Helper()
	os.Remove(path)
	b, err := diary.Open(path, func() time.Time { return at })
	if err != nil {
		t.Fatal(err)
	}
	write := func(e diary.Entry) {
		if _, err := b.Append(e); err != nil {
			t.Fatal(err)
		}
	}
	// The coats in their order, some hours apart, put down in any order; now and then one that cannot be.
	laid := at.Add(-time.Duration(r.IntN(90*60)) * time.Minute)
	var entries []diary.Entry
	for c := 1 + r.IntN(60)/59; c <= coats && laid.Before(at); c++ {
		entries = append(entries, diary.Entry{At: laid, Data: map[string]any{"coat": float64(c), "what": "laid"}})
		for _, what := range []string{"damp", "gone", "dry"} {
			if r.IntN(3) == 0 {
				laid = laid.Add(time.Duration(2+r.IntN(400)) * time.Minute)
				e := diary.Entry{At: laid, Data: map[string]any{"coat": float64(c), "what": what}}
				if r.IntN(4) == 0 {
					e.Data["looked"] = true
				}
				entries = append(entries, e)
			}
		}
		laid = laid.Add(time.Duration(1+r.IntN(40*60)) * time.Minute)
	}
	r.Shuffle(len(entries), func(i, k int) { entries[i], entries[k] = entries[k], entries[i] })
	for _, e := range entries {
		e.Kind = diary.Event
		write(e)
	}
	for range r.IntN(5) {
		write(diary.Entry{At: at.Add(-time.Duration(r.IntN(100*60)-60) * time.Minute), Kind: diary.Reading, Data: map[string]any{"temp": temp + 2*r.Float64(), "rh": min(100, rh+5*r.Float64())}})
	}
	return path
}

// TestSiteInputs: whatever comes from a site is answered, or refused in a sentence, in bounded time.
func TestSiteInputs(t *testing.T) {
	dir := t.TempDir()
	service := newSite(t, withContact) // outdoors there is weather
	codes, slowest, worst := map[int]int{}, time.Duration(0), ""
	for i := range siteInputs {
		r := rand.New(rand.NewPCG(18, uint64(i)))
		args, job := siteInput(t, r, dir)
		service.now, _ = time.Parse(time.RFC3339, args[3])
		if service.now.IsZero() {
			service.now = time.Date(2026, 4, 14, 5, 30, 0, 0, time.UTC)
		}
		service.answer = service.steady(2+20*r.Float64(), 1, 20+r.IntN(180))
		var out, errs bytes.Buffer
		ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
		begun := time.Now()
		code := Run(ctx, args, Env{Members: 3, Stdin: strings.NewReader(job), Stdout: &out, Stderr: &errs, Now: func() time.Time { return service.now },
			ConfigDir: service.home, Sleep: func(context.Context, time.Duration) error { return nil }})
		if d := time.Since(begun); d > slowest {
			slowest, worst = d, fmt.Sprintf("input %d: %q", i, args)
		}
		cancel()
		codes[code]++
		fault := ""
		said := strings.TrimSpace(errs.String())
		switch {
		case code == ExitOK && out.Len() == 0:
			fault = "answered nothing"
		case code == ExitOK && !strings.Contains(strings.Join(args, " "), "--json") && strings.Contains(out.String(), "NaN"):
			fault = "said NaN"
		case code != ExitOK && (code < ExitUsage || code > ExitNotValid):
			fault = "ended otherwise"
		case code != ExitOK && (out.Len() > 0 || len(said) < 20 || strings.Contains(said, "goroutine")):
			fault = "refused without a sentence"
		}
		if fault != "" {
			t.Errorf("input %d %s: exit status %d\n%q\n%s\n%.600s\n%.300s", i, fault, code, args, job, said, out.String())
		}
	}
	t.Logf("exit statuses %v; the slowest took %s: %s", codes, slowest.Round(time.Millisecond), worst)
	if siteInputs >= 60 && codes[ExitOK] < siteInputs/4 {
		t.Errorf("only %d of %d are answered", codes[ExitOK], siteInputs)
	}
}
