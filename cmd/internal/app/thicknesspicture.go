package app

import (
	"io"
	"slices"

	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/view"
	"limeday/drying"
	"limeday/drying/message"
)

// writeThickness draws a coat: at several thicknesses side by side, at one the water at its face.
func writeThickness(w io.Writer, a thicknessAnswer, ask drying.LadderAsk, rungs []drying.Rung, u quantity.Units) error {
	if len(rungs) > 1 {
		return drawing.LadderSVG(w, ladderPicture(a, rungs, u))
	}
	c, err := drying.Follow(ask, rungs[0].Thickness)
	if err != nil {
		return err
	}
	c.Rung = rungs[0] // its times, with how sure they are
	return drawing.DryingSVG(w, dryingPicture(ask, c, true, u))
}

// ladderPicture is a coat at several thicknesses as it is drawn.
func ladderPicture(a thicknessAnswer, rungs []drying.Rung, u quantity.Units) drawing.Ladder {
	laid, air := thicknessHead(a, u)
	l := drawing.Ladder{Title: laid, Says: air}
	for _, g := range rungs {
		name := view.Printer{Units: u}.Quantity(message.Thick(g.Thickness))
		if slices.Contains(g.Warnings, drying.CodeTooThick) {
			name += ", too thick"
		}
		l.Rungs = append(l.Rungs, ladderRung(name, g))
	}
	return l
}

// ladderRung is one row of a ladder.
func ladderRung(name string, g drying.Rung) drawing.Rung {
	finely := g.Closes-g.Burnish < 600
	at := func(likely, soonest, slowest float64, begins bool) drawing.Moment {
		m := drawing.Moment{At: likely, Says: view.AfterLaying(likely, edgeOf(begins), finely)}
		if slowest > 0 {
			m.Earliest, m.Latest, m.Between = soonest, slowest, view.Narrow(soonest, slowest)
		}
		return m
	}
	return drawing.Rung{
		Name:  name,
		Opens: at(g.Opens, g.Soonest.Opens, g.Slowest.Opens, true), Burnish: at(g.Burnish, g.Soonest.Burnish, g.Slowest.Burnish, true),
		Closes: at(g.Closes, g.Soonest.Closes, g.Slowest.Closes, false), Next: at(g.Next, g.NextSoonest, g.NextSlowest, true),
	}
}
