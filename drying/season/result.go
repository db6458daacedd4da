package season

import (
	"time"

	"limeday/drying"
	"limeday/weather"
)

// Result is what many years of weather say of a job outdoors.
type Result struct {
	Place   weather.Place
	Zone    *time.Location
	Source  string   // of the weather
	Credit  string   // words its licence asks for; may be empty
	Notes   []string // what people should know of it
	Years   []int    // by the label of their beginning
	Typical bool     // one year put together from months of many: averages only, no odds
	Lacks   []string // what the weather lacks, such as rain: said, never read as dry
	South   bool     // the years run from July, so that a season spans New Year
	Starts  []time.Duration
	Need    int // consecutive workable days that the job wants, 0 where its area is not known
	Walls   []Wall
}

// Wall is one wall of the job through the years.
type Wall struct {
	Name    string
	Bearing float64  // degrees clockwise from north
	Periods []Period // 24 half-months, in the order of the year
	Frost   FrostSafe
	Lays    int // that were worked out
}

// MonthDay is a day of any year.
type MonthDay struct {
	Month time.Month
	Day   int
}

// Spread is the 10, 50 and 90 % points over the years; all the same in a typical year.
type Spread struct{ Low, Likely, High float64 }

// Period is a half-month.
type Period struct {
	From, To MonthDay
	Days     int    // of all the years
	Workable Spread // share of the days on which some start is not a no-go, by year
	Care     float64
	// Lost is the share of all days lost to each reason, most first: the first reason of the day's best start.
	Lost []Lost
	// Opens, Closes and Window are of the last coat of lays that are not a no-go, minutes after laying; Window from burnish to
	// gone by. Not known where Good is 0.
	Opens, Closes, Window Spread
	Good                  int
	ByStart               []float64 // share of the days that are not a no-go, by start
	Best                  int       // the start with most of them; -1 where none has any
	Run                   float64   // share of the years with Need workable days in a row that begin here; 0 where Need is
}

// Lost is a reason for which days are lost.
type Lost struct {
	Why   Why
	Share float64 // of all days of the period
}

// Why is a reason in the plasterer's words.
type Why string

// The reasons.
const (
	Cold   Why = "cold"
	Frost  Why = "frost later"
	Rain   Why = "rain"
	Fast   Why = "dries too fast"
	Damp   Why = "too damp"
	Hours  Why = "window past the hours"
	Other  Why = "other"
	NoData Why = "weather not known"
)

// Whys lists them.
func Whys() []Why { return []Why{Cold, Frost, Rain, Fast, Damp, Hours, Other, NoData} }

// FrostSafe is the part of the year after whose lays the wall stays safe from frost until published advice lets it have some.
type FrostSafe struct {
	Finish string
	Days   [3]float64 // frost-free days of the finish: boldest, middle, most careful published advice; before the cold lengthens them
	Never  bool       // no frost of wall or air in all the years
	Always bool       // no day of any year is safe
	Safe   []Share    // for 90 % of the years, then 50 %; empty for a typical year, and where Never or Always
	Years  []YearFrost
}

// Share is the part of the year that is safe in a share of the years.
type Share struct {
	First, Last MonthDay // of laying
	Share       float64
	None        bool // in that share of years no day is safe
}

// YearFrost is one year's.
type YearFrost struct {
	Year        int
	First, Last time.Time // of the safe laying days; zero where none is
	Open        bool      // Last is where the weather ends, not frost
	Physics     int       // lays of it that freeze while wetter than the usual critical saturation
	Rule        int       // lays that published advice (middle) would not have, though they dry in time
}

// whyOf sorts the codes of a no-go.
func whyOf(c drying.Code) Why {
	switch c {
	case drying.CodeWallCold, drying.CodeWallCools, drying.CodeFreezes:
		return Cold
	case drying.CodeFrost:
		return Frost
	case drying.CodeRain:
		return Rain
	case drying.CodeWallHot, drying.CodeDriesFast, drying.CodeWind, drying.CodeAirDry, drying.CodeWindowShort:
		return Fast
	case drying.CodeDewPoint, drying.CodeNeverOpens, drying.CodeDew:
		return Damp
	case drying.CodeNotToday, drying.CodeWindowLate, drying.CodeDayOver:
		return Hours
	}
	return Other
}
