package drawing

import (
	"fmt"
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
	// Between which moments those times fall in eight cases of ten; none where that is not known.
	Sure Sure
}

// Sure is how sure a coat's times are.
type Sure struct{ Opens, Burnish, Closes, Next Between }

// Between is two moments, the second zero where it is not reached; both zero for none.
type Between struct{ From, To time.Time }

// Says are a coat's times as people read them, rounded as they are known; an empty one is not written.
type Says struct{ Lay, Edge, Opens, Burnish, Closes, Next string }

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
	sunny, rainy := strongest(points, sunOf) >= someSun, strongest(points, rainOf) >= someRain
	if sunny {
		head = append(head, "sun")
	}
	if rainy {
		head = append(head, "rain")
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
			if sunny {
				row = append(row, sunText(p.Sun))
			}
			if rainy {
				row = append(row, rainText(p.Rain, d.Units))
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

func sunOf(p Point) float64  { return p.Sun }
func rainOf(p Point) float64 { return p.Rain }

func strongest(points []Point, of func(Point) float64) float64 {
	most := 0.0
	for _, p := range points {
		most = max(most, of(p))
	}
	return most
}

func sunText(w float64) string { return fmt.Sprintf("%.0f W/m2", w) }

func rainText(mm float64, u quantity.Units) string {
	if u == quantity.US {
		return fmt.Sprintf("%.2f in/h", mm/25.4)
	}
	return fmt.Sprintf("%.1f mm/h", mm)
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
