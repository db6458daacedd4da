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
	seg     *[tableCells]segment // shared with what Conducting makes of it, and never written to again
	liquid  float64              // factor on the potential
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

// Together is implemented by a Material that gives all its properties at one y for little more than one of them.
type Together interface {
	Together(y float64) (w, dw, phi, dphi, vapour float64)
}

// A material is sampled at the ends and in the middle of stretches of cells. Where the cubic over one misses it there by no
// more than smooth, as a share of the full water content or of the potential's range, those over the halves, some 16 times
// as near, are cut into cells; if not, each half is a stretch. Where these come to an odd number of cells, as at a kink, every
// node is sampled.
const (
	stretch = 20
	smooth  = 1e-5
)

// sampled is a material at a node.
type sampled struct{ w, dw, phi, dphi, vap float64 }

// sampler samples a material at the nodes of a table, and keeps the first thing that is wrong with it.
type sampler struct {
	m        Material
	together Together // m, or nil
	full     float64
	span     float64 // range of the potential
	err      error
}

func nodeAt(i int) float64 { return tableMin + float64(i)*tableStep }

func (s *sampler) fail(reason string, i int, value float64) {
	if s.err == nil {
		s.err = &MaterialError{Reason: reason, Suction: math.Exp(nodeAt(i)), Value: value}
	}
}

// at samples node i.
func (s *sampler) at(i int) (q sampled) {
	y := nodeAt(i)
	if s.together != nil {
		q.w, q.dw, q.phi, q.dphi, q.vap = s.together.Together(y)
	} else {
		q.w, q.dw = s.m.Water(y)
		q.phi, q.dphi = s.m.Potential(y)
		q.vap = s.m.Vapour(y)
	}
	for _, v := range [...]float64{q.w, q.dw, q.phi, q.dphi, q.vap} {
		if v-v != 0 { // NaN or infinite
			s.fail("property is not a finite number", i, v)
		}
	}
	if q.dw > 0 || q.dphi > 0 {
		s.fail("holds or conducts more at higher suction", i, max(q.dw, q.dphi))
	}
	q.w -= storageFloor * s.full * y
	q.dw -= storageFloor * s.full
	if y < wetEnd {
		q.w += wetStorage * s.full * (wetEnd - y)
		q.dw -= wetStorage * s.full
	}
	return q
}

// join gives the cubics from a, at node i, to b, n cells on.
func (s *sampler) join(i, n int, a, b *sampled) (w, phi [4]float64) {
	if b.w > a.w {
		s.fail("holds more water at higher suction", i, b.w)
	}
	if b.phi > a.phi+1e-12*(math.Abs(a.phi)+math.Abs(b.phi)) { // rounding apart
		s.fail("has a potential that rises with suction", i, b.phi)
	}
	h := float64(n) * tableStep
	return hermite(a.w, b.w, a.dw*h, b.dw*h), hermite(a.phi, b.phi, a.dphi*h, b.dphi*h)
}

// Tabulate samples m. It returns an error naming the place when m gives a value that is not finite, or
// holds more water at higher suction.
func Tabulate(m Material) (*Table, error) {
	t := &Table{seg: new([tableCells]segment), liquid: 1, heat: m.Heat(), full: m.Full(), shrunk: math.Inf(-1), flatVap: true}
	if !(t.full > 0) || math.IsInf(t.full, 0) {
		return nil, &MaterialError{Reason: "full water content must be positive and finite", Value: t.full}
	}
	if h, ok := m.(Hysteresis); ok {
		t.offset, t.shrunk = h.Wetting()
		t.play = t.offset > 0 || !math.IsInf(t.shrunk, -1)
	}
	s := sampler{m: m, full: t.full}
	s.together, _ = m.(Together)
	left, last := s.at(0), s.at(tableCells)
	s.span = left.phi - last.phi
	for i := 0; i < tableCells && s.err == nil; i += stretch {
		right := s.at(i + stretch)
		s.fill(t.seg[i:i+stretch], i, &left, &right)
		left = right
	}
	if s.err != nil {
		return nil, s.err
	}
	for i := range t.seg {
		t.flatVap = t.flatVap && t.seg[i].vap[1] == 0
	}
	t.push = min(t.seg[0].phi[1]/tableStep, push*(last.phi-t.seg[0].phi[0]))
	return t, nil
}

// fill makes the stretch of cells that begins at node i.
func (s *sampler) fill(seg []segment, i int, left, right *sampled) {
	n := len(seg)
	if n%2 == 1 {
		a := *left
		for j := range seg {
			b, g := *right, &seg[j]
			if j < n-1 {
				b = s.at(i + j + 1)
			}
			g.w, g.phi = s.join(i+j, 1, &a, &b)
			g.vap = [2]float64{a.vap, b.vap - a.vap}
			a = b
		}
		return
	}
	mid := s.at(i + n/2)
	w, phi := s.join(i, n, left, right)
	if h := float64(n) * tableStep; !meets(&w, mid.w, mid.dw*h, smooth*s.full) || !meets(&phi, mid.phi, mid.dphi*h, smooth*s.span) {
		s.fill(seg[:n/2], i, left, &mid)
		s.fill(seg[n/2:], i+n/2, &mid, right)
		return
	}
	// The vapour factor is a parabola over the stretch.
	dv := 4*(mid.vap-left.vap) - (right.vap - left.vap)
	ddv := right.vap - left.vap - dv
	vap, per := left.vap, 1/float64(n)
	for k, ends := range [2][2]*sampled{{left, &mid}, {&mid, right}} {
		half := seg[k*n/2:][:n/2]
		w, phi := s.join(i+k*n/2, n/2, ends[0], ends[1])
		finer(&w, 2*per)
		finer(&phi, 2*per)
		for j := range half {
			g, z := &half[j], float64(k*n/2+j+1)*per
			g.w, g.phi = part(&w, float64(j)), part(&phi, float64(j))
			next := left.vap + z*(dv+z*ddv)
			g.vap = [2]float64{vap, next - vap}
			vap = next
		}
	}
}

// meets tells whether the cubic has value v and slope dv in the middle, to within tol.
func meets(c *[4]float64, v, dv, tol float64) bool {
	return math.Abs(c[0]+c[1]/2+c[2]/4+c[3]/8-v) <= tol && math.Abs(c[1]+c[2]+0.75*c[3]-dv) <= tol
}

// finer makes c a cubic in cells, h of its range each.
func finer(c *[4]float64, h float64) {
	c[1], c[2], c[3] = c[1]*h, c[2]*(h*h), c[3]*(h*h*h)
}

// part is the cubic c from x to x+1 as one over its own [0,1].
func part(c *[4]float64, x float64) [4]float64 {
	a, b := c[3]*x, c[2]+c[3]*x
	return [4]float64{c[0] + x*(c[1]+x*b), c[1] + x*(2*b+a), b + 2*a, c[3]}
}

// Conducting is the same material with a liquid conductivity k times as great, as of a layer whose sorptivity is
// sqrt(k) times as great. Water, vapour and heat stay as they are. It panics unless k is positive and finite.
func (t *Table) Conducting(k float64) *Table {
	if !(k > 0) || math.IsInf(k, 0) {
		panic("wall: a conductivity must be positive and finite")
	}
	s := *t
	s.liquid *= k
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
		if r := al*al + be*be; r > 9 {
			r = 3 / math.Sqrt(r)
			al, be = al*r, be*r
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

// value and slope are those of a cubic within its cell, the slope by y of a table's.
func value(c *[4]float64, x float64) float64 { return c[0] + x*(c[1]+x*(c[2]+x*c[3])) }

func slope(c *[4]float64, x float64) float64 {
	return (c[1] + x*(2*c[2]+3*x*c[3])) * (1 / tableStep)
}

func cubic(c *[4]float64, x float64) (v, dv float64) {
	if x < 0 || x > 1 {
		return beyond(c, x)
	}
	return value(c, x), slope(c, x)
}

// beyond is the straight line on which a cubic goes on outside the table.
func beyond(c *[4]float64, x float64) (v, dv float64) {
	const per = 1 / tableStep
	if x < 0 {
		return c[0] + c[1]*x, c[1] * per
	}
	s := c[1] + 2*c[2] + 3*c[3]
	return c[0] + c[1] + c[2] + c[3] + s*(x-1), s * per
}

// Water returns W and dW/dy on the draining curve at y.
func (t *Table) Water(y float64) (w, dw float64) {
	s, x := t.locate(y)
	return cubic(&s.w, x)
}

// Potential returns the Kirchhoff potential and its derivative at y.
func (t *Table) Potential(y float64) (phi, dphi float64) {
	q := t.flow(y)
	return t.liquid * q.phi, t.liquid * q.phiY
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
