package app

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"limeday/cmd/internal/view"
)

// contradictions are the sentences of one answer that do not go together, two by two.
func contradictions(d view.Day) (out []string) {
	p := view.Printer{Day: d.At}
	bad := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	lead := strings.ToLower(p.Text(d.Verdict.Sentence()) + " " + p.Text(d.Verdict.Start))
	severities := map[string]int{}
	code := map[string]string{}
	for _, r := range d.Reasons {
		severities[r.Severity]++
		if was, twice := code[r.Code]; twice && was != r.Severity && r.Code != "window-short" && r.Code != "not-today" { // of two coats
			bad("%s is a %s and a %s", r.Code, was, r.Severity)
		}
		code[r.Code] = r.Severity
	}
	// The verdict and its reasons.
	switch v := d.Verdict.Code; {
	case v == "go" && severities["care"]+severities["no-go"] > 0, v == "care" && (severities["care"] == 0 || severities["no-go"] > 0), v == "no-go" && severities["no-go"] == 0:
		bad("%s with the reasons %v", v, code)
	}
	if strings.Contains(lead, "better than the earliest") && slices.ContainsFunc(d.Changes, func(c view.Change) bool { return c.Code == "start" && !c.Helps }) {
		bad("the start is better than the earliest, and no change for the better")
	}
	window := time.Duration(0)
	for _, c := range d.Plan {
		for i, s := range c.Then {
			if s.Code == "gone" && i > 0 && c.Last {
				window = s.At.At.Sub(c.Then[i-1].At.At)
			}
		}
	}
	// The changes among themselves, and beside what they are compared with.
	for _, c := range d.Changes {
		says := p.Text(c.Effect)
		switch {
		case strings.Contains(says, "a reason") && !strings.Contains(says, ":"):
			bad("%s: %s: which reason is not said", c.Code, says)
		case c.Helps == (says == "no" || strings.HasPrefix(says, "no:")):
			bad("%s: it helps: %t, and %q", c.Code, c.Helps, says)
		case !c.Helps && c.Verdict != "" && rank(c.Verdict) > rank(d.Verdict.Code):
			bad("%s: %s would be %s, and it does not help", c.Code, d.Verdict.Code, c.Verdict)
		case !c.Helps && c.Verdict == d.Verdict.Code && window > 3*time.Minute && c.Window > 2*window && !strings.Contains(says, "brings") && c.Verdict != "no-go":
			bad("%s: it does not help, and makes the window %s of %s", c.Code, c.Window, window)
		case c.Helps && rank(c.Verdict) < rank(d.Verdict.Code):
			bad("%s: %s would be %s, and it helps", c.Code, d.Verdict.Code, c.Verdict)
		}
		if d.NoHelp != "" && c.Helps {
			bad("%q beside %s, which does", d.NoHelp, c.Code)
		}
	}
	// What is due, told twice.
	var first *view.Coat
	for i, c := range d.Plan {
		if !c.Done && first == nil {
			first = &d.Plan[i]
		}
		if len(c.Bed) > 0 && strings.Contains(p.Text(c.Note), "do not mist") {
			bad("coat %d: %s, and %s", c.Number, p.Text(c.Bed), p.Text(c.Note))
		}
		if n := len(c.Then); n > 0 && !c.Over && c.Then[0].Code == "next" && c.Then[0].At.At.Before(c.Custom) {
			bad("coat %d: next from %s, and left until %s", c.Number, c.Then[0].At.At, c.Custom)
		}
		if c.Over && slices.ContainsFunc(c.Then, func(s view.Step) bool { return s.At.At.After(d.At) && c.Last }) {
			bad("coat %d is over, and something of it is to come", c.Number)
		}
	}
	if first != nil && len(d.Verdict.Start) > 0 && !strings.Contains(p.Text(d.Verdict.Start), p.Clock(first.Lay)) {
		bad("%q, and the plan lays at %s", p.Text(d.Verdict.Start), p.Clock(first.Lay))
	}
	if strings.Contains(lead, "nothing more to lay") && first != nil && !d.AllTheSame {
		bad("nothing more to lay, and coat %d is", first.Number)
	}
	if len(d.Days) > 0 && !d.Days[0].Date.After(d.At.Add(-24*time.Hour)) {
		bad("a later day before now: %s", d.Days[0].Date)
	}
	// Protection: what must be up, and what is at hand.
	due := map[string]view.Due{}
	for _, c := range d.After {
		if c.Wall == "" {
			due[c.Code] = c
		}
	}
	_, sheeted := due["sheet-until"]
	if c, ok := due["cover-by"]; ok && c.Idle && sheeted {
		bad("%q beside %q", c.Do, due["sheet-until"].Do)
	}
	if u, ok := due["uncover-from"]; ok && u.From.Before(due["sheet-until"].From) {
		bad("uncover from %s, and sheet until %s", u.From, due["sheet-until"].From)
	}
	for _, r := range d.State {
		all := ""
		for _, t := range r.Says {
			all += p.Text(t) + " "
		}
		if r.Label == "Nights" && strings.HasPrefix(all, "no frost;") && (code["frost"] == "no-go" || code["freezes"] != "") {
			bad("%q beside a reason of frost", all)
		}
		if r.Label == "Holds" && d.Verdict.Code == "no-go" {
			bad("a no-go holds")
		}
	}
	outdoors := slices.ContainsFunc(d.State, func(r view.Row) bool { return r.Label == "Nights" })
	for _, r := range d.Reasons {
		if says := p.Text(r.Says); r.Code == "mishap" && strings.Contains(says, "matt") && strings.Contains(lead, "close coat") && !strings.Contains(lead, "close coat "+fmt.Sprint(len(d.Plan))) {
			bad("%q beside %q", says, lead)
		}
		if outdoors && strings.Contains(p.Text(r.Says), "room") {
			bad("outdoors: %q", p.Text(r.Says))
		}
	}
	return out
}

func rank(verdict string) int { return slices.Index([]string{"no-go", "care", "go"}, verdict) }

// TestNoContradictions: no two sentences of one answer contradict one another, in the golden answers, in those of several days, and in a grid
// of walls, airs and hours.
func TestNoContradictions(t *testing.T) {
	days := allDays(t)
	pale, dark := strings.Replace(hallJob, "0.08mm\"", "0.08mm\"\ntint = \"chalk\"", 1), strings.Replace(hallJob, "0.08mm\"", "0.08mm\"\ntint = \"slate\"", 1)
	for i, air := range []string{"9C 60", "12C 85", "14C 65", "20C 45", "20C 85", "24C 38", "30C 40"} {
		temp, rh, _ := strings.Cut(air, " ")
		for k, job := range []string{hallJob, pale, dark, bathJob, renderJob} {
			if (i+2*k)%11 != 0 && thinned > 1 {
				continue
			}
			for _, more := range []string{"06:30", "13:00", "17:20", "13:00 coat1=laid@09:00", "13:00 coat1=laid@2026-04-13T09:00,coat2=laid@08:30"} {
				at, since, laid := strings.Cut(more, " ")
				args := []string{"-", "--temp", temp, "--rh", rh, "--at", "2026-04-14T" + at}
				if laid {
					args = append(args, "--since", since)
				}
				name := fmt.Sprintf("job %d in %s, %s", k, air, more)
				d, err := askedOf(t.Context(), job, 3, args...)
				if err != nil {
					t.Errorf("%s: %v", name, err)
					continue
				}
				days[name] = d
			}
		}
	}
	for _, at := range []string{"2026-04-14T18:30", "2026-04-15T06:30", "2026-04-18T06:30"} {
		days["gable "+at] = viewOf(t, "", 3, "--example", "gable", "--at", at)
	}
	mix := map[string]int{}
	for name, d := range days {
		mix[d.Verdict.Code]++
		for _, c := range contradictions(d) {
			t.Errorf("%s: %s", name, c)
		}
	}
	t.Logf("%d answers: %v", len(days), mix)
}
