package drying

import (
	"slices"

	"limeday/drying/material"
	"limeday/drying/message"
)

// Note is something to know of a coat: what it is, and what helps.
type Note struct {
	Code    Code
	Is, Aid message.Text
}

// Says is the whole of it.
func (n Note) Says() message.Text { return message.Join([]message.Text{n.Is, n.Aid}, " ") }

// CoatNotes are what the thicknesses and the air of a ladder of a finish bring with them, each once.
func CoatNotes(f material.Finish, rungs ...Rung) []Note {
	var out []Note
	for _, n := range []Note{
		{CodeTooThick, message.Say("Thicker than {}: {} this thick cracks, whatever the air.", message.Thick(f.Thickest.Value), f.Name), message.Words("Lay thinner coats.")},
		{CodeDriesFast, message.Words("It dries fast: fine cracks may follow."), message.Words("Still the air, shade it, small sections.")},
		{CodeSpots, message.Words("The spots have no window in common: the fast one is gone by before the slow one can be burnished."), message.Words("Close each in its own time.")},
	} {
		if slices.ContainsFunc(rungs, func(r Rung) bool { return slices.Contains(r.Warnings, n.Code) }) {
			out = append(out, n)
		}
	}
	return out
}

// DryCoats is so many of them, in words: "one dry coat", "two dry coats".
func DryCoats(n int) string {
	words := []string{"no", "one", "two", "three", "four", "five", "six"}
	switch {
	case n < 0 || n >= len(words):
		return "dry coats"
	case n == 1:
		return "one dry coat"
	}
	return words[n] + " dry coats"
}

// Over is what a coat of a number lies on, with the background in words.
func Over(number int, background string) string {
	if number <= 1 {
		return background
	}
	return DryCoats(number-1) + " on " + background
}
