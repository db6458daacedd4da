package material

import (
	"errors"
	"math"
	"reflect"
	"testing"

	"limeday/drying/wall"
)

// eachProperty calls f for every Property within v, with its path.
func eachProperty(v reflect.Value, path string, f func(path string, p Property)) {
	if p, ok := v.Interface().(Property); ok {
		f(path, p)
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			eachProperty(v.Elem(), path, f)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			eachProperty(v.Field(i), path+"."+v.Type().Field(i).Name, f)
		}
	case reflect.Array, reflect.Slice:
		for i := range v.Len() {
			eachProperty(v.Index(i), path, f)
		}
	}
}

// TestEveryNumberHasSourceAndRange: product data without evidence is refused.
func TestEveryNumberHasSourceAndRange(t *testing.T) {
	n := 0
	check := func(path string, p Property) {
		n++
		if err := p.Check(); err != nil {
			t.Errorf("%s: %v", path, err)
		}
		if p.Unit == "" {
			t.Errorf("%s: no unit", path)
		}
	}
	for _, name := range Finishes() {
		f, err := FinishNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		eachProperty(reflect.ValueOf(f), name, check)
	}
	for _, name := range Backgrounds() {
		for _, p := range Primers() {
			b, err := BackgroundNamed(name, p)
			if err != nil {
				t.Fatal(err)
			}
			eachProperty(reflect.ValueOf(b), name, check)
		}
	}
	if n < 100 {
		t.Fatalf("only %d numbers seen: the walk is broken", n)
	}
	for _, bad := range []Property{
		{Value: 1, Low: 0, High: 2, Unit: "-"},
		{Value: 1, Low: 0, High: 2, Unit: "-", Evidence: Estimate},
		{Value: 3, Low: 0, High: 2, Unit: "-", Evidence: Memory, Source: "x"},
		{Value: 1, Low: 1, High: 1, Unit: "-", Evidence: Estimate, Source: "x"},
	} {
		if bad.Check() == nil {
			t.Errorf("%+v passed", bad)
		}
	}
}

// TestRetention: the curves pass through the points they are made of.
func TestRetention(t *testing.T) {
	for _, name := range Backgrounds() {
		b, _ := BackgroundNamed(name, Fair)
		for _, r := range b.Layers {
			tab, err := r.Table()
			if err != nil {
				t.Fatal(err)
			}
			if w, _ := tab.Water(math.Log(suction80)); math.Abs(w/r.W80.Value-1) > 2e-3 {
				t.Errorf("%s: %g kg/m3 at 80 %% RH, want %g", r.Name, w, r.W80.Value)
			}
			if w, _ := tab.Water(math.Log(r.MeanSuction.Value)); math.Abs(w/r.Capillary.Value-0.5) > 1e-3 {
				t.Errorf("%s: %g of w_cap at its mean suction, want half", r.Name, w/r.Capillary.Value)
			}
		}
	}
	for _, name := range Finishes() {
		f, _ := FinishNamed(name)
		tab, err := f.Table()
		if err != nil {
			t.Fatal(err)
		}
		if w, _ := tab.Water(math.Log(suction80)); math.Abs(w*f.DriedDensity()/f.W80.Value-1) > 3e-3 {
			t.Errorf("%s: %g kg/m3 at 80 %% RH, want %g", name, w*f.DriedDensity(), f.W80.Value)
		}
		// As laid the consolidation line and the retention curve together hold u0.
		if w, _ := tab.Water(f.FreshY()); math.Abs(w/f.WaterRatio.Value-1) > 1e-3 {
			t.Errorf("%s: %g kg/kg as laid, want %g", name, w, f.WaterRatio.Value)
		}
	}
}

// TestDesorptivity measures each finish's desorptivity as a pressure cell would, with the production
// solver on a deep fresh film whose face is held at the stated suction.
func TestDesorptivity(t *testing.T) {
	for _, name := range Finishes() {
		f, _ := FinishNamed(name)
		tab, err := f.Table()
		if err != nil {
			t.Fatal(err)
		}
		d, _ := f.Diffusivity()
		const end = 100.0
		depth := 8 * math.Sqrt(d*end)
		solid := f.SolidMass(depth)
		p := &wall.Problem{
			Layers: []wall.Layer{{Name: name, Stuff: tab, Cells: wall.Graded(solid, 120, solid/4000)}},
			Front:  &wall.Held{Suction: math.Log(f.DesorbedAt.Value), SuctionRate: 1e3},
			Fluid:  wall.NewFluid(wall.StandardFluid(101325)),
		}
		v, err := wall.NewSolver(p, p.Uniform(0, []float64{f.FreshY()}, 20), wall.Settings{Tolerance: 1e-6, FirstStep: 1e-6})
		if err != nil {
			t.Fatal(err)
		}
		if err := v.Advance(end); err != nil {
			t.Fatal(err)
		}
		got := v.Stats().Evaporated / 1000 / math.Sqrt(end)
		t.Logf("%s: D %.3g m2/s, desorptivity %.4g m/s^0.5, stated %.4g (%+.2f %%)", name, d, got, f.Desorptivity.Value, 100*(got/f.Desorptivity.Value-1))
		if math.Abs(got/f.Desorptivity.Value-1) > 0.005 { // discretisation of the early, singular flux
			t.Errorf("%s: desorptivity %g, want %g", name, got, f.Desorptivity.Value)
		}
	}
}

// Every usual coat is one; a grain's thickness and a wall's are none. Masonry alone is damped.
func TestWhatIsNoCoat(t *testing.T) {
	for _, name := range Finishes() {
		f, err := FinishNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		thin, thick := f.Laid()
		for _, c := range f.Coats {
			if c.Low < thin || c.High > thick {
				t.Errorf("%s: a usual coat of %g to %g m is none in %g to %g m", name, c.Low, c.High, thin, thick)
			}
		}
		if thin != Thinnest || f.Thickest.Value >= thick {
			t.Errorf("%s: %g to %g m", name, thin, thick)
		}
	}
	for _, name := range Backgrounds() {
		b, err := BackgroundNamed(name, "")
		if err != nil {
			t.Fatal(err)
		}
		var damp *DampError
		if err := b.CheckDamp(); errors.As(err, &damp) == b.Masonry {
			t.Errorf("%s: %v", name, err)
		}
	}
}
