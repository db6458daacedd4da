package drawing

import (
	"math"
	"time"

	"limeday/cmd/internal/quantity"
)

// Day is what is drawn. Times are shown by the clock of From's zone; a zero time is one not reached.
type Day struct {
	Title   string // of the job
	Date    string
	Verdict string // one sentence, with the start
	// From and To are the working hours.
	From, To time.Time
	Coats    []Coat // in the order of laying
	Course   []Point
	Limits   []Limit
	KnownTo  time.Time // of the last reading; zero where it does not matter
	Units    quantity.Units
}

// Coat is one coat's times.
type Coat struct {
	Name string // with its number and thickness
	Last bool   // the one that is compressed and burnished
	Lay  time.Time
	Edge, Opens, Burnish, Closes,
	Next time.Time
	Says Says
}

// Says are a coat's times as people read them, rounded as they are known; an empty one is not written.
type Says struct{ Lay, Edge, Opens, Burnish, Closes, Next string }

// Point is a moment of the day's course at the wall, C.
type Point struct {
	Time                time.Time
	Air, DewPoint, Face float64
}

func (p Point) finite() bool {
	for _, v := range []float64{p.Air, p.DewPoint, p.Face} {
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

// Moment is a row of the table that goes with the picture.
type Moment struct{ Clock, Air, DewPoint, Face string }

// Table gives the course in numbers at whole hours, at most rows of them, with the unit of each value. It is
// empty without a course.
func Table(d Day, rows int) []Moment {
	ax, ok := axisOf(d)
	points := course(d, ax)
	if !ok || len(points) == 0 || rows < 1 {
		return nil
	}
	for _, step := range []int{1, 2, 3, 4, 6, 12} {
		var out []Moment
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
			out = append(out, Moment{ax.clock(t), temp(p.Air), temp(p.DewPoint), temp(p.Face)})
		}
		if len(out) <= rows {
			return out
		}
	}
	return nil
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
