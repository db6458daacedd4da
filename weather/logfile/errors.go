package logfile

import (
	"fmt"
	"time"
)

// At is a place in a file.
type At struct {
	File   string
	Line   int    // from 1; 0 is the file as a whole
	Column int    // in characters, from 1; 0 is the line as a whole
	Text   string // what stands there
}

// String is file:line:column, as far as it is known.
func (a At) String() string {
	switch {
	case a.Line == 0:
		return a.File
	case a.Column == 0:
		return fmt.Sprintf("%s:%d", a.File, a.Line)
	}
	return fmt.Sprintf("%s:%d:%d", a.File, a.Line, a.Column)
}

// Place is where the fault lies.
func (a At) Place() At { return a }

// Fault is what every refusal of [Read] can say of itself: all its typed errors
// are one. An error of Read that is no Fault is a failure to read at all.
type Fault interface {
	error
	Place() At
	Says() string     // what is wrong, without the place
	Expected() string // what would be right
}

func text(f Fault) string {
	return fmt.Sprintf("%s: %s; expected %s", f.Place(), f.Says(), f.Expected())
}

// Error is a fault of the file at a place in it.
type Error struct {
	At
	Message string
	Want    string
}

// Error is the place, the message and what was expected.
func (e *Error) Error() string { return text(e) }

// Says is the message and the raw text.
func (e *Error) Says() string {
	if e.Text == "" {
		return e.Message
	}
	return fmt.Sprintf("%s: %q", e.Message, shorten(e.Text))
}

// Expected is what would be right.
func (e *Error) Expected() string { return e.Want }

// Option names a field of [Options] in an error.
type Option string

// The options.
const (
	OptDelimiter      Option = "delimiter"
	OptDecimal        Option = "decimal"
	OptDateOrder      Option = "date-order"
	OptZone           Option = "zone"
	OptTempUnit       Option = "temp-unit"
	OptHumidityUnit   Option = "humidity-unit"
	OptTimeColumn     Option = "time-column"
	OptTempColumn     Option = "temp-column"
	OptHumidityColumn Option = "humidity-column"
)

// AmbiguityError is a file that can be read in two ways.
type AmbiguityError struct {
	At
	What   string    // the question
	Ways   [2]string // two answers
	Option Option    // settles it
}

// Error is the place, the question and the option that settles it.
func (e *AmbiguityError) Error() string { return text(e) }

// Says is the question with its two answers.
func (e *AmbiguityError) Says() string {
	raw := ""
	if e.Text != "" {
		raw = fmt.Sprintf("%q: ", shorten(e.Text))
	}
	return fmt.Sprintf("%s%s is not clear: %s or %s", raw, e.What, e.Ways[0], e.Ways[1])
}

// Expected names the option.
func (e *AmbiguityError) Expected() string {
	return fmt.Sprintf("the option %s to say which", e.Option)
}

// PinError is an option that the file contradicts, or that means nothing.
type PinError struct {
	At
	Option Option
	Pinned string // what the option says
	Found  string // what the file says
}

// Error is the place, the option and what the file says.
func (e *PinError) Error() string { return text(e) }

// Says is the contradiction.
func (e *PinError) Says() string {
	raw := ""
	if e.Text != "" {
		raw = fmt.Sprintf(" (%q)", shorten(e.Text))
	}
	return fmt.Sprintf("the option %s is %q, but %s%s", e.Option, e.Pinned, e.Found, raw)
}

// Expected is what to do.
func (e *PinError) Expected() string { return "an option that fits the file" }

// StuckError is a sensor whose two values stood still while the air was wet.
type StuckError struct {
	At                 // the first reading of the run
	LastLine int       // the last reading of the run
	From, To time.Time // of the run, UTC
	Temp     float64   // C
	RH       float64   // percent, as the sensor gave it
}

// Error is the place, the run and what to do.
func (e *StuckError) Error() string { return text(e) }

// Says is the run.
func (e *StuckError) Says() string {
	return fmt.Sprintf("the sensor is stuck: %.1f C and %.1f %% without a change for %s, from line %d to line %d",
		e.Temp, e.RH, span(e.To.Sub(e.From)), e.Line, e.LastLine)
}

// Expected is what to do.
func (e *StuckError) Expected() string {
	return "a sensor that moves; take these rows out, or dry the sensor and log again"
}

// span is a duration for people, to the minute if it is one.
func span(d time.Duration) string {
	h, m := int(d.Hours()), int(d.Minutes())%60
	switch {
	case d < time.Minute && d > 0:
		return fmt.Sprintf("%.3g s", d.Seconds())
	case h == 0:
		return fmt.Sprintf("%d min", m)
	case m == 0:
		return fmt.Sprintf("%d h", h)
	}
	return fmt.Sprintf("%d h %d min", h, m)
}

func shorten(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:57]) + "..."
	}
	return s
}
