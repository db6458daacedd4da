package material

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"limeday/drying/wall"
)

// draw replaces every number of v by one within its range.
func draw(v reflect.Value, rng *rand.Rand) {
	if p, ok := v.Addr().Interface().(*Property); ok {
		p.Value = p.Low + rng.Float64()*(p.High-p.Low)
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			draw(v.Field(i), rng)
		}
	case reflect.Array:
		for i := range v.Len() {
			draw(v.Index(i), rng)
		}
	}
}

// off are the largest differences of a table from the material it is of: of W as a share of the full water content, of the
// potential of its range, of their slopes of the largest. Kinks, which a table rounds over a cell of 0.025, are passed over.
func off(m wall.Material, tab *wall.Table, kinks ...float64) [4]float64 {
	exact := func(y float64) [4]float64 {
		w, dw := m.Water(y)
		phi, dphi := m.Potential(y)
		// What a table adds for the solver: storageFloor and wetStorage of package wall.
		w, dw = w-1e-7*m.Full()*y, dw-1e-7*m.Full()
		if y < 4.6 {
			w, dw = w+1e-5*m.Full()*(4.6-y), dw-1e-5*m.Full()
		}
		return [4]float64{w, dw, phi, dphi}
	}
	var most, worst [4]float64
samples:
	for y := -3.999; y < 20.5; y += 0.00317 {
		e := exact(y)
		most[1], most[3] = max(most[1], -e[1]), max(most[3], -e[3])
		for _, k := range append(kinks, 4.6) {
			if math.Abs(y-k) < 0.025 {
				continue samples
			}
		}
		var got [4]float64
		got[0], got[1] = tab.Water(y)
		got[2], got[3] = tab.Potential(y)
		for i := range e {
			worst[i] = max(worst[i], math.Abs(got[i]-e[i]))
		}
	}
	most[0], most[2] = m.Full(), exact(-4)[2]-exact(20.5)[2]
	for i := range worst {
		worst[i] /= most[i]
	}
	return worst
}

// TestTables: tables keep to what they are of, for every finish and layer as it is and with all its numbers drawn within
// their ranges.
func TestTables(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	allowed := [4]float64{1e-5, 3e-4, 1e-5, 3e-4}
	var worst [4]float64
	tables := 0
	check := func(name string, m wall.Material, kinks ...float64) {
		tab, err := wall.Tabulate(m)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		tables++
		for i, e := range off(m, tab, kinks...) {
			worst[i] = max(worst[i], e)
			if !(e <= allowed[i]) {
				t.Errorf("%s: %s is off by %.1e, more than %.0e", name, [...]string{"W", "dW/dy", "Phi", "dPhi/dy"}[i], e, allowed[i])
			}
		}
	}
	for _, name := range Finishes() {
		for k := range 8 {
			f, _ := FinishNamed(name)
			if k > 0 {
				draw(reflect.ValueOf(&f).Elem(), rng)
			}
			if m, err := f.film(); err == nil { // some draws are no film
				check(name, m, m.fresh-wetter, m.entry, m.shrunk)
			}
		}
	}
	for _, name := range Backgrounds() {
		b, _ := BackgroundNamed(name, Fair)
		for _, r := range b.Layers {
			for k := range 8 {
				if k > 0 {
					draw(reflect.ValueOf(&r).Elem(), rng)
				}
				if m, err := r.curves(); err == nil {
					check(r.Name, m)
				}
			}
		}
	}
	t.Logf("%d tables: W off by %.1e, dW/dy %.1e, Phi %.1e, dPhi/dy %.1e at most", tables, worst[0], worst[1], worst[2], worst[3])
	if tables < 100 {
		t.Errorf("only %d tables", tables)
	}
}
