// Package wall solves heat and moisture in a wall that dries: one dimension, layers from the face
// inwards, a fresh coat on top that shrinks, and what stands before both faces. It knows cells,
// materials and boundaries, and nothing of plaster or plasterers.
//
// # Model
//
// The unknown of a cell is y = ln(suction in Pa), continuous across layers, so a background pulls water
// out of a coat by itself. A layer is cut along a measure in which its solid rests: depth, or solid mass
// for a coat that shrinks. With W the water per unit measure,
//
//		dW/dt = -dg/dx,   g = -f(T) dPhi/dx - delta(T) v dp_v/dx
//
//	  - Liquid: Phi(y) is the Kirchhoff potential, the integral of the conductance over suction, so that the
//	    flux through a dry front is exact for each pair of nodes; f(T) is surface tension over viscosity
//	    relative to 20 C.
//	  - Vapour: delta is the permeability of still air, v the layer's share of it (1/mu), and p_v = p_sat(T)
//	    exp(-suction/(rho_w R_v T)), Kelvin's equation.
//	  - Heat, in a Conducting wall: enthalpy is (c_dry + W c_w) T; conduction, and what the two fluxes carry,
//	    latent heat with the vapour. A Lumped wall has one temperature in balance with its faces and stores
//	    no heat; an Isothermal one keeps its first.
//	  - Hysteresis: a material may wet at a lower suction than it drains at, and consolidate for good; see
//	    [Hysteresis]. Within the play water moves along 2 % of the slope.
//
// A [Face] stands in air: natural convection at a vertical plate (Churchill & Chu 1975) driven by virtual
// temperature, blended with forced flow; mass transfer by the Lewis relation with Le^(2/3); long wave by
// the fourth power; absorbed sun. A [Room] is a Face whose air the wall fills. [Held] holds the conditions
// of the exact problems.
//
// # Method
//
// Finite volumes with a node without storage at each face and joint; TR-BDF2 (Bank et al. 1985; Hosea &
// Shampine 1996, from memory) in the mixed form (Celia, Bouloutas & Zarba 1990, Water Resour. Res. 26,
// 1483-1496, from memory): water and enthalpy themselves are carried by the fluxes, so the balances close
// to rounding whatever Newton leaves over. Materials are tabulated ([Table]), and Kelvin's factor once for
// all of them. Steps are controlled by the error in W, and end on every record of the boundaries, where
// conditions may bend but do not jump. Newton's method begins on the parabola through what is past and
// ends when what it leaves over in storage is less than a step's own error; whether curves bend more than
// that is looked at. Fluxes, rows and elimination are one pass from the rear to the front. Events are found
// on the parabola through a step, and shorter steps tried beside it where it is long ([Crossing]).
//
// # Units
//
// SI throughout: kg, m, s, J, Pa; temperature in degrees Celsius; suction positive, as its logarithm y;
// water W in kg/m3 where the measure is depth and kg/kg where it is solid mass; fluxes in kg/(m2 s),
// positive from the face inwards inside the wall, and positive leaving the wall at a [Boundary].
//
// # Verification
//
// Every rung runs this solver with a test material; `go test -v -run Ladder` prints the whole table. The
// figures below are the largest differences measured at the settings of the tests.
//
//	plane sheet, surface evaporation (Crank 1975, from memory): L 0.1, 1, 5, 10
//	    fraction lost 3e-5; profile 2e-4
//	constant flux into a slab (Crank 1975, from memory): profile 1.4e-5, face 4e-5
//	sorptivity, exponential diffusivity, beta 0, 2, 5, 8 (COMPUTED): 0.01 %
//	HAMSTAD WP2 Benchmark 2, 100, 300, 1000 h (exact series): 0.006 kg/m3; mass lost 0.02 %
//	EN 15026 Annex A as similarity solutions (COMPUTED; vapour permeability from memory):
//	    D, liquid only: 0.07 kg/m3 (7 d; later 0.02), uptake 0.13 %
//	    C, with vapour: 0.02 kg/m3, uptake 0.04 %
//	    A, with heat: 0.02 kg/m3, uptake 0.08 %, 0.007 K
//	receding front, t = w d^2/(2 delta dp): water out 0.01 %
//	contact of two media: A = R(p) = S(p) within 0.06 % (a front as sharp as the solver takes: 1 %)
//	    sharp-front formula 1/A^2 = 1/R^2 + 1/S^2 (Collier et al. 2007, from memory): +3, -7 % for
//	    films on boards, 2 % for a cake on a sharp front
//	reference film, four cases (COMPUTED, SUNDIALS CVODE): opens 0.44 %, closes 0.10 %, recoat 0.17 %
//	    tolerance/10 moves an event by at most 0.26 %, halved cells by at most 0.15 %
//	observed order: 2.0 in time, 2.0 in space
//	balances after every step: water 1e-15 of the start, heat 3e-12 of what has moved; over 360 walls drawn
//	    at random, sharp and saturated ones with them, 7e-15 and 9e-15
//	360 walls drawn at random against a run ten times tighter: 95 % of events within 0.3 %, worst 0.9 %
//	    (1.9 % of those that a tolerance of water moves by more); 6 runs of 2,880 find no solution
//	Penman-Monteith, FAO-56 examples 17 and 18 (19 from memory), their resistances as a boundary: 5.715 of
//	    5.72 and 3.956 of 3.880 mm/d; the curve of saturation, which Penman's line leaves out, explains the
//	    difference to 0.2 %
//	vertical plate: Nusselt numbers of Incropera's Example 9.2 to their last digit
//	wet face at given coefficients (COMPUTED): to the rounding of the table; the Face's own Lewis factor
//	    and radiation make it 2 to 5 % less
//	Jacobian: every entry against the difference quotient, 5e-5
//
// Work and precision of the speed problem (36 cells, 24 h; opens, closes, recoat off the converged values),
// as `go test -v -run WorkPrecision` prints it; times of one core of an AMD EPYC, in one run:
//
//	                      tolerance   ms   steps  Newton   off, %
//	one temperature       3e-3       0.23    33    148    -0.59 +0.03 +0.12
//	                      3e-4       0.38    66    236    -0.14 +0.08 +0.10
//	                      3e-5       0.65   135    366    +0.03 +0.09 +0.10
//	the solver before it  3e-4       2.24    83    391    -0.14 +0.08 +0.10
//	heat cells            3e-3       0.40    31    139    -0.74 -0.02 +0.05
//	                      3e-4       0.69    59    242    -0.23 +0.08 +0.10
//	                      3e-5       1.06   121    346    -0.04 +0.11 +0.11
//	the solver before it  3e-4       2.81    76    366    -0.23 +0.08 +0.10
//	CVODE (COMPUTED)      to 0.5 %   6      237
//
// Over free water lying flat, other equations give more: the Face evaporates 0.7 to 1.3 times what Uno
// (1998) gives at the same surface temperature, and 0.4 to 0.6 times the natatorium equation.
//
// # Not modelled
//
//   - Gravity, and air moving through the wall.
//   - Salts, chemical reaction (carbonation takes and gives water elsewhere), ice. Below 0 C pore water is
//     taken as liquid.
//   - Temperature's effect on retention. Kelvin's equation has it; W(y) has not.
//   - Hysteresis of conductance: it is one function of y, also where storage is hysteretic.
//   - Cracks, and water bridging a gap; contact resistance is a number, for liquid only, and hardly resists
//     heat.
//   - Shrinkage in the plane of the wall. A coat gets thinner, not narrower.
//   - Sorption of the coat in motion: equilibrium between vapour and pore water within a cell is immediate.
//   - Positive pressure. Beyond saturation a cell has a small specific storage (1e-5 of full per unit of y
//     below 100 Pa) and pushes water on; a face sheds what it cannot take.
//   - Air at perfect rest: below about 1 K of difference natural convection hardly weakens (ESTIMATE). In
//     hotter (over 30 C) or drier (under 20 %) still air a Lumped wall may have two temperatures in balance
//     and stop with a [ConvergenceError] where it would have to jump; a Conducting wall does not.
//   - Layers whose vapour factor falls steeply with wetness: the mean of two nodes is used, and on coarse
//     cells at a face there may be no balance.
//   - Retention steeper than about S ~ 1/(1+(p/p0)^12): a cell on a plateau of such a curve has no suction
//     of its own, and steps may become too small.
package wall
