package app

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/config"
	"limeday/cmd/internal/quantity"
	"limeday/drying/parallel"
	"limeday/weather/source"
)

// Env is what a run gets from outside.
type Env struct {
	Stdin  io.Reader
	Stdout io.Writer // answers
	Stderr io.Writer // errors, warnings, progress
	Now    func() time.Time

	Members  int           // of the ensemble behind earliest and latest; zero: as many as usual
	Patience time.Duration // after which a command tells how far it is, and how often; zero: it does not

	ConfigDir string                                           // the user's configuration folder; empty: none
	CacheDir  string                                           // the user's cache folder; empty: nothing is kept
	Transport http.RoundTripper                                // of requests to weather services; nil: the network
	Sleep     func(ctx context.Context, d time.Duration) error // nil: a timer
}

// grace is how long an interrupted command has to leave its files whole.
const grace = 500 * time.Millisecond

// Run carries out one command line, without the program's name, and returns
// the exit status. Nothing is written to env.Stdout unless it succeeds. When
// ctx is cancelled Run returns at once or, for a command that is still tidying
// up, within half a second.
func Run(ctx context.Context, args []string, env Env) int {
	return runTable(ctx, commands(), args, env)
}

func runTable(ctx context.Context, table []*command, args []string, env Env) int {
	var out bytes.Buffer
	notes := &gate{w: env.Stderr}
	done := make(chan error, 1)
	go func() {
		var err error
		if p := parallel.Catch(func() { err = dispatch(ctx, table, args, env, &out, notes) }); p != nil {
			err = p
		}
		done <- err
	}()

	var err error
	select {
	case err = <-done:
	case <-ctx.Done():
		select {
		case err = <-done:
		case <-time.After(grace):
		}
	}
	if said := new(Error); ctx.Err() != nil && !(errors.As(err, &said) && said.Exit == ExitInterrupted) {
		err = ctx.Err()
	}
	notes.shut()
	if err == nil {
		if _, werr := env.Stdout.Write(out.Bytes()); werr != nil {
			err = &Error{Exit: ExitFailure, Message: "the answer could not be written: " + werr.Error(), Where: "standard output"}
		}
	}
	if err != nil {
		asked := slices.Contains(args, "--json") || slices.Contains(args, "--json=true")
		return report(env.Stderr, err, asked)
	}
	return ExitOK
}

// dispatch finds the command, reads its flags and runs it.
func dispatch(ctx context.Context, table []*command, args []string, env Env, out, notes io.Writer) error {
	var global struct{ version, json bool }
	fs := newFlags("limeday")
	fs.SetInterspersed(false)
	fs.BoolVar(&global.version, "version", false, "print the version")
	fs.BoolVar(&global.json, "json", false, "answer in JSON")
	if err := fs.Parse(args); errors.Is(err, pflag.ErrHelp) {
		return write(out, helpAll(table))
	} else if err != nil {
		return globalFlagError(err, fs, table)
	}
	rest := fs.Args()
	switch {
	case global.version:
		return printVersion(out, global.json)
	case len(rest) == 0:
		return write(out, helpAll(table))
	case rest[0] == "help" && len(rest) == 1:
		return write(out, helpAll(table))
	case rest[0] == "help":
		rest = []string{rest[1], "--help"}
	}
	c := find(table, rest[0])
	if c == nil {
		return unknownCommand(rest[0], table)
	}

	inv := &invocation{Env: env, Out: out, Notes: notes}
	if c.name != "completion" {
		var err error
		if inv.config, err = config.Load(env.ConfigDir, source.Services()); err != nil {
			return err
		}
	}
	fs, run := c.build(inv)
	if err := fs.Parse(rest[1:]); errors.Is(err, pflag.ErrHelp) {
		return write(out, helpOne(c, fs))
	} else if err != nil {
		return flagError(err, fs, "limeday "+c.name)
	}
	inv.JSON = inv.JSON || global.json
	inv.Args = fs.Args()
	if word, err := inv.unitsFlag.Value(); err != nil {
		return err
	} else if word != "" {
		inv.unitsGiven = true
		if inv.units, err = quantity.ParseUnits(word); err != nil {
			return err
		}
	}
	if n := len(inv.Args); n > c.maxArgs {
		return usage(inv.Args[c.maxArgs], c.argsExpected(), "%s does not take %q; %s", c.name, inv.Args[c.maxArgs], c.argsExpected())
	}
	return run(ctx, inv)
}

func write(w io.Writer, s string) error {
	_, err := io.WriteString(w, s)
	return err
}

func newFlags(name string) *pflag.FlagSet {
	fs := pflag.NewFlagSet(name, pflag.ContinueOnError)
	fs.SortFlags = false
	fs.SetOutput(io.Discard)
	fs.Usage = func() {}
	return fs
}

func find(table []*command, name string) *command {
	if i := slices.IndexFunc(table, func(c *command) bool { return c.name == name }); i >= 0 {
		return table[i]
	}
	return nil
}

// printVersion prints "limeday 0.1.0 (go1.26.0, linux/amd64)".
func printVersion(w io.Writer, asJSON bool) error {
	v := versionInfo()
	if asJSON {
		return writeJSON(w, v)
	}
	return write(w, fmt.Sprintf("limeday %s (%s, %s)\n", v.Version, v.Go, strings.TrimSpace(v.Platform)))
}
