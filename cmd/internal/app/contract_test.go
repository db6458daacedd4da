package app

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"limeday/drying"
)

// at is a run at 06:30 on 2026-04-14, UTC.
func runAt(stdin string, args ...string) (code int, out, errs string) {
	var o, e bytes.Buffer
	code = Run(context.Background(), args, Env{Members: 3, Stdin: strings.NewReader(stdin), Stdout: &o, Stderr: &e, Transport: noNetwork{}, Now: func() time.Time { return time.Date(2026, 4, 14, 6, 30, 0, 0, time.UTC) }})
	return code, o.String(), e.String()
}

func answer(t *testing.T, stdin string, args ...string) map[string]any {
	t.Helper()
	code, out, errs := runAt(stdin, append(args, "--json")...)
	var a map[string]any
	if err := json.Unmarshal([]byte(out), &a); code != ExitOK || errs != "" || err != nil {
		t.Fatalf("%v: exit status %d, %q, %v", args, code, errs, err)
	}
	return a
}

func keys(v any) string {
	var names []string
	m, _ := v.(map[string]any)
	for k := range m {
		names = append(names, k)
	}
	slices.Sort(names)
	return strings.Join(names, " ")
}

const airFields = "absolute_humidity_g_per_m3 density_kg_per_m3 dew_point_c enthalpy_j_per_kg frost_point_c humidity_ratio_kg_per_kg" +
	" pressure_pa rh_pct temp_c vapour_pressure_pa vpd_pa"

// The fields of today's JSON, their kinds and their order in time, whatever the morning.
func TestTodayFields(t *testing.T) {
	for name, args := range map[string][]string{
		"example":   {},
		"damp":      {"--temp", "9", "--rh", "90", "--wall-temp", "7"},
		"dry":       {"--temp", "22", "--rh", "32"},
		"hot":       {"--temp", "36", "--rh", "30", "--air-speed", "2"},
		"frozen":    {"--temp=-10", "--rh", "80"},
		"evening":   {"--temp", "15", "--rh", "64", "--at", "2026-04-14T16:30"},
		"night":     {"--temp", "15", "--rh", "64", "--at", "2026-04-14T23:30"},
		"US":        {"--temp", "59F", "--rh", "64", "--units", "us"},
		"saturated": {"--temp", "15", "--rh", "100"},
	} {
		t.Run(name, func(t *testing.T) {
			a := answer(t, "", append([]string{"today"}, args...)...)
			for path, want := range map[string]string{
				"":        "air assumed at care changes coats days earliest for frost holds job latest next odd reasons schema sheet start timing tonight verdict weather work",
				"frost":   "after_forecast first_freeze risk surface_min_c",
				"weather": "age_h forecast held issued notes parts radiation replay source",
				"air":     airFields + " wall wet_bulb_c",
			} {
				v := any(a)
				if path != "" {
					v = a[path]
				}
				if got := keys(v); got != want {
					t.Errorf("%q has the fields %s, want %s", path, got, want)
				}
			}
			if a["schema"] != "limeday.today/1" || !slices.Contains([]any{"go", "care", "no-go"}, a["verdict"]) {
				t.Errorf("schema %v, verdict %v", a["schema"], a["verdict"])
			}
			for _, list := range []string{"reasons", "tonight", "coats", "days", "changes", "care", "assumed"} {
				if _, ok := a[list].([]any); !ok {
					t.Errorf("%s is %v, no list", list, a[list])
				}
			}
			worst := "go"
			for i, r := range a["reasons"].([]any) {
				r := r.(map[string]any)
				if got := keys(r); got != "code limit severity text unit value" {
					t.Errorf("reason %d has the fields %s", i, got)
				}
				if !slices.Contains(drying.Codes(), drying.Code(fmt.Sprint(r["code"]))) || r["text"] == "" {
					t.Errorf("reason %v", r)
				}
				if s := r["severity"]; i == 0 && s != "note" {
					worst = s.(string) // what decides comes first
				}
			}
			if a["verdict"] != worst {
				t.Errorf("the verdict is %v, the first reason says %s", a["verdict"], worst)
			}
			before := parsedTime(t, a["start"])
			laid := before
			for i, c := range a["coats"].([]any) {
				c := c.(map[string]any)
				if got := keys(c); got != coatFields {
					t.Errorf("coat %d has the fields %s", i, got)
				}
				lay := parsedTime(t, c["lay"])
				if c["due"] == "not-before" { // no more is known of it
					for _, event := range []string{"edge", "opens", "burnish", "closes", "recoat"} {
						if c[event] != nil {
							t.Errorf("coat %d: %s at %v, which is not known", i, event, c[event])
						}
					}
					if lay.Before(laid) {
						t.Errorf("coat %d is laid at %s, before %s", i, lay, laid)
					}
					laid = lay
					continue
				}
				if lay.Before(before) {
					t.Errorf("coat %d is laid at %s, before %s", i, lay, before)
				}
				laid = lay
				for _, event := range []string{"lay", "edge", "opens", "burnish", "closes", "recoat"} {
					if c[event] == nil {
						before = lay.AddDate(1, 0, 0) // nothing may follow what is never reached
						continue
					}
					if m := parsedTime(t, c[event]); m.Before(before) {
						t.Errorf("coat %d: %s at %s, before %s", i, event, m, before)
					} else {
						before = m
					}
				}
			}
		})
	}
}

const coatFields = "burnish burnish_earliest burnish_latest closes closes_earliest closes_latest coat custom done due edge edge_earliest edge_latest finish " +
	"lay lay_earliest lay_latest misted opens opens_earliest opens_latest recoat recoat_earliest recoat_latest thickness_mm"

const rowFields = "burnish_min burnish_min_earliest burnish_min_latest closes_min closes_min_earliest closes_min_latest drying_front_mm_per_day " +
	"edge_min edge_min_earliest edge_min_latest evaporation_g_per_m2_h evaporation_g_per_m2_h_earliest evaporation_g_per_m2_h_latest " +
	"next_coat_min next_coat_min_earliest next_coat_min_latest opens_min opens_min_earliest opens_min_latest " +
	"recoat_min recoat_min_earliest recoat_min_latest spread_kg_per_m2 thickness_mm wait_days warnings"

func TestThicknessFields(t *testing.T) {
	for _, args := range []string{"--temp 20 --rh 50", "--temp 20 --rh 99", "--temp 68F --rh 50 --units us --thick 4mil,8.5mil", "--temp 30 --rh 20 --coat 3 --air-speed 3", "--temp 20 --rh 50 --finish nhl-render --background brick"} {
		a := answer(t, "", append([]string{"thickness"}, strings.Fields(args)...)...)
		if a["schema"] != "limeday.thickness/1" || keys(a["air"]) != airFields+" wet_bulb_c" {
			t.Errorf("%s: schema %v, air %s", args, a["schema"], keys(a["air"]))
		}
		rows := a["rows"].([]any)
		if len(rows) == 0 {
			t.Errorf("%s: no rows", args)
		}
		for _, r := range rows {
			r := r.(map[string]any)
			if got := keys(r); got != rowFields {
				t.Errorf("%s: fields %s", args, got)
			}
			before, never := 0.0, false
			for _, event := range []string{"edge_min", "opens_min", "burnish_min", "closes_min", "recoat_min"} {
				m, ok := r[event].(float64)
				switch {
				case !ok && r[event] != nil:
					t.Errorf("%s: %s is %v", args, event, r[event])
				case ok && (never || m < before):
					t.Errorf("%s: %s at %v, after %v", args, event, m, before)
				}
				before, never = max(before, m), never || !ok
			}
		}
	}
	if a := answer(t, "", "thickness", "--temp", "20", "--rh", "99"); a["rows"].([]any)[0].(map[string]any)["recoat_min"] != nil {
		t.Error("a coat in all but saturated air lets the next one follow")
	}
}

const plainJob = `[place]
name = %q
zone = %q
[room]
[[layer]]
background = "primed-board"
primer = "tight"
[[layer]]
background = "old-lime"
[[coat]]
finish = "polished-lime"
thickness = "0.5mm"
[[coat]]
finish = "marble-coat"
thickness = "1mm"
[[coat]]
finish = "nhl-render"
thickness = "60mm"
[suction]
drop_test = "40s"
[limits]
min_wall = "16C"
max_rh = 40
max_thickness = "0.3mm"
`

// thinned is the share of the airs that meet each setting in TestEveryLineFits: one in so many.
var thinned = 5

// Every line of every answer fits 80 columns and holds no control character, whatever is asked.
func TestEveryLineFits(t *testing.T) {
	long := "Stair\x1b[31m " + strings.Repeat("very", 18) + " long \u00e9tage"
	type ask struct {
		stdin string
		args  []string
	}
	var asks []ask
	add := func(stdin, args string) { // the two sets of units in turn
		asks = append(asks, ask{stdin, append(strings.Fields(args), "--units", []string{"metric", "us"}[len(asks)%2])})
	}
	for i, air := range []string{"-30C 80", "0C 95", "5C 99", "9C 90", "15C 64", "15C 100", "20C 85", "22C 32", "32C 40", "49C 2", "16C 60"} {
		temp, rh, _ := strings.Cut(air, " ")
		reading := " --temp=" + temp + " --rh " + rh
		for k, more := range []string{"", " --wall-temp=-20C", " --wall-temp 12C", " --air-speed 0m/s --pressure 1013.25hPa", " --air-speed 20m/s --altitude 5000m",
			" --at 2026-04-14T04:00", " --at 2026-04-14T16:40"} {
			if (i+k)%thinned == 0 {
				add("", "today"+reading+more)
			}
		}
		add("", "air"+reading)
		add("", "air"+reading+" --wall-temp 8C --altitude 5280ft")
		if i%2 == 0 {
			continue
		}
		for k, more := range []string{"", " --coat 2", " --coat 6", " --primer tight --thick 0.01mm,8mm", " --finish nhl-render --background aerated-block --thick 0.05mm,60mm",
			" --finish float-coat --background painted --air-speed 30m/s", " --spread 0.02kg/m2,1kg/m2"} {
			if (i/2+k)%thinned == 0 {
				add("", "thickness"+reading+more)
			}
		}
		for k, zone := range []string{"Europe/Dublin", "America/Argentina/ComodRivadavia", "Asia/Kathmandu"} {
			if (i/2+k)%thinned == 0 {
				add(fmt.Sprintf(strings.ReplaceAll(plainJob, "%q", `"%s"`), strings.ReplaceAll(long, "\x1b", `\u001b`), zone), "today -"+reading)
			}
		}
	}
	add("", "today")
	add("", "today")
	add("", "today --at 2026-04-15T06:30")
	for _, ask := range []string{"wall --detail", "wall --people 1", "wall --example gable --detail"} {
		add("", ask)
	}
	for _, c := range commands() {
		add("", c.name+" --help")
	}
	answered := 0
	for i, a := range asks {
		if i%raced != 0 {
			continue
		}
		code, out, errs := runAt(a.stdin, a.args...)
		if code == ExitNotValid && out == "" {
			continue // freezing, never dry, no solution
		}
		if code != ExitOK {
			t.Fatalf("%q: exit status %d: %s", a.args, code, errs)
		}
		answered++
		for _, line := range strings.Split(out, "\n") {
			if n := utf8.RuneCountInString(line); n > 80 || strings.TrimRight(line, " ") != line || oneLine(line) != line || regexp.MustCompile(`\b1 (coats|dry coats)\b|NaN|Inf|%!|Local`).MatchString(line) {
				t.Errorf("%q: %d columns: %q", a.args, n, line)
			}
		}
	}
	if answered < len(asks)/2/raced {
		t.Errorf("only %d of %d were answered", answered, len(asks))
	}
}

// What a plasterer must read, and where.
func TestTodayText(t *testing.T) {
	_, damp, _ := runAt("", "today", "--detail", "--temp", "9", "--rh", "90", "--wall-temp", "7")
	_, sealed, _ := runAt("[room]\n[[layer]]\nbackground = \"primed-board\"\nprimer = \"tight\"\n[[coat]]\nfinish = \"polished-lime\"\nthickness = \"0.1mm\"\n",
		"today", "-", "--temp", "14", "--rh", "90", "--wall-temp", "12")
	_, own, _ := runAt("", "today", "--detail", "--temp", "18", "--rh", "50")
	_, example, _ := runAt("", "today")
	_, night, _ := runAt("", "today", "--temp", "18", "--rh", "50", "--at", "2026-04-14T22:00")
	for _, tc := range []struct{ name, text, want string }{
		{"no-go first", damp, `(?s)NO-GO today\.\n  - The wall is too cold for polished-lime, by common practice\. \(7 C; limit\n    10 C\)\n.*  - The wall is below its dew point: dew forms on it\.`},
		{"dew on the wall", damp, `0\.4\s+K\s+below\s+it:\s+dew\s+forms\s+on\s+it\n`},
		{"not urged to lay", damp, `\nWere it laid all the same:\n`},
		{"notes last", damp, `(?s)dew forms.*The air after the last reading.*\n\nAir`},
		{"sealed", sealed, `NO-GO today\.\n  - The wall is below its dew point: dew forms on it, and its sealed face leaves\n    the water standing`},
		{"whose air", own, `^Your reading, with the wall and coats of the built-in example\.\n`},
		{"assumed", own, `\nAssumed  pressure 1013 hPa, at sea level; this computer's time zone\n`},
		{"invented", example, `^Built-in example, all invented: `},
		{"zone", example, `\nTue 14 Apr 2026, 06:30, Europe/Dublin\n`},
		// Of so few draws one may say that it is late: the golden run has them all.
		{"go", example, `\nGO(?: WITH CARE)?: coats 1 to 3 today\.\nLay the first coat at 07:30, the earliest; 11:00 still serves\.\n`},
		{"signs", example, `(?s)The sign rules over the clock:.*gone by .*Wet lime burns eyes and skin`},
		{"night", night, `DOUBTFUL tomorrow: coats 1 to 3\.\nLay the first coat at 07:30, the earliest; 14:00 still serves\.\n  - Tomorrow's air is not known`},
	} {
		if !regexp.MustCompile(tc.want).MatchString(tc.text) {
			t.Errorf("%s: %s is not in\n%s", tc.name, tc.want, tc.text)
		}
	}
	over := "2026-04-14T22:00"
	if _, kept, _ := runAt("", "today", "--temp", "18", "--rh", "50", "--at", over, "--for", "today"); !strings.Contains(kept, "The working hours are over") || strings.Contains(kept, "next coat") {
		t.Errorf("a timetable after hours:\n%s", kept)
	}
}

// This computer's zone is told by its abbreviation.
func TestLocalZone(t *testing.T) {
	dublin, err := time.LoadLocation("Europe/Dublin")
	if err != nil {
		t.Fatal(err)
	}
	if got := stamp(time.Date(2026, 4, 14, 6, 30, 0, 0, dublin)); got != "Tue 14 Apr 2026, 06:30, Europe/Dublin" {
		t.Error(got)
	}
	local := time.Date(2026, 4, 14, 6, 30, 0, 0, time.Local)
	if got, want := stamp(local), "Tue 14 Apr 2026, 06:30, "+local.Format("MST"); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// The README lists every code that a reason or a deed can have.
func TestReadmeHasEveryCode(t *testing.T) {
	readme, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	codes := drying.Codes()
	for _, c := range drying.DeedCodes() {
		codes = append(codes, drying.Code(c))
	}
	for _, c := range codes {
		if !bytes.Contains(readme, []byte("`"+c+"`")) {
			t.Errorf("README.md does not list the code `%s`", c)
		}
	}
}
