package psychro

import (
	"math"
	"strings"
	"testing"
)

const checks = "../testdata/checks/"

// TestSaturationTable checks this package's saturation pressures, and the
// yardsticks of the other tests, against testdata/checks/psat-comparison.csv.
// Its column iapws_pa holds R14-08(2011) over ice, SR1-86(1992) over supercooled
// water, and over water not SR1-86 but IF97, which the rows show.
func TestSaturationTable(t *testing.T) {
	tab := readTable(t, checks+"psat-comparison.csv")
	tab.need(t, "t_c", "phase", "iapws_pa", "ashrae_hw_pa",
		"wmo_magnus_pa", "fao_tetens_pa", "iso13788_pa") // the last three: drying's TestPublished
	const printed = 0.5001e-4 // Pa: the columns have four decimals
	max := worst{}
	for i := range tab.rows {
		c := tab.row(i)
		tc := c["t_c"]
		phase := tab.rows[i][tab.header["phase"]]
		water, ice := float64(SaturationWater(Celsius(tc))), float64(SaturationIce(Celsius(tc)))
		var found []deviation
		switch phase {
		case "ice":
			found = append(found, deviation{"R14-08 ice", ice, c["iapws_pa"], printed})
		case "supercooled_water":
			found = append(found, deviation{"SR1-86 supercooled", water, c["iapws_pa"], printed})
		case "water":
			// Both releases claim 0.025 % (from memory). They are far closer than
			// that here: 0.98e-4 apart at 50 C, the largest of the file.
			found = append(found,
				deviation{"IF97 yardstick", if97(tc), c["iapws_pa"], printed},
				deviation{"SR1-86 water v IF97", water, c["iapws_pa"], 1e-4 * c["iapws_pa"]})
		default:
			t.Fatalf("row %d: unknown phase %q", i+2, phase)
		}
		if hw, ok := c["ashrae_hw_pa"]; ok {
			found = append(found, deviation{"Hyland-Wexler yardstick", hylandWexler(tc), hw, printed})
		}
		for _, d := range found {
			max.add(d)
			if d.exceeds() {
				t.Errorf("row %d, %g C: %s %.4f Pa, published %.4f", i+2, tc, d.column, d.got, d.want)
			}
		}
	}
	max.log(t)
}

// TestFormulasDiffer bounds the difference between this package's formulas and
// those of ASHRAE, which the allowances below are computed from: a slip in either
// would show here and not widen them.
func TestFormulasDiffer(t *testing.T) {
	for _, r := range []struct {
		phase       string
		from, to    float64
		maxRelative float64
	}{
		// Over water psat-comparison.csv has IF97 and Hyland-Wexler up to 1.8e-4
		// apart, with SR1-86 up to 1.0e-4 on either side of IF97; largest together is
		// 2.24e-4, at 40 C.
		{"water", 0.01, 60, 2.3e-4},
		// Over ice: 2.07e-4 at -20 C in psat-comparison.csv, the end of its rows;
		// computed here, it grows to 3.3e-4 at -47 C and shrinks again.
		{"ice, to -20 C", -20, 0, 2.1e-4},
		{"ice, to -70 C", -70, -20, 3.3e-4},
	} {
		largest, at := 0.0, 0.0
		for i := 0; i <= 1000; i++ {
			tc := r.from + (r.to-r.from)*float64(i)/1000
			if d := math.Abs(saturation(tc)/hylandWexler(tc) - 1); d > largest {
				largest, at = d, tc
			}
		}
		t.Logf("%s: %.3g at %.4g C", r.phase, largest, at)
		if largest > r.maxRelative {
			t.Errorf("%s: the formulas differ by %.3g at %g C, claimed %.3g", r.phase, largest, at, r.maxRelative)
		}
	}
}

// TestMoistAir checks every row of psychro-reference.csv: states from the
// library psychrolib 1.1.1, which computes the ASHRAE Handbook, Fundamentals
// 2017, chapter 1, with Hyland and Wexler's saturation pressure. Below 0.01 C its
// relative humidity is over ice, and below 0 C its dew point is the frost point.
func TestMoistAir(t *testing.T) {
	tab := readTable(t, checks+"psychro-reference.csv")
	tab.need(t, "t_c", "rh", "p_pa", "t_dew_c", "t_wet_c", "hum_ratio",
		"vpd_pa", "enthalpy_j_per_kg", "v_m3_per_kg", "density_kg_m3")
	max := worst{}
	for i := range tab.rows {
		found, err := moistAir(tab.row(i))
		if err != nil {
			t.Errorf("row %d: %v", i+2, err)
			continue
		}
		for _, d := range found {
			max.add(d)
			if d.exceeds() {
				t.Errorf("row %d: %s = %.9g, psychrolib %.9g, allowed %.2g", i+2, d.column, d.got, d.want, d.allowance)
			}
		}
	}
	t.Logf("%d rows", len(tab.rows))
	max.log(t)
}

// moistAir compares one row of psychro-reference.csv. The state is built from the
// reference's own vapour pressure, so that the difference of the saturation
// formulas enters only where they are inverted, and can be computed there.
func moistAir(c map[string]float64) ([]deviation, error) {
	tc, p := c["t_c"], c["p_pa"]
	e := c["rh"] / 100 * hylandWexler(tc)
	a, err := NewAirFromVapourPressure(Celsius(tc), Pascal(e), Pascal(p))
	if err != nil {
		return nil, err
	}

	// psychrolib stops iterating at 0.001 C; the data's README asks for 0.002 C.
	const iteration = 0.002

	dew := float64(a.DewPoint())
	if frost, ok := a.FrostPoint(); ok {
		dew = float64(frost)
	}
	found := []deviation{{"t_dew_c", dew, c["t_dew_c"], iteration + formulaShift(c["t_dew_c"], saturation(c["t_dew_c"]))}}

	// The bulb's energy balance is steeper than the saturation curve alone, so its
	// root moves by less than the shift of the curve. The bulb turns to ice at 0 C,
	// not at 0.01.
	bulb := func(tb float64) float64 {
		if tb < 0 {
			return float64(SaturationIce(Celsius(tb)))
		}
		return float64(SaturationWater(Celsius(tb)))
	}
	ref := c["t_wet_c"]
	wet := float64(a.WetBulb())
	w := 0.621945 * e / (p - e)
	switch {
	case ref < 0 && wet >= 0:
		// At 0 C some air has both a water and an ice bulb. This package answers for
		// the water; the reference's bisection fell on the ice. Each is then checked
		// against the same equation solved for its own phase.
		found = append(found,
			deviation{"t_wet_c, ice", referenceWetBulb(tc, w, p, true), ref, iteration},
			deviation{"t_wet_c, water", wet, referenceWetBulb(tc, w, p, false), 1e-6 + math.Abs(math.Log(hylandWexlerWater(wet)/bulb(wet)))/0.07})
	default:
		found = append(found, deviation{"t_wet_c", wet, ref, iteration + formulaShift(ref, bulb(ref))})
	}

	// Same vapour pressure, same equations, same constants: what is left is the
	// rounding of the printed columns (9 digits, then 3, 7, 7 and 4 decimals).
	found = append(found,
		deviation{"hum_ratio", a.HumidityRatio(), c["hum_ratio"], 1e-8 * c["hum_ratio"]},
		deviation{"enthalpy_j_per_kg", a.Enthalpy(), c["enthalpy_j_per_kg"], 0.6e-3},
		// Its ratio of molar masses is rounded to 1.607858 there, which is 1e-6 of
		// the humidity ratio.
		deviation{"v_m3_per_kg", a.SpecificVolume(), c["v_m3_per_kg"], 0.6e-7 + 1e-6*w*c["v_m3_per_kg"]},
		deviation{"density_kg_m3", a.Density(), c["density_kg_m3"], 0.6e-7 + 1e-6*w*c["density_kg_m3"]},
	)

	// The other way in: relative humidity, over water. Vapour pressure and deficit
	// then differ by as much as the saturation pressures at t, relatively.
	rh := c["rh"] / 100
	if tc < 0.01 {
		rh *= float64(SaturationIce(Celsius(tc)) / SaturationWater(Celsius(tc)))
	}
	b, err := NewAir(Celsius(tc), Fraction(rh), Pascal(p))
	if err != nil {
		return nil, err
	}
	deficit := float64(b.VapourPressureDeficit())
	if tc < 0.01 {
		deficit = float64(SaturationIce(Celsius(tc)) - b.VapourPressure())
	}
	formula := math.Abs(saturation(tc)/hylandWexler(tc) - 1)
	found = append(found,
		deviation{"rh", float64(b.VapourPressure()), e, e*formula + 1e-9},
		deviation{"vpd_pa", deficit, c["vpd_pa"], c["vpd_pa"]*formula + 0.6e-4})
	return found, nil
}

// TestColdAir checks every row of cold-rh-water.csv: relative humidity over
// liquid water below and about 0 C, with dew and frost point apart, computed
// from IAPWS SR1-86(1992) and R14-08(2011).
func TestColdAir(t *testing.T) {
	tab := readTable(t, checks+"cold-rh-water.csv")
	tab.need(t, "t_c", "rh_water_pct", "e_pa", "rh_ice_pct", "dew_point_c", "frost_point_c", "vpd_water_pa", "vpd_ice_pa")
	max := worst{}
	for i := range tab.rows {
		found, err := coldAir(tab.row(i))
		if err != nil {
			t.Errorf("row %d: %v", i+2, err)
			continue
		}
		for _, d := range found {
			max.add(d)
			if d.exceeds() {
				t.Errorf("row %d: %s = %.7g, computed from IAPWS %.7g", i+2, d.column, d.got, d.want)
			}
		}
	}
	t.Logf("%d rows", len(tab.rows))
	max.log(t)
}

// coldAir compares one row of cold-rh-water.csv. The formulas are the same, so
// each allowance is half the last printed decimal, and no more.
func coldAir(c map[string]float64) ([]deviation, error) {
	a, err := NewAir(Celsius(c["t_c"]), Fraction(c["rh_water_pct"]/100), 101325)
	if err != nil {
		return nil, err
	}
	const four, three = 0.5001e-4, 0.5001e-3 // decimals
	found := []deviation{
		{"e_pa", float64(a.VapourPressure()), c["e_pa"], four},
		{"dew_point_c", float64(a.DewPoint()), c["dew_point_c"], four},
		{"vpd_water_pa", float64(a.VapourPressureDeficit()), c["vpd_water_pa"], four},
	}
	// A value over ice is listed exactly where there is one: a frost point under the
	// triple point's pressure, a saturation over ice under its temperature.
	ifListed := func(column string, got float64, exists bool, allowance float64) {
		want, listed := c[column]
		if exists != listed {
			want = math.NaN()
		}
		if exists || listed {
			found = append(found, deviation{column, got, want, allowance})
		}
	}
	frost, ok := a.FrostPoint()
	ice := float64(SaturationIce(a.Temperature()))
	e := float64(a.VapourPressure())
	ifListed("frost_point_c", float64(frost), ok, four)
	ifListed("rh_ice_pct", 100*e/ice, c["t_c"] < 0, three)
	ifListed("vpd_ice_pa", ice-e, c["t_c"] < 0, four)
	return found, nil
}

// TestTablesNotice shows that the two table tests can fail: every cell of every
// row, moved by a hundredth of a kelvin or by a thousandth of itself (and, since a
// deficit may be nothing, a thousandth of a pascal), is noticed.
func TestTablesNotice(t *testing.T) {
	for _, tab := range []struct {
		path  string
		check func(map[string]float64) ([]deviation, error)
	}{
		{checks + "psychro-reference.csv", moistAir},
		{checks + "cold-rh-water.csv", coldAir},
	} {
		data := readTable(t, tab.path)
		for i := range data.rows {
			for column := range data.row(i) {
				c := data.row(i)
				switch {
				case strings.HasSuffix(column, "_c"):
					c[column] += 0.01
				case strings.HasSuffix(column, "_pa"):
					c[column] = c[column]*1.001 + 0.001
				default:
					c[column] *= 1.001
				}
				found, err := tab.check(c)
				noticed := err != nil
				for _, d := range found {
					noticed = noticed || d.exceeds()
				}
				if !noticed {
					t.Errorf("%s row %d: a changed %s goes unnoticed", tab.path, i+2, column)
				}
			}
		}
	}
}
