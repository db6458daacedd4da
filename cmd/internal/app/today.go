package app

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/readings"
	"limeday/drying"
)

type todayAnswer struct {
	Schema  string         `json:"schema"`
	Job     string         `json:"job"`
	At      string         `json:"at"`
	Start   string         `json:"start"`
	Verdict drying.Verdict `json:"verdict"`
	Reasons []todayReason  `json:"reasons"`
	Coats   []todayCoat    `json:"coats"`
	Changes []struct{}     `json:"changes"`
	Care    []struct{}     `json:"care"`
	Frost   todayFrost     `json:"frost"`
	Air     airAnswer      `json:"air"`
	Weather todayWeather   `json:"weather"`
	Assumed []string       `json:"assumed"`
}

type todayReason struct {
	Code     drying.Code     `json:"code"`
	Severity drying.Severity `json:"severity"`
	Text     string          `json:"text"`
	Value    float64         `json:"value"`
	Limit    float64         `json:"limit"`
	Unit     string          `json:"unit"`
}

// todayCoat has RFC 3339 times with offset, null where not reached.
type todayCoat struct {
	Coat        int     `json:"coat"`
	Finish      string  `json:"finish"`
	ThicknessMm float64 `json:"thickness_mm"`
	Lay         *string `json:"lay"`
	Edge        *string `json:"edge"`
	Opens       *string `json:"opens"`
	Burnish     *string `json:"burnish"`
	Closes      *string `json:"closes"`
	Recoat      *string `json:"recoat"`
}

type todayFrost struct {
	Risk        string   `json:"risk"`
	FirstFreeze *string  `json:"first_freeze"`
	SurfaceMinC *float64 `json:"surface_min_c"`
}

type todayWeather struct {
	Source    string  `json:"source"`
	Issued    string  `json:"issued"`
	AgeH      float64 `json:"age_h"`
	Radiation string  `json:"radiation"`
	Held      bool    `json:"held"`
	Replay    bool    `json:"replay"`
}

func todayCommand() *command {
	return &command{
		name:    "today",
		args:    "[JOB]",
		maxArgs: 1,
		files:   true,
		summary: "the morning check: go or no-go, and the times of each coat",
		examples: []example{
			{"limeday today", "the built-in example: an invented job, its readings and moment"},
			{"limeday today --temp 15C --rh 64 --wall-temp 13C", "your reading, for the usual three coats of polished lime"},
			{"limeday today hall.toml --temp 15C --rh 64", "your reading, for your job"},
			{"limeday today hall.toml --readings logger.csv", "what a logger read overnight"},
		},
		notes: `
JOB is a job file, or - for standard input. Readings after --at are a replay;
those that end earlier hold their last value, for today only. A CSV of readings
has the columns time (RFC 3339), temp_c and rh_pct.`,
		setup: func(fs *pflag.FlagSet) runner {
			air := addAirFlags(fs)
			wallTemp := addQuantity(fs, "wall-temp", "11C", quantity.Temperature, quantity.AirTemperatures, "temperature of the wall's face; else worked out from the air")
			speed := addQuantity(fs, "air-speed", "0.2m/s", quantity.Speed, quantity.AirSpeeds, "speed of the air along the wall")
			file := fs.String("readings", "", "a CSV of readings, or - for standard input")
			at := fs.String("at", "", "the moment of asking, such as 2026-04-14T06:30; else now")
			return func(ctx context.Context, inv *invocation) error {
				q := todayQuestion{air: air, wallTemp: wallTemp, speed: speed, file: *file, at: *at}
				return q.answer(inv)
			}
		},
	}
}

type todayQuestion struct {
	air             *airFlags
	wallTemp, speed *quantityFlag
	file, at        string
}

func (q *todayQuestion) answer(inv *invocation) error {
	example := len(inv.Args) == 0
	path := job.ExampleName
	if !example {
		path = inv.Args[0]
	}
	if path == "-" && q.file == "-" {
		return usage("--readings", "one of the two", "the job and the readings cannot both come from standard input; give one as a file")
	}
	var j *job.Job
	var err error
	if example {
		j, err = job.Parse(path, job.ExampleJob(), knownNames())
	} else {
		j, err = job.Load(path, inv.Stdin, knownNames())
	}
	if err != nil {
		return err
	}
	units := inv.Units(j.Units)
	reading, err := q.air.Reading(units)
	if err != nil {
		return err
	}
	if reading != nil && q.file != "" {
		return usage("--readings", "one of the two", "--temp with --rh and --readings are both given; give one")
	}
	own := reading != nil || q.file != ""
	if example && own { // the example's coats with the user's air, at the user's place and time
		j.Place = job.Place{}
	}
	now := inv.Now()
	d, assumed, err := toDrying(j, now.Location())
	if err != nil {
		return err
	}
	if u, err := q.speed.Value(units); err != nil {
		return err
	} else if u != nil {
		d.Room.AirSpeed = *u
	}
	if q.air.pressure.set || q.air.altitude.set {
		if d.Room.Pressure, _, err = q.air.Pressure(units); err != nil {
			return err
		}
		assumed = without(assumed, "sea level")
	}
	ask := drying.Ask{At: now}
	if example && !own {
		if ask.At, err = time.Parse(time.RFC3339, job.ExampleAt); err != nil {
			return err
		}
	}
	if q.at != "" {
		if ask.At, err = parseMoment(q.at, d.Zone); err != nil {
			return err
		}
	}
	if ask.WallTemp, err = q.wallTemp.Value(units); err != nil {
		return err
	}
	switch {
	case reading != nil:
		ask.Air, err = seriesOf("your reading", []readings.Reading{{Time: ask.At, Temp: float64(reading.Air.Temperature()), RH: reading.RHPct}}, d.Pressure())
	case q.file != "":
		ask.Air, err = readFile(q.file, inv.Stdin, d.Pressure())
	case example:
		var rs []readings.Reading
		if rs, err = readings.Parse(job.ExampleName, bytes.NewReader(job.ExampleReadings())); err == nil {
			ask.Air, err = seriesOf("invented readings", rs, d.Pressure())
		}
	default:
		return &Error{Exit: ExitNoWeather, Where: path, Expected: "--temp and --rh, or --readings",
			Message: "no air for " + path + ": give a reading with --temp and --rh, or a logger's with --readings FILE"}
	}
	if err != nil {
		return err
	}
	answer, err := drying.Check(d, ask)
	var none *drying.NoAirError
	if errors.As(err, &none) {
		return &Error{Exit: ExitBadInput, Where: ask.Air.Source, Expected: "a reading at or before the moment of asking",
			Message: ask.Air.Source + ": " + none.Error() + "; check the dates, or set --at"}
	} else if err != nil {
		return err
	}
	head := fmt.Sprintf("%s: %s", path, orWord(j.Place.Name, "a job without a name"))
	switch {
	case example && own:
		head = "Your reading, for the built-in job: three thin coats of polished lime."
	case example:
		head = "Built-in example, all invented: " + j.Place.Name + ", readings, moment."
	}
	a := answerToday(answer, j, assumed)
	if reading != nil {
		a.Air.RHPct = reading.RHPct
	}
	return inv.Answer(a, func() string { return todayText(answer, head, assumed, units) })
}

func without(list []string, word string) []string {
	var l []string
	for _, s := range list {
		if s != word {
			l = append(l, s)
		}
	}
	return l
}

func answerToday(a drying.Answer, j *job.Job, assumed []string) todayAnswer {
	t := todayAnswer{
		Schema: "limeday.today/1", Job: orWord(j.Place.Name, j.File), At: a.At.Format(time.RFC3339), Start: a.Start.Format(time.RFC3339),
		Verdict: a.Verdict, Reasons: []todayReason{}, Coats: []todayCoat{}, Changes: []struct{}{}, Care: []struct{}{},
		Frost: todayFrost{Risk: "not-judged"}, Air: answerAir(a.Now, &a.WallTemp),
		Weather: todayWeather{Source: a.Known.Source, Issued: a.Known.Last.Format(time.RFC3339), AgeH: a.Known.Age.Hours(),
			Radiation: "none", Held: a.Known.Held, Replay: a.Known.Replay},
		Assumed: append([]string{}, assumed...),
	}
	t.Air.Schema = ""
	for _, r := range a.Reasons {
		t.Reasons = append(t.Reasons, todayReason(r))
	}
	moment := func(m time.Time) *string {
		if m.IsZero() {
			return nil
		}
		s := m.Format(time.RFC3339)
		return &s
	}
	for i, c := range a.Coats {
		t.Coats = append(t.Coats, todayCoat{c.Number, c.Coat.Finish.Name, c.Coat.Thickness * 1000, moment(c.Lay), moment(c.Edge),
			moment(c.Opens), moment(c.Burnish), moment(c.Closes), moment(c.Recoat)})
		if m := c.Times.FaceMin; i == 0 || m < *t.Frost.SurfaceMinC {
			t.Frost.SurfaceMinC = &m
		}
	}
	return t
}

var verdictWords = map[drying.Verdict]string{drying.Go: "GO", drying.Care: "GO WITH CARE", drying.NoGo: "NO-GO"}

func todayText(a drying.Answer, head string, assumed []string, u quantity.Units) string {
	var b strings.Builder
	temp := func(c float64) string { return quantity.Format(quantity.Temperature, c, u, 1) }
	b.WriteString(wrap("", head, 79))
	fmt.Fprintf(&b, "%s, %s\n\n", a.At.Format("Mon 2 Jan 2006, 15:04"), a.Job.Zone)
	switch a.Verdict {
	case drying.NoGo:
		fmt.Fprintf(&b, "%s today.\n", verdictWords[a.Verdict])
	default:
		fmt.Fprintf(&b, "%s. Lay the first coat at %s.\n", verdictWords[a.Verdict], a.Start.Format("15:04"))
	}
	for _, r := range a.Reasons {
		fmt.Fprint(&b, wrap("  - ", r.Text+reasonFigures(r, u), 79))
	}
	fmt.Fprintf(&b, "\nAir   %s, %s relative humidity, dew point %s, at the start\n", temp(float64(a.Now.Temperature())),
		trimPercent(100*float64(a.Now.RelativeHumidity())), temp(float64(a.Now.DewPoint())))
	fmt.Fprint(&b, wrap("      ", airFrom(a)+".", 79))
	how := "worked out from the air"
	if a.WallMeasured {
		how = "as measured"
	}
	margin := a.WallTemp - float64(a.Now.DewPoint())
	side := "above"
	if margin < 0 {
		margin, side = -margin, "below"
	}
	fmt.Fprintf(&b, "Wall  %s %s, %s %s the dew point\n", temp(a.WallTemp), how, quantity.FormatStep(margin, u, 1), side)
	fmt.Fprint(&b, wrap("On    ", a.Job.Background.About, 79))
	if len(assumed) > 0 {
		fmt.Fprint(&b, wrap("Taken ", strings.Join(assumed, ", "), 79))
	}
	b.WriteString("\n")
	fmt.Fprintf(&b, "%-26s %-6s %-12s %s\n", "Coat", "lay", "edge good", "then")
	for _, c := range a.Coats {
		writeCoat(&b, c, a.Start, u)
	}
	if n := len(a.Job.Coats) - len(a.Coats); n > 0 {
		fmt.Fprintf(&b, "%d more to lay another day.\n", n)
	}
	b.WriteString("\nThe sign rules over the clock:\n")
	events := []drying.Event{drying.EventNext}
	if last := a.Coats[len(a.Coats)-1]; last.Last {
		events = append(events, drying.EventOpens, drying.EventBurnish, drying.EventCloses)
	}
	writeSigns(&b, events)
	b.WriteString("Watch for:\n")
	for _, t := range drying.Troubles() {
		b.WriteString(wrap("  ", t.Seen+": "+t.Do, 79))
	}
	fmt.Fprint(&b, "\n", wrap("", "Not known: "+drying.Unknowns()+". Judge the tint dry, against the approved sample.", 79))
	b.WriteString(wrap("", strings.Join(drying.Cautions(), " "), 79))
	return b.String()
}

// airFrom says where the air came from and how far it is known.
func airFrom(a drying.Answer) string {
	s := a.Known.Source
	if age := a.Known.Age.Round(time.Minute); age > 0 {
		s += fmt.Sprintf(", the last %s old", spell(age))
	}
	if a.Known.Replay {
		s += "; a replay, with what was read after this moment"
	}
	if a.Known.Held {
		s += "; then taken to stay as it was"
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func spell(d time.Duration) string {
	if d < 2*time.Hour {
		return fmt.Sprintf("%d min", int(d.Minutes()))
	}
	return fmt.Sprintf("%.0f h", d.Hours())
}

func reasonFigures(r drying.Reason, u quantity.Units) string {
	show := func(v float64) string {
		switch r.Unit {
		case "C":
			return quantity.Format(quantity.Temperature, v, u, 1)
		case "K":
			return quantity.FormatStep(v, u, 1)
		case "mm":
			return quantity.Format(quantity.Thickness, v/1000, u, 2)
		case "%":
			return trimPercent(v)
		case "h":
			return fmt.Sprintf("%.1f h", v)
		}
		return fmt.Sprintf("%.0f %s", v, r.Unit)
	}
	switch {
	case r.Unit == "" || r.Severity == drying.Notes:
		return ""
	case r.Code == drying.CodeNotToday:
		return ""
	case r.Code == drying.CodeWindowLate:
		return fmt.Sprintf(" (%s after the start; the day has %s)", show(r.Value), show(r.Limit))
	}
	return fmt.Sprintf(" (%s; limit %s)", show(r.Value), show(r.Limit))
}

// writeCoat writes one coat's row: only the times that apply to it.
func writeCoat(b *strings.Builder, c drying.CoatPlan, day time.Time, u quantity.Units) {
	grain := time.Duration(c.Coat.Finish.Grain) * time.Second
	digits := map[quantity.Units]int{quantity.Metric: 2, quantity.US: 1}[u]
	name := fmt.Sprintf("%d %s %s", c.Number, c.Coat.Finish.Name, quantity.Format(quantity.Thickness, c.Coat.Thickness, u, digits))
	row := fmt.Sprintf("%-26s %-6s %-12s ", name, c.Lay.Format("15:04"), until(c.Lay, c.Edge, grain, day))
	then := "next coat " + from(c.Lay, c.Recoat, grain, day)
	if c.Last {
		opens, burnish := from(c.Lay, c.Opens, grain, day), from(c.Lay, c.Burnish, grain, day)
		then = "compress and burnish " + burnish + ","
		if opens != burnish {
			then = "compress " + opens + ", burnish " + burnish + ","
		}
		then += " gone by " + gone(c.Lay, c.Closes, grain, day)
	}
	b.WriteString(wrap(row, then, 79))
}

// from writes a moment not before t, rounded up: minutes after laying when soon, else by the clock.
func from(lay, t time.Time, grain time.Duration, day time.Time) string {
	switch d := t.Sub(lay); {
	case t.IsZero():
		return "never in this air"
	case d < time.Minute:
		return "at once"
	case d < 30*time.Minute:
		return fmt.Sprintf("from %.0f min on", up(d.Minutes()))
	}
	r := t.Truncate(grain)
	if r.Before(t) {
		r = r.Add(grain)
	}
	return "from " + clockOn(r, day)
}

// until writes a moment not after t, rounded down.
func until(lay, t time.Time, grain time.Duration, day time.Time) string {
	switch d := t.Sub(lay); {
	case t.IsZero():
		return "all day"
	case d < time.Minute:
		return "under 1 min"
	case d < 30*time.Minute:
		return fmt.Sprintf("%.0f min", down(d.Minutes()))
	}
	return "to " + clockOn(t.Truncate(grain), day)
}

// gone writes the moment a coat has gone by, rounded down.
func gone(lay, t time.Time, grain time.Duration, day time.Time) string {
	switch d := t.Sub(lay); {
	case t.IsZero():
		return "not within two days"
	case d < time.Minute:
		return "at once"
	case d < 30*time.Minute:
		return fmt.Sprintf("%.0f min after laying, %s", down(d.Minutes()), clockOn(t.Truncate(time.Minute), day))
	}
	return clockOn(t.Truncate(grain), day)
}

// clockOn is the time of day, with the weekday when it is not that of day.
func clockOn(t, day time.Time) string {
	if t.YearDay() != day.YearDay() || t.Year() != day.Year() {
		return t.Format("Mon 15:04")
	}
	return t.Format("15:04")
}

// wrap breaks s at blanks into lines of at most width, the first after lead and the rest indented as far.
func wrap(lead, s string, width int) string {
	var b strings.Builder
	line, indent := lead, strings.Repeat(" ", len(lead))
	empty := true
	for _, w := range strings.Fields(s) {
		if !empty && len(line)+1+len(w) > width {
			b.WriteString(strings.TrimRight(line, " ") + "\n")
			line, empty = indent, true
		}
		if !empty {
			line += " "
		}
		line += w
		empty = false
	}
	b.WriteString(strings.TrimRight(line, " ") + "\n")
	return b.String()
}
