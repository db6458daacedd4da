package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/near"
	"limeday/cmd/internal/quantity"
	"limeday/drying"
	"limeday/drying/parallel"
	"limeday/psychro"
	"limeday/weather/logfile"
)

// Exit statuses.
const (
	ExitOK          = 0   // answered, whatever the verdict
	ExitFailure     = 1   // other failure
	ExitUsage       = 2   // the command line is wrong
	ExitBadInput    = 3   // a file or reading is wrong
	ExitNoWeather   = 4   // no weather to be had
	ExitNotValid    = 5   // outside the model's validity, or not converged
	ExitInterrupted = 130 // Ctrl-C
)

// Error is a refusal or failure as the user is told it.
type Error struct {
	Exit     int
	Message  string // one sentence naming the offender, the expectation and what to do
	Where    string // flag, argument or file:line; may be empty
	Expected string // what would have been accepted; may be empty
	Err      error  // cause; may be nil
}

func (e *Error) Error() string { return e.Message }

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Err }

// usage is an error of the command line.
func usage(where, expected, format string, args ...any) *Error {
	return &Error{Exit: ExitUsage, Where: where, Expected: expected, Message: fmt.Sprintf(format, args...)}
}

// badFlag is a usage error for a flag's value.
func badFlag(flag string, err error) *Error {
	e := &Error{Exit: ExitUsage, Where: flag, Message: flag + ": " + err.Error(), Err: err}
	var q *quantity.Error
	if errors.As(err, &q) {
		e.Expected = q.Expected
	}
	return e
}

// told maps any error to what the user is told, and so to the exit status.
// It is the only place that does.
func told(err error) (*Error, fault.List) {
	var e *Error
	var faults fault.List
	var outside *psychro.RangeError
	var stuck *drying.NotConvergedError
	var never *drying.NeverDryError
	var suction *drying.SuctionError
	var logger logfile.Fault
	var asked *intake.Error
	var weathered *drying.WeatherError
	var seen *drying.SeenError
	var sample *drying.SampleError
	var entry *diary.EntryError
	var book *diary.FileError
	var bug *parallel.Panic
	var ask *drying.AskError
	switch {
	case errors.As(err, &bug):
		return &Error{Exit: ExitFailure, Err: err,
			Message: fmt.Sprintf("something went wrong inside limeday, and there is no answer: %s; please report this with the command and its files", bug)}, nil
	case errors.As(err, &e) && e.Exit == ExitInterrupted:
		return e, nil // it says what is kept
	case errors.Is(err, context.Canceled):
		return &Error{Exit: ExitInterrupted, Message: "interrupted; nothing was answered", Err: err}, nil
	case errors.As(err, &e):
		return e, nil
	case errors.As(err, &asked):
		exit := map[intake.Reason]int{intake.Question: ExitUsage, intake.NoWeather: ExitNoWeather, intake.NoPlace: ExitNoWeather}[asked.Reason]
		return &Error{Exit: exit, Message: asked.Message, Where: asked.Where, Expected: asked.Expected, Err: err}, nil
	case errors.As(err, &faults):
		first := faults[0]
		return &Error{Exit: ExitBadInput, Message: first.String(), Where: first.Where(), Expected: first.Expected, Err: err}, faults
	case errors.As(err, &ask):
		return &Error{Exit: ExitBadInput, Message: err.Error(), Where: ask.What, Expected: "a job, its air and a moment that can be", Err: err}, nil
	case errors.As(err, &outside):
		return &Error{Exit: ExitNotValid, Message: outside.Error(), Where: outside.Quantity,
			Expected: fmt.Sprintf("%g to %g %s", outside.Min, outside.Max, outside.Unit), Err: err}, nil
	case errors.As(err, &stuck):
		return &Error{Exit: ExitNotValid, Where: stuck.Layer, Expected: "air and wall as a building site has them", Err: err,
			Message: fmt.Sprintf("no solution was found for this wall and air (in %s, %.0f s on); check the temperatures, the humidity and the speed of the air", stuck.Layer, stuck.Time)}, nil
	case errors.As(err, &logger):
		return loggerFault(logger), nil
	case errors.As(err, &seen):
		return &Error{Exit: ExitBadInput, Message: seen.Error() + "; check what was seen, and when", Where: fmt.Sprintf("coat %d", seen.Seen.Coat),
			Expected: "laid, damp, gone and dry in that order, each once", Err: err}, nil
	case errors.As(err, &sample):
		return &Error{Exit: ExitBadInput, Message: err.Error(), Where: sample.Sample, Expected: "a sample board with its air and what was seen of it", Err: err}, nil
	case errors.As(err, &weathered):
		return &Error{Exit: ExitBadInput, Message: err.Error(), Where: "the weather", Expected: "weather as it can be, by the hour", Err: err}, nil
	case errors.As(err, &suction):
		return &Error{Exit: ExitBadInput, Message: suction.Error(), Where: "suction", Err: err,
			Expected: fmt.Sprintf("%.3g s to %.3g s", suction.Fastest, suction.Slowest)}, nil
	case errors.As(err, &entry):
		return &Error{Exit: ExitUsage, Message: entry.Error(), Where: entry.Field, Expected: entry.Expected, Err: err}, nil
	case errors.As(err, &book):
		e := &Error{Exit: ExitFailure, Message: book.Error(), Where: book.Path, Expected: "a diary that can be written", Err: err}
		if book.NoDiary {
			e.Exit = ExitBadInput
		}
		return e, nil
	case errors.As(err, &never):
		return &Error{Exit: ExitNotValid, Message: err.Error() + ", so none is laid over it; ask for --coat 1, or in drier air", Where: "--coat",
			Expected: "air in which the coats before dry", Err: err}, nil
	default:
		return &Error{Exit: ExitFailure, Message: err.Error(), Err: err}, nil
	}
}

// loggerFault words a fault of a logger's file.
func loggerFault(f logfile.Fault) *Error {
	e := &Error{Exit: ExitBadInput, Where: f.Place().String(), Expected: f.Expected(), Err: f,
		Message: fmt.Sprintf("%s: %s; expected %s", f.Place(), f.Says(), f.Expected())}
	var unsure *logfile.AmbiguityError
	if errors.As(f, &unsure) {
		e.Message += fmt.Sprintf(" (--read-as %s=..., or %s in [readings] of the job)", unsure.Option, strings.ReplaceAll(string(unsure.Option), "-", "_"))
	}
	return e
}

type errorAnswer struct {
	Schema   string        `json:"schema"`
	Exit     int           `json:"exit"`
	Message  string        `json:"message"`
	Where    string        `json:"where"`
	Expected string        `json:"expected"`
	Faults   []faultAnswer `json:"faults,omitempty"` // when a file has more than one
}

type faultAnswer struct {
	Message  string `json:"message"`
	Where    string `json:"where"`
	Expected string `json:"expected"`
}

// report tells err on w and returns the exit status.
func report(w io.Writer, err error, asJSON bool) int {
	e, faults := told(err)
	if asJSON {
		a := errorAnswer{"limeday.error/1", e.Exit, e.Message, e.Where, e.Expected, nil}
		if len(faults) > 1 {
			a.Message += fmt.Sprintf(" (and %d more)", len(faults)-1)
			for _, f := range faults {
				a.Faults = append(a.Faults, faultAnswer{f.Message, f.Where(), f.Expected})
			}
		}
		// Nobody is left to tell if stderr cannot be written.
		_ = writeJSON(w, a)
		return e.Exit
	}
	lines := []string{e.Message}
	if len(faults) > 0 {
		lines = strings.Split(faults.Error(), "\n")
	}
	for _, line := range lines {
		fmt.Fprintln(w, "limeday: "+oneLine(line))
	}
	return e.Exit
}

func unknownCommand(name string, table []*command) *Error {
	var names []string
	for _, c := range table {
		names = append(names, c.name)
	}
	known := strings.Join(names, ", ")
	if best, ok := near.Best(name, names); ok {
		return usage(name, known, "%q is not a command; did you mean %s? (limeday --help lists them)", name, best)
	}
	return usage(name, known, "%q is not a command; the commands are %s", name, known)
}

// flagError words what pflag refused.
func flagError(err error, fs *pflag.FlagSet, command string) *Error {
	var unknown *pflag.NotExistError
	var noValue *pflag.ValueRequiredError
	var invalid *pflag.InvalidValueError
	switch {
	case errors.As(err, &unknown):
		of := strings.TrimPrefix(command, "limeday ") // the message starts with limeday
		name := unknown.GetSpecifiedName()
		given := "--" + name
		if unknown.GetSpecifiedShortnames() != "" {
			given = "-" + name
		}
		names, dashed := []string{"help"}, []string{"--help"}
		fs.VisitAll(func(f *pflag.Flag) {
			names = append(names, f.Name)
			dashed = append(dashed, "--"+f.Name)
		})
		expected := strings.Join(dashed, ", ")
		if best, ok := near.Best(name, names); ok && len(name) > 1 {
			return usage(given, expected, "%s has no flag %s; did you mean --%s? (%s --help lists them)", of, given, best, command)
		}
		return usage(given, expected, "%s has no flag %s; its flags are %s", of, given, expected)
	case errors.As(err, &noValue):
		f := noValue.GetFlag()
		return usage("--"+f.Name, f.Value.Type(), "--%s needs a value, such as %s", f.Name, f.Value.Type())
	case errors.As(err, &invalid):
		f := invalid.GetFlag()
		cause := errors.Unwrap(err)
		if f.Value.Type() == "bool" {
			return usage("--"+f.Name, "true or false", "--%s: %q cannot be its value; give the flag alone, or true or false", f.Name, invalid.GetValue())
		}
		return usage("--"+f.Name, f.Value.Type(), "--%s: %s", f.Name, cause)
	default:
		return usage("", "", "%s: %s (%s --help lists its flags)", command, err, command)
	}
}

// globalFlagError words what pflag refused before any command.
func globalFlagError(err error, fs *pflag.FlagSet, table []*command) *Error {
	var unknown *pflag.NotExistError
	if errors.As(err, &unknown) {
		for _, c := range table {
			if own, _ := c.build(&invocation{}); own.Lookup(unknown.GetSpecifiedName()) != nil {
				flag := "--" + unknown.GetSpecifiedName()
				return usage(flag, "limeday COMMAND "+flag, "%s stands before a command; put it after, as in limeday %s %s", flag, c.name, flag)
			}
		}
	}
	return flagError(err, fs, "limeday")
}
