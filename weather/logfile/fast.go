package logfile

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"limeday/psychro"
)

// A logger that reads twice a minute or more often says nothing of drying that
// its means over a minute do not say, and fills the memory: its readings are
// averaged while they are read. Temperature and vapour pressure are averaged, as
// the mean of relative humidity is no property of the mean air. A minute ends
// with its full minute on the clock, 06:29:00.1 to 06:30:00.0, and its mean has the time of
// its last reading: so it holds nothing that was not known by then.
const (
	headSize  = 256 << 10        // bytes by which it is told, at the most
	fastStep  = 30 * time.Second // the usual step, or shorter
	fastSteps = 5                // by which it is known
	oneTick   = 4                // readings in each full minute, where the clock shows no seconds

	// MaxMinutes is how many means are kept: a year's.
	MaxMinutes = 366 * 24 * 60
)

// fast is a logger that reads several times a minute.
type fast struct {
	t        *table
	d        Decisions
	unit     TempUnit      // stated, or ""
	behind   string        // the numbers
	step     time.Duration // as the clock shows
	share    int           // readings in each of these
	coarse   bool          // its clock shows steps that several readings may share
	minutes  []minute
	tally    tally
	hottest  sample // in the unit of the file, and its row
	hotRow   row
	dampest  sample
	dampRow  row
	twelve   bool // a time had AM or PM
	dew      TempUnit
	latest   stamp // of the row before, with what it read
	latestIn sample
}

// minute is a mean that grows.
type minute struct {
	at                         stamp // of its latest reading
	temps, both                int   // readings
	temp, vapour, rh           float64
	lowT, highT, lowRH, highRH float64
	bad                        *Error
}

// lookForFast tells such a logger by how its file begins. Else slow is what is
// wrong with the beginning, if anything is, and err that it is no text.
func lookForFast(name string, b *bufio.Reader, o Options) (f *fast, slow, err error) {
	data, err := b.Peek(headSize)
	if err != nil && err != io.EOF {
		return nil, nil, nil // told when it is read again
	}
	content, encoding, err := plainText(name, data)
	if err != nil {
		return nil, nil, err
	}
	if len(content) > sampleSize {
		content = content[:sampleSize]
	}
	if len(content) == sampleSize || len(data) == headSize {
		if content = content[:strings.LastIndexByte(content, '\n')+1]; content == "" { // up to a whole row
			return nil, nil, nil
		}
	}
	t, err := split(name, content, o)
	if err != nil {
		return nil, err, nil
	}
	stamps, err := t.stamps()
	if err != nil {
		return nil, err, nil
	}
	f = &fast{t: t}
	if !f.tell(stamps) {
		return nil, nil, nil
	}
	_, cols, unit, err := t.texts(o)
	if err != nil {
		return nil, err, nil
	}
	f.d = t.decided(encoding)
	f.unit = unit
	if f.d.Decimal, err = t.chooseDecimal(cols, o.Decimal); err != nil {
		return nil, err, nil
	}
	// Settled, with the same words, at the end; a file that states no unit is in C or refused.
	f.d.TempUnit, f.d.HumidityUnit = unit, o.HumidityUnit
	if o.TempUnit != "" {
		f.d.TempUnit = o.TempUnit
	} else if unit == "" {
		f.d.TempUnit = Celsius
	}
	f.dew = t.dewUnit(&f.d)
	return f, nil, nil
}

// tell looks at the steps between rows, which go up or down.
func (f *fast) tell(stamps []stamp) bool {
	var steps []time.Duration
	grain := time.Minute
	for i, st := range stamps {
		for st.clockTime()%grain != 0 {
			grain = map[time.Duration]time.Duration{time.Minute: time.Second, time.Second: time.Nanosecond}[grain]
		}
		if i > 0 && st.sameDay(stamps[i-1]) && st.clockTime() != stamps[i-1].clockTime() {
			steps = append(steps, (st.clockTime() - stamps[i-1].clockTime()).Abs())
		}
	}
	if len(steps) == 0 {
		return false
	}
	slices.Sort(steps)
	f.step = steps[len(steps)/2]
	f.share = (len(stamps) + len(steps)/2) / (len(steps) + 1)
	f.coarse = f.step == grain
	return f.step <= fastStep && len(steps) >= fastSteps || f.step == time.Minute && f.coarse && f.share >= oneTick
}

// clockTime is the time of day as it is written, or since 1970 or 1900 where it is a number.
func (st stamp) clockTime() time.Duration {
	if st.num == "" {
		return st.since
	}
	return time.Duration(st.value().UnixMilli()) * time.Millisecond
}

// sameDay reports whether two times are written with one date.
func (st stamp) sameDay(o stamp) bool {
	return st.form == o.form && st.part == o.part && st.zoned == o.zoned && st.east == o.east
}

// minuteOf counts the minutes up to a time, which belongs to the minute that it ends.
func minuteOf(st stamp) int64 { return int64((st.clockTime() + time.Minute - 1) / time.Minute) }

// sameMinute reports whether two rows that follow each other are of one minute: midnight ends that before it.
func sameMinute(a, b stamp) bool {
	const day = 24 * 60
	if a.sameDay(b) {
		return minuteOf(a) == minuteOf(b)
	}
	x, y := minuteOf(a), minuteOf(b)
	return a.num == "" && b.num == "" && (x == day && y == 0 || x == 0 && y == day)
}

// read reads all rows.
func (f *fast) read(r io.Reader, o Options) (*table, []sample, Decisions, error) {
	head := f.t // with the rows of the beginning
	f.t = &table{file: head.file, delimiter: head.delimiter}
	err := f.t.each(&cleaner{name: head.file, r: decoded(r, f.d.Encoding)}, o, func(rw row) error { return f.row(rw, o) })
	if err != nil {
		return nil, nil, f.d, err
	}
	samples, err := f.means(o)
	return f.t, samples, f.d, err
}

// row adds a reading to the means.
func (f *fast) row(rw row, o Options) error {
	t := f.t
	when := rw.when
	if t.clock >= 0 {
		when += " " + rw.clock
	}
	st, why := parseStamp(when)
	if why == "" && f.tally.rows > 0 && st.form != f.latest.form {
		why = fmt.Sprintf("the times above are %s, this is %s", f.latest.form, st.form)
	}
	if why != "" {
		return t.noTime(t.cell(rw.line, t.moment, when), why)
	}
	nums, unit, behind, err := t.numbers(rw, f.unit, f.behind)
	if err != nil {
		return err
	}
	if unit != "" && unit != f.d.TempUnit && o.TempUnit == "" {
		return &Error{At: t.cell(rw.line, t.temp, rw.temp), Message: "states a unit that no row above states", Want: "the unit in the name of the column"}
	}
	f.unit, f.behind = unit, behind
	if f.d.Decimal == "" {
		if err := f.decimal(rw, nums, o); err != nil {
			return err
		}
	}
	s, err := t.parse(rw, nums, o, &f.d)
	if err != nil {
		return err
	}
	if s.hasTemp && (!f.hottest.hasTemp || s.temp > f.hottest.temp) {
		f.hottest, f.hotRow = s, rw.clone()
	}
	if s.hasHumid && (!f.dampest.hasHumid || s.rh > f.dampest.rh) {
		f.dampest, f.dampRow = s, rw.clone()
	}
	f.twelve = f.twelve || st.twice
	t.convert(&s, rw, nums[2], &f.d, f.dew)
	return f.add(rw, st, s)
}

// decimal decides the mark of a file whose first rows have none.
func (f *fast) decimal(rw row, nums [3]string, o Options) (err error) {
	cols := []marks{{name: "temperature", column: f.t.temp}, {name: "humidity", column: f.t.rh}}
	for k, num := range nums[:2] {
		if strings.ContainsAny(num, ".,") {
			cols[k].look(rw.line, num)
		}
	}
	f.d.Decimal, err = f.t.chooseDecimal(cols, o.Decimal)
	return err
}

// add adds a reading in C and percent.
func (f *fast) add(rw row, st stamp, s sample) error {
	t := f.t
	again := f.tally.rows > 0 && sameMinute(f.latest, st)
	if again && !f.coarse && st.sameDay(f.latest) && st.clockTime() == f.latest.clockTime() && !s.reads(f.latestIn) {
		return t.conflict(rw.line, f.latestIn.line, rw.when)
	}
	if !again {
		if len(f.minutes) >= MaxMinutes {
			return &Error{At: At{File: t.file, Line: rw.line}, Message: fmt.Sprintf("holds more than %d minutes", MaxMinutes), Want: "no more than a year"}
		}
		f.minutes = append(f.minutes, minute{at: st})
		t.rows = append(t.rows, rw.clone())
	}
	m := &f.minutes[len(f.minutes)-1]
	if again && st.after(m.at) {
		m.at = st
	}
	if l := f.latestIn; again && m.bad == nil && s.bad == nil && s.hasTemp && l.hasTemp && leaps(l.temp, s.temp) {
		m.bad = t.jumpError(rw.line, rw.temp, s.temp-f.latestIn.temp, (st.clockTime() - f.latest.clockTime()).Abs())
	}
	m.add(s)
	f.tally.add(s)
	f.latest, f.latestIn = st, s
	return nil
}

// after reports whether a time of the same minute is later.
func (st stamp) after(o stamp) bool {
	if !st.sameDay(o) {
		return st.since == 0 // midnight
	}
	return st.clockTime() > o.clockTime()
}

func (m *minute) add(s sample) {
	if s.bad != nil {
		if m.bad == nil {
			m.bad = s.bad
		}
		return // it is refused, or left out
	}
	if s.hasTemp {
		if m.temps == 0 {
			m.lowT, m.highT = s.temp, s.temp
		}
		m.temps++
		m.temp += s.temp
		m.lowT, m.highT = min(m.lowT, s.temp), max(m.highT, s.temp)
	}
	if s.hasTemp && s.hasHumid {
		if m.both == 0 {
			m.lowRH, m.highRH = s.rh, s.rh
		}
		m.both++
		m.rh += s.rh
		m.vapour += min(s.rh, 100) / 100 * float64(psychro.SaturationWater(psychro.Celsius(s.temp)))
		m.lowRH, m.highRH = min(m.lowRH, s.rh), max(m.highRH, s.rh)
	}
}

// sample is the mean. Where all readings are equal it is that, to the last bit:
// a sensor that is stuck is known by it.
func (m *minute) sample() sample {
	s := sample{hasTemp: m.temps > 0, hasHumid: m.both > 0, averaged: m.both > 0, bad: m.bad}
	if s.hasTemp {
		if s.temp = m.temp / float64(m.temps); m.lowT == m.highT {
			s.temp = m.lowT
		}
	}
	if s.hasHumid {
		s.vapour = m.vapour / float64(m.both)
		if s.rh = m.rh / float64(m.both); m.lowRH == m.highRH {
			s.rh = m.lowRH
		}
	}
	return s
}

// means are the minutes as samples, once the whole file has decided what it decides.
func (f *fast) means(o Options) ([]sample, error) {
	t, d := f.t, &f.d
	stamps := make([]stamp, len(f.minutes))
	out := make([]sample, len(f.minutes))
	for i := range f.minutes {
		stamps[i], out[i] = f.minutes[i].at, f.minutes[i].sample()
		out[i].line = t.rows[i].line
	}
	f.minutes = nil
	var err error
	if d.DateOrder, err = t.chooseOrder(stamps, o.DateOrder); err != nil {
		return nil, err
	}
	if err = t.chooseTempUnit(f.unit, f.hottest, f.hotRow, o, d, f.twelve); err != nil {
		return nil, err
	}
	if err = t.chooseHumidityUnit(f.dampest, f.dampRow, o, d); err != nil {
		return nil, err
	}
	if err = t.tell(f.tally); err != nil {
		return nil, err
	}
	times, err := t.locate(stamps, o, d)
	if err != nil {
		return nil, err
	}
	for i := range out {
		out[i].time = times[i]
	}
	d.Rows = f.tally.rows
	each := "every " + span(f.step)
	if f.coarse && f.share > 1 {
		each = fmt.Sprintf("%d times in %s", f.share, span(f.step))
	}
	t.note("the logger read %s: averaged to the minute, %s of %s, each at the time of its last reading", each, count(len(out), "mean"), count(d.Rows, "reading"))
	return out, nil
}

// clone is a row whose texts keep nothing else in memory.
func (r row) clone() row {
	for _, s := range []*string{&r.when, &r.clock, &r.temp, &r.humidity, &r.dewPnt} {
		*s = strings.Clone(*s)
	}
	return r
}
