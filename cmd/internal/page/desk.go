package page

import (
	"context"
	"html/template"
	"net/url"
	"time"

	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/sheet"
)

// Desk is what the pages are about. Jobs are numbered from 0 in the order of Jobs. Its methods are called from many
// goroutines; an error is one sentence for people, *FormError where fields of a form are at fault.
type Desk interface {
	// Jobs are the names of the jobs.
	Jobs() []string
	// Today is a job's answer.
	Today(ctx context.Context, job int, u quantity.Units) Today
	// Read takes a reading typed in for a job.
	Read(ctx context.Context, job int, form url.Values, u quantity.Units) error
	// Press enters a press, once, and says so.
	Press(ctx context.Context, job int, p Press) (string, error)
	// Bench answers the bench's form, with bands or, far sooner, without. Values typed are in the units of the form, the answer
	// in u.
	Bench(ctx context.Context, form url.Values, u quantity.Units, bands bool) Bench
	// Wall is how much of a job's walls its crew can hold inside the window, and who does what when.
	Wall(ctx context.Context, job int, u quantity.Units) Wall
	// Year is how far the year of a job is.
	Year(ctx context.Context, job int, u quantity.Units) Year
	// WorkYear begins to work it out, if it is not at it.
	WorkYear(job int) error
	// Practice is an exercise, marked where it was answered. An answer to it is kept once for each name.
	Practice(ctx context.Context, form url.Values, u quantity.Units, isAnswered bool) Practice
}

// FormError says what is wrong with fields of a form, by their names.
type FormError struct{ Fields map[string]string }

func (e *FormError) Error() string {
	for _, s := range e.Fields {
		return s
	}
	return "the form is not filled in"
}

// Field is one field of a form.
type Field struct {
	Name, Label string
	Value       string // as typed, or that of the option chosen
	Unit        string
	Hint        string
	Fault       string // what is wrong with the value
	Options     []Option
	Slide       *Slide // a slider beside it, in the unit shown
	Numeric     bool
}

// Option is one choice of a field.
type Option struct{ Value, Label string }

// Slide bounds a slider.
type Slide struct{ Min, Max, Step float64 }

// Today is a job's answer as it is shown.
type Today struct {
	Name    string       // of the job, as Jobs has it
	Fault   string       // why there is no answer; the rest of the page still serves
	Day     *sheet.Shown // nil with Fault
	Worked  string       // when it was worked out
	Picture template.HTML
	Course  *Table // beside the picture

	Reading []Field // of the form for a reading; none where the job has its own air
	ReadSay string  // the reading in force

	NoPress string // why nothing can be pressed; empty where it can
	Seen    []string
	Presses []Button
	Undo    *Button
}

// Button is something to press on site.
type Button struct {
	Label, Sign string
	Coat        int
	What        string // laid, damp, gone, dry; undo takes back Entry
	Looked      bool   // looked then, and it had not come
	Entry       int
	ID          string // for a press without the script
}

// Press is a button pressed.
type Press struct {
	ID     string
	Job    string // its name, on the page that it was pressed on
	Coat   int
	What   string
	Looked bool
	Entry  int
	Age    time.Duration // since it was pressed
}

// Table is numbers beside a picture.
type Table struct {
	Caption string
	Head    []string
	Rows    [][]string // the first cell of each names it
}

// Bench is what the bench shows.
type Bench struct {
	Fields  []Field
	Fault   string // of the whole form
	Says    string // the answer in a sentence or two
	Picture template.HTML
	Tables  []Table
	Moved   []string // what moved against what it is compared with, and why
	Notes   []string // warnings
	Was     string   // the form it is compared with next, encoded
	Banded  bool
}

// Wall is a plan of a job's walls.
type Wall struct {
	Name     string
	Fault    string   // why there is no plan
	Says     []string // what holds
	Facts    []sheet.Fact
	Drawings []Drawing // of the walls, then of the hands, day by day
	Tables   []Table   // the sections, the timetable by hand, what to mix
	Patches  []Table   // the timetable patch by patch
	Changes  []sheet.Fact
	Signs    []sheet.Fact
	Unknown  string
	Cautions []string
	Worked   string
}

// Drawing is a picture with its numbers beside it.
type Drawing struct {
	Head    string
	Picture template.HTML
	Table   Table
}

// Year is the year of a job.
type Year struct {
	Name    string
	Fault   string
	Working bool
	Done    float64 // share of the work
	Asked   bool    // the work can be asked for
	Says    []string
	Picture template.HTML
	Tables  []Table
}

// Practice is an exercise, and how an answer to it was.
type Practice struct {
	Title    string
	Fault    string            // why it cannot be set or marked
	Fields   []Field           // of the form that chooses the exercise
	Ask      []string          // what is given, paragraphs
	Facts    []Table           // and tables
	Question string            //
	Answer   []Field           // of the form that answers it
	Hidden   map[string]string // which goes with that form
	Marked   bool
	Mark     string // in words, with the answer given
	Says     []string
	Why      []string
	Sign     string
	Picture  template.HTML
	Tables   []Table
	Next     string // address of the next exercise
	Kept     string // where the answer was recorded
	Note     string
}
