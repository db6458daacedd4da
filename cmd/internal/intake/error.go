package intake

import (
	"fmt"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/job"
)

// Reason is why a question is refused.
type Reason int

// The reasons.
const (
	Question  Reason = iota // it is asked wrongly
	NoWeather               // there is no weather to be had
	NoPlace                 // nor can be: the job does not say where it is
)

// Error refuses a question.
type Error struct {
	Reason   Reason
	Where    string // what is wrong: a flag or a file
	Expected string // what would have been accepted
	Message  string // one sentence: the offender, what was expected, what to do
	Err      error  // cause; may be nil
}

func (e *Error) Error() string { return e.Message }

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Err }

// question is an error of what was asked.
func question(where, expected, format string, args ...any) *Error {
	return &Error{Reason: Question, Where: where, Expected: expected, Message: fmt.Sprintf(format, args...)}
}

func inJob(j *job.Job, line int, err error) error {
	return fault.List{{File: j.File, Line: line, Message: err.Error()}}
}
