package coat

import (
	"math"
	"sync"

	"limeday/drying/material"
	"limeday/drying/wall"
)

// Factors is one draw of what is not known of a coat and of the wall it is laid on: each a factor on, or a shift of,
// the model's own number. See Neutral for none of them.
type Factors struct {
	Drying       float64 // on the heat and vapour that pass between face and air by convection: the drying clock
	Suction      float64 // on A_w of every layer behind the coats: the suction clock
	Desorptivity float64 // on R of the coat
	Excess       float64 // on the water of the batch beyond the shrinkage limit, u0 - u_sh
	Thickness    float64 // on the thickness as laid
	Opens        float64 // shift of the level at which the face opens, in ln(odds) of its place between the shrinkage limit and the edge's
	Closes       float64 // shift of the level of gone by, in ln(odds) of its place between those of dry and burnish
}

// Neutral changes nothing.
func Neutral() Factors {
	return Factors{Drying: 1, Suction: 1, Desorptivity: 1, Excess: 1, Thickness: 1}
}

// With is a copy of the wall under other factors and in other air from now on; what has happened to it stays. The air
// must reach from now on and be in order of time; nil leaves it as it is. Factors are taken against the wall's first
// ones, not on top of the last.
func (w *Wall) With(f Factors, air []wall.Air) *Wall {
	c := w.Clone()
	if air != nil {
		c.setting.Air = air
	}
	c.setting.Face.Transfer = f.Drying
	face := wall.NewFace(c.setting.Face, c.setting.Air)
	c.problem.Front = face
	if c.room != nil {
		c.room = c.room.Before(face)
		c.problem.Front = c.room
	}
	c.problem.Layers = append([]wall.Layer(nil), c.problem.Layers...)
	k := f.Suction / w.factors.Suction
	for i := len(c.full); i < len(c.problem.Layers) && k != 1; i++ {
		c.problem.Layers[i].Stuff = c.problem.Layers[i].Stuff.Conducting(k * k)
	}
	c.factors, c.tables = f, newTables()
	return c
}

// In is the wall in other air from now on, recorded and weighed as before.
func (w *Wall) In(air []wall.Air) *Wall {
	c := w.With(w.factors, air)
	c.trace, c.every, c.weighed, c.tables = w.trace, w.every, w.weighed, w.tables
	return c
}

// Hand sets the factors of the coats to come. Those of the wall itself, Drying and Suction, stay as With set them.
func (w *Wall) Hand(f Factors) {
	f.Drying, f.Suction = w.factors.Drying, w.factors.Suction
	if f.Desorptivity != w.factors.Desorptivity {
		w.tables = newTables()
	}
	w.factors = f
}

// coat is a coat as the factors have it, and the water ratios at which its states begin: these stay those of the
// finish, whatever the water of the batch.
func (f Factors) coat(c Coat) (Coat, material.Levels) {
	lev := f.levels(c.Finish)
	c.Thickness *= f.Thickness
	if f.Excess != 1 {
		c.Finish = c.Finish.Batch(f.Excess)
	}
	return c, lev
}

// levels are the finish's own, shifted.
func (f Factors) levels(m material.Finish) material.Levels {
	l := m.Levels()
	sh := m.ShrinkageLimit.Value
	l.Opens = sh + between(l.Opens-sh, l.Edge-sh, f.Opens)
	l.Closes = l.Dry + between(l.Closes-l.Dry, l.Burnish-l.Dry, f.Closes)
	return l
}

// between shifts x, which lies from 0 to 1 of span, by d in ln(odds).
func between(x, span, d float64) float64 {
	if d == 0 {
		return x
	}
	p := min(max(x/span, 1e-6), 1-1e-6)
	return span / (1 + (1-p)/p*math.Exp(-d))
}

// Slowed is the times with each k times as long.
func (t Times) Slowed(k float64) Times {
	for _, x := range []*float64{&t.Edge, &t.Opens, &t.Burnish, &t.Closes, &t.Dry} {
		*x *= k
	}
	t.Evaporation /= k
	return t
}

// tables keeps those of the finishes laid, for a wall and its clones: making one takes as long as following a thin coat.
type tables struct {
	mu   sync.Mutex
	made map[material.Finish]*wall.Table
}

func newTables() *tables { return &tables{made: map[material.Finish]*wall.Table{}} }

// of is the table of a finish whose desorptivity is k times its own.
func (t *tables) of(m material.Finish, k float64) (*wall.Table, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if tab := t.made[m]; tab != nil {
		return tab, nil
	}
	tab, err := m.Table()
	if err != nil {
		return nil, err
	}
	if k != 1 {
		tab = tab.Conducting(k * k)
	}
	t.made[m] = tab
	return tab, nil
}
