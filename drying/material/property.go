package material

import "fmt"

// Evidence says how far a number can be trusted.
type Evidence string

// The kinds of evidence, best first.
const (
	Published Evidence = "published"       // read in the source named
	Computed  Evidence = "computed"        // worked out from the source named
	Memory    Evidence = "memory"          // recalled from the source named, not read again
	Practice  Evidence = "common practice" // what plasterers do; no source
	Estimate  Evidence = "estimate"        // judgement; no source
	User      Evidence = "user"            // given by the user
)

// Property is one number of a material with what is known about it.
type Property struct {
	Value     float64
	Low, High float64 // the range real materials fall in
	Unit      string
	Evidence  Evidence
	Source    string
}

// Check reports what is missing or inconsistent in p.
func (p Property) Check() error {
	switch {
	case p.Evidence == "" || p.Source == "":
		return fmt.Errorf("material: a number (%g %s) without evidence or source", p.Value, p.Unit)
	case !(p.Low <= p.Value && p.Value <= p.High):
		return fmt.Errorf("material: %g %s is outside its own range %g to %g", p.Value, p.Unit, p.Low, p.High)
	case p.Evidence == Estimate && p.Low == p.High:
		return fmt.Errorf("material: an estimate (%g %s) without a range", p.Value, p.Unit)
	}
	return nil
}

func prop(v, low, high float64, unit string, e Evidence, source string) Property {
	return Property{v, low, high, unit, e, source}
}
