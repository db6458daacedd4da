package app

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"time"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/intake"
	"limeday/drying"
)

// entriesOf are those of a diary; what cannot be read in it is told. A diary that does not exist yet has none.
func (inv *invocation) entriesOf(path string) ([]diary.Entry, error) {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	entries, faults, err := diary.Read(path)
	if err != nil {
		return nil, err
	}
	return entries, tellFaults(inv, faults)
}

// tellLate says what of a diary was left out.
func (inv *invocation) tellLate(path string, late []diary.Entry, zone *time.Location) error {
	for _, e := range late {
		if err := write(inv.Notes, fmt.Sprintf("%s: entry %d, of %s, is later than the moment of asking and left out.\n", path, e.N, e.At.In(zone).Format("15:04"))); err != nil {
			return err
		}
	}
	return nil
}

// fromDiary is what a diary says was seen of the job's coats on the day of at.
func (inv *invocation) fromDiary(path string, at time.Time, zone *time.Location) ([]drying.Seen, error) {
	entries, err := inv.entriesOf(path)
	if err != nil {
		return nil, err
	}
	seen, late := intake.SeenIn(entries, at, zone)
	return seen, inv.tellLate(path, late, zone)
}

// keep adds to a diary what was read for an answer and what was answered: where the weather came from, and the times of every coat still to come.
func (inv *invocation) keep(path string, a drying.Answer, read ...diary.Entry) error {
	b, err := diary.Open(path, inv.Now)
	if err != nil {
		return err
	}
	source := diary.Entry{Kind: diary.Weather, At: a.At, Data: map[string]any{"source": a.Known.Source}}
	if !a.Known.Last.IsZero() {
		source.Data["issued"] = a.Known.Last.Format(time.RFC3339)
	}
	all := append(read, source)
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
