package material

import (
	"math"
	"testing"
)

// TestSorptivity against S/sqrt(D0) for D = D0 exp(beta c). beta = 0 is exact, 2/sqrt(pi); the others were
// COMPUTED by the same iteration elsewhere, so they check this code, not the method; package wall's own
// ladder checks the method.
func TestSorptivity(t *testing.T) {
	for beta, want := range map[float64]float64{0: 2 / math.Sqrt(math.Pi), 2: 2.24026, 5: 7.27026, 8: 26.4048} {
		got := sorptivity(func(c float64) float64 { return math.Exp(beta * c) })
		t.Logf("beta %g: %.5f, want %.5f (%+.1e)", beta, got, want, got/want-1)
		if math.Abs(got/want-1) > 1e-3 { // 400 intervals
			t.Errorf("beta %g: %g, want %g", beta, got, want)
		}
	}
}
