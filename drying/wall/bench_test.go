package wall

import (
	"math"
	"testing"
)

// speedProblem is the speed problem of the reference film: its first case on 36 cells, for 24 h.
func speedProblem(t testing.TB, thermal Thermal) (*Problem, State) {
	c := readFilmCases(t)[0]
	p, s, _ := refProblem(t, c, refGraded(c.thick), thermal)
	if p.Cells() != 36 {
		t.Fatalf("%d cells; the speed problem has 36", p.Cells())
	}
	return p, s
}

func benchmarkSpeed(b *testing.B, thermal Thermal) {
	p, s := speedProblem(b, thermal)
	b.ReportAllocs()
	var v *Solver
	for b.Loop() {
		_, v = refRun(b, p, s, Settings{}, 86400)
	}
	b.ReportMetric(float64(v.Stats().Steps), "steps")
}

// BenchmarkSpeedProblem is the speed problem as the reference runs it: one temperature. At most 2 ms is
// asked; TestLadderConvergence and TestSpeedProblemSettings show that these settings give its events
// within 0.5 % of the converged ones.
func BenchmarkSpeedProblem(b *testing.B) { benchmarkSpeed(b, Lumped) }

// BenchmarkSpeedProblemHeat is the same with heat cells on; at most 4 ms is asked.
func BenchmarkSpeedProblemHeat(b *testing.B) { benchmarkSpeed(b, Conducting) }

// BenchmarkAdvanceOnly leaves out making the solver.
func BenchmarkAdvanceOnly(b *testing.B) {
	p, s := speedProblem(b, Lumped)
	b.ReportAllocs()
	for b.Loop() {
		b.StopTimer()
		v := newSolver(b, p, s, Settings{})
		b.StartTimer()
		if err := v.Advance(86400); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkTabulate is what a material costs once.
func BenchmarkTabulate(b *testing.B) {
	for b.Loop() {
		if _, err := Tabulate(refFilm{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkNewFluid is what a fluid costs once.
func BenchmarkNewFluid(b *testing.B) {
	for b.Loop() {
		NewFluid(StandardFluid(101325))
	}
}

// BenchmarkExchange is a face in air that changes from hour to hour and a room about it: what a stage asks of them first, and
// what every iteration asks.
func BenchmarkExchange(b *testing.B) {
	face := standardFace(hourly(24))
	room := NewRoom(RoomSpec{Volume: 50, AirChanges: 1, Area: 20, Rest: 80, Buffer: 1e-4}, standardFace(hourly(24)), 0)
	room.Prepare(0)
	room.Stage(Trapezoid, 60)
	for name, f := range map[string]Boundary{"face": face, "room": room} {
		b.Run(name+"/prepare", func(b *testing.B) {
			t := 0.0
			for b.Loop() {
				f.Prepare(t)
				t = math.Mod(t+60, 86400)
			}
		})
		b.Run(name+"/exchange", func(b *testing.B) {
			f.Prepare(0)
			var x Exchange
			s := Surface{Y: 10, Pressure: 1500, Temperature: 12}
			for b.Loop() {
				f.Exchange(&s, &x)
				s.Temperature = 24 - s.Temperature + 1e-3
			}
		})
	}
}

// TestSpeedProblemSettings: the very settings of the benchmarks give events within 0.5 % of the
// grid-converged values: those printed with the reference for one temperature (COMPUTED with SUNDIALS
// CVODE), and an eight times finer run of our own for heat cells.
func TestSpeedProblemSettings(t *testing.T) {
	for _, thermal := range []Thermal{Lumped, Conducting} {
		p, s := speedProblem(t, thermal)
		r, v := refRun(t, p, s, Settings{}, 86400)
		c := readFilmCases(t)[0]
		want := [3]float64{c.opens, c.closes, c.recoat}
		if thermal == Conducting {
			grid := refGraded(c.thick)
			for range 3 {
				for l := range grid {
					grid[l] = Halved(grid[l])
				}
			}
			q, s, _ := refProblem(t, c, grid, thermal)
			fine, _ := refRun(t, q, s, Settings{Tolerance: 1e-5, TempTol: 2e-3}, 86400)
			want = [3]float64{fine.opens.At / 60, fine.closes.At / 60, fine.recoat.At / 60}
		}
		t.Logf("thermal %d: %+v", thermal, v.Stats())
		for i, e := range []Crossing{r.opens, r.closes, r.recoat} {
			rungRel(t, [...]string{"opens", "closes", "recoat"}[i]+", min", want[i], e.At/60, 0.005, "speed problem")
		}
	}
}

// TestAdvanceAllocatesNothing: ten times the steps, no allocation more.
func TestAdvanceAllocatesNothing(t *testing.T) {
	for _, thermal := range []Thermal{Isothermal, Lumped, Conducting} {
		for name, front := range map[string]Boundary{"reference air": nil, "face in hourly air": standardFace(hourly(24))} {
			p, s := speedProblem(t, thermal)
			if front != nil {
				p.Front = front
			}
			steps := 0
			allocs := func(maxStep float64) float64 {
				v := newSolver(t, p, s, Settings{MaxStep: maxStep})
				opens := Crossing{End: 1, Level: refUsh}
				obs := []Observer{&opens}
				end := 0.0
				n := testing.AllocsPerRun(5, func() {
					end += 4 * 3600
					if err := v.Advance(end, obs...); err != nil {
						t.Fatal(err)
					}
				})
				steps = v.Stats().Steps
				return n
			}
			few := allocs(math.Inf(1))
			stepsFew := steps
			many := allocs(60)
			t.Logf("thermal %d, %s: %g allocations in %d steps, %g in %d", thermal, name, few, stepsFew, many, steps)
			if few != 0 || many != 0 {
				t.Errorf("thermal %d, %s: %g allocations an Advance, %g with more steps; want none", thermal, name, few, many)
			}
		}
	}
}
