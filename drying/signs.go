package drying

import "time"

// Event names a time of a coat.
type Event string

// The events, in the order they come.
const (
	EventEdge    Event = "edge good until"
	EventOpens   Event = "opens"
	EventBurnish Event = "burnish from"
	EventCloses  Event = "gone by"
	EventNext    Event = "next coat from"
)

// Sign is what is seen, heard or felt at an event: it rules over the clock (common practice, no source).
func (e Event) Sign() string {
	switch e {
	case EventEdge:
		return "a fresh stroke still melts into the one beside it, no ridge"
	case EventOpens:
		return "wet shine gone, cool and damp; a light finger lifts no lime"
	case EventBurnish:
		return "firm, darker than dry; the blade glides and begins to ring"
	case EventCloses:
		return "pale spots spread; the blade drags, scratches or greys it"
	case EventNext:
		return "the whole face is evenly pale, no dark patch, no cold spot"
	}
	panic("drying: no such event")
}

// Trouble is something that goes wrong under the blade, and what to do (common practice, no source).
type Trouble struct{ Seen, Do string }

// Troubles lists what to watch for while closing the last coat.
func Troubles() []Trouble {
	return []Trouble{
		{"tears, lifts, bubbles", "too wet, leave it five minutes"},
		{"drags, dark marks, dust", "too dry, stop; no sanding, its dust harms"},
		{"dull patches", "these drank more and were gone by; next time sooner there"},
	}
}

// Cautions are the dangers of the work, always shown.
func Cautions() []string {
	return []string{
		"Wet lime burns eyes and skin: goggles, gloves; rinse at once, for eyes see a doctor.",
		"Keep wet work from live electrics.",
		"Data sheet, local codes and licensed practice come first.",
	}
}

// Unknowns are what no answer here knows.
func Unknowns() string {
	return "salts, rising damp, additives, filler patches, the suction of your own wall"
}

// CallBefore is how long before a coat is to be worked its hands are called: time to put down what is in hand (judgement, no source).
const CallBefore = 10 * time.Minute
