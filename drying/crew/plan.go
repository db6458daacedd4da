package crew

import (
	"time"

	"limeday/drying/message"
)

// Plan is the whole answer. Times are on the clock of the job.
type Plan struct {
	Ask      Ask
	Patches  [][]Patch // by site
	Sections []Section
	Left     []Left // what is not planned
	Whole    bool   // every coat on every wall is planned, each wall in one stretch
	Done     time.Time
	// Band tells that the plan holds for eight cases in ten: at the earliest, likely and latest windows or, where that makes it smaller, in
	// as many of the draws; else it holds at the likely windows alone.
	Band bool
	// Risk is the share of the draws in which some section has no timetable on its day.
	Risk float64
	// Bolder is the plan by the likely windows alone, where it holds more in one stretch than that for the band.
	Bolder  *Plan
	Changes []Change // what would make more possible, best first, once Weigh has been called
	Batches []Batch

	again func(Ask) (*Plan, error) // plans a changed question, in the same draws
}

// Section is a stretch of one wall laid, and where it is the last coat closed, without a joint.
type Section struct {
	Coat, Site  int // from 0
	Number      int // of the coat on the wall, from 1
	First, Last int // patches
	Area        float64
	Ends        message.Text // what it ends at
	Tasks       []Task       // by the clock
	From, To    time.Time
	Hands       []int // who has work in it
	// Bound is an area, m2, that no order of work passes on that day, begun at one of the moments tried, of those that end where a
	// joint hides; of the last coat, with the one under it laid straight on. Exact tells that the section reaches it.
	Bound float64
	Exact bool
	// DryEdges is how many edges of patches of a coat under the last dry before they are met, at the likely windows: those are laid
	// over. None of the last coat does.
	DryEdges int
	Why      string  // what keeps it from being larger; empty where the wall ends
	Risk     float64 // share of the draws in which it has no timetable, of those in which the sections before had one
}

// Task is one operation of one hand on one patch.
type Task struct {
	Op          Op
	Hand, Patch int // the patch's number
	Start, End  time.Time
	// Earliest and Latest are the starts at the earliest and latest windows; zero where the plan has no timetable there.
	Earliest, Latest time.Time
	Opens, Closes    time.Time // the patch's likely window: its last part opens, its first part has gone by; zero for laying
}

// Left is what is not planned of a coat on a wall.
type Left struct {
	Coat, Site  int
	First, Last int // patches
	Area        float64
	Why         string
}

// moment is a plan's second on the clock.
func (p *planner) moment(s int) time.Time {
	if s >= never {
		return time.Time{}
	}
	return p.epoch.Add(time.Duration(s) * time.Second).In(p.zone())
}

func (p *planner) zone() *time.Location { return p.ask.Sites[0].Job.Zone }
