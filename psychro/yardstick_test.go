package psychro

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

// The yardsticks here are the reference's own formulas, written out once more
// for the tests alone, so that a difference between the reference and this
// package can be split into the difference of the formulas, which is computed,
// and the rest, which must be nothing.

// hylandWexler is the saturation pressure of Hyland and Wexler 1983, in Pa, over
// ice below 0.01 C and over water above: ASHRAE Handbook, Fundamentals (SI) 2017,
// chapter 1, eqs 5 and 6. TestSaturationTable checks it against printed values.
func hylandWexler(t float64) float64 {
	if t < 0.01 {
		return hylandWexlerIce(t)
	}
	return hylandWexlerWater(t)
}

func hylandWexlerIce(t float64) float64 {
	T := t + 273.15
	return math.Exp(-5.6745359e3/T + 6.3925247 - 9.677843e-3*T + 6.2215701e-7*T*T +
		2.0747825e-9*T*T*T - 9.484024e-13*T*T*T*T + 4.1635019*math.Log(T))
}

func hylandWexlerWater(t float64) float64 {
	T := t + 273.15
	return math.Exp(-5.8002206e3/T + 1.3914993 - 4.8640239e-2*T + 4.1764768e-5*T*T -
		1.4452093e-8*T*T*T + 6.5459673*math.Log(T))
}

// if97 is the saturation pressure over water of IAPWS R7-97(2012), eq 30, in Pa,
// with its table 34: the "water" rows of psat-comparison.csv are computed from it.
func if97(t float64) float64 {
	n := [...]float64{0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2,
		0.12020824702470e5, -0.32325550322333e7, 0.14915108613530e2,
		-0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3}
	T := t + 273.15
	th := T + n[8]/(T-n[9])
	a := th*th + n[0]*th + n[1]
	b := n[2]*th*th + n[3]*th + n[4]
	c := n[5]*th*th + n[6]*th + n[7]
	return 1e6 * math.Pow(2*c/(-b+math.Sqrt(b*b-4*a*c)), 4)
}

// saturation is this package's saturation pressure over the phase that
// hylandWexler takes at t.
func saturation(t float64) float64 {
	if t < 0.01 {
		return float64(SaturationIce(Celsius(t)))
	}
	return float64(SaturationWater(Celsius(t)))
}

// formulaShift is the temperature by which an inverse of hylandWexler and one of
// the formula that gives p at t differ there, in K: the difference of their
// logarithms over the slope, 17.5 and 240 C being enough of Magnus for a slope.
func formulaShift(t, p float64) float64 {
	slope := 17.5 * 240 / ((240 + t) * (240 + t))
	return math.Abs(math.Log(hylandWexler(t)/p)) / slope
}

// referenceWetBulb solves ASHRAE's eqs 33 (water) and 35 (ice) with
// hylandWexler by plain bisection, over the phase asked for.
func referenceWetBulb(t, w, p float64, ice bool) float64 {
	balance := func(tb float64) float64 {
		if ice {
			e := hylandWexlerIce(tb)
			ws := 0.621945 * e / (p - e)
			return (2830-0.24*tb)*ws - 1.006*(t-tb) - w*(2830+1.86*t-2.1*tb)
		}
		e := hylandWexlerWater(tb)
		ws := 0.621945 * e / (p - e)
		return (2501-2.326*tb)*ws - 1.006*(t-tb) - w*(2501+1.86*t-4.186*tb)
	}
	lo, hi := -100.0, math.Min(t, 0)
	if !ice {
		lo, hi = 0, t
	}
	for range 60 {
		mid := (lo + hi) / 2
		if balance(mid) < 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// table is a CSV file with a header line.
type table struct {
	path   string
	header map[string]int
	rows   [][]string
}

// readTable reads a file of testdata; a file without rows fails the test.
func readTable(t *testing.T, path string) table {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	if len(all) < 2 {
		t.Fatalf("%s has no rows", path)
	}
	tab := table{path: path, header: map[string]int{}, rows: all[1:]}
	for i, name := range all[0] {
		tab.header[name] = i
	}
	for i, cells := range tab.rows {
		for name, j := range tab.header {
			if _, err := strconv.ParseFloat(cells[j], 64); err != nil && cells[j] != "" && name != "phase" {
				t.Fatalf("%s row %d: %s is %q, not a number", path, i+2, name, cells[j])
			}
		}
	}
	return tab
}

// row returns the numbers of row i by column; empty cells are left out.
func (tab table) row(i int) map[string]float64 {
	cells := map[string]float64{}
	for name, j := range tab.header {
		if v, err := strconv.ParseFloat(tab.rows[i][j], 64); err == nil {
			cells[name] = v
		}
	}
	return cells
}

// need fails unless the table has exactly the columns named, so that none can
// be renamed or added and go unchecked.
func (tab table) need(t *testing.T, names ...string) {
	t.Helper()
	known := map[string]bool{}
	for _, name := range names {
		known[name] = true
		if _, ok := tab.header[name]; !ok {
			t.Fatalf("%s: no column %q", tab.path, name)
		}
	}
	for name := range tab.header {
		if !known[name] {
			t.Fatalf("%s: nothing checks column %q", tab.path, name)
		}
	}
}

// deviation is one compared cell.
type deviation struct {
	column               string
	got, want, allowance float64
}

// exceeds says whether the cell is off; a NaN always is.
func (d deviation) exceeds() bool { return !(math.Abs(d.got-d.want) <= d.allowance) }

// worst keeps the largest deviation of each column for the log.
type worst map[string]deviation

func (w worst) add(d deviation) {
	if o, ok := w[d.column]; !ok || math.Abs(d.got-d.want) > math.Abs(o.got-o.want) {
		w[d.column] = d
	}
}

func (w worst) log(t *testing.T) {
	t.Helper()
	for column, d := range w {
		t.Logf("%-20s largest deviation %.3g at %.6g (allowed there %.3g)",
			column, math.Abs(d.got-d.want), d.want, d.allowance)
	}
}
