package app

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/config"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
)

// command is one entry of the table.
type command struct {
	name     string
	args     string // as shown after the flags, e.g. "[JOB]"; empty for none
	maxArgs  int
	words    []string // what the first argument can be, for completion
	files    bool     // arguments are files, for completion; where there are words, those after the first
	then     []string // words that they can be besides
	summary  string   // one line, no full stop
	examples []example
	notes    string // after the flags, wrapped by hand to 80 columns

	// setup declares the command's own flags and returns what runs after they
	// are read.
	setup func(fs *pflag.FlagSet) runner
}

type runner func(ctx context.Context, inv *invocation) error

type example struct{ line, says string }

// invocation is one call of a command.
type invocation struct {
	Env
	Args  []string
	JSON  bool
	Out   io.Writer // held back until the command has succeeded; use it, not Env.Stdout
	Notes io.Writer // progress and warnings, at once; use it, not Env.Stderr

	config     config.Config
	unitsFlag  *wordFlag
	units      quantity.Units
	unitsGiven bool
}

// Units are those of --units, or else of the user's settings, or metric.
func (inv *invocation) Units() quantity.Units {
	if inv.unitsGiven {
		return inv.units
	}
	u, _ := quantity.ParseUnits(orWord(inv.config.Units, "metric")) // checked when it was loaded
	return u
}

// UnitsOf are those of --units, or else of the job where it says so.
func (inv *invocation) UnitsOf(j *job.Job) quantity.Units {
	if !inv.unitsGiven && j.UnitsGiven {
		return j.Units
	}
	return inv.Units()
}

// Answer prints v as JSON under --json, else the text.
func (inv *invocation) Answer(v any, text func() string) error {
	if inv.JSON {
		return writeJSON(inv.Out, v)
	}
	return write(inv.Out, text())
}

func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// offersAnnotation holds the words a flag can take, for completion.
const offersAnnotation = "limeday_offers"

// offer notes the words that a declared flag can take.
func offer(fs *pflag.FlagSet, flag string, words ...string) {
	if err := fs.SetAnnotation(flag, offersAnnotation, words); err != nil {
		panic("app: " + err.Error()) // the flag was not declared
	}
}

// build makes the command's flags, its own and the common ones.
func (c *command) build(inv *invocation) (*pflag.FlagSet, runner) {
	fs := newFlags("limeday " + c.name)
	run := c.setup(fs)
	inv.unitsFlag = addWord(fs, "units", "metric|us", "set of units", []string{"metric", "us"}, "how bare numbers are read and answers written")
	fs.BoolVar(&inv.JSON, "json", false, "answer in JSON, in SI units")
	return fs, run
}

func (c *command) argsExpected() string {
	if c.args == "" {
		return "it takes flags only"
	}
	return fmt.Sprintf("it takes %s", strings.Trim(c.args, "[]"))
}
