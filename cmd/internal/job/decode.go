package job

import (
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	_ "time/tzdata" // zones must be known on a machine that has no zone files

	"github.com/pelletier/go-toml/v2/unstable"

	"limeday/cmd/internal/quantity"
)

// Ranges of what only a job file has, and how its words are read.
var (
	layerThick   = quantity.Range{Min: 0, Max: 2, Above: true}
	wallSize     = quantity.Range{Min: 0, Max: 500, Above: true}
	roomVolume   = quantity.Range{Min: 0, Max: 100_000, Above: true}
	tubeReading  = regexp.MustCompile(`^\s*([0-9]+(?:\.[0-9]+)?|\.[0-9]+)\s*ml\s*/\s*(\S.*)$`)
	clockReading = regexp.MustCompile(`^([01]?[0-9]|2[0-3]):([0-5][0-9])(?::00)?$`)
	spanReading  = regexp.MustCompile(`^\s*([01]?[0-9]|2[0-3]):([0-5][0-9])\s*-\s*([01]?[0-9]|2[0-3]):([0-5][0-9])\s*$`)
	compass      = map[string]float64{"N": 0, "NE": 45, "E": 90, "SE": 135, "S": 180, "SW": 225, "W": 270, "NW": 315,
		"NNE": 22.5, "ENE": 67.5, "ESE": 112.5, "SSE": 157.5, "SSW": 202.5, "WSW": 247.5, "WNW": 292.5, "NNW": 337.5}
	primers = []string{"tight", "fair", "thirsty"}
	covers  = []string{"open", "shaded", "sheeted", "tented"}
	behinds = []string{BehindPartition, BehindSolid, BehindRoom, BehindCavity}
	wets    = []string{"dry", "damp", "wet"}
	sides   = []string{SideInternal, SideExternal, SideOpen}
)

func (d *decoder) job(root *table) *Job {
	j := &Job{File: d.file}
	top := &section{d: d, t: root}
	if w, v, ok := top.text("units"); ok {
		u, err := quantity.ParseUnits(w)
		if err != nil {
			d.fault(v.line, "metric or us", "units: %s", err)
		}
		j.Units, j.UnitsGiven = u, err == nil
		top.units = u
	}
	d.place(j, top.one("place"))
	if s := top.one("room"); s != nil {
		j.Room = d.room(s)
	}
	for _, s := range top.each("wall") {
		j.Walls = append(j.Walls, d.wall(s, j.Room != nil))
	}
	if s := top.one("finish"); s != nil {
		j.Own = d.own(s)
		for _, o := range j.Own {
			if d.names.Finishes != nil {
				d.names.Finishes = append(slices.Clone(d.names.Finishes), o.Name)
			}
		}
	}
	for _, s := range top.each("layer") {
		j.Layers = append(j.Layers, d.layer(s, j.Place.Zone))
	}
	for i, l := range j.Layers {
		if i+1 < len(j.Layers) && (l.Wet != "" || !l.BaseLaid.IsZero()) {
			d.fault(l.Line, "wet in the last [[layer]] alone", "wet in [[layer]] is of the layer that the first coat is laid on, and this one is covered; give it in the last [[layer]]")
		}
	}
	for _, s := range top.each("coat") {
		j.Coats = append(j.Coats, d.coat(s))
	}
	if s := top.one("hours"); s != nil {
		j.Hours = d.hours(s, j)
	}
	if s := top.one("limits"); s != nil {
		d.limits(&j.Limits, s)
	}
	if s := top.one("suction"); s != nil {
		j.Suction = d.suction(s)
	}
	if s := top.one("timing"); s != nil {
		if f, _, ok := s.text("file"); ok {
			j.TimingFile = f
			if !filepath.IsAbs(f) {
				j.TimingFile = filepath.Join(filepath.Dir(j.File), f)
			}
		}
		s.missing("file", "the file that limeday sample learn wrote")
		s.done()
	}
	if s := top.one("crew"); s != nil {
		j.Crew = d.crew(s, j.Hours)
		j.People = max(j.Crew.People, len(j.Crew.Hands))
	}
	if s := top.one("readings"); s != nil {
		j.Readings = map[string]Pin{}
		for _, name := range d.names.ReadAs {
			if text, v, ok := s.text(strings.ReplaceAll(name, "-", "_")); ok {
				j.Readings[name] = Pin{text, v.line}
			}
		}
		s.done()
	}
	for _, s := range top.each("laid") {
		j.Laid = append(j.Laid, d.laid(s, j.Place.Zone))
	}
	top.done()
	if !d.broken {
		if _, there := root.values["layer"]; !there {
			d.fault(0, "at least one [[layer]]", "there is no [[layer]]; name what the first coat is laid on, as [[layer]] with background = ...")
		}
		if _, there := root.values["coat"]; !there {
			d.fault(0, "at least one [[coat]]", "there is no [[coat]]; name each coat, as [[coat]] with finish = ... and thickness = ...")
		}
	}
	return j
}

func (d *decoder) place(j *Job, s *section) {
	if s == nil {
		return
	}
	j.Place.Name, _, _ = s.name("name")
	j.Place.Latitude = s.number("lat", quantity.Range{Min: -90, Max: 90}, "degrees from -90 to 90, north positive")
	j.Place.Longitude = s.number("lon", quantity.Range{Min: -180, Max: 180}, "degrees from -180 to 180, east positive")
	j.Place.Altitude = s.quantity("altitude", quantity.Altitude, quantity.Altitudes)
	if name, v, ok := s.text("zone"); ok {
		zone, err := time.LoadLocation(name)
		if err != nil || name == "Local" {
			d.fault(v.line, "an IANA time zone", "zone in [place]: %q is not a time zone; give its IANA name, such as Europe/Dublin or America/Denver", name)
		} else {
			j.Place.Zone = zone
		}
	}
	s.done()
}

func (d *decoder) room(s *section) *Room {
	r := &Room{
		Volume:        s.quantity("volume", quantity.Volume, roomVolume),
		AirChanges:    s.number("air_changes", quantity.Range{Min: 0, Max: 100}, "air changes per hour, 0 to 100"),
		MoistureClass: s.integer("moisture_class", 1, 5, "a class of EN ISO 13788, 1 to 5"),
		AirSpeed:      s.quantity("air_speed", quantity.Speed, quantity.AirSpeeds),
		Vent:          s.quantity("vent", quantity.Speed, quantity.AirSpeeds),
	}
	if _, v, ok := s.text("sun"); ok {
		if h, ok := s.span("sun", v, "when the sun is on the wall", "hours as \"10:00-13:00\""); ok {
			r.Sun = &h
		}
	}
	if v, ok := s.get("heating"); ok {
		if v.kind == unstable.String && v.text == "off" {
			r.HeatingOff = true
		} else {
			r.Heating = s.quantityOf("heating", v, quantity.Temperature, quantity.FaceTemperatures)
		}
	}
	s.done()
	return r
}

func (d *decoder) wall(s *section, indoors bool) Wall {
	w := Wall{
		Shelter: s.number("shelter", quantity.Range{Min: 0, Max: 1}, "the share of the open wind that reaches the wall, 0 to 1"),
		Height:  s.quantity("height", quantity.Length, wallSize),
		Width:   s.quantity("width", quantity.Length, wallSize),
		Line:    s.line(),
	}
	w.Name, _, _ = s.name("name")
	w.Cover = s.word("cover", "cover", covers)
	w.Behind = s.word("behind", "thing behind a wall", behinds)
	w.BehindTemp = s.quantity("behind_temp", quantity.Temperature, quantity.AirTemperatures)
	_, said := s.t.values["behind"]
	temp, warm := s.t.values["behind_temp"]
	if v := s.t.values["behind"]; w.Behind == BehindPartition && !indoors {
		d.fault(v.line, "solid, room or cavity", "behind in [[wall]]: a partition stands between two rooms, and the job has no [room]; give solid, room or cavity")
	}
	if warm && (!said || w.Behind == BehindSolid || w.Behind == BehindPartition) {
		d.fault(temp.line, "behind = \"room\"", "behind_temp in [[wall]] is that of a room or cavity behind the wall; give behind = \"room\" or \"cavity\" with it, or leave it out")
	}
	const of = "degrees clockwise from north, 0 to 360, or N, NE, E, SE, S, SW, W or NW in double quotes"
	if v, ok := s.get("bearing"); ok && v.kind == unstable.String {
		if deg, known := compass[strings.ToUpper(v.text)]; known {
			w.Bearing = &deg
		} else {
			d.fault(v.line, of, "bearing in [[wall]]: %q is not a bearing; give %s", v.text, of)
		}
	} else {
		w.Bearing = s.number("bearing", quantity.Range{Min: 0, Max: 360}, of)
	}
	w.Left = s.word("left", "end of a wall", sides)
	w.Right = s.word("right", "end of a wall", sides)
	w.Lifts = s.along("lifts", "height", "from the floor up", w.Height)
	w.Joints = s.along("joints", "width", "from left to right", w.Width)
	w.Openings = d.openings(s, w.Width, w.Height)
	s.done()
	return w
}

func (d *decoder) layer(s *section, zone *time.Location) Layer {
	l := Layer{
		Background: s.word("background", "background", d.names.Backgrounds),
		Primer:     s.word("primer", "primer", primers),
		Thickness:  s.quantity("thickness", quantity.Thickness, layerThick),
		Damped:     s.boolean("damped"),
		Line:       s.line(),
	}
	if v, ok := s.get("wet"); ok {
		const of = "dry, damp or wet, or the day its base coat was laid, as \"2026-04-02\""
		l.BaseLaid, ok = v.day(zone)
		switch word := slices.Contains(wets, v.text); {
		case ok:
		case v.kind != unstable.String:
			s.wrong("wet", v, of)
		case !word:
			d.fault(v.line, of, "wet in [[layer]]: %q is not %s", v.text, of)
		default:
			l.Wet = v.text
		}
		if l.Damped && l.Wet == "dry" {
			d.fault(v.line, "one of the two", "[[layer]] is both damped and wet = \"dry\"; leave out one of them")
		}
	}
	s.missing("background", "what the coat is laid on")
	s.done()
	return l
}

func (d *decoder) coat(s *section) Coat {
	c := Coat{
		Finish:    s.word("finish", "finish", d.names.Finishes),
		Thickness: s.quantity("thickness", quantity.Thickness, quantity.CoatThicknesses),
		Spread:    s.quantity("spread", quantity.Spread, quantity.Spreads),
		Green:     s.boolean("green"),
		Wait:      s.wait("wait"),
		Line:      s.line(),
	}
	_, said := s.t.values["mist"]
	c.Mist = s.boolean("mist")
	c.NoMist = !c.Mist && said
	if v := s.t.values["wait"]; c.Green && c.Wait != nil {
		d.fault(v.line, "green or wait", "[[coat]] has both green and wait; give one of them: on a green coat the next follows as soon as it opens")
	}
	c.Tint, _, _ = s.name("tint")
	s.missing("finish", "the name of its finish")
	_, thick := s.t.values["thickness"]
	second, spread := s.t.values["spread"]
	switch {
	case thick && spread:
		d.fault(second.line, "thickness or spread", "[[coat]] has both thickness and spread; give one of them")
	case !thick && !spread && !d.broken:
		d.fault(s.line(), "thickness or spread", "[[coat]] has neither thickness nor spread; give one of them, such as thickness = \"0.15mm\"")
	}
	s.done()
	return c
}

// wait reads how long a coat is left, "3 d" or "3-10 d".
func (s *section) wait(key string) *Wait {
	text, v, ok := s.text(key)
	if !ok {
		return nil
	}
	const of = "a wait of 0 to 120 d, such as \"16 h\", \"3 d\" or \"3-10 d\""
	from, to, span := strings.Cut(text, "-")
	if !span {
		to = from
	} else if bare := strings.TrimSpace(from); bare != "" && strings.Trim(bare, "0123456789.") == "" {
		from += strings.TrimLeft(to, " 0123456789.") // the unit is said once
	}
	least, err := quantity.Parse(quantity.Wait, from, s.units, quantity.Waits)
	careful, err2 := quantity.Parse(quantity.Wait, to, s.units, quantity.Waits)
	if err != nil || err2 != nil || careful < least {
		s.d.fault(v.line, of, "%s: %q is not a wait; give %s", s.in(key), text, of)
		return nil
	}
	return &Wait{seconds(least), seconds(careful)}
}

func (d *decoder) hours(s *section, j *Job) *Hours {
	h := &Hours{}
	from := s.clock("from", &h.From)
	to := s.clock("to", &h.To)
	s.missing("from", "the time work starts, such as \"07:30\"")
	s.missing("to", "the time work ends, such as \"17:00\"")
	if text, v, ok := s.text("days"); ok {
		const of = "days of the week, such as \"Mon-Fri\" or \"Mon,Wed,Fri\""
		if j.Free, ok = daysFree(text); !ok {
			d.fault(v.line, of, "days in [hours]: %q is not %s", text, of)
		}
	}
	const of = "days without work, such as [\"2026-12-24\"]"
	off := s.list("off", of)
	if len(off) > maxOff {
		d.fault(off[0].line, of, "off in [hours] is a list of %d; give %d days at most", len(off), maxOff)
		off = nil
	}
	for _, v := range off {
		if day, ok := v.day(j.Place.Zone); ok {
			j.Off = append(j.Off, day)
		} else if v.kind == unstable.String {
			d.fault(v.line, of, "off in [hours]: %q is not a day; give %s", v.text, of)
		} else {
			s.wrong("off", v, of)
		}
	}
	s.done()
	if from && to && h.From.minutes() >= h.To.minutes() {
		d.fault(s.t.values["to"].line, "to later than from", "hours run backwards, from %s to %s; the end must be later on the same day", h.From, h.To)
	}
	return h
}

// maxOff is the most days off that a job has.
const maxOff = 366

// weekdays are the days of the week as they are written, from Sunday on.
var weekdays = []string{"sun", "mon", "tue", "wed", "thu", "fri", "sat"}

// daysFree reads the working days, such as "Mon-Fri" or "Mon,Wed", and gives the others.
func daysFree(text string) (free [7]bool, ok bool) {
	free = [7]bool{true, true, true, true, true, true, true}
	for _, part := range strings.Split(strings.ToLower(text), ",") {
		first, last, span := strings.Cut(part, "-")
		if !span {
			last = first
		}
		from, to := slices.Index(weekdays, strings.TrimSpace(first)), slices.Index(weekdays, strings.TrimSpace(last))
		if from < 0 || to < 0 {
			return [7]bool{}, false
		}
		for i := from; ; i = (i + 1) % 7 {
			free[i] = false
			if i == to {
				break
			}
		}
	}
	return free, true
}

// day reads a date, from midnight at the job's place.
func (v value) day(zone *time.Location) (time.Time, bool) {
	if zone == nil {
		zone = time.UTC
	}
	t, err := time.ParseInLocation(time.DateOnly, v.text, zone)
	return t, err == nil && (v.kind == unstable.String || v.kind == unstable.LocalDate)
}

func (s *section) clock(key string, c *Clock) bool {
	v, ok := s.get(key)
	if !ok {
		return false
	}
	const of = "a time of day as hh:mm in double quotes"
	if v.kind != unstable.String && v.kind != unstable.LocalTime {
		s.wrong(key, v, of)
		return false
	}
	m := clockReading.FindStringSubmatch(v.text)
	if m == nil {
		s.d.fault(v.line, of, "%s: %q is not a time of day; give %s", s.in(key), v.text, of)
		return false
	}
	c.Hour, _ = strconv.Atoi(m[1]) // the pattern holds digits only
	c.Minute, _ = strconv.Atoi(m[2])
	return true
}

func (d *decoder) limits(l *Limits, s *section) {
	pair := func(lo, hi string, k *quantity.Kind, r quantity.Range) (*float64, *float64) {
		a, b := s.quantity(lo, k, r), s.quantity(hi, k, r)
		if a != nil && b != nil && *a >= *b {
			d.fault(s.t.values[hi].line, hi+" above "+lo, "%s in [limits] is not above %s, so nothing could meet both", hi, lo)
		}
		return a, b
	}
	l.MinWall, l.MaxWall = pair("min_wall", "max_wall", quantity.Temperature, quantity.FaceTemperatures)
	l.MinAir, l.MaxAir = pair("min_air", "max_air", quantity.Temperature, quantity.FaceTemperatures)
	l.MinRH, l.MaxRH = pair("min_rh", "max_rh", quantity.Humidity, quantity.Humidities)
	l.MinThickness, l.MaxThickness = pair("min_thickness", "max_thickness", quantity.Thickness, quantity.CoatThicknesses)
	s.done()
}

func (d *decoder) suction(s *section) *Suction {
	out := &Suction{}
	for _, spot := range s.list("drop_test", "a time for each spot, such as \"40s\"") {
		if spot.kind == unstable.Integer || spot.kind == unstable.Float {
			spot.text += "s" // product vocabulary: a drop test is in seconds
			spot.kind = unstable.String
		}
		if sec := s.quantityOf("drop_test", spot, quantity.Duration, quantity.DropTests); sec != nil {
			out.DropTest = append(out.DropTest, seconds(*sec))
		}
	}
	if text, v, ok := s.text("tube"); ok {
		t, err := ParseTube(text)
		if err != nil {
			d.fault(v.line, tubeWanted, "tube in [suction]: %s", err)
		} else {
			out.Tube = &t
		}
	}
	s.done()
	return out
}

const tubeWanted = "millilitres over a time, such as \"1.5ml/10min\""

// ParseTube reads a tube reading, such as 1.5ml/10min.
func ParseTube(text string) (Tube, error) {
	m := tubeReading.FindStringSubmatch(text)
	if m == nil {
		return Tube{}, fmt.Errorf("%q is not a tube reading; give %s", text, tubeWanted)
	}
	ml, err := strconv.ParseFloat(m[1], 64)
	after, err2 := quantity.Parse(quantity.Duration, m[2], quantity.Metric, quantity.DropTests)
	if err != nil || err2 != nil || ml > 100 || ml == 0 {
		return Tube{}, fmt.Errorf("%q is not a possible reading; give %s", text, tubeWanted)
	}
	return Tube{Millilitres: ml, After: seconds(after)}, nil
}

// own reads [finish.NAME] sections.
func (d *decoder) own(s *section) []Own {
	var all []Own
	for _, name := range slices.Clone(s.t.keys) {
		f := s.one(name)
		if f == nil {
			continue
		}
		s.shortEnough(f.line(), "a name in [finish]", name)
		o := Own{Name: name, Like: f.word("like", "finish", d.names.Finishes), Values: map[string]float64{}, Lines: map[string]int{}, Line: f.line()}
		f.missing("like", "the known finish it is most like")
		if slices.Contains(d.names.Finishes, name) {
			d.fault(f.line(), "a name of your own", "[finish.%s] has the name of a known finish; give it another", name)
		}
		keys := d.names.FinishNumbers
		if keys == nil {
			keys = f.t.keys
		}
		for _, key := range keys {
			if key == "like" {
				continue
			}
			if x := f.number(key, quantity.Range{Min: -1e12, Max: 1e12}, "a plain number in SI units"); x != nil {
				o.Values[key], o.Lines[key] = *x, f.t.values[key].line
			}
		}
		f.done()
		all = append(all, o)
	}
	return all
}

func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

func (d *decoder) laid(s *section, zone *time.Location) Laid {
	l := Laid{
		Finish:    s.word("finish", "finish", d.names.Finishes),
		Thickness: s.quantity("thickness", quantity.Thickness, quantity.CoatThicknesses),
		Line:      s.line(),
	}
	l.Name, _, _ = s.name("name")
	const of = "the day it was laid, as \"2026-04-14\""
	if v, ok := s.get("on"); ok {
		if l.On, ok = v.day(zone); !ok && v.kind == unstable.String {
			d.fault(v.line, of, "on in [[laid]]: %q is not a day; give %s", v.text, of)
		} else if !ok {
			s.wrong("on", v, of)
		}
	}
	s.missing("finish", "the name of its finish")
	s.missing("on", of)
	s.done()
	return l
}
