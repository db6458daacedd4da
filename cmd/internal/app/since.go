package app

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
	timingfile "limeday/cmd/internal/timing"
	"limeday/drying"
)

const sinceWanted = "coat1=laid@09:10,damp@09:42,coat2=laid@11:40,notyet-damp@11:45, with laid, damp, gone and dry"

// parseSince reads what was seen of the day's coats; a time of day is of the day of at, by the clock of zone.
func parseSince(text string, at time.Time, zone *time.Location) ([]drying.Seen, error) {
	var out []drying.Seen
	coat := 0
	for _, word := range strings.Split(text, ",") {
		word = strings.TrimSpace(word)
		bad := func(format string, a ...any) ([]drying.Seen, error) {
			return nil, usage("--since", sinceWanted, "--since: %s; give %s", fmt.Sprintf(format, a...), sinceWanted)
		}
		if name, rest, ok := strings.Cut(word, "="); ok {
			n, err := strconv.Atoi(strings.TrimPrefix(name, "coat"))
			if err != nil || !strings.HasPrefix(name, "coat") || n < 1 {
				return bad("%q is no coat", name)
			}
			coat, word = n, rest
		}
		what, when, ok := strings.Cut(word, "@")
		switch {
		case !ok:
			return bad("%q does not say what came @ when", word)
		case coat == 0:
			return bad("%q does not say of which coat", word)
		}
		state, not := strings.CutPrefix(what, "notyet-")
		if !slices.Contains(drying.SeenStates(), drying.SeenState(state)) {
			var known []string
			for _, s := range drying.SeenStates() {
				known = append(known, string(s))
			}
			e := quantity.Unknown("thing to see", state, known)
			return nil, usage("--since", e.Expected, "--since: %s", e.Reason)
		}
		if !strings.ContainsAny(when, "Tt ") {
			when = at.In(zone).Format(time.DateOnly) + "T" + when
		}
		t, err := momentOf("--since", when, zone)
		if err != nil {
			return nil, err
		}
		out = append(out, drying.Seen{Coat: coat, What: drying.SeenState(state), At: t, Not: not})
	}
	return out, nil
}

// fromDiary is what a diary says was seen of the job's coats on the day of at: events without a board are of the wall. A
// diary that does not exist yet says nothing.
func (inv *invocation) fromDiary(path string, at time.Time, zone *time.Location) ([]drying.Seen, error) {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	entries, faults, err := diary.Read(path)
	if err != nil {
		return nil, err
	}
	if err := tellFaults(inv, faults); err != nil {
		return nil, err
	}
	var out []drying.Seen
	for _, e := range diary.Amended(entries) {
		what := drying.SeenState(e.Text("what"))
		if _, ofBoard := e.Number("board"); e.Kind != diary.Event || ofBoard || !slices.Contains(drying.SeenStates(), what) {
			continue
		}
		if e.At.In(zone).Format(time.DateOnly) != at.In(zone).Format(time.DateOnly) {
			continue
		}
		if e.At.After(at) {
			if err := write(inv.Notes, fmt.Sprintf("%s: entry %d, of %s, is later than the moment of asking and left out.\n", path, e.N, e.At.In(zone).Format("15:04"))); err != nil {
				return nil, err
			}
			continue
		}
		coat, _ := e.Number("coat")
		out = append(out, drying.Seen{Coat: int(coat), What: what, At: e.At, Not: e.Flag("looked")})
	}
	return out, nil
}

// keep adds to a diary what was answered: where the weather came from, and the times of every coat still to come.
func (inv *invocation) keep(path string, a drying.Answer) error {
	b, err := diary.Open(path, inv.Now)
	if err != nil {
		return err
	}
	source := diary.Entry{Kind: diary.Weather, At: a.At, Data: map[string]any{"source": a.Known.Source}}
	if !a.Known.Last.IsZero() {
		source.Data["issued"] = a.Known.Last.Format(time.RFC3339)
	}
	all := []diary.Entry{source}
	for _, c := range a.Coats {
		if slices.ContainsFunc(a.Seen, func(s drying.Seen) bool { return s.Coat == c.Number && s.What == drying.SeenDry && !s.Not }) {
			continue
		}
		e := diary.Entry{Kind: diary.Prediction, At: a.At, Data: map[string]any{"finish": c.Coat.Finish.Name, "coat": float64(c.Number)}}
		for name, t := range map[string]time.Time{"lay": c.Lay, "edge": c.Edge, "opens": c.Opens, "burnish": c.Burnish, "closes": c.Closes, "recoat": c.Recoat,
			"edge_earliest": c.Earliest.Edge, "opens_earliest": c.Earliest.Opens, "burnish_earliest": c.Earliest.Burnish, "closes_earliest": c.Earliest.Closes, "recoat_earliest": c.Earliest.Recoat,
			"edge_latest": c.Latest.Edge, "opens_latest": c.Latest.Opens, "burnish_latest": c.Latest.Burnish, "closes_latest": c.Latest.Closes, "recoat_latest": c.Latest.Recoat} {
			if !t.IsZero() {
				e.Data[name] = t.Format(time.RFC3339)
			}
		}
		all = append(all, e)
	}
	for _, e := range all {
		if _, err := b.Append(e); err != nil {
			return err
		}
	}
	return nil
}

// timingFor loads the timing of a flag, or else of a job, for coats of the finishes named; it tells what is assumed of it.
func timingFor(flag string, j *job.Job, coats []drying.Coat) (*drying.Timing, string, error) {
	path := flag
	if path == "" && j != nil {
		path = j.TimingFile
	}
	if path == "" {
		return nil, "", nil
	}
	t, err := timingfile.Load(path)
	if err != nil {
		return nil, "", err
	}
	if !slices.ContainsFunc(coats, func(c drying.Coat) bool { return c.Finish.Name == t.Finish }) {
		return nil, "nothing of the timing in " + path + ", which is of " + t.Finish, nil
	}
	return &t, "", nil
}
