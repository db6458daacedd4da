package app

import (
	"fmt"
	"strings"

	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/quantity"
	"limeday/drying"
)

// ladderPicture is a coat at several thicknesses as it is drawn.
func ladderPicture(a thicknessAnswer, ask drying.LadderAsk, rungs []drying.Rung, u quantity.Units) drawing.Ladder {
	head, says, _ := strings.Cut(thicknessHead(a, ask, u), "\n")
	l := drawing.Ladder{Title: apart(head), Says: strings.TrimSpace(apart(strings.ReplaceAll(says, "\n", " ")))}
	digits := 3
	if u == quantity.US {
		digits = 1
	}
	for _, g := range rungs {
		l.Rungs = append(l.Rungs, ladderRung(trimmed(quantity.Format(quantity.Thickness, g.Thickness, u, digits))+" "+quantity.Thickness.Unit(u), g))
	}
	return l
}

// ladderRung is one coat's row.
func ladderRung(name string, g drying.Rung) drawing.Rung {
	finely := g.Closes-g.Burnish < 600
	return drawing.Rung{
		Name:  name,
		Says:  fmt.Sprintf("opens %s, gone by %s, next %s", after(g.Opens, true, finely), after(g.Closes, false, finely), after(g.Next, true, finely)),
		Opens: g.Opens, Burnish: g.Burnish, Closes: g.Closes, Next: g.Next,
		SureCloses: [2]float64{g.Soonest.Closes, g.Slowest.Closes}, SureNext: [2]float64{g.NextSoonest, g.NextSlowest},
	}
}
