package app

import (
	"fmt"
	"strings"
	"time"

	"limeday/drying/season"
)

// seasonAnswer has the first wall at the top, and every wall under walls. Month-days are as 03-16.
type seasonAnswer struct {
	Schema     string        `json:"schema"`
	Place      seasonWhere   `json:"place"`
	Weather    seasonWeather `json:"weather"`
	YearBegins string        `json:"year_begins"` // 01-01, or 07-01 where a season spans New Year
	Starts     []string      `json:"starts"`      // by the clock of the job
	Need       *int          `json:"need_days"`   // workable days in a row that the job wants
	seasonWall
	Walls   []seasonWall `json:"walls"`
	Assumed []string     `json:"assumed"`
}

type seasonWhere struct {
	Name      string  `json:"name"`
	Lat       float64 `json:"lat"`
	Lon       float64 `json:"lon"`
	AltitudeM float64 `json:"altitude_m"`
	Zone      string  `json:"zone"`
}

type seasonWeather struct {
	Source  string   `json:"source"`
	Credit  string   `json:"credit,omitempty"`
	Years   []int    `json:"years"`
	Typical bool     `json:"typical"`
	Lacks   []string `json:"lacks"`
	Notes   []string `json:"notes"`
}

type seasonWall struct {
	Wall       string         `json:"wall"`
	BearingDeg float64        `json:"bearing_deg"`
	Lays       int            `json:"lays"`
	Periods    []seasonPeriod `json:"periods"`
	FrostSafe  seasonFrost    `json:"frost_safe"`
}

// seasonPeriod has nulls where the weather, or a time, is not known.
type seasonPeriod struct {
	From          string         `json:"from"`
	To            string         `json:"to"`
	Days          int            `json:"days"`
	Workable      *float64       `json:"workable_share"`
	WorkableLow   *float64       `json:"workable_share_low"`
	WorkableHigh  *float64       `json:"workable_share_high"`
	Care          *float64       `json:"care_share"`
	Reasons       []seasonReason `json:"reasons"`
	BestStart     *string        `json:"best_start"`
	ByStart       []float64      `json:"workable_share_by_start"`
	Opens         *float64       `json:"opens_min"`
	OpensEarliest *float64       `json:"opens_min_earliest"`
	OpensLatest   *float64       `json:"opens_min_latest"`
	Closes        *float64       `json:"closes_min"`
	ClosesEarly   *float64       `json:"closes_min_earliest"`
	ClosesLatest  *float64       `json:"closes_min_latest"`
	Window        *float64       `json:"window_min"`
	WindowLow     *float64       `json:"window_min_low"`
	WindowHigh    *float64       `json:"window_min_high"`
	Run           *float64       `json:"run_share"`
}

type seasonReason struct {
	Code  string  `json:"code"`
	Share float64 `json:"share"`
}

// seasonFrost has at its top what holds in most years.
type seasonFrost struct {
	First  *string           `json:"first"`
	Last   *string           `json:"last"`
	Share  *float64          `json:"share"`
	Shares []seasonShare     `json:"shares"`
	Finish string            `json:"finish"`
	Days   [3]float64        `json:"frost_free_days"` // boldest, middle, most careful published advice
	Never  bool              `json:"no_frost"`
	Always bool              `json:"no_safe_day"`
	Years  []seasonYearFrost `json:"years"`
}

type seasonShare struct {
	First *string `json:"first"`
	Last  *string `json:"last"`
	Share float64 `json:"share"`
}

type seasonYearFrost struct {
	Year    int     `json:"year"`
	First   *string `json:"first"`
	Last    *string `json:"last"`
	Open    bool    `json:"open"` // last is where the weather ends
	Physics int     `json:"freeze_wet_days"`
	Rule    int     `json:"by_advice_alone_days"`
}

// whyCode is a reason's code.
func whyCode(w season.Why) string { return strings.ReplaceAll(string(w), " ", "-") }

func monthDayCode(d season.MonthDay) string { return fmt.Sprintf("%02d-%02d", int(d.Month), d.Day) }

func answerSeason(r season.Result) seasonAnswer {
	a := seasonAnswer{Schema: "limeday.season/1", YearBegins: "01-01", Starts: []string{}, Walls: []seasonWall{}, Assumed: []string{},
		Place: seasonWhere{Name: r.Place.Name, Lat: r.Place.Lat, Lon: r.Place.Lon, AltitudeM: r.Place.Altitude},
		Weather: seasonWeather{Source: r.Source, Credit: r.Credit, Years: append([]int{}, r.Years...), Typical: r.Typical,
			Lacks: append([]string{}, r.Lacks...), Notes: append([]string{}, r.Notes...)}}
	if r.Zone != nil {
		a.Place.Zone = r.Zone.String()
	}
	if r.South {
		a.YearBegins = "07-01"
	}
	if r.Need > 0 {
		a.Need = &r.Need
	}
	for _, s := range r.Starts {
		a.Starts = append(a.Starts, clockAt(s))
	}
	for _, w := range r.Walls {
		x := seasonWall{Wall: w.Name, BearingDeg: w.Bearing, Lays: w.Lays, Periods: []seasonPeriod{}, FrostSafe: answerFrost(w.Frost)}
		for _, p := range w.Periods {
			x.Periods = append(x.Periods, answerPeriod(r, p))
		}
		a.Walls = append(a.Walls, x)
	}
	a.seasonWall = seasonWall{Periods: []seasonPeriod{}, FrostSafe: answerFrost(season.FrostSafe{})}
	if len(a.Walls) > 0 {
		a.seasonWall = a.Walls[0]
	}
	return a
}

func answerPeriod(r season.Result, p season.Period) seasonPeriod {
	a := seasonPeriod{From: monthDayCode(p.From), To: monthDayCode(p.To), Days: p.Days, Reasons: []seasonReason{}, ByStart: []float64{}}
	for _, l := range p.Lost {
		a.Reasons = append(a.Reasons, seasonReason{whyCode(l.Why), l.Share})
	}
	if p.Known() {
		a.Workable, a.WorkableLow, a.WorkableHigh, a.Care = &p.Workable.Likely, &p.Workable.Low, &p.Workable.High, &p.Care
		a.ByStart = append(a.ByStart, p.ByStart...)
		if r.Need > 0 {
			a.Run = &p.Run
		}
	}
	if p.Best >= 0 && p.Best < len(r.Starts) {
		s := clockAt(r.Starts[p.Best])
		a.BestStart = &s
	}
	if p.Good > 0 {
		a.OpensEarliest, a.Opens, a.OpensLatest = &p.Opens.Low, &p.Opens.Likely, &p.Opens.High
		a.ClosesEarly, a.Closes, a.ClosesLatest = &p.Closes.Low, &p.Closes.Likely, &p.Closes.High
		a.WindowLow, a.Window, a.WindowHigh = &p.Window.Low, &p.Window.Likely, &p.Window.High
	}
	return a
}

func answerFrost(f season.FrostSafe) seasonFrost {
	a := seasonFrost{Shares: []seasonShare{}, Finish: f.Finish, Days: f.Days, Never: f.Never, Always: f.Always, Years: []seasonYearFrost{}}
	for _, s := range f.Safe {
		x := seasonShare{Share: s.Share}
		if !s.None {
			first, last := monthDayCode(s.First), monthDayCode(s.Last)
			x.First, x.Last = &first, &last
		}
		a.Shares = append(a.Shares, x)
	}
	if len(a.Shares) > 0 {
		s := a.Shares[0]
		a.First, a.Last, a.Share = s.First, s.Last, &s.Share
	}
	date := func(t time.Time) *string {
		if t.IsZero() {
			return nil
		}
		s := t.Format(time.DateOnly)
		return &s
	}
	for _, y := range f.Years {
		a.Years = append(a.Years, seasonYearFrost{y.Year, date(y.First), date(y.Last), y.Open, y.Physics, y.Rule})
	}
	return a
}
