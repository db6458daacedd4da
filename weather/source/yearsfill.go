package source

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"limeday/psychro"
	"limeday/weather"
)

// The rules of filling. Common practice, no source.
const (
	// hardly is the share of hours below which a value counts as never given: observers tell the cloud every six
	// hours, which is a sixth.
	hardly = 0.10
	// enoughRain is the share of hours that must tell their rain: a typical year of the USA tells less than half.
	enoughRain = 0.90
	// across is the longest step that a line of cloud or wind crosses: the six hours between the main
	// observations.
	across = 6 * time.Hour
	// around is how many days before and after a hole make its mean day.
	around = 10 * 24 * time.Hour
)

// mayLack are what a source may lack.
var mayLack = []struct {
	name   string
	enough float64
	known  func(*weather.Record) bool
}{
	{"radiation", hardly, lit},
	{"cloud", hardly, func(r *weather.Record) bool { return r.Cloud.Known() }},
	{"wind", hardly, func(r *weather.Record) bool { return r.Wind.Known() }},
	{"wind direction", hardly, func(r *weather.Record) bool { return r.WindFrom.Known() }},
	{"rain", enoughRain, func(r *weather.Record) bool { return r.Rain.Known() }},
}

// lit reports whether a record's radiation is known: the rest of it can be closed or split.
func lit(r *weather.Record) bool {
	return r.Global.Known() || r.Direct.Known() && r.Diffuse.Known()
}

// fill adds the hours that are missing and fills what may be filled.
func (y *Years) fill(zone *time.Location) error {
	y.lacks()
	y.Series.Records = hourly(y.Series.Records)
	y.fillState()
	if !slices.Contains(y.Lacks, "wind") {
		y.fillByMonth("wind", func(r *weather.Record) *weather.Value { return &r.Wind })
	}
	if !slices.Contains(y.Lacks, "cloud") {
		y.fillByMonth("cloud", func(r *weather.Record) *weather.Value { return &r.Cloud })
	}
	if !slices.Contains(y.Lacks, "radiation") {
		y.fillLight()
	}
	return y.dark()
}

// lacks says what is hardly ever given, and of the rain in which years.
func (y *Years) lacks() {
	rs := y.Series.Records
	hours, i := 0.0, 0
	counts := make([]int, len(mayLack))
	var dry []string
	for _, s := range y.Span {
		whole := s.To.Sub(s.From).Hours()
		hours += whole
		rain := 0
		for ; i < len(rs) && rs[i].Time.Before(s.To); i++ {
			for k, l := range mayLack {
				if l.known(&rs[i]) {
					counts[k]++
				}
			}
			if rs[i].Rain.Known() {
				rain++
			}
		}
		if share := float64(rain) / whole; share < enoughRain {
			dry = append(dry, fmt.Sprintf("%s (%.0f %%)", y.name(s.Label), 100*share))
		}
	}
	for k, l := range mayLack {
		if float64(counts[k]) < l.enough*hours {
			y.Lacks = append(y.Lacks, l.name)
		}
	}
	if len(dry) > 0 {
		y.Notes = append(y.Notes, "Rain is told in too few hours to count on it: "+strings.Join(dry, ", ")+". Hours without it are not dry hours.")
	}
}

// hourly adds a record for every hour that has none within half an hour, between two no more than [MaxHole] apart.
func hourly(rs []weather.Record) []weather.Record {
	between := func(a, b time.Time) int { // how many are missing
		d := b.Sub(a)
		if d > MaxHole+time.Hour {
			return 0
		}
		return max(0, int((d+time.Hour/2-1)/time.Hour)-1)
	}
	missing := 0
	for i := 1; i < len(rs); i++ {
		missing += between(rs[i-1].Time, rs[i].Time)
	}
	if missing == 0 {
		return rs
	}
	out := make([]weather.Record, 0, len(rs)+missing)
	for i, r := range rs {
		if i > 0 {
			a := rs[i-1].Time
			for k := range between(a, r.Time) {
				out = append(out, weather.Record{Time: a.Add(time.Duration(k+1) * time.Hour)})
			}
		}
		out = append(out, r)
	}
	return out
}

// run is records from one index to, but not including, another, that lack a value.
type run struct{ from, to int }

// runs are the runs of records for which known is false, between two for which it is true.
func runs(rs []weather.Record, known func(*weather.Record) bool) []run {
	var out []run
	last := -1
	for i := range rs {
		if !known(&rs[i]) {
			continue
		}
		if last >= 0 && i > last+1 {
			out = append(out, run{last + 1, i})
		}
		last = i
	}
	return out
}

// over is the time between the records that bound a run.
func (r run) over(rs []weather.Record) time.Duration { return rs[r.to].Time.Sub(rs[r.from-1].Time) }

// meanDay is the mean of a value by the hour of UTC in the days before and after a run, of records that known holds
// for; ok is false where an hour of the day has none.
func meanDay(rs []weather.Record, r run, known func(*weather.Record) bool, at func(*weather.Record) *weather.Value) (day [24]float64, ok bool) {
	var n [24]float64
	add := func(i int) {
		if known(&rs[i]) {
			h := rs[i].Time.Hour()
			day[h] += at(&rs[i]).V
			n[h]++
		}
	}
	for i := r.from - 1; i >= 0 && rs[r.from-1].Time.Sub(rs[i].Time) < around; i-- {
		add(i)
	}
	for i := r.to; i < len(rs) && rs[i].Time.Sub(rs[r.to].Time) < around; i++ {
		add(i)
	}
	for h := range day {
		if n[h] == 0 {
			return day, false
		}
		day[h] /= n[h]
	}
	return day, true
}

// fillState fills temperature and vapour pressure: on a line over [weather.MaxFill], by the mean day around and
// shifted to both ends up to [MaxHole].
func (y *Years) fillState() {
	rs := y.Series.Records
	measured := func(r *weather.Record) bool {
		return r.Temperature.Known() && r.Vapour.Known() && r.Temperature.Tag != weather.Estimated && r.Vapour.Tag != weather.Estimated
	}
	lines, days, open := 0, 0, 0
	for _, r := range runs(rs, func(r *weather.Record) bool { return r.Temperature.Known() && r.Vapour.Known() }) {
		a, b := rs[r.from-1], rs[r.to]
		over := r.over(rs)
		temp, vapour := [24]float64{}, [24]float64{}
		tag := weather.Interpolated
		switch {
		case over <= weather.MaxFill:
			lines += r.to - r.from
		case over <= MaxHole+time.Hour:
			var ok, also bool
			temp, ok = meanDay(rs, r, measured, func(r *weather.Record) *weather.Value { return &r.Temperature })
			vapour, also = meanDay(rs, r, measured, func(r *weather.Record) *weather.Value { return &r.Vapour })
			if !ok || !also {
				open += r.to - r.from
				continue
			}
			tag = weather.Estimated
			days += r.to - r.from
		default:
			open += r.to - r.from
			continue
		}
		// What the ends differ from the mean day is carried over in proportion.
		shifted := func(day *[24]float64, from, to float64, t time.Time) weather.Value {
			x := float64(t.Sub(a.Time)) / float64(over)
			off := (1-x)*(from-day[a.Time.Hour()]) + x*(to-day[b.Time.Hour()])
			return weather.Value{V: day[t.Hour()] + off, Tag: tag}
		}
		for i := r.from; i < r.to; i++ {
			q := &rs[i]
			if !q.Temperature.Known() {
				q.Temperature = shifted(&temp, a.Temperature.V, b.Temperature.V, q.Time)
			}
			if !q.Vapour.Known() {
				q.Vapour = shifted(&vapour, a.Vapour.V, b.Vapour.V, q.Time)
				top := float64(psychro.SaturationWater(psychro.Celsius(q.Temperature.V)))
				q.Vapour.V = math.Min(math.Max(q.Vapour.V, 0.01*top), top)
			}
		}
	}
	y.told(lines, "temperature or humidity", "taken on a line between the hours before and after")
	y.told(days, "temperature or humidity", fmt.Sprintf("for longer than %.0f hours on end, and so estimated as the mean day of the %.0f days before and after, shifted to both ends", weather.MaxFill.Hours(), around.Hours()/24))
	y.told(open, "temperature or humidity", "left so")
}

// fillByMonth fills a value: on a line across six hours, else by the month's mean at that hour of UTC in all years,
// lines included. Automatic stations leave the cloud out between the main observations more often the more of it
// there is, so that a mean of what they give alone would be far too clear.
func (y *Years) fillByMonth(name string, at func(*weather.Record) *weather.Value) {
	rs := y.Series.Records
	known := func(r *weather.Record) bool { return at(r).Known() }
	lines, means, open := 0, 0, 0
	for _, r := range runs(rs, known) {
		over := r.over(rs)
		if over > across {
			continue
		}
		a, b := at(&rs[r.from-1]).V, at(&rs[r.to]).V
		for i := r.from; i < r.to; i++ {
			x := float64(rs[i].Time.Sub(rs[r.from-1].Time)) / float64(over)
			*at(&rs[i]) = weather.Value{V: a + x*(b-a), Tag: weather.Interpolated}
			lines++
		}
	}
	var sum, n [13][24]float64
	for i := range rs {
		if v := at(&rs[i]); v.Known() {
			m, h := rs[i].Time.Month(), rs[i].Time.Hour()
			sum[m][h] += v.V
			n[m][h]++
		}
	}
	for i := range rs {
		m, h := rs[i].Time.Month(), rs[i].Time.Hour()
		switch {
		case known(&rs[i]):
		case n[m][h] == 0:
			open++
		default:
			*at(&rs[i]) = weather.Value{V: sum[m][h] / n[m][h], Tag: weather.Estimated}
			means++
		}
	}
	y.told(lines, name, fmt.Sprintf("taken on a line between two hours at most %.0f apart", across.Hours()))
	y.told(means, name, "estimated as the month's mean at that hour")
	y.told(open, name, "left so")
}

// fillLight fills radiation on the flat where neither it nor cloud is known, by the mean day around; at the ends of
// the series by that of the one side.
func (y *Years) fillLight() {
	rs := y.Series.Records
	known := func(r *weather.Record) bool { return r.Cloud.Known() || lit(r) }
	global := func(r *weather.Record) bool { return r.Global.Known() }
	type found struct {
		i int
		v float64
	}
	var fills []found
	all := runs(rs, known)
	if first := slices.IndexFunc(rs, func(r weather.Record) bool { return known(&r) }); first > 0 {
		all = append(all, run{0, first})
	}
	last := len(rs)
	for last > 0 && !known(&rs[last-1]) {
		last--
	}
	if last < len(rs) {
		all = append(all, run{last, len(rs)})
	}
	for _, r := range all {
		if rs[min(r.to, len(rs)-1)].Time.Sub(rs[max(r.from-1, 0)].Time) > MaxHole+time.Hour {
			continue
		}
		day, ok := meanDay(rs, r, global, func(r *weather.Record) *weather.Value { return &r.Global })
		if !ok {
			continue
		}
		for i := r.from; i < r.to; i++ {
			fills = append(fills, found{i, day[rs[i].Time.Hour()]})
		}
	}
	for _, f := range fills { // at the end, so that no mean is of means
		rs[f.i].Global = weather.Value{V: f.v, Tag: weather.Estimated}
		if rs[f.i].Span == 0 {
			rs[f.i].Span = time.Hour
		}
	}
	y.told(len(fills), "radiation and no cloud", fmt.Sprintf("radiation estimated as the mean day of the %.0f days before and after", around.Hours()/24))
}

// dark refuses years with an hour of which neither sun nor cloud is known or could be filled, and those without
// radiation whose cloud is a mean in more than [MaxHoles] of the hours.
func (y *Years) dark() error {
	rs := y.Series.Records
	i := 0
	for _, s := range y.Span {
		neither, means := 0, 0
		for ; i < len(rs) && rs[i].Time.Before(s.To); i++ {
			switch r := &rs[i]; {
			case lit(r) || !r.Temperature.Known() || !r.Vapour.Known():
			case !r.Cloud.Known():
				neither++
			case r.Cloud.Tag == weather.Estimated:
				means++
			}
		}
		share := float64(neither+means) / s.To.Sub(s.From).Hours()
		if neither > 0 || share > MaxHoles {
			return &LightError{Source: y.from, Label: s.Label, Share: share}
		}
	}
	return nil
}

// fillPressure gives hours without pressure that of the place's height, in place: years of records are large.
func (y *Years) fillPressure() {
	if unknownAltitude(y.Place) {
		return
	}
	one := weather.Series{Records: make([]weather.Record, 1)}.FillPressure(y.Place.Altitude)
	p := one.Records[0].Pressure
	without := 0
	for i := range y.Series.Records {
		if r := &y.Series.Records[i]; p.Known() && !r.Pressure.Known() {
			r.Pressure = p
			without++
		}
	}
	y.told(without, "pressure", fmt.Sprintf("estimated from the altitude, %.0f m (ISO 2533)", y.Place.Altitude))
}

// told notes that what was missing in n records, and how they were filled.
func (y *Years) told(n int, what, how string) {
	if n == 0 {
		return
	}
	hours := "hours"
	if n == 1 {
		hours = "hour"
	}
	y.Notes = append(y.Notes, fmt.Sprintf("No %s in %d %s (%.2g %%): %s.", what, n, hours, 100*float64(n)/float64(len(y.Series.Records)), how))
}
