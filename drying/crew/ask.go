package crew

import (
	"time"

	"limeday/drying"
)

// Ask is the question: these walls, by this crew, in this air.
type Ask struct {
	Sites    []Site
	Crew     Crew
	Ask      drying.Ask   // the air, and the moment from which on there is work
	Set      drying.Bands // of the draws; Members 0 for the usual number
	Anywhere bool         // a section may end at any strip, where its joint shows
	Waste    float64      // share mixed beyond what the walls take
	// Until is when what is known of the air ends; no day that ends after it is planned. Zero: the air is kept.
	Until time.Time
	// From is before when nothing is laid; zero: from the moment of asking on.
	From time.Time
}

// Site is a wall with the job it belongs to. Sites of a room share one.
type Site struct {
	Wall Wall
	Job  *drying.Job
}

// mostDays is how many days ahead are planned: as long as a wall is followed from one morning's air.
const mostDays = 6

// Check refuses a question that has no answer; the errors are *WallError, *CrewError and *drying.AskError.
func (a Ask) Check() error {
	if len(a.Sites) == 0 {
		return &WallError{"the job", "it has no wall with a width and a height"}
	}
	for _, s := range a.Sites {
		if err := s.Wall.Check(); err != nil {
			return err
		}
		if s.Job == nil {
			return &drying.AskError{What: s.Wall.name(), Reason: "it belongs to no job"}
		}
		if err := s.Job.Check(); err != nil {
			return err
		}
	}
	return a.Crew.Check(false)
}
