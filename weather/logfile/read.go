package logfile

import (
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
// more than [MaxSize] bytes. Its errors are a [Fault], or from r.
func Read(name string, r io.Reader, o Options) (Result, error) {
	if err := o.check(name); err != nil {
		return Result{}, err
	}
	content, encoding, err := slurp(name, r)
	if err != nil {
		return Result{}, err
	}
	t, err := split(name, content, o)
	if err != nil {
		return Result{}, err
	}
	d := Decisions{Encoding: encoding, Delimiter: t.delimiter, TimeColumn: t.timeName, TempColumn: t.tempName, HumidityColumn: t.rhNamed}
	samples, err := t.read(o, &d)
	if err != nil {
		return Result{}, err
	}
	if samples, err = t.order(samples); err != nil {
		return Result{}, err
	}
	for _, check := range []func([]sample) error{t.stuck, t.jumps} {
		if err := check(samples); err != nil {
			return Result{}, err
		}
	}
	s, err := t.series(samples)
	if err != nil {
		return Result{}, err
	}
	d.Rows = len(samples)
	return Result{Series: s, Decided: d, Notes: t.notes}, nil
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
			return nil, &Error{At: t.cell(r.line, column, when), Message: "is no time that can be read (" + why + ")",
				Want: "a date and a time of day, such as 2026-04-14T06:30:00+02:00"}
		}
		out[i] = st
	}
	return out, nil
}

// values reads temperature, humidity and dew point of all rows and checks each
// row by itself.
func (t *table) values(o Options, d *Decisions, stamps []stamp) ([]sample, error) {
	// As text first: the decimal mark is one for the file.
	cols := []marks{{name: "temperature", column: t.temp}, {name: "humidity", column: t.rh}}
	unit, err := t.statedUnit(t.temp, o)
	if err != nil {
		return nil, err
	}
	nums := make([][3]string, len(t.rows))
	var lastUnit string // behind a number, already understood
	for i, r := range t.rows {
		if !isMissing(r.temp) {
			num, behind := cutUnit(r.temp)
			nums[i][0] = num
			if behind != "" && behind != lastUnit {
				u, ok := cellUnit(behind)
				if !ok || unit != "" && u != unit {
					return nil, &Error{At: t.cell(r.line, t.temp, r.temp), Message: "is no temperature in the unit of its column", Want: "a number, " + unitWords(unit)}
				}
				unit, lastUnit = u, behind
			}
			cols[0].look(r.line, num)
		}
		if !isMissing(r.humidity) {
			num, behind := cutUnit(r.humidity)
			nums[i][1] = num
			if behind != "" && !isPercent(behind) {
				return nil, &Error{At: t.cell(r.line, t.rh, r.humidity), Message: "is no relative humidity", Want: "a number, in percent"}
			}
			cols[1].look(r.line, num)
		}
		if t.dew >= 0 && !isMissing(r.dewPnt) {
			nums[i][2], _ = cutUnit(r.dewPnt)
		}
	}
	if d.Decimal, err = t.chooseDecimal(cols, o.Decimal); err != nil {
		return nil, err
	}
	out := make([]sample, len(t.rows))
	var hottest, dampest int // rows
	for i, r := range t.rows {
		s := &out[i]
		s.line = r.line
		if nums[i][0] != "" {
			if s.temp, s.hasTemp = number(nums[i][0], d.mark()); !s.hasTemp {
				return nil, t.misfit(r.line, t.temp, r.temp, o, d)
			}
			if !out[hottest].hasTemp || s.temp > out[hottest].temp {
				hottest = i
			}
		}
		if nums[i][1] != "" {
			if s.rh, s.hasHumid = number(nums[i][1], d.mark()); !s.hasHumid {
				return nil, t.misfit(r.line, t.rh, r.humidity, o, d)
			}
			if !out[dampest].hasHumid || s.rh > out[dampest].rh {
				dampest = i
			}
		}
	}
	if err := t.chooseTempUnit(unit, out[hottest], hottest, o, d, slices.ContainsFunc(stamps, func(st stamp) bool { return st.twice })); err != nil {
		return nil, err
	}
	if err := t.chooseHumidityUnit(out[dampest], dampest, o, d); err != nil {
		return nil, err
	}
	dewUnit := d.TempUnit
	if t.dew >= 0 {
		if u, both := tempUnitOf(t.names[t.dew]); u != "" && !both {
			dewUnit = u
		}
	}
	readings, wet, wettest := 0, 0, 0.0
	for i := range out {
		s, r := &out[i], t.rows[i]
		s.temp = celsius(s.temp, d.TempUnit)
		if d.HumidityUnit == FromZero {
			s.rh *= 100
		}
		switch {
		case s.hasTemp && !(s.temp >= minTemp && s.temp <= maxTemp):
			return nil, &Error{At: t.cell(r.line, t.temp, r.temp), Message: fmt.Sprintf("the temperature is %.1f C", s.temp),
				Want: fmt.Sprintf("%.0f to %.0f C; take the value out, or check the unit (%s)", minTemp, maxTemp, d.TempUnit)}
		case s.hasHumid && !(s.rh >= minRH && s.rh <= maxRH):
			return nil, &Error{At: t.cell(r.line, t.rh, r.humidity), Message: fmt.Sprintf("the humidity is %.1f %%", s.rh),
				Want: fmt.Sprintf("%.0f to 100 %%, or up to %.0f from a wet sensor; take the value out", minRH, maxRH)}
		}
		if s.hasHumid && s.rh > 100 {
			wet++
			wettest = max(wettest, s.rh)
		}
		if dew, ok := number(nums[i][2], d.mark()); ok && s.hasTemp && celsius(dew, dewUnit) > s.temp+dewSlack {
			return nil, &Error{At: t.cell(r.line, t.dew, r.dewPnt), Message: fmt.Sprintf("the dew point, %.1f C, is above the temperature, %.1f C", celsius(dew, dewUnit), s.temp),
				Want: fmt.Sprintf("a dew point no more than %.1f K above it", dewSlack)}
		}
		if s.hasTemp && s.hasHumid {
			readings++
		}
	}
	if readings == 0 {
		return nil, &Error{At: At{File: t.file, Line: t.line}, Message: "no row holds both a temperature and a humidity", Want: "at least one reading"}
	}
	if wet > 0 {
		t.note("%s above 100 %% (up to %.1f) taken as 100 %%", count(wet, "reading"), wettest)
	}
	if n := len(out) - readings; n > 0 {
		t.note("%s without temperature or without humidity", count(n, "reading"))
	}
	return out, nil
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

func (t *table) chooseTempUnit(stated TempUnit, hottest sample, row int, o Options, d *Decisions, twelve bool) error {
	d.TempUnit, d.TempUnitStated = stated, true
	header := At{File: t.file, Line: t.line, Column: 0, Text: t.names[t.temp]}
	switch {
	case o.TempUnit != "" && stated != "" && stated != o.TempUnit:
		return &PinError{At: header, Option: OptTempUnit, Pinned: string(o.TempUnit), Found: "the file states " + string(stated)}
	case o.TempUnit != "":
		d.TempUnit = o.TempUnit
	case stated != "":
	case hottest.temp > mildest:
		r := t.rows[row]
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

func (t *table) chooseHumidityUnit(dampest sample, row int, o Options, d *Decisions) error {
	r := t.rows[row]
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

// series makes records of samples.
func (t *table) series(samples []sample) (weather.Series, error) {
	s := weather.Series{Source: t.file, Issued: samples[len(samples)-1].time, Records: make([]weather.Record, len(samples))}
	for i, x := range samples {
		r := weather.Record{Time: x.time}
		if x.hasTemp {
			r.Temperature = weather.Value{V: x.temp, Tag: weather.Measured}
		}
		if x.hasTemp && x.hasHumid {
			e := min(x.rh, 100) / 100 * float64(psychro.SaturationWater(psychro.Celsius(x.temp)))
			r.Vapour = weather.Value{V: e, Tag: weather.Measured}
		}
		s.Records[i] = r
	}
	if share := s.MissingShare(); share > maxMissing {
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

// drop takes out what is there twice, and refuses what differs.
func (t *table) drop(in []sample) ([]sample, error) {
	out := in[:1]
	for _, s := range in[1:] {
		last := out[len(out)-1]
		if !s.time.Equal(last.time) {
			out = append(out, s)
			continue
		}
		if s.hasTemp != last.hasTemp || s.hasHumid != last.hasHumid || s.temp != last.temp || s.rh != last.rh {
			first, second := min(s.line, last.line), max(s.line, last.line)
			return nil, &Error{At: t.cell(second, t.moment, t.row(second).when),
				Message: fmt.Sprintf("has the time of line %d but another reading", first), Want: "one reading at a time"}
		}
	}
	if n := len(in) - len(out); n > 0 {
		t.note("%s dropped that stood there twice", count(n, "reading"))
	}
	return out, nil
}
