package logfile

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"slices"
	"time"

	"limeday/psychro"
	"limeday/weather"
)

// Result is a file that was read.
type Result struct {
	// Series is what the logger measured, in order of time, its gaps left open.
	// Vapour pressure is from the logger's temperature and its relative humidity
	// over water. A reading that lacks one of the two lacks vapour pressure.
	// Issued is the last reading's time.
	Series  weather.Series
	Decided Decisions
	Notes   []string // what was skipped, dropped, clamped or left open; a sentence each
}

// Read reads the file r, which errors and the series call name. It takes no
// more than [MaxSize] bytes, or [MaxFast] of a logger that reads several times
// a minute. Its errors are a [Fault], or from r.
func Read(name string, r io.Reader, o Options) (Result, error) {
	if err := o.check(name); err != nil {
		return Result{}, err
	}
	b := bufio.NewReaderSize(r, headSize)
	f, slow, err := lookForFast(name, b, o)
	if err != nil {
		return Result{}, err
	}
	var t *table
	var samples []sample
	var d Decisions
	if f != nil {
		t, samples, d, err = f.read(b, o)
	} else {
		t, samples, d, err = readAll(name, b, slow, o)
	}
	if err != nil {
		return Result{}, err
	}
	if samples, err = t.order(samples); err != nil {
		return Result{}, err
	}
	if f == nil {
		d.Rows = len(samples)
	}
	if samples, err = t.judge(samples, o.At); err != nil {
		return Result{}, err
	}
	s, err := t.series(samples, o.At)
	if err != nil {
		return Result{}, err
	}
	return Result{Series: s, Decided: d, Notes: t.notes}, nil
}

// readAll reads a file whole. head is what is wrong with its beginning, and told
// rather than its length.
func readAll(name string, r io.Reader, head error, o Options) (*table, []sample, Decisions, error) {
	var d Decisions
	content, encoding, err := slurp(name, r, head)
	if err != nil {
		return nil, nil, d, err
	}
	t, err := split(name, content, o)
	if err != nil {
		return nil, nil, d, err
	}
	d = t.decided(encoding)
	samples, err := t.read(o, &d)
	return t, samples, d, err
}

// decided is what is decided once there is a header.
func (t *table) decided(encoding string) Decisions {
	return Decisions{Encoding: encoding, Delimiter: t.delimiter, TimeColumn: t.timeName, TempColumn: t.tempName, HumidityColumn: t.rhNamed}
}

// read turns the rows into samples in the order of the file.
func (t *table) read(o Options, d *Decisions) ([]sample, error) {
	stamps, err := t.stamps()
	if err != nil {
		return nil, err
	}
	if d.DateOrder, err = t.chooseOrder(stamps, o.DateOrder); err != nil {
		return nil, err
	}
	v, err := t.values(o, d, stamps)
	if err != nil {
		return nil, err
	}
	times, err := t.locate(stamps, o, d)
	if err != nil {
		return nil, err
	}
	for i := range v {
		v[i].time = times[i]
	}
	return v, nil
}

// stamps reads the column of times, which is written in one form.
func (t *table) stamps() ([]stamp, error) {
	out := make([]stamp, len(t.rows))
	for i, r := range t.rows {
		when, column := r.when, t.moment
		if t.clock >= 0 {
			when += " " + r.clock
		}
		st, why := parseStamp(when)
		if why == "" && i > 0 && st.form != out[0].form {
			why = fmt.Sprintf("the times above are %s, this is %s", out[0].form, st.form)
		}
		if why != "" {
			return nil, t.noTime(t.cell(r.line, column, when), why)
		}
		out[i] = st
	}
	return out, nil
}

func (t *table) noTime(at At, why string) error {
	return &Error{At: at, Message: "is no time that can be read (" + why + ")", Want: "a date and a time of day, such as 2026-04-14T06:30:00+02:00"}
}

// texts are the numbers of all rows as text, and what they say of the decimal
// mark and the unit of temperature.
func (t *table) texts(o Options) (nums [][3]string, cols []marks, unit TempUnit, err error) {
	cols = []marks{{name: "temperature", column: t.temp}, {name: "humidity", column: t.rh}}
	if unit, err = t.statedUnit(t.temp, o); err != nil {
		return nil, nil, "", err
	}
	nums = make([][3]string, len(t.rows))
	var behind string // a number, already understood
	for i, r := range t.rows {
		if nums[i], unit, behind, err = t.numbers(r, unit, behind); err != nil {
			return nil, nil, "", err
		}
		for k, cell := range [2]string{r.temp, r.humidity} {
			if !isMissing(cell) {
				cols[k].look(r.line, nums[i][k])
			}
		}
	}
	return nums, cols, unit, nil
}

// numbers are temperature, humidity and dew point of a row as text, without the
// units behind them; empty where there is none. known is a unit of temperature
// as it is spelled behind the numbers of the rows above.
func (t *table) numbers(r row, unit TempUnit, known string) (nums [3]string, _ TempUnit, _ string, _ error) {
	if !isMissing(r.temp) {
		num, behind := cutUnit(r.temp)
		nums[0] = num
		if behind != "" && behind != known {
			u, ok := cellUnit(behind)
			if !ok || unit != "" && u != unit {
				return nums, unit, known, &Error{At: t.cell(r.line, t.temp, r.temp), Message: "is no temperature in the unit of its column", Want: "a number, " + unitWords(unit)}
			}
			unit, known = u, behind
		}
	}
	if !isMissing(r.humidity) {
		num, behind := cutUnit(r.humidity)
		nums[1] = num
		if behind != "" && !isPercent(behind) {
			return nums, unit, known, &Error{At: t.cell(r.line, t.rh, r.humidity), Message: "is no relative humidity", Want: "a number, in percent"}
		}
	}
	if t.dew >= 0 && !isMissing(r.dewPnt) {
		nums[2], _ = cutUnit(r.dewPnt)
	}
	return nums, unit, known, nil
}

// parse is a row in the units of the file.
func (t *table) parse(r row, nums [3]string, o Options, d *Decisions) (s sample, err error) {
	s.line = r.line
	if nums[0] != "" {
		if s.temp, s.hasTemp = number(nums[0], d.mark()); !s.hasTemp {
			return s, t.misfit(r.line, t.temp, r.temp, o, d)
		}
	}
	if nums[1] != "" {
		if s.rh, s.hasHumid = number(nums[1], d.mark()); !s.hasHumid {
			return s, t.misfit(r.line, t.rh, r.humidity, o, d)
		}
	}
	return s, nil
}

// dewUnit is the unit of the dew points.
func (t *table) dewUnit(d *Decisions) TempUnit {
	if t.dew >= 0 {
		if u, both := tempUnitOf(t.names[t.dew]); u != "" && !both {
			return u
		}
	}
	return d.TempUnit
}

// convert brings a row to C and percent, and notes in it what cannot be.
func (t *table) convert(s *sample, r row, dew string, d *Decisions, dewUnit TempUnit) {
	s.temp = celsius(s.temp, d.TempUnit)
	if d.HumidityUnit == FromZero {
		s.rh *= 100
	}
	switch {
	case s.hasTemp && !(s.temp >= minTemp && s.temp <= maxTemp):
		s.bad = &Error{At: t.cell(r.line, t.temp, r.temp), Message: fmt.Sprintf("the temperature is %.1f C", s.temp),
			Want: fmt.Sprintf("%.0f to %.0f C; take the value out, or check the unit (%s)", minTemp, maxTemp, d.TempUnit)}
		return
	case s.hasHumid && !(s.rh >= minRH && s.rh <= maxRH):
		s.bad = &Error{At: t.cell(r.line, t.rh, r.humidity), Message: fmt.Sprintf("the humidity is %.1f %%", s.rh),
			Want: fmt.Sprintf("%.0f to 100 %%, or up to %.0f from a wet sensor; take the value out", minRH, maxRH)}
		return
	}
	if v, ok := number(dew, d.mark()); ok && s.hasTemp && celsius(v, dewUnit) > s.temp+dewSlack {
		s.bad = &Error{At: t.cell(r.line, t.dew, r.dewPnt), Message: fmt.Sprintf("the dew point, %.1f C, is above the temperature, %.1f C", celsius(v, dewUnit), s.temp),
			Want: fmt.Sprintf("a dew point no more than %.1f K above it", dewSlack)}
	}
}

// tally counts readings.
type tally struct {
	rows, readings, wet int
	wettest             float64
}

func (n *tally) add(s sample) {
	n.rows++
	if s.hasHumid && s.rh > 100 {
		n.wet++
		n.wettest = max(n.wettest, s.rh)
	}
	if s.hasTemp && s.hasHumid {
		n.readings++
	}
}

// tell notes what was counted.
func (t *table) tell(n tally) error {
	if n.readings == 0 {
		return &Error{At: At{File: t.file, Line: t.line}, Message: "no row holds both a temperature and a humidity", Want: "at least one reading"}
	}
	if n.wet > 0 {
		t.note("%s above 100 %% (up to %.1f) taken as 100 %%", count(n.wet, "reading"), n.wettest)
	}
	if n := n.rows - n.readings; n > 0 {
		t.note("%s without temperature or without humidity", count(n, "reading"))
	}
	return nil
}

// values reads temperature, humidity and dew point of all rows and checks each
// row by itself.
func (t *table) values(o Options, d *Decisions, stamps []stamp) ([]sample, error) {
	nums, cols, unit, err := t.texts(o) // as text first: the decimal mark is one for the file
	if err != nil {
		return nil, err
	}
	if d.Decimal, err = t.chooseDecimal(cols, o.Decimal); err != nil {
		return nil, err
	}
	out := make([]sample, len(t.rows))
	var hottest, dampest int // rows
	for i, r := range t.rows {
		if out[i], err = t.parse(r, nums[i], o, d); err != nil {
			return nil, err
		}
		if s := out[i]; s.hasTemp && (!out[hottest].hasTemp || s.temp > out[hottest].temp) {
			hottest = i
		}
		if s := out[i]; s.hasHumid && (!out[dampest].hasHumid || s.rh > out[dampest].rh) {
			dampest = i
		}
	}
	if err := t.chooseTempUnit(unit, out[hottest], t.rows[hottest], o, d, slices.ContainsFunc(stamps, func(st stamp) bool { return st.twice })); err != nil {
		return nil, err
	}
	if err := t.chooseHumidityUnit(out[dampest], t.rows[dampest], o, d); err != nil {
		return nil, err
	}
	dewUnit := t.dewUnit(d)
	var n tally
	for i := range out {
		t.convert(&out[i], t.rows[i], nums[i][2], d, dewUnit)
		if out[i].bad != nil && o.At.IsZero() {
			return nil, out[i].bad
		}
		n.add(out[i])
	}
	return out, t.tell(n)
}

// mark is the decimal mark to read with, where there is one or not.
func (d *Decisions) mark() Decimal {
	if d.Decimal == "" {
		return Point
	}
	return d.Decimal
}

// misfit is a number that the decimal mark of the file does not allow.
func (t *table) misfit(line, column int, raw string, o Options, d *Decisions) error {
	if o.Decimal != "" {
		return &PinError{At: t.cell(line, column, raw), Option: OptDecimal, Pinned: string(o.Decimal), Found: "a number cannot be read so"}
	}
	return &Error{At: t.cell(line, column, raw), Message: "is no number with a decimal " + string(d.mark()), Want: "one decimal mark in a file"}
}

// statedUnit is what the header says of a temperature, or the row under it.
func (t *table) statedUnit(column int, o Options) (TempUnit, error) {
	u, both := tempUnitOf(t.names[column])
	if both && o.TempUnit == "" {
		return "", &AmbiguityError{At: At{File: t.file, Line: t.line, Text: t.names[column]}, What: "the unit of temperature",
			Ways: [2]string{"C", "F"}, Option: OptTempUnit}
	}
	if both {
		return "", nil
	}
	if t.unitRow != nil {
		below, _ := cellUnit(t.unitRow[column])
		if u != "" && below != u {
			return "", &Error{At: At{File: t.file, Line: t.line, Text: t.names[column]}, Message: "the header and the row under it state two units", Want: "one unit"}
		}
		u = below
	}
	return u, nil
}

// mildest is the temperature above which a number without a unit could as well
// be Fahrenheit: common sense, no source.
const mildest = 45

func (t *table) chooseTempUnit(stated TempUnit, hottest sample, r row, o Options, d *Decisions, twelve bool) error {
	d.TempUnit, d.TempUnitStated = stated, true
	header := At{File: t.file, Line: t.line, Column: 0, Text: t.names[t.temp]}
	switch {
	case o.TempUnit != "" && stated != "" && stated != o.TempUnit:
		return &PinError{At: header, Option: OptTempUnit, Pinned: string(o.TempUnit), Found: "the file states " + string(stated)}
	case o.TempUnit != "":
		d.TempUnit = o.TempUnit
	case stated != "":
	case hottest.temp > mildest:
		return &AmbiguityError{At: t.cell(r.line, t.temp, r.temp), What: "the unit of temperature, which the file does not state,",
			Ways: [2]string{fmt.Sprintf("%.4g C", hottest.temp), fmt.Sprintf("%.4g F", hottest.temp)}, Option: OptTempUnit}
	case d.DateOrder == MonthFirst || twelve:
		return &AmbiguityError{At: header, What: "the unit of temperature, which the file does not state and whose dates are those of the United States,",
			Ways: [2]string{"C", "F"}, Option: OptTempUnit}
	default:
		d.TempUnit, d.TempUnitStated = Celsius, false
	}
	return nil
}

func (t *table) chooseHumidityUnit(dampest sample, r row, o Options, d *Decisions) error {
	fraction := dampest.hasHumid && dampest.rh <= maxRH/100
	switch d.HumidityUnit = o.HumidityUnit; {
	case o.HumidityUnit == FromZero && dampest.hasHumid && !fraction:
		return &PinError{At: t.cell(r.line, t.rh, r.humidity), Option: OptHumidityUnit, Pinned: string(o.HumidityUnit), Found: "a humidity is above 1"}
	case o.HumidityUnit != "":
	case fraction:
		return &AmbiguityError{At: t.cell(r.line, t.rh, r.humidity), What: "the unit of humidity, nowhere above 1,",
			Ways: [2]string{fmt.Sprintf("%.4g %%", dampest.rh), fmt.Sprintf("%.4g as a fraction, %.4g %%", dampest.rh, 100*dampest.rh)}, Option: OptHumidityUnit}
	default:
		d.HumidityUnit = Percent
	}
	return nil
}

func unitWords(u TempUnit) string {
	if u == "" {
		return "in C, F or K"
	}
	return "in " + string(u)
}

// celsius converts a temperature.
func celsius(v float64, from TempUnit) float64 {
	switch from {
	case Fahrenheit:
		return (v - 32) / 1.8
	case Kelvin:
		return v - psychro.ZeroCelsius
	}
	return v
}

// series makes records of samples. Too many missing up to the moment at refuse it.
func (t *table) series(samples []sample, at time.Time) (weather.Series, error) {
	s := weather.Series{Source: t.file, Issued: samples[len(samples)-1].time, Records: make([]weather.Record, len(samples))}
	for i, x := range samples {
		r := weather.Record{Time: x.time}
		if x.hasTemp {
			r.Temperature = weather.Value{V: x.temp, Tag: weather.Measured}
		}
		if x.hasTemp && x.averaged {
			r.Vapour = weather.Value{V: x.vapour, Tag: weather.Measured}
		} else if x.hasTemp && x.hasHumid {
			e := min(x.rh, 100) / 100 * float64(psychro.SaturationWater(psychro.Celsius(x.temp)))
			r.Vapour = weather.Value{V: e, Tag: weather.Measured}
		}
		s.Records[i] = r
	}
	known := s
	if !at.IsZero() {
		known, _ = s.Before(at)
	}
	if share := known.MissingShare(); share > maxMissing {
		return s, &Error{At: At{File: t.file}, Message: fmt.Sprintf("%.0f %% of the readings are missing", 100*share),
			Want: fmt.Sprintf("no more than %.0f %%; cut the file down to where the logger ran", 100*maxMissing)}
	}
	gaps := s.Gaps()
	for i, g := range gaps {
		if i == 3 {
			t.note("and %s more", count(len(gaps)-i, "gap"))
			break
		}
		t.note("no readings for %s from %s", span(g.To.Sub(g.From)), g.From.Format(time.RFC3339))
	}
	return s, nil
}

// order sorts the samples by time and drops what stands there twice.
func (t *table) order(in []sample) ([]sample, error) {
	if slices.IsSortedFunc(in, byTime) {
		return t.drop(in)
	}
	out := slices.Clone(in)
	slices.Reverse(out)
	if slices.IsSortedFunc(out, byTime) {
		t.note("the newest reading stood first; turned round")
		return t.drop(out)
	}
	out = slices.Clone(in)
	times := make([]time.Time, len(in))
	for i := range out {
		times[i] = out[i].time
		if i > 0 {
			out[i].run = out[i-1].run
			if out[i].time.Before(out[i-1].time) {
				out[i].run++
			}
		}
	}
	slices.SortStableFunc(out, byTime)
	t.note("the rows were not in order of time; sorted")
	out, err := t.drop(out)
	if err != nil {
		return nil, err
	}
	// Runs that fall between each other's steps come from a clock put back.
	step := usualStep(times)
	for i := 1; i < len(out); i++ {
		a, b := out[i-1], out[i]
		if a.run != b.run && b.time.Sub(a.time) < step*4/5 {
			first, second := min(a.line, b.line), max(a.line, b.line)
			return nil, &Error{At: t.cell(second, t.moment, t.row(second).when),
				Message: fmt.Sprintf("the logger's clock was put back: this falls between the steps around line %d", first), Want: "one run of the clock; split the file"}
		}
	}
	return out, nil
}

// row is the row of a line.
func (t *table) row(line int) row {
	i, _ := slices.BinarySearchFunc(t.rows, line, func(r row, line int) int { return cmp.Compare(r.line, line) })
	return t.rows[i]
}

func byTime(a, b sample) int { return a.time.Compare(b.time) }

// reads reports whether two samples read the same.
func (s sample) reads(o sample) bool {
	return s.hasTemp == o.hasTemp && s.hasHumid == o.hasHumid && s.temp == o.temp && s.rh == o.rh
}

func (t *table) conflict(line, first int, raw string) error {
	return &Error{At: t.cell(line, t.moment, raw), Message: fmt.Sprintf("has the time of line %d but another reading", first), Want: "one reading at a time"}
}

// drop takes out what is there twice, and refuses what differs.
func (t *table) drop(in []sample) ([]sample, error) {
	out := in[:1]
	for _, s := range in[1:] {
		last := out[len(out)-1]
		if !s.time.Equal(last.time) {
			out = append(out, s)
			continue
		}
		if !s.reads(last) {
			second := max(s.line, last.line)
			return nil, t.conflict(second, min(s.line, last.line), t.row(second).when)
		}
	}
	if n := len(in) - len(out); n > 0 {
		t.note("%s dropped that stood there twice", count(n, "reading"))
	}
	return out, nil
}
