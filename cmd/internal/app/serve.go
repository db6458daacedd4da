package app

import (
	"context"
	"errors"
	"fmt"
	"log"
	"net"
	"net/http"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"
	"golang.org/x/net/netutil"

	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/page"
	"limeday/drying/parallel"
	"limeday/weather/source"
)

// usualAddress is where the page is: on this computer only.
const usualAddress = "127.0.0.1:8340"

func serveCommand() *command {
	return &command{
		name:    "serve",
		args:    "[JOB...]",
		maxArgs: 12,
		files:   true,
		summary: "the same answers as a page, for a phone on site",
		examples: []example{
			{"limeday serve", "the built-in examples, on this computer"},
			{"limeday serve hall.toml gable.toml", "your jobs; presses go to hall.diary and gable.diary"},
			{"limeday serve hall.toml --listen 0.0.0.0:8340", "for phones on this network, each let in by a link"},
			{"limeday serve gable.toml --weather ten.csv", "with the years that its season is worked out from"},
		},
		notes: `
The page runs until Ctrl-C. What is pressed on it is added to the diary of the
job, which lies beside the job file. It answers on this computer only, unless
--listen names another address: it then prints a link that lets one phone in,
and the next once that is used. Between phone and program nothing is encrypted:
use a network that you trust.

A reading typed in is the air of its room, as it is for today; with --source it
shifts that forecast. A wall outdoors needs the forecast, and there it does so.`,
		setup: func(fs *pflag.FlagSet) runner {
			f := serveFlags{
				listen:  addText(fs, "listen", usualAddress, "the address and port to answer at"),
				diary:   addText(fs, "diary", "FILE", "the diary of the one job, in place of that beside it"),
				weather: addList(fs, "weather", "FILE", "hourly weather of years, for the season; may be given again"),
				source:  addWord(fs, "source", "NAME", "weather service", append(source.Names(), intake.Any), "the weather service asked; else their usual order"),
				offline: fs.Bool("offline", false, "no network: forecasts kept from before, with their age"),
				record:  addText(fs, "record", "FILE", "a diary that the answers of practice are kept in"),
				seed:    addSeed(fs),
			}
			return f.serve
		},
	}
}

type serveFlags struct {
	listen, diary, record *textFlag
	weather               *listFlag
	source                *wordFlag
	offline               *bool
	seed                  *uint
}

func (f serveFlags) serve(ctx context.Context, inv *invocation) error {
	d, err := f.desk(ctx, inv)
	if err != nil {
		return err
	}
	address, err := f.listen.Value()
	if err != nil {
		return err
	}
	address = orWord(address, usualAddress)
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return usage("--listen", "an address and a port, such as "+usualAddress, "--listen: %q is not an address with a port; give one such as %s", address, usualAddress)
	}
	var lc net.ListenConfig
	l, err := lc.Listen(ctx, "tcp", address)
	if err != nil {
		return &Error{Exit: ExitFailure, Where: "--listen", Expected: "a free port, such as 127.0.0.1:0 for any", Err: err,
			Message: "the page cannot answer at " + oneLine(address) + ", which may be in use; give --listen another port, or 127.0.0.1:0 for any that is free"}
	}
	l = netutil.LimitListener(l, mostConnections)
	port := l.Addr().(*net.TCPAddr).Port
	names, near := namesOf(host, l.Addr().(*net.TCPAddr).IP)
	guard := &page.Guard{}
	for _, n := range names {
		guard.Hosts = append(guard.Hosts, net.JoinHostPort(n, fmt.Sprint(port)))
	}
	if port == 80 { // browsers leave it out
		guard.Hosts = append(guard.Hosts, names...)
	}
	tell := func(s string) { _ = write(inv.Notes, s) }
	if near {
		tell("The page is at http://" + guard.Hosts[0] + "/ on this computer. Ctrl-C ends it.\n")
	} else {
		tell("The page can be reached on this network, not encrypted. Ctrl-C ends it.\n")
		guard.Invite = func(path string) {
			tell("Lets one phone in, once: http://" + guard.Hosts[0] + path + "\n")
		}
	}
	guard.Open()
	for _, j := range d.jobs {
		if j.diary != "" {
			tell("Presses of " + oneLine(j.name) + " go to " + oneLine(j.diary) + ".\n")
		}
	}
	go d.caught(d.warm)()
	srv := &http.Server{
		Handler:           guard.Wrap(page.Safe(page.New(d, inv.Units()), func(f func()) bool { return d.catch(f) == nil })),
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       20 * time.Second,
		WriteTimeout:      2 * time.Minute,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    16 << 10,
		BaseContext:       func(net.Listener) context.Context { return ctx },
		ErrorLog:          log.New(inv.Notes, "page: ", 0),
	}
	ended := make(chan error, 1)
	go func() { ended <- srv.Serve(l) }()
	select {
	case err = <-ended:
	case <-ctx.Done():
		_ = srv.Close() // a press that was acknowledged is on the disk
		err = ctx.Err()
	}
	d.wait()
	if errors.Is(err, http.ErrServerClosed) {
		err = nil
	}
	return err
}

// catch calls f and tells on the terminal what it panicked with: the page goes on.
func (d *desk) catch(f func()) error {
	p := parallel.Catch(f)
	if p == nil {
		return nil
	}
	e, _ := told(p)
	_ = write(d.inv.Notes, "page: "+oneLine(e.Message)+".\n")
	return e
}

// caught is f for a goroutine of its own.
func (d *desk) caught(f func()) func() { return func() { _ = d.catch(f) } }

// mostConnections are open at a time; more wait.
const mostConnections = 256

// namesOf are the names that a server at an address is known by, the one to print first, and whether it is for this computer
// only.
func namesOf(host string, bound net.IP) (names []string, near bool) {
	if bound.IsLoopback() {
		return append([]string{bound.String()}, "localhost", "127.0.0.1", "::1"), true
	}
	if !bound.IsUnspecified() {
		names = []string{bound.String()}
	} else if all, err := net.InterfaceAddrs(); err == nil {
		for _, a := range all {
			if n, ok := a.(*net.IPNet); ok && !n.IP.IsLoopback() && !n.IP.IsLinkLocalUnicast() {
				names = append(names, n.IP.String())
			}
		}
	}
	if host != "" && net.ParseIP(host) == nil {
		names = append([]string{strings.ToLower(host)}, names...)
	}
	return append(names, "localhost", "127.0.0.1", "::1"), false
}

// desk makes the jobs of the command line ready.
func (f serveFlags) desk(ctx context.Context, inv *invocation) (*desk, error) {
	quiet := *inv
	quiet.Patience = 0 // who waits for an answer is at the page, not at the terminal
	d := &desk{ctx: ctx, inv: &quiet, weather: f.weather.texts, offline: *f.offline, seed: *f.seed, drawings: make(chan struct{}, benchRuns), bands: make(chan struct{}, 1)}
	var err error
	if d.source, err = f.source.Value(); err != nil {
		return nil, err
	}
	if d.record, err = f.record.Value(); err != nil {
		return nil, err
	}
	diary, err := f.diary.Value()
	switch {
	case err != nil:
		return nil, err
	case diary != "" && len(inv.Args) != 1:
		return nil, usage("--diary", "one job", "--diary is the diary of one job; give one job, or leave --diary out: each job's lies beside it")
	}
	if len(inv.Args) == 0 {
		d.jobs = []*deskJob{{path: job.ExampleName, example: intake.Hall}, {path: job.ExampleName, example: intake.Gable}, {path: job.ExampleName, example: intake.Stair}}
	}
	for i, path := range inv.Args {
		if slices.Contains(inv.Args[:i], path) {
			return nil, usage("JOB", "each job once", "%s is given twice", oneLine(path))
		}
		if path == "" || path == "-" {
			return nil, usage("JOB", "job files", "serve reads its jobs again and again, so it needs files, not standard input")
		}
		j := &deskJob{path: path, diary: diary}
		if diary == "" {
			j.diary = strings.TrimSuffix(path, filepath.Ext(path)) + ".diary"
		}
		d.jobs = append(d.jobs, j)
	}
	taken := map[string]bool{}
	for _, j := range d.jobs {
		file, err := d.load(j)
		if err != nil {
			return nil, err
		}
		if j.name = orWord(file.Place.Name, filepath.Base(j.path)); taken[j.name] {
			j.name += " (" + j.path + ")"
		}
		taken[j.name] = true
	}
	return d, nil
}
