package drying

import (
	"math"

	"limeday/drying/coat"
	"limeday/drying/course"
	"limeday/drying/exposure"
	"limeday/drying/material"
	"limeday/drying/message"
)

// back is what is behind a wall indoors, settled.
type back struct {
	exposure.Behind
	on   material.Background
	fade func(depth float64) float64
}

// newBack settles what is behind a wall, as said, or as is usual where its face was found colder or warmer than the air; face is nil where
// it was not measured. Temperatures are in C.
func newBack(said exposure.Behind, on material.Background, air float64, face *float64) back {
	if face != nil {
		if said.Kind == exposure.NotSaid {
			said.Kind = exposure.Usual(on)
		}
		said = said.Explains(on, air, *face)
	}
	return back{said, on, said.Fade(on)}
}

// spot is a spot of the wall with what is behind it.
func (b back) spot(on material.Background, s coat.Setting) course.Spot {
	p := course.Spot{Background: on, Setting: s}
	if b.Kind != exposure.NotSaid {
		p.Background, p.Setting.Rear = b.Wall(on)
		p.Setting.WallTemp = exposure.SteadyFace(p.Background, p.Setting.Rear, s.WallTemp)
	}
	return p
}

// kinds are what may be behind a wall of which nothing is said, the usual one first.
func kinds(on material.Background) []exposure.BehindKind {
	if usual := exposure.Usual(on); usual == exposure.Solid {
		return []exposure.BehindKind{usual, exposure.Partition, exposure.Cavity}
	}
	return []exposure.BehindKind{exposure.Partition, exposure.Cavity, exposure.Solid}
}

// settled is what is behind a wall by a second reading of its face before the first coat: the kind that, set right by the first, comes
// nearest to it. looks are the two.
func (d *day) settled(setting coat.Setting, looks []course.Look, air float64) (exposure.Behind, error) {
	best, off := exposure.Behind{}, math.Inf(1)
	for _, k := range kinds(d.job.Background) {
		b := newBack(exposure.Behind{Kind: k}, d.job.Background, air, looks[0].Face)
		c, err := course.Begin([]course.Spot{b.spot(d.job.Background, setting)}, min(d.begin, looks[0].At))
		if err != nil {
			return best, err
		}
		if err := c.To(looks[0].At); err != nil {
			return best, err
		}
		c.Measured(*looks[0].Face, b.fade)
		if err := c.To(looks[1].At); err != nil {
			return best, err
		}
		if x := math.Abs(c.Face() - *looks[1].Face); x < off-sameFace {
			best, off = exposure.Behind{Kind: k}, x
		}
	}
	return best, nil
}

// sameFace is how much nearer a kind must come to be taken in place of a more usual one, K: a thermometer on a wall is read to that.
const sameFace = 0.5

// behindNote tells what is taken to be behind a wall that was found colder or warmer than the air; nothing where that is said or does not matter.
func (d *day) behindNote() message.Text {
	switch said := d.job.Behind.Kind != exposure.NotSaid; {
	case said || d.behind.Kind == exposure.NotSaid:
		return nil
	case d.second:
		return message.Words("Behind the wall: " + d.behind.Kind.Words() + ", as its second reading has it.")
	}
	return message.Words("What is behind the wall is not said: " + d.behind.Kind.Words() + " for the times. It is judged as cold or warm as it was found. Say behind in [[wall]], or measure it again at the start.")
}
