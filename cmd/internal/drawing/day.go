package drawing

import (
	"fmt"
	"math"
	"time"

	"limeday/cmd/internal/quantity"
)

// Day is what is drawn. Times are shown by the clock of From's zone; a zero time is one not reached.
type Day struct {
	ID      string // begins the ids of a drawing that is one of several on a page; empty: it is the only one
	Title   string // of the job
	Date    string
	Verdict string // one sentence, with the start
	// From and To are the working hours.
	From, To time.Time
	Coats    []Coat  // in the order of laying
	Ahead    []Ahead // later days, in their order
	Course   []Point
	Limits   []Limit
	KnownTo  time.Time // of the last reading; zero where it does not matter
	// The sun itself, not only the light of the sky, is on the wall between these; zero for not at all.
	SunFrom, SunTo time.Time
	Units          quantity.Units
}

// Coat is one coat's times, as they are shown.
type Coat struct {
	Name  string // with its number and thickness
	Lay   time.Time
	Says  string // when it is laid
	Edge  time.Time
	Steps []Step
	// States are what it comes to, each until its End; the last has none where that is not known.
	States []State
	Band   string // how early and how late its times may be, in words
}

// Ahead is a later day and what is said of it.
type Ahead struct{ Day, Says string }

// Step is a time of a coat and what is said of it.
type Step struct {
	What, Says string
	At         time.Time
	Sure       Between // between which it falls in eight cases of ten; none where that is not known
}

// State is a stretch of a coat's course.
type State struct {
	Class string // wet, compress, burnish, drying
	End   time.Time
}

// works reports whether a state is one to work in.
func (s State) works() bool { return s.Class == "compress" || s.Class == "burnish" }

// window is when a coat is worked, from the first such state to the end of the last; ok is false where there is none with an end.
func (c Coat) window() (w Between, ok bool) {
	from := c.Lay
	for _, s := range c.States {
		if s.works() {
			if w.From.IsZero() {
				w.From = from
			}
			w.To = s.End
		}
		from = s.End
	}
	return w, !w.From.IsZero() && w.To.After(w.From) && !w.From.Before(c.Lay)
}

// Between is two moments, the second zero where it is not reached; both zero for none.
type Between struct{ From, To time.Time }

// Point is a moment of the day's course at the wall.
type Point struct {
	Time                time.Time
	Air, DewPoint, Face float64 // C
	Sun                 float64 // on the wall, W/m2
	Rain                float64 // driven onto the wall, kg/(m2 h), which is mm in an hour
}

func (p Point) finite() bool {
	for _, v := range []float64{p.Air, p.DewPoint, p.Face, p.Sun / 10, p.Rain} {
		if math.IsNaN(v) || math.Abs(v) > 1000 {
			return false
		}
	}
	return true
}

// Limit is a temperature of the wall's face that is not to be passed.
type Limit struct {
	C     float64
	Above bool // the face must stay above it, not below
	Says  string
}

// Table gives the course in numbers at whole hours, at most most rows of them, with the unit of each value; sun and rain where
// there are any. It is empty without a course.
func Table(d Day, most int) (head []string, rows [][]string) {
	ax, ok := axisOf(d)
	points := course(d, ax)
	if !ok || len(points) == 0 || most < 1 {
		return nil, nil
	}
	head = []string{"time", "air", "dew point", "wall"}
	falls := d.falls(ax, points)
	for _, w := range falls {
		head = append(head, w.class)
	}
	for _, step := range []int{1, 2, 3, 4, 6, 12} {
		rows = nil
		next := 0
		for _, t := range ax.hours(step) {
			for next < len(points)-1 && points[next+1].Time.Sub(t).Abs() <= points[next].Time.Sub(t).Abs() {
				next++
			}
			p := points[next]
			if p.Time.Sub(t).Abs() > 10*time.Minute {
				continue // none near
			}
			temp := func(c float64) string { return quantity.Format(quantity.Temperature, c, d.Units, 1) }
			row := []string{ax.clock(t), temp(p.Air), temp(p.DewPoint), temp(p.Face)}
			for _, w := range falls {
				row = append(row, w.says(w.of(p)))
			}
			rows = append(rows, row)
		}
		if len(rows) <= most {
			return head, rows
		}
	}
	return nil, nil
}

// What is too little to show: a wall in the shade has some of the sky's light, and drizzle wets nothing.
const (
	someSun  = 50.0 // W/m2
	someRain = 0.05 // mm in an hour
)

// fall is what comes onto the wall along the day.
type fall struct {
	class, head string
	of          func(Point) float64
	says        func(float64) string
	most        float64
}

// falls are those of which there is enough to show.
func (d Day) falls(ax axis, points []Point) []fall {
	var out []fall
	for _, w := range []struct {
		fall
		some float64
	}{
		{fall{class: "sun", head: d.sunHead(ax), of: func(p Point) float64 { return p.Sun }, says: func(v float64) string { return fmt.Sprintf("%.0f W/m2", v) }}, someSun},
		{fall{class: "rain", head: "Rain driven onto the wall", of: func(p Point) float64 { return p.Rain }, says: func(mm float64) string {
			if d.Units == quantity.US {
				return fmt.Sprintf("%.2f in/h", mm/25.4)
			}
			return fmt.Sprintf("%.1f mm/h", mm)
		}}, someRain},
	} {
		for _, p := range points {
			w.most = max(w.most, w.of(p))
		}
		if w.most >= w.some {
			out = append(out, w.fall)
		}
	}
	return out
}

// sunHead names what shines on the wall, and when.
func (d Day) sunHead(ax axis) string {
	if d.SunFrom.IsZero() || d.SunTo.Before(d.SunFrom) {
		return "Light of the sky on the wall"
	}
	return "Sun on the wall " + ax.clock(d.SunFrom) + " to " + ax.clock(d.SunTo)
}

// course is what of the course falls on the axis.
func course(d Day, ax axis) []Point {
	var out []Point
	for _, p := range d.Course {
		if p.finite() && !p.Time.Before(ax.lo) && !p.Time.After(ax.hi) && (len(out) == 0 || p.Time.After(out[len(out)-1].Time)) {
			out = append(out, p)
		}
	}
	return out
}
