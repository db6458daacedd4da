package app

import (
	"fmt"
	"strconv"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/quantity"
)

// once is a flag value held as text until --units is known. Given twice it is
// refused: nobody means two temperatures.
type once struct {
	text string
	set  bool
	hint string
}

func (o *once) String() string { return o.text }
func (o *once) Type() string   { return o.hint }
func (o *once) Set(s string) error {
	if o.set {
		return fmt.Errorf("it is given twice, as %s and %s; give it once", o.text, s)
	}
	o.text, o.set = s, true
	return nil
}

// quantityFlag is a flag that takes a number with its unit.
type quantityFlag struct {
	once
	name  string
	kind  *quantity.Kind
	valid quantity.Range
}

// addQuantity declares a quantity flag; hint is the value in its help.
func addQuantity(fs *pflag.FlagSet, name, hint string, kind *quantity.Kind, valid quantity.Range, usage string) *quantityFlag {
	q := &quantityFlag{once: once{hint: hint}, name: name, kind: kind, valid: valid}
	fs.Var(&q.once, name, usage)
	return q
}

// Value is the flag's value in the kind's base unit, or nil when not given.
func (q *quantityFlag) Value(u quantity.Units) (*float64, error) {
	if !q.set {
		return nil, nil
	}
	v, err := quantity.Parse(q.kind, q.text, u, q.valid)
	if err != nil {
		return nil, badFlag("--"+q.name, err)
	}
	return &v, nil
}

// List is the flag's comma-separated values in the kind's base unit, or nil.
func (q *quantityFlag) List(u quantity.Units) ([]float64, error) {
	if !q.set {
		return nil, nil
	}
	v, err := quantity.ParseList(q.kind, q.text, u, q.valid)
	if err != nil {
		return nil, badFlag("--"+q.name, err)
	}
	return v, nil
}

// textFlag is a flag that takes any text but none.
type textFlag struct {
	once
	name string
}

// addText declares a text flag; hint is the value in its help.
func addText(fs *pflag.FlagSet, name, hint, usage string) *textFlag {
	t := &textFlag{once: once{hint: hint}, name: name}
	fs.Var(&t.once, name, usage)
	return t
}

// Value is the text, or empty when not given.
func (t *textFlag) Value() (string, error) {
	if t == nil { // a flag that the command does not have
		return "", nil
	}
	if t.set && t.text == "" {
		return "", usage("--"+t.name, t.hint, "--%s is empty; give it a value, such as %s, or leave it out", t.name, t.hint)
	}
	return t.text, nil
}

// countFlag is a flag that takes a whole number.
type countFlag struct {
	once
	name        string
	what        string
	first, last int
}

// addCount declares a flag for a whole number from first to last; what says of what, for a refusal.
func addCount(fs *pflag.FlagSet, name, hint, what string, first, last int, usage string) *countFlag {
	c := &countFlag{once: once{hint: hint}, name: name, what: what, first: first, last: last}
	fs.Var(&c.once, name, usage)
	return c
}

// Value is the number, or other when not given.
func (c *countFlag) Value(other int) (int, error) {
	if !c.set {
		return other, nil
	}
	n, err := strconv.Atoi(c.text)
	if err != nil || n < c.first || n > c.last {
		return 0, usage("--"+c.name, fmt.Sprintf("%d to %d", c.first, c.last), "--%s: %q cannot be the number of %s; give a whole number from %d to %d",
			c.name, c.text, c.what, c.first, c.last)
	}
	return n, nil
}

// wordFlag is a flag that takes one of a few words.
type wordFlag struct {
	once
	name  string
	what  string
	words []string
}

// addWord declares a flag that takes one of words; hint is the value in its
// help, and what names it in a refusal, e.g. "finish".
func addWord(fs *pflag.FlagSet, name, hint, what string, words []string, usage string) *wordFlag {
	w := &wordFlag{once: once{hint: hint}, name: name, what: what, words: words}
	fs.Var(&w.once, name, usage)
	offer(fs, name, words...)
	return w
}

// Value is the word, or empty when not given.
func (w *wordFlag) Value() (string, error) {
	if !w.set {
		return "", nil
	}
	for _, known := range w.words {
		if w.text == known {
			return known, nil
		}
	}
	return "", badFlag("--"+w.name, quantity.Unknown(w.what, w.text, w.words))
}
