package app

import (
	"fmt"

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
