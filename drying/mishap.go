package drying

import (
	"fmt"
	"slices"
	"time"

	"limeday/drying/message"
)

// What can go wrong with a coat; it is told like what a coat comes to, but teaches nothing of its times.
const (
	SeenMissed SeenState = "missed" // the last coat had gone by before it was closed
	SeenTorn   SeenState = "torn"   // it tore or lifted under the blade
	SeenJoint  SeenState = "joint"  // its edge had gone by before the next section met it
	SeenRained SeenState = "rained" // it was rained on
	SeenFroze  SeenState = "froze"  // a frost took it
)

// Mishaps lists them.
func Mishaps() []SeenState {
	return []SeenState{SeenMissed, SeenTorn, SeenJoint, SeenRained, SeenFroze}
}

// mishap reports whether something seen is one.
func (s Seen) mishap() bool { return slices.Contains(Mishaps(), s.What) }

// wants says what is wrong with a mishap of a job; empty where nothing is.
func (s Seen) wants(job Job) string {
	switch last := s.Coat == len(job.Coats); {
	case s.Not:
		return "it is told once it has happened"
	case s.What == SeenMissed && !last && !job.Coats[s.Coat].Mend:
		return "only the last coat is closed in; the others are let go by"
	case s.What == SeenRained && job.Outdoors == nil:
		return "the wall is indoors"
	}
	return ""
}

// mostMends is how many further coats at most follow one another (judgement, no source: after that the finish is too thick).
const mostMends = 3

// mended is the job with a further coat for a last one of polish that was missed or torn.
func (j Job) mended(seen []Seen) Job {
	for range mostMends {
		n := len(j.Coats)
		if n == 0 || !j.Coats[n-1].Finish.Polish || !slices.ContainsFunc(seen, func(s Seen) bool {
			return s.Coat == n && (s.What == SeenMissed || s.What == SeenTorn)
		}) {
			break
		}
		further := j.Coats[n-1]
		further.Mend, further.Mist = true, true
		j.Coats = append(j.Coats[:n:n], further)
	}
	return j
}

// Mend is what can be done about what went wrong with a coat.
type Mend struct {
	Seen Seen
	Do   []message.Text // in the order it is done
}

// mend says what can be done about the last thing that went wrong with the coat at the face, and has the verdict ask for care.
func (a *Answer) mend() {
	var last *Seen
	face := 0
	for i, s := range a.Seen {
		if s.What == SeenLaid {
			face = max(face, s.Coat)
		}
		if s.mishap() {
			last = &a.Seen[i]
		}
	}
	if last == nil || last.Coat != face {
		return
	}
	a.Mend = &Mend{Seen: *last}
	do := func(format string, args ...any) { a.Mend.Do = append(a.Mend.Do, message.Say(format, args...)) }
	c, n := a.Coats[last.Coat-1], message.Number(last.Coat)
	next := a.follows(last.Coat)
	after := func(words string) {
		if !next.IsZero() {
			do(words+" from {}.", message.At(next))
		}
	}
	what := ""
	switch last.What {
	case SeenMissed:
		what = "Coat {} had gone by before it was closed."
		if c.Coat.Finish.Polish {
			do("Leave it matt: it is sound.")
		} else {
			do("Leave it rough: floated now, it dusts.")
		}
		a.further(last.Coat)
	case SeenTorn:
		what = "Coat {} tore under the blade: it was too wet."
		if last.Coat == len(a.Job.Coats) || a.Job.Coats[last.Coat].Mend {
			if c.Closes.After(a.At) {
				do("Leave it five minutes, and press again once a light finger lifts no lime, up to {}.", c.When(EventCloses))
			}
			do("What is torn and has gone by stays matt.")
			a.further(last.Coat)
		} else {
			after("Knock ridges off with the blade once it is pale; the next coat fills it,")
		}
	case SeenJoint:
		what = "The edge of coat {} has gone by at the joint."
		do("Lay nothing fresh over it while it dries: it would lift.")
		do("Cut it straight: it is a day joint now.")
		after("Lay up to it, its edge misted,")
		do("Set the joint of the next coat a hand's width off.")
	case SeenRained:
		what = "Coat {} was rained on."
		do("Sheet it. Scrape off what is washed out while it is soft.")
		after("Touch nothing else until it is evenly pale; then lay on it")
	case SeenFroze:
		what = "A frost took coat {}."
		do("Keep it covered until it is thawed and dry.")
		do("Then scratch and tap it: what powders, flakes or sounds hollow comes off down to sound lime.")
		after("Lay nothing on it before that, nor with frost to come: the next coat")
	}
	says := append([]message.Text{message.Say(what, n)}, a.Mend.Do...)
	a.add(Reason{Code: CodeMishap, Severity: Warns, Says: message.Join(says, " ")})
	a.sortReasons()
}

// follows is when the next coat can follow on a coat that is laid: as planned, or else as soon as it is ready; zero for never.
func (a *Answer) follows(coat int) time.Time {
	switch {
	case coat < len(a.Coats):
		return a.Coats[coat].Lay
	case coat == len(a.runs):
		return a.next()
	}
	return time.Time{}
}

// further tells of the coat that mends the one before it.
func (a *Answer) further(coat int) {
	do := func(t message.Text) { a.Mend.Do = append(a.Mend.Do, t) }
	if coat == len(a.Job.Coats) {
		if !a.Job.Coats[coat-1].Finish.Polish {
			do(message.Words("A further coat is laid as on any old face, keyed and damped."))
		} else {
			do(message.Words("Another coat on top would be one too many: ask the maker."))
		}
	} else {
		bed := ", on a misted bed"
		if !a.Job.Mistable(coat) || a.Job.Coats[coat].NoMist {
			bed = ""
		}
		do(message.Words(fmt.Sprintf("Or lay one more coat, %d%s, as planned here.", coat+1, bed)))
	}
	do(message.Words("Do not sand: its dust harms, and the scratches stay."))
}
