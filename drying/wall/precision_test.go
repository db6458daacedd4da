package wall

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
)

// precisionRuns is how often each row of TestWorkPrecision is timed; the least counts. The study runs more.
var precisionRuns = 3

// TestWorkPrecision prints work against error for the reference cases at five tolerances: errors of the three events against the same
// grid with a tolerance of 1e-7, and against the converged grid (COMPUTED with SUNDIALS CVODE; with heat cells eight times finer cells
// of our own). At the default the latter are at most 0.5 %; the former fall with the tolerance. Times are those of one core, printed only.
func TestWorkPrecision(t *testing.T) {
	tolerances := []float64{3e-3, 1e-3, 3e-4, 1e-4, 3e-5}
	var out strings.Builder
	fmt.Fprintf(&out, "\n%-26s %-9s %6s %6s %6s  %-24s  %s\n", "case", "tolerance", "ms", "steps", "Newton", "off own grid, %", "off converged, %")
	cases := readFilmCases(t)
	for i := range len(cases) + 1 {
		c, thermal := cases[max(i-1, 0)], Lumped
		name := fmt.Sprintf("%.2f mm, %.0f C, %.0f %%", c.thick, c.ta, 100*c.rh)
		if i == 0 {
			thermal, name = Conducting, name+", heat"
		}
		p, s, _ := refProblem(t, c, refGraded(c.thick), thermal)
		times := func(p *Problem, s State, tolerance float64) (x [3]float64, st Stats) {
			r, v := refRun(t, p, s, Settings{Tolerance: tolerance, TempTol: 0.05 * tolerance / 3e-4}, 86400)
			return [3]float64{r.opens.At, r.closes.At, r.recoat.At}, v.Stats()
		}
		own, _ := times(p, s, 1e-7)
		converged := [3]float64{60 * c.opens, 60 * c.closes, 60 * c.recoat}
		if thermal == Conducting {
			grid := refGraded(c.thick)
			for range 3 {
				for l := range grid {
					grid[l] = Halved(grid[l])
				}
			}
			q, s, _ := refProblem(t, c, grid, thermal)
			converged, _ = times(q, s, 1e-5)
		}
		var first, last float64 // the worst error on the own grid at the loosest tolerance and at the last
		for k, tolerance := range tolerances {
			least := math.Inf(1)
			var at [3]float64
			var st Stats
			for range precisionRuns {
				began := time.Now()
				at, st = times(p, s, tolerance)
				least = min(least, time.Since(began).Seconds())
			}
			fmt.Fprintf(&out, "%-26s %-9.0e %6.2f %6d %6d ", name, tolerance, 1e3*least, st.Steps, st.Newton)
			var worst, grid float64
			for e := range at {
				worst = max(worst, math.Abs(at[e]/own[e]-1))
				fmt.Fprintf(&out, " %+7.3f", 100*(at[e]/own[e]-1))
			}
			fmt.Fprint(&out, "  ")
			for e := range at {
				grid = max(grid, math.Abs(at[e]/converged[e]-1))
				fmt.Fprintf(&out, " %+6.2f", 100*(at[e]/converged[e]-1))
			}
			fmt.Fprintln(&out)
			if tolerance == 3e-4 && grid > 0.005 {
				t.Errorf("%s: an event off by %.2f %% at the default", name, 100*grid)
			}
			if k == 0 {
				first = worst
			} else if worst > last+1e-4 {
				t.Errorf("%s: an event off by %.1e at %g, by %.1e at %g", name, last, tolerances[k-1], worst, tolerance)
			}
			last = worst
		}
		if last > max(first/5, 2e-4) {
			t.Errorf("%s: events off by %.1e at %g, and still by %.1e at %g", name, first, tolerances[0], last, tolerances[len(tolerances)-1])
		}
	}
	// As noted with the reference: 36 cells, a banded Jacobian of difference quotients, much of the time in calls of pow.
	fmt.Fprintf(&out, "%-26s %-9s %6s %6s\n", "the second by CVODE", "to 0.5 %", "6", "237")
	t.Log(out.String())
}
