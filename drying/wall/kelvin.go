package wall

import "math"

// Kelvin's equation makes the vapour over pore water p_sat(T) H(z) with H(z) = exp(-exp(z)) and z = y - ln(rho_w R_v T):
// one function of one number for every material and temperature. It is tabulated as cubics over the range in which
// it differs from 1 and 0 by more than rounding in a flux; their steps are so short that a face's balance knows
// nothing of it (TestFaceBalanceOutdoors).
const (
	kelvinMin   = -28.0
	kelvinMax   = 4.0
	kelvinPer   = 80 // cells per unit of z
	kelvinCells = (kelvinMax - kelvinMin) * kelvinPer
)

type kelvinTable [kelvinCells][4]float64

// kelvins is never written to again.
var kelvins = newKelvinTable()

func newKelvinTable() *kelvinTable {
	k := new(kelvinTable)
	at := func(i int) (h, dh float64) {
		a := math.Exp(kelvinMin + float64(i)/kelvinPer)
		h = math.Exp(-a)
		return h, -a * h / kelvinPer
	}
	for i := range k {
		a, da := at(i)
		b, db := at(i + 1)
		k[i] = [4]float64{a, da, 3*(b-a) - 2*da - db, da + db - 2*(b-a)}
	}
	return k
}

// cell returns the cubic for z and the place in it; beyond its ends the table stays as it is there, 1 and 0 but for rounding.
func (k *kelvinTable) cell(z float64) (c *[4]float64, x float64) {
	x = (z - kelvinMin) * kelvinPer
	i := 0
	if !(x > 0) {
		x = 0
	} else if i = int(x); i >= kelvinCells {
		i, x = kelvinCells-1, kelvinCells
	}
	return &k[i], x - float64(i)
}
