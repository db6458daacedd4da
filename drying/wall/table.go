package wall

import (
	"fmt"
	"math"
)

// Tables run over y = ln(suction/Pa) from about 0.02 Pa, wetter than anything but a running film, to
// 700 MPa, drier than 1 % relative humidity; outside they go on as straight lines.
const (
	tableMin   = -4.0
	tableMax   = 20.5
	tableCells = 980
	tableStep  = (tableMax - tableMin) / tableCells
	// storageFloor keeps a saturated cell's row of the matrix regular: dW/dy where a material gives less,
	// as a share of its full water content.
	storageFloor = 1e-7
	// Below the suction exp(wetEnd), 100 Pa or 10 mm of water, a material takes up wetStorage of its full
	// content per unit of ln(suction) besides: a small specific storage, without which a saturated cell
	// could not settle what rounding and Newton's tolerance leave over.
	wetEnd     = 4.6
	wetStorage = 1e-5
	// Wetter than the table, water under pressure: the potential goes on rising by so many times its range
	// per unit of ln(suction), so that an overfull cell pushes its water on.
	push = 100.0
)

// Table is a Material tabulated for the solver: piecewise cubics in y, continuous with their first
// derivatives.
type Table struct {
	seg     [tableCells]segment
	heat    Heat
	full    float64
	play    bool
	offset  float64
	shrunk  float64
	flatVap bool // the vapour factor is one number
	push    float64
}

type segment struct {
	w, phi [4]float64 // polynomial coefficients in x = (y-y0)/step
	vap    [2]float64
}

// Tabulate samples m. It returns an error naming the place when m gives a value that is not finite, or
// holds more water at higher suction.
func Tabulate(m Material) (*Table, error) {
	t := &Table{heat: m.Heat(), full: m.Full(), shrunk: math.Inf(-1), flatVap: true}
	if !(t.full > 0) || math.IsInf(t.full, 0) {
		return nil, &MaterialError{Reason: "full water content must be positive and finite", Value: t.full}
	}
	if h, ok := m.(Hysteresis); ok {
		t.offset, t.shrunk = h.Wetting()
		t.play = t.offset > 0 || !math.IsInf(t.shrunk, -1)
	}
	floor := storageFloor * t.full
	type point struct{ w, dw, phi, dphi, vap float64 }
	at := func(y float64) (point, error) {
		w, dw := m.Water(y)
		phi, dphi := m.Potential(y)
		q := point{w - floor*y, dw - floor, phi, dphi, m.Vapour(y)}
		if y < wetEnd {
			q.w += wetStorage * t.full * (wetEnd - y)
			q.dw -= wetStorage * t.full
		}
		for _, v := range [...]float64{q.w, q.dw, q.phi, q.dphi, q.vap} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return q, &MaterialError{Reason: "property is not a finite number", Suction: math.Exp(y), Value: v}
			}
		}
		if dw > 0 || dphi > 0 {
			return q, &MaterialError{Reason: "holds or conducts more at higher suction", Suction: math.Exp(y), Value: max(dw, dphi)}
		}
		return q, nil
	}
	left, err := at(tableMin)
	if err != nil {
		return nil, err
	}
	for i := range t.seg {
		right, err := at(tableMin + float64(i+1)*tableStep)
		if err != nil {
			return nil, err
		}
		if right.w > left.w {
			return nil, &MaterialError{Reason: "holds more water at higher suction", Suction: math.Exp(tableMin + float64(i)*tableStep), Value: right.w}
		}
		if right.phi > left.phi+1e-12*(math.Abs(left.phi)+math.Abs(right.phi)) { // rounding apart
			return nil, &MaterialError{Reason: "has a potential that rises with suction", Suction: math.Exp(tableMin + float64(i)*tableStep), Value: right.phi}
		}
		t.seg[i].w = hermite(left.w, right.w, left.dw*tableStep, right.dw*tableStep)
		t.seg[i].phi = hermite(left.phi, right.phi, left.dphi*tableStep, right.dphi*tableStep)
		t.seg[i].vap = [2]float64{left.vap, right.vap - left.vap}
		if right.vap != left.vap {
			t.flatVap = false
		}
		left = right
	}
	t.push = min(t.seg[0].phi[1]/tableStep, push*(left.phi-t.seg[0].phi[0]))
	return t, nil
}

// Conducting is the same material with a liquid conductivity k times as great, as of a layer whose sorptivity is
// sqrt(k) times as great. Water, vapour and heat stay as they are. It panics unless k is positive and finite.
func (t *Table) Conducting(k float64) *Table {
	if !(k > 0) || math.IsInf(k, 0) {
		panic("wall: a conductivity must be positive and finite")
	}
	s := *t
	s.push *= k
	for i := range s.seg {
		for j := range s.seg[i].phi {
			s.seg[i].phi[j] *= k
		}
	}
	return &s
}

// hermite gives the cubic on [0,1] with end values a, b and end slopes da, db, the slopes reduced where
// they would break monotony (Fritsch and Carlson 1980, SIAM J. Numer. Anal. 17, 238).
func hermite(a, b, da, db float64) [4]float64 {
	s := b - a
	if s == 0 {
		da, db = 0, 0
	} else {
		al, be := max(da/s, 0), max(db/s, 0)
		if r := math.Hypot(al, be); r > 3 {
			al, be = 3*al/r, 3*be/r
		}
		da, db = al*s, be*s
	}
	return [4]float64{a, da, 3*s - 2*da - db, da + db - 2*s}
}

func (t *Table) locate(y float64) (seg *segment, x float64) {
	x = (y - tableMin) * (1 / tableStep)
	i := int(x)
	if x < 0 {
		i = 0
	} else if i >= tableCells {
		i = tableCells - 1
	}
	return &t.seg[i], x - float64(i)
}

func cubic(c *[4]float64, x float64) (v, dv float64) {
	const per = 1 / tableStep
	if x < 0 { // left of the table: a straight line
		return c[0] + c[1]*x, c[1] * per
	}
	if x > 1 {
		s := c[1] + 2*c[2] + 3*c[3]
		return c[0] + c[1] + c[2] + c[3] + s*(x-1), s * per
	}
	return c[0] + x*(c[1]+x*(c[2]+x*c[3])), (c[1] + x*(2*c[2]+3*x*c[3])) * per
}

// Water returns W and dW/dy on the draining curve at y.
func (t *Table) Water(y float64) (w, dw float64) {
	s, x := t.locate(y)
	return cubic(&s.w, x)
}

// Potential returns the Kirchhoff potential and its derivative at y.
func (t *Table) Potential(y float64) (phi, dphi float64) {
	s, x := t.locate(y)
	if x < 0 {
		return s.phi[0] + t.push*tableStep*x, t.push
	}
	return cubic(&s.phi, x)
}

// Full returns the water content against which errors are judged.
func (t *Table) Full() float64 { return t.full }

// Suction inverts the draining curve: the y at which the material holds w. Outside the table it follows
// the straight continuation.
func (t *Table) Suction(w float64) float64 {
	lo, hi := 0, tableCells
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; t.seg[mid].w[0] >= w {
			lo = mid
		} else {
			hi = mid
		}
	}
	a, b := tableMin+float64(lo)*tableStep, tableMin+float64(lo+1)*tableStep
	if lo == 0 && w > t.seg[0].w[0] {
		return tableMin + (w-t.seg[0].w[0])/t.seg[0].w[1]*tableStep
	}
	if lo == tableCells-1 {
		if v, dv := t.Water(tableMax); w < v {
			return tableMax + (w-v)/dv
		}
	}
	for range 60 {
		mid := (a + b) / 2
		if v, _ := t.Water(mid); v >= w {
			a = mid
		} else {
			b = mid
		}
	}
	return (a + b) / 2
}

// MaterialError says that a material's properties cannot be used.
type MaterialError struct {
	Reason  string
	Suction float64 // Pa; zero when the fault is not tied to a suction
	Value   float64
}

func (e *MaterialError) Error() string {
	if e.Suction == 0 {
		return fmt.Sprintf("wall: material: %s (%g)", e.Reason, e.Value)
	}
	return fmt.Sprintf("wall: material: %s (%g at %.3g Pa suction)", e.Reason, e.Value, e.Suction)
}
