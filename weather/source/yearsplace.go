package source

import (
	"fmt"
	"math"
	"slices"

	"limeday/weather"
)

// samePlace is how far apart files of one station may put it, m: coordinates are rounded to a hundredth of a degree.
const samePlace = 3000

// onePlace is the place that the files are for; nil where none says so. A note names those that do not.
func onePlace(names []string, all []weather.Series) (grid *weather.Place, notes []string, err error) {
	first, silent := 0, ""
	for i := range all {
		g := all[i].Grid
		switch {
		case g == nil && silent == "":
			silent = names[i]
		case g == nil:
		case grid == nil:
			grid, first = g, i
		case grid.Distance(*g) > samePlace:
			return nil, nil, &weather.DataError{File: names[i],
				Message: fmt.Sprintf("is for %s, %s for %s", where(*g), names[first], where(*grid)), Want: "files of one place"}
		}
	}
	if silent != "" {
		notes = append(notes, silent+" does not say where its weather was measured; that it is near the job is yours to know.")
	}
	return grid, notes, nil
}

func where(p weather.Place) string {
	at := fmt.Sprintf("%.2f, %.2f", p.Lat, p.Lon)
	if p.Name != "" {
		at = p.Name + " (" + at + ")"
	}
	return at
}

// sameAs is the index of the series that has the same records, or -1.
func sameAs(all []weather.Series, s weather.Series) int {
	return slices.IndexFunc(all, func(a weather.Series) bool { return slices.Equal(a.Records, s.Records) })
}

// settle says where the data are for, how far that is from the job, and refuses what is too far.
func (y *Years) settle(o YearsOptions) error {
	y.Place = weather.Place{Altitude: math.NaN()}
	if o.Place != nil {
		y.Place = *o.Place
	}
	grid := y.Series.Grid
	if grid == nil {
		return nil
	}
	y.Place = *grid
	if o.Place == nil {
		return nil
	}
	off := grid.From(*o.Place)
	away, up := off.Away, off.Up
	y.Series.Off = &off
	note := fmt.Sprintf("The data are for %s, %.0f km from the job", where(*grid), away/1000)
	switch {
	case math.IsNaN(up):
		note += "; how much higher or lower is not known"
	case math.Abs(up) >= 1:
		word := "higher"
		if up < 0 {
			word = "lower"
		}
		note += fmt.Sprintf(" and %.0f m %s", math.Abs(up), word)
	}
	if (away > MaxAway || math.Abs(up) > MaxUp) && !o.Anywhere {
		return &FarError{Source: y.from, Job: *o.Place, Data: *grid, Note: note}
	}
	if off.Far() {
		note += ": far, and its weather may not be that of the job"
	}
	y.Notes = append(y.Notes, note+".")
	return nil
}

// unknownAltitude reports whether a place does not say how high it is.
func unknownAltitude(p weather.Place) bool { return math.IsNaN(p.Altitude) }
