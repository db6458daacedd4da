package app

import (
	"context"
	"html/template"
	"io"

	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/view"
	"limeday/drying"
	"limeday/drying/practice"
)

// exercisePicture is what an exercise's answer rests on, drawn: the day, the coats beside each other, or one coat as it dries.
type exercisePicture struct {
	day    *drawing.Day
	coat   *drawing.Drying
	ladder *drawing.Ladder
}

// pictureOf draws an exercise's answer; all is nil where there is nothing to draw.
func pictureOf(x *practice.Exercise, u quantity.Units) (p exercisePicture, err error) {
	a := x.Answer
	switch {
	case a.Morning != nil:
		d := drawing.OfDay(view.NewDay(view.Asked{Answer: a.Morning.Answer}), printerFor(x, u))
		p.day = &d
	case len(a.Coats) == 1:
		c := a.Coats[0]
		rungs, err := drying.Ladder(withThickness(c.Case))
		if err != nil {
			return p, err
		}
		course, err := drying.Follow(c.LadderAsk, c.Thickness)
		if err == nil {
			err = c.Band(rungs, drying.Bands{Members: pictureMembers, Seed: 1})
		}
		if err != nil {
			return p, err
		}
		course.Rung = rungs[0]
		d := dryingPicture(c.LadderAsk, course, lastAsked(x), u)
		p.coat = &d
	case len(a.Coats) > 1:
		l := drawing.Ladder{Title: "The coats beside each other"}
		for _, c := range a.Coats {
			rungs, err := drying.Ladder(withThickness(c.Case))
			if err != nil {
				return p, err
			}
			l.Rungs = append(l.Rungs, ladderRung(c.Name, rungs[0]))
		}
		p.ladder = &l
	}
	return p, nil
}

// pictureMembers is how many members the ensemble behind a picture's brackets has.
const pictureMembers = 60

func withThickness(c practice.Case) drying.LadderAsk {
	ask := c.LadderAsk
	ask.Thicknesses = []float64{c.Thickness}
	return ask
}

// lastAsked tells whether an exercise is about closing the coat, not about the one that follows it.
func lastAsked(x *practice.Exercise) bool {
	return x.Topic != practice.NextCoat && x.Topic != practice.DriesFirst
}

func (p exercisePicture) inline() template.HTML {
	switch {
	case p.day != nil:
		return drawing.Inline(*p.day)
	case p.coat != nil:
		return drawing.DryingInline(*p.coat)
	case p.ladder != nil:
		return drawing.LadderInline(*p.ladder)
	}
	return ""
}

func (p exercisePicture) write(w io.Writer) error {
	switch {
	case p.day != nil:
		return drawing.SVG(w, *p.day)
	case p.coat != nil:
		return drawing.DryingSVG(w, *p.coat)
	}
	return drawing.LadderSVG(w, *p.ladder)
}

// picture writes the drawing of the last exercise that was set, where one is asked for.
func (s *sitting) picture(ctx context.Context, f practiceFlags) error {
	if !f.picture.set || len(s.done) == 0 {
		return nil
	}
	x := &s.done[len(s.done)-1].x
	p, err := pictureOf(x, s.units)
	if err != nil {
		return err
	}
	if p == (exercisePicture{}) {
		return write(s.inv.Notes, "No drawing: the last exercise rests on the air alone.\n")
	}
	return f.out.write(ctx, s.inv, []func(io.Writer) error{p.write, nil})
}
