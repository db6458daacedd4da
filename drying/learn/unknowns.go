package learn

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"limeday/drying/coat"
	"limeday/drying/material"
)

// Unknown is one thing about a plasterer with a material that boards can teach.
type Unknown int

// The unknowns of a Timing, in their order there.
const (
	DryingClock  Unknown = iota // how fast water leaves the face, against the model
	SuctionClock                // how fast the background drinks
	OpeningLevel                // how wet the face is when this hand finds it ready to compress
	ClosingLevel                // how dry it is when this hand finds it gone by
	BatchWater                  // how wet this material is mixed, beyond its shrinkage limit
	WaterRelease                // how readily the coat gives its water to a background: R
	unknowns
)

// Unknowns lists them.
func Unknowns() []Unknown {
	return []Unknown{DryingClock, SuctionClock, OpeningLevel, ClosingLevel, BatchWater, WaterRelease}
}

// String is the unknown in the plasterer's words.
func (u Unknown) String() string {
	return [...]string{"drying clock", "suction clock", "level of opening", "level of gone by", "water of the batch", "water release"}[u]
}

// Spread is how far one unknown is uncertain before anything is seen: the standard deviation of what Of says.
type Spread struct {
	Name string
	Of   string
	material.Property
}

// The spreads; Spreads says what each is.
const (
	sdDrying  = 0.20
	sdSuction = 0.30
	sdOpens   = 0.80
	sdCloses  = 0.75
	sdWall    = 0.30
	sdTested  = 0.20
	sdBatch   = 0.10
	sdHand    = 0.12
	sdTub     = 0.04
	sdSpeed   = 0.35
	sdCoat    = 0.13
	sdSeen    = 0.08
	sdEarly   = 0.25
)

// Spreads lists them. Those of the batch water and of water release follow from the finish's own ranges, taken as the 5
// and 95 % points.
func Spreads() []Spread {
	spread := func(name, of string, v, low, high float64, why string) Spread {
		return Spread{name, of, material.Property{Value: v, Low: low, High: high, Unit: "-", Evidence: material.Estimate, Source: why + "; judgement, no source"}}
	}
	return []Spread{
		spread("drying clock", "ln of the factor", sdDrying, 0.1, 0.3, "coefficients at walls in rooms are known to a fifth"),
		spread("suction clock", "ln of the factor", sdSuction, 0.2, 0.5, "one primer as one crew puts it on"),
		spread("level of opening", "ln(odds) of its place between shrinkage limit and edge", sdOpens, 0.5, 1.2, "spans the range of the finishes' opening share"),
		spread("level of gone by", "ln(odds) of its place between dry and burnish", sdCloses, 0.5, 1, "spans the range of the finishes' closing saturation"),
		spread("suction of this wall", "ln of the factor", sdWall, 0.2, 0.5, "walls of one kind differ"),
		spread("suction of this wall, measured", "ln of the factor", sdTested, 0.1, 0.4, "a drop's disc is known to a fifth"),
		spread("this batch", "ln of the factor on its water beyond the shrinkage limit", sdBatch, 0.05, 0.2, "some 3 % of the water of a batch"),
		spread("thickness by hand", "ln of the factor", sdHand, 0.05, 0.2, "a thin coat laid by hand"),
		spread("thickness by tub weight", "ln of the factor", sdTub, 0.02, 0.08, "scales, waste and area"),
		spread("speed of the air", "ln of the factor", sdSpeed, 0.2, 0.6, "air along a wall is seldom measured"),
		spread("a coat's own clock", "ln of the factor, scale of Student's t of 4 degrees", sdCoat, 0.08, 0.2, "what the model leaves out: some 15 % of a time"),
		spread("a state as seen", "ln of the time, scale of Student's t of 4 degrees", sdSeen, 0.03, 0.15, "a state is told by eye and hand"),
		spread("an early state", "share of what is left of the coat's course, scale of Student's t of 4 degrees", sdEarly, 0.1, 0.4, "the first minutes hang on the hand and on the bed's last water, which the model leaves out"),
	}
}

// ninetyfive is the 95 % point of the standard normal distribution.
const ninetyfive = 1.6448536269514722

// twoPiece is the factor exp(sd z) on a number whose range low to high holds 90 of a hundred cases, with an sd of its own
// on either side.
func twoPiece(value, low, high, z float64) float64 {
	if z < 0 {
		return math.Pow(low/value, -z/ninetyfive)
	}
	return math.Pow(high/value, z/ninetyfive)
}

// steepest bounds what a standard normal number counts for: a fit may try anything.
const steepest = 4.0

// Lay is the unknowns of one lay: of the wall, the air, the batch, the hand, and the model itself. All are standard
// normal numbers.
type Lay struct {
	Wall, Batch       float64
	Temperature       float64 // of the air, in sd's of its error
	Vapour            float64
	Speed             float64
	Thickness, Clock  float64
	Measured, Weighed bool // the wall's suction was measured; the thickness is by tub weight
	Learned           Learned
}

// Factors are those of a finish for a plasterer's unknowns theta, in the order of Unknowns, and one lay's.
func (l Lay) Factors(m material.Finish, theta []float64) coat.Factors {
	z := func(u Unknown) float64 { return bound(theta[u]) }
	wall, hand := sdWall, sdHand
	if l.Measured {
		wall = sdTested
	}
	if l.Weighed {
		hand = sdTub
	}
	sh := m.ShrinkageLimit.Value
	w := m.WaterRatio
	// The range of the water ratio may begin at the shrinkage limit or below: a batch has some water beyond it.
	low := max(w.Low-sh, 0.1*(w.Value-sh))
	return coat.Factors{
		Drying:       math.Exp(sdDrying * z(DryingClock)),
		Suction:      math.Exp(sdSuction*z(SuctionClock) + wall*bound(l.Wall)),
		Desorptivity: twoPiece(m.Desorptivity.Value, m.Desorptivity.Low, m.Desorptivity.High, z(WaterRelease)),
		Excess:       twoPiece(w.Value-sh, low, w.High-sh, z(BatchWater)) * math.Exp(sdBatch*bound(l.Batch)),
		Thickness:    math.Exp(hand * bound(l.Thickness)),
		Opens:        sdOpens * z(OpeningLevel),
		Closes:       sdCloses * z(ClosingLevel),
	}
}

func bound(z float64) float64 { return min(max(z, -steepest), steepest) }

// tails is Student's t of the long tails here.
func tails() distuv.StudentsT { return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: 4} }

// Slow is the factor of the coat's own clock on every time of the coat.
func (l Lay) Slow() float64 {
	return math.Exp(sdCoat * tails().Quantile(distuv.UnitNormal.CDF(bound(l.Clock))))
}
