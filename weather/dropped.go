package weather

import "fmt"

// Dropped counts the values that a reader leaves out, for the notes of a series.
// Its zero value is ready to use.
type Dropped struct {
	reasons []string
	n       map[string]int
	first   map[string]string
}

// Add counts one value; what is the reason in words that are the same for all
// values of its kind, such as "wind out of range", and first where and what it
// was.
func (d *Dropped) Add(what, first string) {
	if d.n == nil {
		d.n, d.first = map[string]int{}, map[string]string{}
	}
	if d.n[what] == 0 {
		d.reasons = append(d.reasons, what)
		d.first[what] = first
	}
	d.n[what]++
}

// Notes are a sentence for each reason, in order of appearance.
func (d *Dropped) Notes() []string {
	var out []string
	for _, r := range d.reasons {
		switch n := d.n[r]; n {
		case 1:
			out = append(out, fmt.Sprintf("1 value left out: %s (%s)", r, d.first[r]))
		default:
			out = append(out, fmt.Sprintf("%d values left out: %s (first %s)", n, r, d.first[r]))
		}
	}
	return out
}
