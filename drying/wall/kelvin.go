package wall

import "math"

// Kelvin's equation makes the vapour over pore water p_sat(T) H(z) with H(z) = exp(-exp(z)) and z = y - ln(rho_w R_v T):
// one function of one number for every material and temperature. It is tabulated as cubics from where a cell is full to where
// it is drier than any air; their steps are so short that a face's balance knows nothing of them (TestFaceBalanceOutdoors).
const (
	kelvinMin   = -20.0
	kelvinMax   = 4.0
	kelvinPer   = 80 // cells per unit of z
	kelvinCells = (kelvinMax - kelvinMin) * kelvinPer
)

type kelvinTable [kelvinCells][4]float64

// kelvins is never written to again.
var kelvins = newKelvinTable()

func newKelvinTable() *kelvinTable {
	k := new(kelvinTable)
	for i := range k {
		a, da := kelvin(kelvinMin + float64(i)/kelvinPer)
		b, db := kelvin(kelvinMin + float64(i+1)/kelvinPer)
		da, db = da/kelvinPer, db/kelvinPer
		k[i] = [4]float64{a, da, 3*(b-a) - 2*da - db, da + db - 2*(b-a)}
	}
	return k
}

// cell returns the cubic for z and the place in it, and no cubic outside the table.
func (k *kelvinTable) cell(z float64) (c *[4]float64, x float64) {
	x = (z - kelvinMin) * kelvinPer
	i := int(x)
	if uint(i) >= kelvinCells || x < 0 {
		return nil, 0
	}
	return &k[i], x - float64(i)
}

// kelvin returns H and dH/dz themselves: a cell outside the table still has to have a slope, or nothing would balance it.
func kelvin(z float64) (h, dh float64) {
	a := math.Exp(z)
	h = math.Exp(-a)
	return h, -a * h
}
