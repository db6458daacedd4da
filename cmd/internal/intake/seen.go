package intake

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"limeday/cmd/internal/quantity"
	timingfile "limeday/cmd/internal/timing"
	"limeday/drying"
	"limeday/drying/message"
)

const sinceWanted = "coat1=laid@09:10,damp@09:42,coat2=laid@11:40,notyet-damp@11:45, with laid, damp, gone and dry, or what went wrong: missed, torn, joint, rained, froze"

// Since reads what was seen of the coats; a time of day without a date is of the day of at, by the clock of zone.
func Since(text string, at time.Time, zone *time.Location) ([]drying.Seen, error) {
	var out []drying.Seen
	coat := 0
	for _, word := range strings.Split(text, ",") {
		word = strings.TrimSpace(word)
		bad := func(format string, a ...any) ([]drying.Seen, error) {
			return nil, question("--since", sinceWanted, "--since: %s; give %s", fmt.Sprintf(format, a...), sinceWanted)
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
		if !slices.Contains(known(), drying.SeenState(state)) {
			var names []string
			for _, s := range known() {
				names = append(names, string(s))
			}
			e := quantity.Unknown("thing to see", state, names)
			return nil, question("--since", e.Expected, "--since: %s", e.Reason)
		}
		if !strings.ContainsAny(when, "Tt ") {
			when = at.In(zone).Format(time.DateOnly) + "T" + when
		}
		t, err := Moment("--since", when, zone)
		if err != nil {
			return nil, err
		}
		out = append(out, drying.Seen{Coat: coat, What: drying.SeenState(state), At: t, Not: not})
	}
	return out, nil
}

// known are the things that can be told of a coat.
func known() []drying.SeenState { return append(drying.SeenStates(), drying.Mishaps()...) }

// Timing loads a timing's file for coats of the finishes named. Unused is a clause that says why it does not count, where it is of
// another finish; empty paths have none.
func Timing(path string, coats []drying.Coat) (t *drying.Timing, unused message.Text, err error) {
	if path == "" {
		return nil, nil, nil
	}
	x, err := timingfile.Load(path)
	if err != nil {
		return nil, nil, err
	}
	if !slices.ContainsFunc(coats, func(c drying.Coat) bool { return c.Finish.Name == x.Finish }) {
		return nil, message.Say("nothing of the timing in {}, which is of {}", path, x.Finish), nil
	}
	return &x, nil, nil
}
