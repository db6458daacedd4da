package job

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/quantity"
)

var known = Names{
	Finishes:    []string{"grit-primer", "polished-lime", "marble-coat"},
	Backgrounds: []string{"primed-board", "gypsum-board", "brick", "aerated-block", "cement-board", "old-lime", "painted"},

	FinishNumbers: []string{"water_ratio", "mu"},
}

const least = "[[layer]]\nbackground = \"brick\"\n[[coat]]\nfinish = \"polished-lime\"\nthickness = 0.1\n"

func faults(t *testing.T, err error) fault.List {
	t.Helper()
	var l fault.List
	if !errors.As(err, &l) || len(l) == 0 {
		t.Fatalf("error %v is no list of faults", err)
	}
	return l
}

func about(got *float64, want float64) bool {
	return got != nil && math.Abs(*got-want) <= 1e-12*math.Max(1, math.Abs(want))
}

func TestExample(t *testing.T) {
	j, err := Parse(ExampleName, ExampleJob(), known)
	if err != nil {
		t.Fatal(err)
	}
	if j.Place.Zone.String() != "Europe/Dublin" || !about(j.Place.Altitude, 85) || j.Hours.From.String() != "07:30" || j.Hours.To.String() != "17:00" {
		t.Errorf("place %+v, hours %+v", j.Place, j.Hours)
	}
	if j.Room == nil || !about(j.Room.Volume, 62) || !about(j.Room.Heating, 16) || j.Room.MoistureClass != 2 || !about(j.Room.AirSpeed, 0.1) {
		t.Errorf("room %+v", j.Room)
	}
	if len(j.Layers) != 1 || j.Layers[0].Background != "primed-board" || j.Layers[0].Primer != "fair" {
		t.Errorf("layers %+v", j.Layers)
	}
	if len(j.Coats) != 3 || !about(j.Coats[2].Thickness, 0.00008) || j.People != 2 {
		t.Errorf("coats %+v, people %d", j.Coats, j.People)
	}
	at, err := time.Parse(time.RFC3339, ExampleAt)
	if err != nil {
		t.Fatal(err)
	}
	if got := at.In(j.Place.Zone).Format(time.RFC3339); got != ExampleAt {
		t.Errorf("the moment %s is %s in the example's zone", ExampleAt, got)
	}
}

func TestEveryKey(t *testing.T) {
	text := `units = "us"
place = { name = "Yard", lat = 40, lon = -105.5, altitude = 5000, zone = "America/Denver" }
[room]
volume = "2000ft3"
heating = "off"
air_speed = 1
[[wall]]
bearing = "SW"
shelter = 0.4
height = 9
width = "3m"
[[wall]]
bearing = 200
[[layer]]
background = "brick"
thickness = "4.5mil"
[[coat]]
finish = "polished-lime"
spread = 0.1
[hours]
from = 07:30:00
to = "17:00"
[limits]
min_wall = 50
max_wall = 86
min_rh = 40
max_rh = "80%"
min_thickness = 2
max_thickness = "0.4mm"
min_air = "10C"
max_air = 86
[suction]
drop_test = ["40s", 55, "1min"]
tube = "1.5ml/10min"
[crew]
people = 3
[[laid]]
name = "North wall"
finish = "marble-coat"
thickness = 40
on = 2026-04-02
`
	j, err := Parse("yard.toml", []byte(text), known)
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		name string
		got  *float64
		want float64
	}{
		{"altitude, ft", j.Place.Altitude, 1524},
		{"volume, ft3", j.Room.Volume, 2000 * 0.028316846592},
		{"air speed, mph", j.Room.AirSpeed, 0.44704},
		{"bearing SW", j.Walls[0].Bearing, 225},
		{"height, ft", j.Walls[0].Height, 2.7432},
		{"width, m", j.Walls[0].Width, 3},
		{"bearing", j.Walls[1].Bearing, 200},
		{"layer, mil", j.Layers[0].Thickness, 4.5 * 25.4e-6},
		{"spread, lb/ft2", j.Coats[0].Spread, 0.1 * 0.45359237 / 0.09290304},
		{"min_wall, F", j.Limits.MinWall, 10},
		{"max_wall, F", j.Limits.MaxWall, 30},
		{"max_rh", j.Limits.MaxRH, 80},
		{"max_thickness", j.Limits.MaxThickness, 0.0004},
		{"min_air", j.Limits.MinAir, 10},
		{"laid, mil", j.Laid[0].Thickness, 0.001016},
	} {
		if !about(tc.got, tc.want) {
			t.Errorf("%s: got %v, want %v", tc.name, tc.got, tc.want)
		}
	}
	if !j.Room.HeatingOff || j.Room.Heating != nil || !j.UnitsGiven || j.Units != quantity.US || j.People != 3 {
		t.Errorf("room %+v, units %v, people %d", j.Room, j.Units, j.People)
	}
	if s := j.Suction; len(s.DropTest) != 3 || s.DropTest[1] != 55*time.Second || s.Tube.Millilitres != 1.5 || s.Tube.After != 10*time.Minute {
		t.Errorf("suction %+v", s)
	}
	if got := j.Laid[0].On.Format(time.RFC3339); got != "2026-04-02T00:00:00-06:00" {
		t.Errorf("laid on %s", got)
	}
}

// Finishes of the user's own come with the line of every number, to say where one cannot be; a coat may use them
// wherever they stand in the file.
func TestOwn(t *testing.T) {
	j, err := Parse("own.toml", []byte(strings.Replace(least, "polished-lime", "house-lime", 1)+"green = true\n[finish.house-lime]\nlike = \"marble-coat\"\nwater_ratio = 0.42\n\nmu = 15\n"), known)
	if err != nil {
		t.Fatal(err)
	}
	if len(j.Own) != 1 || !j.Coats[0].Green || j.Coats[0].Finish != "house-lime" {
		t.Fatalf("%+v", j)
	}
	o := j.Own[0]
	if o.Name != "house-lime" || o.Like != "marble-coat" || o.Line != 7 || len(o.Values) != 2 || o.Values["water_ratio"] != 0.42 ||
		o.Lines["water_ratio"] != 9 || o.Values["mu"] != 15 || o.Lines["mu"] != 11 {
		t.Errorf("%+v", o)
	}
	for text, want := range map[string]string{
		"[finish.a]\nmu = 1\n":                              "own.toml:6: [finish.a] has no like",
		"[finish.a]\nlike = \"marble\"\n":                   "own.toml:7: like in [finish.a]",
		"[finish.a]\nlike = \"marble-coat\"\nmuu = 3\n":     "own.toml:8: unknown key \"muu\" in [finish.a]; did you mean \"mu\"?",
		"[finish.a]\nlike = \"marble-coat\"\nmu = nan\n":    "own.toml:8: mu in [finish.a] is nan",
		"[finish.a]\nlike = \"marble-coat\"\nmu = \"15\"\n": "own.toml:8: mu in [finish.a] is text",
		"[finish.grit-primer]\nlike = \"marble-coat\"\n":    "own.toml:6: [finish.grit-primer] has the name of a known finish",
		"[[finish]]\nlike = \"marble-coat\"\n":              "own.toml:6: \"finish\" should be one section",
		"[finish]\na = 3\n":                                 "own.toml:7: \"a\" should be one section",
	} {
		_, err := Parse("own.toml", []byte(least+text), known)
		if l := faults(t, err); len(l) != 1 || !strings.HasPrefix(l[0].String(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

// Every fault of a bad job is named, on its own line of the file.
func TestFaults(t *testing.T) {
	const head = "[[layer]]\nbackground = \"brick\"\n[[coat]]\nfinish = \"polished-lime\"\n" // 4 lines
	wantFaults(t, map[string]faulty{
		"unknown key":        {least + "thicknes = 1\n", []string{`6: unknown key "thicknes" in [[coat]]; did you mean "thickness"?`}},
		"unknown section":    {least + "[rooom]\nvolume = 3\n", []string{`6: unknown section "rooom"; did you mean "room"?`}},
		"unknown at the top": {"colour = 3\n" + least, []string{`1: unknown key "colour"`}},
		"thickness 0":        {head + "thickness = 0\n", []string{"5: thickness in [[coat]]: thickness 0"}},
		"thickness negative": {head + "thickness = \"-1mm\"\n", []string{"5: thickness in [[coat]]"}},
		"thickness 80 mm":    {head + "thickness = \"80mm\"\n", []string{"5: thickness in [[coat]]: thickness 80 mm must be above 0, up to 60 mm"}},
		"thickness nan":      {head + "thickness = nan\n", []string{"5: thickness in [[coat]] is nan"}},
		"thickness inf":      {head + "thickness = inf\n", []string{"5: thickness in [[coat]] is inf"}},
		"unit":               {head + "thickness = \"0.1cm\"\n", []string{`5: thickness in [[coat]]: "cm" is not a unit of thickness; use mm or mil`}},
		"wrong type":         {head + "thickness = true\n", []string{"5: thickness in [[coat]] is true or false; give a number"}},
		"both":               {head + "thickness = 0.1\nspread = 1\n", []string{"6: [[coat]] has both thickness and spread"}},
		"neither":            {head, []string{"3: [[coat]] has neither"}},
		"finish":             {"[[layer]]\nbackground = \"brick\"\n[[coat]]\nfinish = \"polishd-lime\"\nthickness = 0.1\n", []string{`4: finish in [[coat]]: "polishd-lime" is not a known finish; did you mean polished-lime? Known: polished-lime`}},
		"background":         {"[[layer]]\nbackground = \"bricks\"\n[[coat]]\nfinish = \"polished-lime\"\nthickness = 0.1\n", []string{`2: background in [[layer]]: "bricks" is not a known background; did you mean brick?`}},
		"primer":             {"[[layer]]\nbackground = \"brick\"\nprimer = \"tigth\"\n[[coat]]\nfinish = \"polished-lime\"\nthickness = 0.1\n", []string{"3: primer in [[layer]]"}},
		"zone":               {least + "[place]\nzone = \"Europe/Dubln\"\n", []string{`7: zone in [place]: "Europe/Dubln" is not a time zone`}},
		"zone Local":         {least + "[place]\nzone = \"Local\"\n", []string{"7: zone in [place]"}},
		"latitude":           {least + "[place]\nlat = 91\nlon = \"7\"\n", []string{"7: lat in [place] is 91", "8: lon in [place] is text"}},
		"hours backwards":    {least + "[hours]\nfrom = \"17:00\"\nto = \"07:30\"\n", []string{"8: hours run backwards, from 17:00 to 07:30"}},
		"hours 25":           {least + "[hours]\nfrom = \"25:00\"\nto = \"07:30\"\n", []string{"7: from in [hours]"}},
		"hours half":         {least + "[hours]\nfrom = \"07:00\"\n", []string{"6: [hours] has no to"}},
		"behind a hedge":     {least + "[[wall]]\nbehind = \"hedge\"\nbehind_temp = 20\n", []string{`7: behind in [[wall]]: "hedge" is not a known thing behind a wall; known: solid, room, cavity`}},
		"behind, too hot":    {least + "[[wall]]\nbehind = \"room\"\nbehind_temp = \"51C\"\n", []string{"8: behind_temp in [[wall]]: temperature 51C is outside -40 to 50 C"}},
		"behind, too cold":   {least + "[[wall]]\nbehind = \"room\"\nbehind_temp = -41\n", []string{"8: behind_temp in [[wall]]: temperature -41, read as -41C, is outside -40 to 50 C"}},
		"behind, no room":    {least + "[[wall]]\nbehind_temp = 20\n[[wall]]\nbehind_temp = 20\nbehind = \"solid\"\n", []string{"7: behind_temp in [[wall]] is that of a room or cavity", "9: behind_temp in [[wall]] is that of a room or cavity"}},
		"behind, indoors":    {least + "[room]\nvolume = 30\n[[wall]]\nbehind = \"partition\"\nbehind_temp = 20\n[[wall]]\nbehind_temp = 20\n", []string{"10: behind_temp in [[wall]] is that of a room or cavity", "12: behind_temp in [[wall]] is that of a room or cavity"}},
		"behind, outdoors":   {least + "[[wall]]\nbehind = \"partition\"\n", []string{"7: behind in [[wall]]: a partition stands between two rooms"}},
		"days":               {least + "[hours]\nfrom = \"07:00\"\nto = \"17:00\"\ndays = \"Mon-Fry\"\noff = [\"2026-02-30\", 3]\n", []string{`9: days in [hours]: "Mon-Fry" is not days of the week`, `10: off in [hours]: "2026-02-30" is not a day`, "10: off in [hours] is a number"}},
		"days, none":         {least + "[hours]\nfrom = \"07:00\"\nto = \"17:00\"\ndays = \"Mon,\"\noff = []\n", []string{`9: days in [hours]: "Mon,"`, "10: off in [hours] is an empty list"}},
		"days off, many":     {least + "[hours]\nfrom = \"07:00\"\nto = \"17:00\"\noff = [" + strings.Repeat("2026-12-24,", 367) + "]\n", []string{"9: off in [hours] is a list of 367; give 366"}},
		"wet, covered":       {"[[layer]]\nbackground = \"brick\"\nwet = \"wet\"\n" + least, []string{"1: wet in [[layer]] is of the layer that the first coat is laid on"}},
		"wet, soggy":         {"[[layer]]\nbackground = \"brick\"\nwet = \"soggy\"\n[[coat]]\nfinish = \"polished-lime\"\nthickness = 0.1\n", []string{`3: wet in [[layer]]: "soggy" is not dry, damp or wet`}},
		"wet, a moment":      {"[[layer]]\nbackground = \"brick\"\nwet = 2026-04-02T08:00:00Z\n[[coat]]\nfinish = \"polished-lime\"\nthickness = 0.1\n", []string{"3: wet in [[layer]] is a date or time; give dry, damp or wet"}},
		"wet, dry damped":    {"[[layer]]\nbackground = \"brick\"\nwet = \"dry\"\ndamped = true\n[[coat]]\nfinish = \"polished-lime\"\nthickness = 0.1\n", []string{"3: [[layer]] is both damped and wet"}},
		"wait":               {least + "wait = \"3\"\n[[coat]]\nfinish = \"polished-lime\"\nthickness = 0.1\nwait = \"10-3 d\"\n", []string{`6: wait in [[coat]]: "3" is not a wait`, `10: wait in [[coat]]: "10-3 d" is not a wait`}},
		"wait, too long":     {least + "wait = \"3-121 d\"\n", []string{`6: wait in [[coat]]: "3-121 d" is not a wait; give a wait of 0 to 120 d`}},
		"wait, green":        {least + "wait = \"3 d\"\ngreen = true\nmist = \"no\"\n", []string{"6: [[coat]] has both green and wait", "8: mist in [[coat]] is text"}},
		"cover":              {least + "[[wall]]\ncover = \"tent\"\n", []string{`7: cover in [[wall]]: "tent" is not a known cover; did you mean tented?`}},
		"limits":             {least + "[limits]\nmin_wall = 20\nmax_wall = 10\n", []string{"8: max_wall in [limits] is not above min_wall"}},
		"humidity":           {least + "[limits]\nmax_rh = 0.8\n", []string{"7: max_rh in [limits]: relative humidity 0.8% is outside 1 to 100 %; did you mean 80%?"}},
		"moisture class":     {least + "[room]\nmoisture_class = 7\n", []string{"7: moisture_class in [room] is 7"}},
		"people":             {least + "[crew]\npeople = 1.5\n", []string{"7: people in [crew] is a number"}},
		"room twice over":    {least + "[[room]]\nvolume = 3\n", []string{`6: "room" should be one section`}},
		"coat with one":      {"[[layer]]\nbackground = \"brick\"\n[coat]\nfinish = \"polished-lime\"\n", []string{`3: "coat" should be a section of its own`}},
		"key twice":          {least + "thickness = 2\n", []string{`6: "thickness = 2" is given twice`}},
		"table twice":        {least + "[crew]\npeople = 2\n[crew]\npeople = 3\n", []string{`8: "[crew]" is given twice`}},
		"syntax":             {head + "thickness = 0.1mm\n", []string{`5: "thickness = 0.1mm" is not valid TOML`}},
		"clock unquoted":     {least + "[hours]\nfrom = 7:30\nto = \"17:00\"\n", []string{`7: "from = 7:30" is not valid TOML`}},
		"two slips":          {least + "[crew]\npeople = two\n[room]\nvolume = 60m3\nair_chnges = 1\n", []string{"7: ", "9: ", `10: unknown key "air_chnges"`}},
		"half written":       {least + "[room]\nvolume = \"62", []string{"7: "}},
		"half a header":      {least + "[roo", []string{"6: "}},
		"nothing in it":      {"# a job\n", []string{"0: there is no [[layer]]", "0: there is no [[coat]]"}},
		"units":              {"units = \"imperial\"\n" + least, []string{"1: units: "}},
		"drop test":          {least + "[suction]\ndrop_test = []\ntube = \"3\"\n", []string{"7: drop_test in [suction] is an empty list", "8: tube in [suction]"}},
		"laid":               {least + "[[laid]]\nfinish = \"polished-lime\"\non = \"April\"\n", []string{"8: on in [[laid]]"}},
		"crlf":               {strings.ReplaceAll(least+"thicknes = 1\n", "\n", "\r\n"), []string{`6: unknown key "thicknes"`}},
	})
}

type faulty struct {
	text string
	want []string // "line: what is said", in order, and no others
}

func wantFaults(t *testing.T, cases map[string]faulty) {
	t.Helper()
	for name, tc := range cases {
		t.Run(name, func(t *testing.T) {
			_, err := Parse("hall.toml", []byte(tc.text), known)
			l := faults(t, err)
			if len(l) != len(tc.want) {
				t.Fatalf("got %d faults, want %d:\n%v", len(l), len(tc.want), l)
			}
			for i, f := range l {
				num, says, _ := strings.Cut(tc.want[i], ": ")
				if f.File != "hall.toml" || num != strconv.Itoa(f.Line) || !strings.HasPrefix(f.Message, says) {
					t.Errorf("fault %d is %q, want line %s, %q", i, f, num, says)
				}
				if f.Expected == "" || strings.Contains(f.Message, "\n") {
					t.Errorf("fault %q: expectation %q", f, f.Expected)
				}
			}
		})
	}
}

// What is behind a wall outdoors, and a tent before it, are read.
func TestBehind(t *testing.T) {
	j, err := Parse("yard.toml", []byte(least+"[[wall]]\ncover = \"tented\"\nbehind = \"room\"\nbehind_temp = \"68F\"\n[[wall]]\nbehind = \"room\"\n[[wall]]\nbehind = \"solid\"\n"), known)
	if err != nil {
		t.Fatal(err)
	}
	a, b, c := j.Walls[0], j.Walls[1], j.Walls[2]
	if a.Cover != "tented" || a.Behind != "room" || a.BehindTemp == nil || math.Abs(*a.BehindTemp-20) > 1e-9 {
		t.Errorf("%+v", a)
	}
	if b.Behind != "room" || b.BehindTemp != nil || c.Behind != "solid" || c.BehindTemp != nil {
		t.Errorf("%+v, %+v", b, c)
	}
}

// Working days, waits and a bed that starts wet are read.
func TestDays(t *testing.T) {
	text := "[place]\nzone = \"America/Denver\"\n" + strings.Replace(least, "brick\"\n", "brick\"\nwet = 2026-04-02\n", 1) +
		"wait = \"3-10 d\"\nmist = false\n[[coat]]\nfinish = \"marble-coat\"\nthickness = 1\nwait = \"16h\"\nmist = true\n[[coat]]\nfinish = \"marble-coat\"\nthickness = 1\nwait = \"16 h - 2 days\"\n" +
		"[hours]\nfrom = \"08:00\"\nto = \"17:00\"\ndays = \"DAYS\"\noff = [\"2026-12-24\", 2026-12-28]\n"
	for days, free := range map[string]string{"Mon-Fri": "Sun Sat", "mon - SAT": "Sun", "Mon,Wed, Fri": "Sun Tue Thu Sat", "Sun-Thu": "Fri Sat", "Sat-Mon,Wed": "Tue Thu Fri", "Tue": "Sun Mon Wed Thu Fri Sat", "Mon-Sun": ""} {
		j, err := Parse("hall.toml", []byte(strings.Replace(text, "DAYS", days, 1)), known)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for d, f := range j.Free {
			if f {
				got = append(got, time.Weekday(d).String()[:3])
			}
		}
		if strings.Join(got, " ") != free {
			t.Errorf("%s leaves %v free, want %s", days, got, free)
		}
		if len(j.Off) != 2 || j.Off[0].Format(time.RFC3339) != "2026-12-24T00:00:00-07:00" || j.Layers[0].BaseLaid.Format(time.RFC3339) != "2026-04-02T00:00:00-06:00" || j.Layers[0].Wet != "" {
			t.Errorf("off %v, layer %+v", j.Off, j.Layers[0])
		}
		const day = 24 * time.Hour
		if a, b, c := j.Coats[0], j.Coats[1], j.Coats[2]; *a.Wait != (Wait{3 * day, 10 * day}) || !a.NoMist || *b.Wait != (Wait{16 * time.Hour, 16 * time.Hour}) || b.NoMist || *c.Wait != (Wait{16 * time.Hour, 2 * day}) || c.NoMist {
			t.Errorf("coats %+v %+v %+v", a, b, c)
		}
	}
}

func TestFilesThatAreNoJob(t *testing.T) {
	dir := t.TempDir()
	write := func(name, content string) string {
		p := filepath.Join(dir, name)
		if err := os.WriteFile(p, []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
		return p
	}
	for name, tc := range map[string]struct{ path, says string }{
		"missing": {filepath.Join(dir, "none.toml"), "there is no such file"},
		"folder":  {dir, "is a folder"},
		"empty":   {write("empty.toml", " \n\n"), "is empty"},
		"binary":  {write("b.toml", "a\x00b"), "is not UTF-8 text"},
		"latin1":  {write("l.toml", "# caf\xe9\n"+least), "is not UTF-8 text"},
		"large":   {write("large.toml", strings.Repeat("# long\n", MaxSize/7+2)), "is larger than 1024 KiB"},
	} {
		_, err := Load(tc.path, nil, known)
		if l := faults(t, err); len(l) != 1 || !strings.Contains(l[0].Message, tc.says) || l[0].File != tc.path {
			t.Errorf("%s: %v", name, err)
		}
	}
	if j, err := Load(write("bom.toml", "\ufeff"+least), nil, known); err != nil || len(j.Coats) != 1 {
		t.Errorf("a file that starts with a byte-order mark: %v", err)
	}
	if j, err := Load("-", strings.NewReader(least), known); err != nil || j.File != "standard input" {
		t.Errorf("from standard input: %v", err)
	}
}

// On the day the clocks go forward a time of day is still the one on the wall.
func TestClockAcrossDST(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Dublin")
	if err != nil {
		t.Fatal(err)
	}
	day := time.Date(2026, 3, 29, 0, 30, 0, 0, zone)
	if got := (Clock{7, 30}).On(day).Format(time.RFC3339); got != "2026-03-29T07:30:00+01:00" {
		t.Errorf("07:30 is %s", got)
	}
}

// A job is read, or refused with faults that each have a place and a sentence.
func FuzzParse(f *testing.F) {
	f.Add(ExampleJob())
	f.Add([]byte(least))
	f.Add([]byte("a.b.c = {d = [1, {e = 2}]}\n[[coat]]\n[coat.x]\n[[coat]]\n"))
	f.Add([]byte("layer = [{background = \"brick\"}]\ncoat = [1]\n[place]\nzone = \"\"\n"))
	f.Add([]byte("[hours]\nfrom = 07:30:00\nto = \"\"\"\n"))
	f.Add([]byte(least + "[finish.a]\nlike = \"marble-coat\"\nmu = 1e400\n[finish.\"\"]\n[suction]\ndrop_test = [1, \"2s\"]\n"))
	f.Add([]byte(wall43 + "left = \"open\"\nlifts = [1, \"6ft\"]\njoints = 2\n" + door + "[[wall.opening]]\nleft = -1\nwidth = 3\nheight = 9\n"))
	f.Add([]byte(least + "wall = [{width = 4, height = 3, opening = [{left = 1, width = 1, height = 1}, {left = 2, width = 1, height = 3, sill = \"0ft\"}]}]\n"))
	f.Add([]byte(least + "[crew]\npeople = 1\nlaying = 1e-9\nbreaks = [\"12:00-13:00\", [], \"10:00-10:15\"]\nwaste = \"9%\"\n[[crew.hand]]\ndoes = [\"lay\"]\nlaying = \"100ft2/h\"\n"))
	f.Add([]byte(least + "wait = \"3-10 d\"\nmist = false\n[hours]\nfrom = 07:30:00\nto = \"17:00\"\ndays = \"Mon-Fri\"\noff = [2026-12-24, \"2026-12-25\"]\n"))
	f.Add([]byte("[room]\n[[wall]]\nbehind = \"cavity\"\nbehind_temp = 5\n" + strings.Replace(least, "[[coat]]", "wet = \"2026-04-02\"\n[[coat]]", 1)))
	f.Add([]byte("thickness = 0x_\n\r\n\"\" = 1\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		before := string(data)
		j, err := Parse("f.toml", data, known)
		if string(data) != before {
			t.Fatal("the text was changed")
		}
		if err == nil {
			if len(j.Coats) == 0 || len(j.Layers) == 0 {
				t.Fatal("a job without coats or layers was accepted")
			}
			sound(t, j)
			for _, c := range j.Coats {
				if w := c.Wait; w != nil && (w.Least < 0 || w.Careful < w.Least || w.Careful > 120*24*time.Hour) {
					t.Fatalf("wait %+v was accepted", *w)
				}
				if (c.Thickness == nil) == (c.Spread == nil) || c.Finish == "" {
					t.Fatalf("coat %+v was accepted", c)
				}
			}
			return
		}
		var l fault.List
		if !errors.As(err, &l) || len(l) == 0 {
			t.Fatalf("error %v", err)
		}
		for _, f := range l {
			if f.Message == "" || f.File != "f.toml" {
				t.Fatalf("fault %+v", f)
			}
		}
	})
}
