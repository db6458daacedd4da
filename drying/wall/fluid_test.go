package wall

import (
	"math"
	"testing"
)

// TestFluidIsItsSpecification: between its nodes a fluid keeps to what it was made of, and its slopes to the differences.
func TestFluidIsItsSpecification(t *testing.T) {
	spec := StandardFluid(101325)
	f := NewFluid(spec)
	var off, slope float64
	for c := -44.9913; c < 95; c += 0.0137 {
		const e = 1e-3
		var w, l, r wet
		f.at(c, &w)
		f.at(c-e, &l)
		f.at(c+e, &r)
		for _, v := range [][2]float64{{w.ps, spec.Saturation(c)}, {w.flow, spec.Mobility(c)}, {w.del, spec.Permeability(c)}} {
			off = max(off, math.Abs(v[0]/v[1]-1))
		}
		if x := c - math.Floor(c); x < e || x > 1-e { // at a node two cells meet
			continue
		}
		for _, v := range [][3]float64{{w.dps, r.ps - l.ps, w.ps}, {w.dflow, r.flow - l.flow, w.flow}, {w.ddel, r.del - l.del, w.del}} {
			slope = max(slope, math.Abs(v[0]-v[1]/(2*e))/v[2])
		}
	}
	rung(t, "a property, share", 0, off, 5e-7, "cubics, parabolas and lines over a kelvin")
	rung(t, "a slope, share of the property a K", 0, slope, 1e-6, "differences over 2 mK")
}
