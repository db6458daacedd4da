package app

import (
	"context"
	"fmt"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/config"
	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/quantity"
	timingfile "limeday/cmd/internal/timing"
	"limeday/drying"
	"limeday/weather/source"
)

// asked is a question as it comes to be worked out.
type asked struct {
	Walls []drying.Job
	Ask   *drying.Ask // nil of a question about no day
	Seen  []drying.Seen
}

// asker is a user with files, a clock, settings and a weather service on loopback.
type asker struct {
	t       *testing.T
	site    *site
	service bool // there is one
}

func newAsker(t *testing.T) *asker {
	a := &asker{t, newSite(t, withContact), true}
	a.site.now = time.Date(2026, 4, 14, 6, 30, 0, 0, zone(t, "Europe/Dublin"))
	a.site.answer = a.site.steady(9, 5, 80)
	return a
}

func (a *asker) file(name, text string) string {
	a.t.Helper()
	path := filepath.Join(a.site.home, name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		a.t.Fatal(err)
	}
	return path
}

func (a *asker) inv(stdin string, args ...string) *invocation {
	a.t.Helper()
	inv := &invocation{Env: Env{Stdin: strings.NewReader(stdin), Now: func() time.Time { return a.site.now }, CacheDir: filepath.Join(a.site.home, "cache"),
		Sleep: func(context.Context, time.Duration) error { return nil }}, Args: args, Notes: io.Discard}
	if !a.service {
		inv.Transport = noNetwork{}
		inv.CacheDir = ""
	}
	var err error
	if inv.config, err = config.Load(a.site.home, source.Services()); err != nil {
		a.t.Fatal(err)
	}
	return inv
}

// flags asks as `today` and `wall` do.
func (a *asker) flags(home intake.Example, stdin string, args ...string) (asked, error) {
	a.t.Helper()
	fs := pflag.NewFlagSet("test", pflag.ContinueOnError)
	q := askFlags(fs)
	q.builtIn = home
	q.which = addWord(fs, "example", "", "example", []string{string(intake.Hall), string(intake.Gable), string(intake.Stair)}, "")
	q.since, q.book = addText(fs, "since", "", ""), addText(fs, "diary", "FILE", "")
	people := fs.Uint("people", 0, "")
	inv := a.inv(stdin)
	inv.unitsFlag = addWord(fs, "units", "", "units", []string{"metric", "us"}, "")
	if err := fs.Parse(args); err != nil {
		a.t.Fatal(err)
	}
	inv.Args, q.people = fs.Args(), *people
	if word, _ := inv.unitsFlag.Value(); word != "" {
		inv.units, _ = quantity.ParseUnits(word)
		inv.unitsGiven = true
	}
	r, err := q.read(a.t.Context(), inv, &outFiles{})
	if err != nil {
		return asked{}, err
	}
	return asked{r.jobs, &r.ask, r.Seen}, nil
}

// page asks as the page does after a reading was typed in; readings are none or one, and the diary is as it was afterwards.
func (a *asker) page(path string, e intake.Example, service string, reading url.Values, u quantity.Units) (asked, error) {
	a.t.Helper()
	inv := a.inv("")
	j := &deskJob{path: path, example: e}
	if e == "" {
		j.diary = strings.TrimSuffix(path, ".toml") + ".diary"
		was, err := os.ReadFile(j.diary)
		defer func() {
			if err != nil {
				os.Remove(j.diary)
			} else if err := os.WriteFile(j.diary, was, 0o600); err != nil {
				a.t.Error(err)
			}
		}()
	}
	d := &desk{ctx: a.t.Context(), inv: inv, source: service, jobs: []*deskJob{j}}
	if reading != nil {
		if err := d.Read(a.t.Context(), 0, reading, u); err != nil {
			a.t.Fatal(err)
		}
	}
	day, err := d.day(a.t.Context(), j)
	return asked{day.Walls, &day.Ask, day.Seen}, err
}

// differ is where two values differ first, empty where they do not: floats within rounding, moments and zones by what they are.
func differ(at string, a, b reflect.Value) string {
	switch {
	case a.IsValid() != b.IsValid() || a.IsValid() && a.Type() != b.Type():
		return fmt.Sprintf("%s: %v, %v", at, a, b)
	case !a.IsValid():
		return ""
	}
	if a.CanInterface() {
		switch x := a.Interface().(type) {
		case time.Time:
			if y := b.Interface().(time.Time); !x.Equal(y) {
				return fmt.Sprintf("%s: %v, %v", at, x, y)
			}
			return ""
		case *time.Location:
			if y := b.Interface().(*time.Location); x.String() != y.String() {
				return fmt.Sprintf("%s: %v, %v", at, x, y)
			}
			return ""
		}
	}
	switch a.Kind() {
	case reflect.Float64:
		if x, y := a.Float(), b.Float(); x != y && !(max(x-y, y-x) <= 1e-9*max(x, -x, y, -y)) {
			return fmt.Sprintf("%s: %v, %v", at, x, y)
		}
	case reflect.Struct:
		for i := range a.NumField() {
			if d := differ(at+"."+a.Type().Field(i).Name, a.Field(i), b.Field(i)); d != "" {
				return d
			}
		}
	case reflect.Pointer, reflect.Interface:
		if a.IsNil() != b.IsNil() {
			return fmt.Sprintf("%s: %v, %v", at, a, b)
		}
		return differ(at, a.Elem(), b.Elem())
	case reflect.Slice, reflect.Array:
		if a.Len() != b.Len() {
			return fmt.Sprintf("%s: %d, %d of them", at, a.Len(), b.Len())
		}
		for i := range a.Len() {
			if d := differ(fmt.Sprintf("%s[%d]", at, i), a.Index(i), b.Index(i)); d != "" {
				return d
			}
		}
	default:
		if !a.Equal(b) {
			return fmt.Sprintf("%s: %v, %v", at, a, b)
		}
	}
	return ""
}

const (
	askedPlace = "[place]\nname = \"Mill\"\nzone = \"Europe/Dublin\"\n"
	askedLayer = "[[layer]]\nbackground = \"primed-board\"\n"
	askedCoat  = "[[coat]]\nfinish = \"polished-lime\"\nthickness = \"0.2mm\"\n[[coat]]\nfinish = \"polished-lime\"\nthickness = \"0.08mm\"\n"
	askedRoom  = "[room]\nvolume = \"45m3\"\n[[wall]]\nheight = \"2.5m\"\nwidth = \"6m\"\n"
	askedThere = "[place]\nname = \"Mill\"\nzone = \"Europe/Dublin\"\nlat = 60.1\nlon = 10.0\naltitude = \"267m\"\n"
	askedYard  = "[[wall]]\nname = \"gable\"\nbearing = \"S\"\nheight = \"3m\"\nwidth = \"4m\"\nbehind = \"room\"\n[[wall]]\nname = \"porch\"\nbearing = 90\nshelter = 0.3\ncover = \"sheeted\"\n" +
		"[[layer]]\nbackground = \"brick\"\ndamped = true\n[[coat]]\nfinish = \"nhl-render\"\nthickness = \"8mm\"\n[[laid]]\nname = \"porch\"\nfinish = \"nhl-render\"\non = \"2026-04-11\"\n"
	askedFull = "[room]\nair_speed = \"0.3m/s\"\nvent = \"1.5m/s\"\nsun = \"10:00-12:00\"\nheating = \"15C\"\nmoisture_class = 2\nvolume = \"60m3\"\nair_changes = 1\n" +
		"[[wall]]\nheight = \"2.5m\"\nwidth = \"4m\"\n[finish.mine]\nlike = \"polished-lime\"\n[[layer]]\nbackground = \"brick\"\ndamped = true\n" +
		"[[coat]]\nfinish = \"polished-lime\"\nthickness = \"0.2mm\"\ntint = \"ochre\"\n[[coat]]\nfinish = \"mine\"\nthickness = \"0.08mm\"\n" +
		"[hours]\nfrom = \"07:00\"\nto = \"15:30\"\n[limits]\nmin_wall = \"8C\"\nmax_rh = 80\n[suction]\ndrop_test = [\"20s\", \"40s\"]\n[crew]\npeople = 2\n[[laid]]\nfinish = \"mine\"\non = \"2026-04-11\"\n"
	// The same in the other units.
	askedFullUS = "units = \"us\"\n[room]\nair_speed = \"0.3m/s\"\nvent = \"1.5m/s\"\nsun = \"10:00-12:00\"\nheating = 59\nmoisture_class = 2\nvolume = \"60m3\"\nair_changes = 1\n" +
		"[[wall]]\nheight = 8.202099737532808\nwidth = 13.123359580052494\n[finish.mine]\nlike = \"polished-lime\"\n[[layer]]\nbackground = \"brick\"\ndamped = true\n" +
		"[[coat]]\nfinish = \"polished-lime\"\nthickness = 7.874015748031496\ntint = \"ochre\"\n[[coat]]\nfinish = \"mine\"\nthickness = 3.1496062992125986\n" +
		"[hours]\nfrom = \"07:00\"\nto = \"15:30\"\n[limits]\nmin_wall = 46.4\nmax_rh = 80\n[suction]\ndrop_test = [20, 40]\n[crew]\npeople = 2\n[[laid]]\nfinish = \"mine\"\non = \"2026-04-11\"\n"
)

// TestOneIntake: a question is worked out from the same job, the same air and the same history, however it is asked. The first rows are
// two that once had two answers.
func TestOneIntake(t *testing.T) {
	a := newAsker(t)
	reading := []string{"--temp", "15C", "--rh", "60"}
	typed, typedUS := url.Values{"temp": {"15"}, "rh": {"60"}}, url.Values{"temp": {"59"}, "rh": {"60"}}
	n := len(drying.TimingNames())
	mean, cov := make([]float64, n), make([][]float64, n)
	for i := range n {
		mean[i], cov[i] = 0.1, make([]float64, n)
		cov[i][i] = 0.5
	}
	mine, err := drying.NewTiming("polished-lime", 3, mean, cov)
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	if err := timingfile.Write(&text, mine, a.site.now, nil); err != nil {
		t.Fatal(err)
	}
	timing := a.file("me.toml", text.String())
	lost := a.file("render.toml", strings.Replace(text.String(), "'polished-lime'", "'nhl-render'", 1))
	log := a.file("log.csv", "time,temp_c,rh_pct\n2026-04-14T05:00:00+01:00,14,61\n2026-04-14T06:00:00+01:00,14.5,60\n2026-04-14T06:20:00+01:00,15,60\n")

	type way struct {
		name string
		ask  func() (asked, error)
	}
	today := func(name string, args ...string) way {
		return way{name, func() (asked, error) { return a.flags(intake.Hall, "", args...) }}
	}
	onPage := func(name, path, service string, form url.Values, u quantity.Units) way {
		return way{name, func() (asked, error) { return a.page(path, "", service, form, u) }}
	}
	with := func(args ...string) []string { return slices.Concat(args, reading) }
	type question struct {
		name string
		ways []way
	}
	var rows []question
	row := func(name string, ways ...way) { rows = append(rows, question{name, ways}) }

	one := a.file("one.toml", askedPlace+askedRoom+askedLayer+askedCoat)
	four := a.file("four.toml", askedPlace+askedRoom+askedLayer+askedCoat+"[crew]\npeople = 4\n")
	hands := a.file("hands.toml", askedPlace+askedRoom+askedLayer+askedCoat+"[crew]\n"+strings.Repeat("[[crew.hand]]\n", 4))
	row("four hands", today("in the job", with(four)...), today("each by itself", with(hands)...), today("at the flag", with(one, "--people", "4")...),
		today("at the flag, in place of others", with(hands, "--people", "4")...), onPage("page", four, "", typed, quantity.Metric))

	there := a.file("there.toml", askedThere+askedRoom+askedLayer+askedCoat)
	row("a reading where there is a forecast", today("flags", with(there)...), onPage("page", there, "", typed, quantity.Metric), onPage("page, US", there, "", typedUS, quantity.US),
		today("US", there, "--temp", "59F", "--rh", "60"), today("bare US", there, "--units", "us", "--temp", "59", "--rh", "60"), today("wall", with(there, "--people", "0")...))
	row("a reading that shifts the forecast", today("flags", with(there, "--source", "metno")...), onPage("page", there, "metno", typed, quantity.Metric))
	row("any service", today("flags", with(there, "--source", "any")...), onPage("page", there, "any", typedUS, quantity.US))
	row("the forecast", today("flags", there), today("any", there, "--source", "any"), onPage("page", there, "", nil, quantity.Metric), onPage("page, named", there, "metno", nil, quantity.Metric))

	yard := a.file("yard.toml", askedThere+askedYard)
	row("a wall outdoors", today("flags", yard), onPage("page", yard, "", nil, quantity.Metric))
	row("a wall outdoors and a reading", today("flags", with(yard, "--source", "any")...), onPage("page", yard, "", typed, quantity.Metric), onPage("page, any", yard, "any", typedUS, quantity.US))
	site := func(name string, f func() (intake.Site, error)) way {
		return way{name, func() (asked, error) { s, err := f(); return asked{Walls: s.Walls}, err }}
	}
	row("walls outdoors of no day", site("season", func() (intake.Site, error) { return a.inv("").seasonSite(yard, "") }), site("cards, plan", func() (intake.Site, error) { return a.inv("").siteOf(yard, intake.Given{}) }),
		way{"today", func() (asked, error) {
			x, err := a.flags(intake.Hall, "", yard)
			x.Ask, x.Seen = nil, nil
			return x, err
		}},
		way{"page", func() (asked, error) {
			x, err := a.page(yard, "", "", nil, quantity.Metric)
			x.Ask, x.Seen = nil, nil
			return x, err
		}})

	full, fullUS := a.file("full.toml", askedPlace+askedFull), a.file("fullus.toml", strings.Replace(askedFullUS, "[room]", askedPlace+"[room]", 1))
	row("a job with everything", today("flags", with(full)...), today("in US units", with(fullUS)...), onPage("page", full, "", typed, quantity.Metric),
		onPage("page, US", fullUS, "", typedUS, quantity.US),
		way{"from a pipe", func() (asked, error) { return a.flags(intake.Hall, askedPlace+askedFull, with("-")...) }})

	fast := a.file("fast.toml", askedPlace+strings.Replace(askedRoom, "[room]\n", "[room]\nair_speed = \"0.4m/s\"\n", 1)+askedLayer+askedCoat)
	row("air speed", today("in the job", with(fast)...), today("at the flag", with(one, "--air-speed", "0.4m/s")...),
		onPage("page", fast, "", typed, quantity.Metric))

	learned := a.file("learned.toml", askedPlace+askedRoom+askedLayer+askedCoat+"[timing]\nfile = \"me.toml\"\n")
	others := a.file("others.toml", askedPlace+askedRoom+askedLayer+askedCoat+"[timing]\nfile = \"render.toml\"\n")
	row("a timing", today("in the job", with(learned)...), today("at the flag", with(one, "--timing", timing)...), today("over another", with(others, "--timing", timing)...), onPage("page", learned, "", typed, quantity.Metric))
	row("a timing of another finish", today("in the job", with(others)...), today("at the flag", with(one, "--timing", lost)...), today("none", with(one)...), onPage("page", others, "", typed, quantity.Metric))
	row("a timing of no day", site("cards, plan", func() (intake.Site, error) { return a.inv("").siteOf(one, intake.Given{Timing: timing}) }),
		site("in the job", func() (intake.Site, error) { return a.inv("").siteOf(learned, intake.Given{}) }),
		site("from a pipe", func() (intake.Site, error) {
			return a.inv(askedPlace+askedRoom+askedLayer+askedCoat).siteOf("-", intake.Given{Timing: timing})
		}))

	row("the moment", today("now", with(one)...), today("by the clock", with(one, "--at", "2026-04-14T06:30")...), today("with its offset", with(one, "--at", "2026-04-14T05:30Z")...))
	warm := url.Values{"temp": {"15"}, "rh": {"60"}, "wall_temp": {"13"}}
	row("the wall measured", today("flags", with(one, "--wall-temp", "13C")...), onPage("page", one, "", warm, quantity.Metric))
	pinned := a.file("pinned.toml", askedPlace+askedRoom+askedLayer+askedCoat+"[readings]\ntemp_unit = \"C\"\n")
	noted := func(w way) way { // how it was read is told in words, and differs
		return way{w.name, func() (asked, error) {
			x, err := w.ask()
			if x.Ask != nil {
				x.Ask.Air.Notes = nil
			}
			return x, err
		}}
	}
	row("a logger", noted(today("plain", one, "--readings", log)), noted(today("pinned at the flag", one, "--readings", log, "--read-as", "temp-unit=C")), noted(today("pinned in the job", pinned, "--readings", log)))
	seen := a.file("seen.toml", askedPlace+askedRoom+askedLayer+askedCoat)
	book := strings.TrimSuffix(seen, ".toml") + ".diary"
	b, err := diary.Open(book, func() time.Time { return a.site.now })
	if err != nil {
		t.Fatal(err)
	}
	for i, what := range []string{"laid", "dry"} {
		at := time.Date(2026, 4, 14, 5, 10+20*i, 0, 0, a.site.now.Location())
		if _, err := b.Append(diary.Entry{Kind: diary.Event, At: at, Data: map[string]any{"coat": 1.0, "what": what}}); err != nil {
			t.Fatal(err)
		}
	}
	row("what was seen", today("at the flag", with(seen, "--since", "coat1=laid@05:10,dry@05:30")...), today("in the diary", with(seen, "--diary", book)...), onPage("page", seen, "", typed, quantity.Metric))

	// Readings of yesterday and of this morning are joined, whether the last was typed at the flags, on the page or into the diary.
	kept := a.file("kept.toml", askedThere+askedRoom+askedLayer+askedCoat)
	keptYard := a.file("keptyard.toml", askedThere+askedYard)
	entry := func(path string, at time.Time, kind diary.Kind, data map[string]any) {
		b, err := diary.Open(path, func() time.Time { return a.site.now })
		if err == nil {
			_, err = b.Append(diary.Entry{Kind: kind, At: at, Data: data})
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	var books []string
	for _, job := range []string{kept, keptYard} {
		book := strings.TrimSuffix(job, ".toml") + ".diary"
		books = append(books, book)
		for i, hour := range []int{-900, -90, -61, -14, -1, 3} {
			entry(book, a.site.now.Add(time.Duration(hour)*time.Hour), diary.Reading, map[string]any{"temp": 12 + 0.5*float64(i), "rh": 60.0, "wall_temp": 11.0})
		}
		entry(book, a.site.now.Add(-70*time.Hour), diary.Event, map[string]any{"coat": 1.0, "what": "laid"})
	}
	whole := a.file("whole.diary", "")
	for i, hour := range []int{-900, -90, -61, -14, -1, 0} {
		data := map[string]any{"temp": 12 + 0.5*float64(i), "rh": 60.0, "wall_temp": 11.0}
		if hour == 0 {
			data = map[string]any{"temp": 15.0, "rh": 60.0}
		}
		entry(whole, a.site.now.Add(time.Duration(hour)*time.Hour), diary.Reading, data)
	}
	entry(whole, a.site.now.Add(-70*time.Hour), diary.Event, map[string]any{"coat": 1.0, "what": "laid"})
	row("a history", today("flags", with(kept, "--diary", books[0])...), onPage("page", kept, "", typed, quantity.Metric), today("diary alone", kept, "--diary", whole))
	row("a history, no reading of now", today("flags", kept, "--diary", books[0]), onPage("page", kept, "", nil, quantity.Metric))
	row("a history outdoors", today("flags", with(keptYard, "--source", "any", "--diary", books[1])...), onPage("page", keptYard, "", typed, quantity.Metric))
	row("a history outdoors, no reading of now", today("flags", keptYard, "--diary", books[1]), onPage("page", keptYard, "", nil, quantity.Metric))

	for _, e := range []intake.Example{intake.Hall, intake.Gable, intake.Stair} {
		row("example "+string(e), way{"flags", func() (asked, error) { return a.flags(e, "") }}, way{"named", func() (asked, error) { return a.flags(intake.Hall, "", "--example", string(e)) }},
			way{"page", func() (asked, error) { return a.page(job0, e, "", nil, quantity.Metric) }})
	}

	// What the page has no field for yet is asked for by plain values all the same.
	speed, pressure, high := 0.4, 99000.0, 900.0
	for name, tc := range map[string]struct {
		flag  []string
		given intake.Given
	}{"air speed": {[]string{"--air-speed", "0.4m/s"}, intake.Given{AirSpeed: &speed}}, "pressure": {[]string{"--pressure", "990hPa"}, intake.Given{Pressure: &pressure}},
		"altitude": {[]string{"--altitude", "900m"}, intake.Given{Altitude: &high}}, "timing": {[]string{"--timing", timing}, intake.Given{Timing: timing}}} {
		row("plain values, "+name, today("flags", with(append([]string{full}, tc.flag...)...)...), way{"request", func() (asked, error) {
			file, err := intake.Load(full, "", nil)
			if err != nil {
				return asked{}, err
			}
			d, err := a.inv("").intake().Day(t.Context(), intake.Request{File: file, Given: tc.given, Reading: &intake.Reading{Temp: 15, RH: 60}})
			return asked{d.Walls, &d.Ask, d.Seen}, err
		}})
	}

	ways := 0
	for _, r := range rows {
		first, err := r.ways[0].ask()
		if err != nil {
			t.Errorf("%s, %s: %v", r.name, r.ways[0].name, err)
			continue
		}
		for _, w := range r.ways {
			ways++
			got, err := w.ask()
			if err != nil {
				t.Errorf("%s, %s: %v", r.name, w.name, err)
			} else if d := differ("", reflect.ValueOf(first), reflect.ValueOf(got)); d != "" {
				t.Errorf("%s: %s and %s are two questions: %s", r.name, r.ways[0].name, w.name, d)
			}
		}
	}
	if ways < 40 {
		t.Errorf("%d ways to ask", ways)
	}
	t.Logf("%d ways to ask %d questions", ways, len(rows))
}

// job0 is the path of an example.
const job0 = "built-in example"

// TestReadingAlone: with no service named, a reading indoors asks nobody, at the flags and on the page; where a named one does not answer,
// the command says so and the page goes on with the reading, and says so too. A wall outdoors needs the forecast.
func TestReadingAlone(t *testing.T) {
	a := newAsker(t)
	there, yard := a.file("there.toml", askedThere+askedRoom+askedLayer+askedCoat), a.file("yard.toml", askedThere+askedYard)
	typed := url.Values{"temp": {"15"}, "rh": {"60"}}
	flags := func(args ...string) (asked, error) {
		return a.flags(intake.Hall, "", append(args, "--temp", "15C", "--rh", "60")...)
	}
	if _, err := flags(there); err != nil || len(a.site.asked) > 0 {
		t.Errorf("flags: %v, asked %q", err, a.site.asked)
	}
	if x, err := a.page(there, "", "", typed, quantity.Metric); err != nil || len(a.site.asked) > 0 || len(x.Ask.Air.Records) != 1 {
		t.Errorf("page: %v, asked %q", err, a.site.asked)
	}
	a.service = false
	if _, err := flags(there, "--source", "any"); err == nil || exitOf(err) != ExitNoWeather {
		t.Errorf("flags without a service: %v", err)
	}
	x, err := a.page(there, "", "any", typed, quantity.Metric)
	if err != nil || len(x.Ask.Air.Records) != 1 || !strings.Contains(strings.Join(x.Ask.Air.Notes, " "), "no forecast for ") {
		t.Errorf("page without a service: %v, %+v", err, x.Ask.Air)
	}
	for _, service := range []string{"", "any"} {
		if _, err := a.page(yard, "", service, typed, quantity.Metric); err == nil || exitOf(err) != ExitNoWeather {
			t.Errorf("page outdoors without a service, --source %q: %v", service, err)
		}
	}
	if _, err := flags(yard); err == nil || exitOf(err) != ExitNoWeather || !strings.Contains(err.Error(), "a wall outdoors needs the forecast") {
		t.Errorf("flags outdoors: %v", err)
	}
	nowhere := a.file("nowhere.toml", askedPlace+askedRoom+askedLayer+askedCoat)
	if x, err := a.page(nowhere, "", "any", typed, quantity.Metric); err != nil || len(x.Ask.Air.Notes) > 0 {
		t.Errorf("page of a job without a place: %v, %q", err, x.Ask.Air.Notes)
	}
	if x, err := a.page(a.file("new.toml", askedPlace+askedRoom+askedLayer+askedCoat), "", "any", nil, quantity.Metric); err == nil || !strings.Contains(err.Error(), "give the reading below") || len(x.Walls) != 1 {
		t.Errorf("page with neither: %v, %d walls", err, len(x.Walls))
	}
}

// What is typed on the page stays known: the wall temperature and the air of that moment.
func TestPageReadingAges(t *testing.T) {
	a := newAsker(t)
	path := a.file("one.toml", askedPlace+askedRoom+askedLayer+askedCoat)
	j := &deskJob{path: path, diary: strings.TrimSuffix(path, ".toml") + ".diary"}
	d := &desk{ctx: t.Context(), inv: a.inv(""), jobs: []*deskJob{j}}
	if err := d.Read(t.Context(), 0, url.Values{"temp": {"15"}, "rh": {"60"}, "wall_temp": {"13"}}, quantity.Metric); err != nil {
		t.Fatal(err)
	}
	read := a.site.now
	for _, later := range []time.Duration{0, 59 * time.Minute, 61 * time.Minute, 9 * time.Hour} {
		a.site.now = read.Add(later)
		day, err := d.day(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		if len(day.Ask.Faces) != 1 || !day.Ask.Faces[0].At.Equal(read) || !day.Ask.Air.Records[0].Time.Equal(read) || !day.Ask.At.Equal(a.site.now) {
			t.Errorf("%v later: wall %v, air of %v", later, day.Ask.Faces, day.Ask.Air.Records[0].Time)
		}
	}
	// The next day nothing else is known, and it is joined by the next reading.
	a.site.now = read.Add(24 * time.Hour)
	if day, err := d.day(t.Context(), j); err != nil || day.Reading == nil || !day.Reading.At.Equal(read) || len(day.Ask.Air.Records) != 1 {
		t.Errorf("%v, %+v", err, day.Reading)
	}
	if err := d.Read(t.Context(), 0, url.Values{"temp": {"16"}, "rh": {"61"}}, quantity.Metric); err != nil {
		t.Fatal(err)
	}
	for range 2 { // also after the page was started anew
		if day, err := d.day(t.Context(), j); err != nil || day.Reading.Temp != 16 || len(day.Ask.Air.Records) != 2 || day.Ask.Air.Source != "your readings" || len(day.Ask.Faces) != 1 {
			t.Errorf("%v, %+v, %+v", err, day.Reading, day.Ask.Air)
		}
		d = &desk{ctx: t.Context(), inv: a.inv(""), jobs: []*deskJob{{path: path, diary: j.diary}}}
		j = d.jobs[0]
	}
}

func exitOf(err error) int {
	e, _ := told(err)
	return e.Exit
}
