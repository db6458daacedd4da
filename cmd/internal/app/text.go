package app

import (
	"limeday/cmd/internal/text"
	"limeday/cmd/internal/view"
)

// What the answers' texts are set with, by their short names.
const (
	width   = text.Width
	noBreak = text.NoBreak
)

func together(s string) string        { return text.Together(s) }
func wrap(lead, s string) string      { return text.Paragraph(lead, s) }
func plural(n int, one string) string { return view.Plural(n, one) }

// oneLine keeps what a user typed from breaking a message over lines or from reaching the terminal as control codes.
func oneLine(s string) string { return text.Clean(s) }
