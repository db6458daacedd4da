package source

import (
	"context"
	"fmt"
	"io"
	"time"

	"limeday/weather"
	"limeday/weather/columns"
)

// Years is hourly weather of a place over one or more whole years, ready for the season.
type Years struct {
	// Series holds the records of the years in Span and no others, in order, UTC. Hours that were missing are
	// there, filled and tagged, where the rules of the package fill them; years that were left out leave a jump.
	Series weather.Series
	// Place is where the data are for. Where they do not say (Series.Grid is nil) it is that of the options.
	Place weather.Place
	Span  []Year // in order
	South bool   // the years run from 1 July to 30 June
	// Typical: one year put together from months of many. It gives averages, and no odds.
	Typical bool
	// Lacks names what is never or hardly ever given, and so is not to be read as none: of "radiation", "cloud",
	// "wind", "wind direction" and "rain".
	Lacks []string
	// Notes are plain sentences: what was filled, left out or doubted, and how far away the data's place is.
	Notes []string

	from string // what errors call the data
}

// Year is a calendar year, or in the south a season that spans New Year.
type Year struct {
	Label    int       // the calendar year, or that in which the season begins
	From, To time.Time // in the zone of the options; To is not part of it
	// Holes is the share of the hours without temperature and humidity, as given: hours on a line between two that
	// are at most [weather.MaxFill] apart are no holes.
	Holes float64
}

// The limits of a year. Common practice, no source: a tenth of the hours (36 days) put together from their
// neighbours begins to show in a share of workable days; over a week the weather before a hole says nothing of
// the weather after it.
const (
	MaxHoles = 0.10               // share of the year's hours
	MaxHole  = 7 * 24 * time.Hour // in one piece
)

// How far from the job data may be for, unless [YearsOptions.Anywhere]. Common practice, no source: at the 6.5 K/km
// of the standard atmosphere 300 m are 2 K, which moves the last frost of spring by weeks; and beyond 100 km it is
// another region's weather.
const (
	MaxAway = weather.HardlyHere
	MaxUp   = 300.0 // m, up or down
)

// YearsOptions is how to read years. The zero value reads files of one zone, UTC, for nobody knows where.
type YearsOptions struct {
	Place    *weather.Place  // of the job; nil: not known. An Altitude that is NaN is not known
	Zone     *time.Location  // of the job, in which years begin, and of CSV times without an offset; nil: UTC
	Skip     []int           // labels of years to leave out
	South    bool            // seasons from July to June; also where the place is south of the equator
	Anywhere bool            // data for a place farther than the limits are taken all the same
	Columns  columns.Options // of CSV files; Zone and Altitude are set from the above where they are nil
	DropBad  bool            // leave values beyond all weather out, with a note, instead of refusing the file
	// Told hears how many files or years of how many are done; may be nil.
	Told func(done, total int)
}

// File is a weather file; Name is what errors call it.
type File struct {
	Name string
	Open func() (io.ReadCloser, error)
}

// ReadYears reads files, each of one or more years and of a kind told by its content, gzip or plain, as one run of
// years. See the package for its rules. Its errors are a [*weather.DataError], [*weather.ConflictError], [*HoleError],
// [*NoYearError], [*LightError] or [*FarError], the context's, or from Open and the reader, with the file's name.
func ReadYears(ctx context.Context, files []File, o YearsOptions) (Years, error) {
	if len(files) == 0 {
		panic("source: no files of years")
	}
	var (
		all     []weather.Series
		names   []string // of all
		notes   []string
		typical string // the file that is a typical year
	)
	tell := func(done int) {
		if o.Told != nil {
			o.Told(done, len(files))
		}
	}
	tell(0)
	for i, f := range files {
		s, isTypical, err := readFile(ctx, f, o)
		if err != nil {
			return Years{}, err
		}
		tell(i + 1)
		s.Records = hourly(s.Records) // here, where it copies one file and not all years
		if j := sameAs(all, s); j >= 0 {
			notes = append(notes, fmt.Sprintf("%s holds the same as %s: it counts once.", f.Name, names[j]))
			continue
		}
		if isTypical {
			typical = f.Name
		}
		if typical != "" && len(all) > 0 {
			return Years{}, &weather.DataError{File: typical, Message: "is a typical year, which has no place beside other years",
				Want: "one typical year alone, or real years"}
		}
		all, names = append(all, s), append(names, f.Name)
	}
	grid, unplaced, err := onePlace(names, all)
	if err != nil {
		return Years{}, err
	}
	s, err := weather.Join(weather.Refuse, all...)
	if err != nil {
		return Years{}, err
	}
	s.Grid = grid
	from := names[0]
	if len(names) > 1 {
		from += fmt.Sprintf(" and %d more", len(names)-1)
	}
	y := Years{Series: s, from: from, Typical: typical != "", Notes: append(append(notes, unplaced...), sentences(s.Notes)...)}
	if y.Typical {
		y.Notes = append(y.Notes, "A typical year gives averages and no odds: ISO 15927-4 itself says that such a year is not for extremes, such as those that damage by moisture.")
	}
	return y.finish(ctx, o)
}

// finish checks the years of a joined series and fills what may be filled.
func (y Years) finish(ctx context.Context, o YearsOptions) (Years, error) {
	zone := o.Zone
	if zone == nil {
		zone = time.UTC
	}
	if err := y.settle(o); err != nil {
		return Years{}, err
	}
	y.South = o.South || (o.Place != nil || y.Series.Grid != nil) && y.Place.Lat < 0
	if y.Typical {
		y.wrap(zone)
	}
	if err := y.split(zone, o.Skip); err != nil {
		return Years{}, err
	}
	if err := ctx.Err(); err != nil {
		return Years{}, err
	}
	if err := y.fill(zone); err != nil {
		return Years{}, err
	}
	y.fillPressure()
	if note := y.clock(o); note != "" {
		y.Notes = append(y.Notes, note)
	}
	y.Series.Notes = nil // they are in y.Notes
	return y, ctx.Err()
}
