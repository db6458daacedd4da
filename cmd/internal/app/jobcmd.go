package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/outfile"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/text"
	"limeday/cmd/internal/view"
	"limeday/drying"
	"limeday/drying/message"
)

type jobNewAnswer struct {
	Schema string `json:"schema"`
	File   string `json:"file"`
}

type jobCheckAnswer struct {
	Schema     string    `json:"schema"`
	File       string    `json:"file"`
	Job        string    `json:"job"`
	Background string    `json:"background"`
	Coats      []jobCoat `json:"coats"`
	Wet        string    `json:"wet,omitempty"`       // the bed when work begins
	BaseLaid   string    `json:"base_laid,omitempty"` // the day its base coat was laid
	Walls      []jobWall `json:"walls,omitempty"`     // of a job outdoors
	Behind     string    `json:"behind,omitempty"`    // of a wall indoors
	BehindTemp *float64  `json:"behind_temp_c,omitempty"`
	DaysFree   []string  `json:"days_free,omitempty"` // of the week
	Off        []string  `json:"off,omitempty"`       // dates
	Assumed    []string  `json:"assumed"`
}

type jobCoat struct {
	Finish      string  `json:"finish"`
	ThicknessMm float64 `json:"thickness_mm"`
	Spread      float64 `json:"spread_kg_per_m2"`
	WaitHours   float64 `json:"wait_h,omitempty"` // before the next coat
	CarefulWait float64 `json:"wait_careful_h,omitempty"`
	NoMist      bool    `json:"no_mist,omitempty"`
}

type jobWall struct {
	Name       string   `json:"name"`
	Bearing    float64  `json:"bearing"`
	Shelter    float64  `json:"shelter"`
	Cover      string   `json:"cover"`
	BehindTemp *float64 `json:"behind_temp_c"`
	Cavity     bool     `json:"cavity"`
}

var jobActions = []string{"new", "check"}

func jobCommand() *command {
	return &command{
		name:    "job",
		args:    "new|check FILE",
		maxArgs: 2,
		words:   jobActions,
		files:   true,
		summary: "write a job file to start from, or check one",
		examples: []example{
			{"limeday job new hall.toml", "a commented job; a file that exists is never overwritten"},
			{"limeday job check hall.toml", "every fault with its line, or what the job says"},
			{"limeday job new hall.toml --units us", "in US units"},
		},
		setup: func(*pflag.FlagSet) runner {
			return func(ctx context.Context, inv *invocation) error {
				if len(inv.Args) == 0 {
					return usage("job", "new FILE or check FILE", "job needs to be told what to do: job new FILE or job check FILE")
				}
				switch act := inv.Args[0]; act {
				case "new", "check":
					if len(inv.Args) < 2 || inv.Args[1] == "" {
						return usage("FILE", "a file", "job %s needs a file, such as job %s hall.toml", act, act)
					}
					if act == "new" {
						return newJob(ctx, inv, inv.Args[1])
					}
					return checkJob(inv, inv.Args[1])
				default:
					e := quantity.Unknown("action of job", act, jobActions)
					return usage(act, e.Expected, "%s", e.Reason)
				}
			}
		},
	}
}

func newJob(ctx context.Context, inv *invocation, path string) error {
	if path == "-" {
		return usage(path, "a file", "job new writes a file: give its name, such as hall.toml")
	}
	units := inv.Units()
	zone := inv.Now().Location().String()
	if zone == "Local" || zone == "" {
		zone = "Europe/Dublin"
		if units == quantity.US {
			zone = "America/New_York"
		}
	}
	name := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	data, err := job.New(name, zone, units)
	if err != nil {
		return err
	}
	if err := inv.Answer(jobNewAnswer{"limeday.job-new/1", path}, func() string {
		return fmt.Sprintf("Wrote %s. Change what differs, then:\n  limeday job check %s\n  limeday today %s --temp ... --rh ...\n", path, path, path)
	}); err != nil {
		return err
	}
	file, err := outfile.Stage(ctx, path, false, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
	if err == nil {
		err = file.Commit()
	}
	if err != nil {
		return notWritten(err)
	}
	return nil
}

// notWritten words why a file is not written.
func notWritten(err error) error {
	var o *outfile.Error
	if !errors.As(err, &o) {
		return err
	}
	e := &Error{Exit: ExitFailure, Message: o.Path + ": " + strings.ReplaceAll(o.Message, ", or --force to replace it", ""), Where: o.Path, Expected: "a file that can be written", Err: err}
	if o.Refused {
		e.Exit = ExitUsage
	}
	return e
}

// bed says how wet the background is, in a clause; empty where that is not said.
func (a *jobCheckAnswer) bed() string {
	switch {
	case a.BaseLaid != "":
		return ", laid " + a.BaseLaid
	case a.Wet != "":
		return ", " + a.Wet
	}
	return ""
}

// left says how a coat is left before the next, and how it is laid on what stood, in clauses.
func (c jobCoat) left() string {
	says := ""
	if c.WaitHours > 0 || c.CarefulWait > 0 {
		wait := func(h float64) string {
			if h >= 48 {
				return fmt.Sprintf("%.3g d", h/24)
			}
			return fmt.Sprintf("%.3g h", h)
		}
		if says = ", left " + wait(c.WaitHours); c.CarefulWait > c.WaitHours {
			says += " to " + wait(c.CarefulWait)
		}
	}
	if c.NoMist {
		says += ", not misted before"
	}
	return says
}

func checkJob(inv *invocation, path string) error {
	s, err := inv.siteOf(path, intake.Given{Untimed: true})
	if err != nil {
		return err
	}
	j, d, units := s.File, s.Job, inv.UnitsOf(s.File)
	a := jobCheckAnswer{Schema: "limeday.job-check/1", File: j.File, Job: j.Place.Name, Background: d.Background.Name, Assumed: assumedText(s.Assumed, units)}
	var walls []drying.Job
	if j.Room == nil {
		walls = s.Walls
	}
	for _, w := range walls {
		o := w.Outdoors
		a.Walls = append(a.Walls, jobWall{o.Name, o.Bearing, o.Shelter, string(o.Cover), o.Behind, o.Cavity})
	}
	for _, c := range d.Coats {
		k := jobCoat{Finish: c.Finish.Name, ThicknessMm: millimetres(c.Thickness), Spread: c.Finish.Spread(c.Thickness), NoMist: c.NoMist}
		if c.Wait != nil {
			k.WaitHours, k.CarefulWait = c.Wait.Least.Hours(), c.Wait.Careful.Hours()
		}
		a.Coats = append(a.Coats, k)
	}
	a.Wet, a.Behind, a.BehindTemp = string(d.Wet), string(d.Behind.Kind), d.Behind.Temp
	if !d.BaseLaid.IsZero() {
		a.BaseLaid = d.BaseLaid.Format(time.DateOnly)
	}
	for day, free := range d.Hours.Free {
		if free {
			a.DaysFree = append(a.DaysFree, time.Weekday(day).String()[:3])
		}
	}
	for _, off := range d.Hours.Off {
		a.Off = append(a.Off, off.Format(time.DateOnly))
	}
	return inv.Answer(a, func() string {
		var b strings.Builder
		p := keeping(units)
		b.WriteString(wrap("", fmt.Sprintf("%s: no fault found.", j.File)))
		b.WriteString(wrap(text.Label("Job"), orWord(j.Place.Name, "without a name")))
		b.WriteString(wrap(text.Label("On"), d.Background.About+a.bed()))
		if a.Behind != "" {
			behind := message.Words(a.Behind)
			if a.BehindTemp != nil {
				behind = message.Say("{} at {}", behind, message.Celsius(*a.BehindTemp))
			}
			b.WriteString(wrap(text.Label("Behind"), p.Text(behind)))
		}
		for i, c := range d.Coats {
			name := ""
			if i == 0 {
				name = "Coats"
			}
			b.WriteString(wrap(text.Label(name), p.Text(message.Say("{}, {}", view.CoatName(i+1, c.Finish.Name, c.Thickness), message.Quantity{Kind: message.Spread, Value: c.Finish.Spread(c.Thickness)}))+a.Coats[i].left()))
		}
		free := append(slices.Clone(a.DaysFree), a.Off...)
		if len(a.Off) > 7 {
			free = append(slices.Clone(a.DaysFree), fmt.Sprintf("%d days off", len(a.Off)))
		}
		if len(free) > 0 {
			b.WriteString(wrap(text.Label("No work"), strings.Join(free, ", ")))
		}
		for i, w := range walls {
			name := ""
			if i == 0 {
				name = "Walls"
			}
			b.WriteString(wrap(text.Label(name), fmt.Sprintf("%s; %.0f %% of the open wind at it", p.Text(view.Standing(*w.Outdoors)), 100*w.Outdoors.Shelter)))
		}
		if len(a.Assumed) > 0 {
			b.WriteString(wrap(text.Label("Assumed"), strings.Join(a.Assumed, "; ")))
		}
		return b.String()
	})
}
