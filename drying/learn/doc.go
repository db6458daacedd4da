// Package learn says how far the times of a coat can be trusted, and narrows that by what is seen on sample boards.
//
// What is not known of a coat is a list of unknowns, each a standard normal number here: those of a plasterer with a
// material, which a Timing holds and boards teach, and those of one day, wall, batch and coat. A Draw of all of them
// becomes the factors that package coat follows; many draws (Timing.Draw) give the points of each time below which it
// falls in 10, 50 and 90 of a hundred cases (Quantile). Learn takes boards that were laid and timed, and returns the
// Timing they leave.
//
// # How it learns
//
// The draws are weighed by how likely each makes what was seen (importance weights of an ensemble). Where too few are
// left to count, the most probable values are sought instead, by Gauss and Newton's method, and their covariance is that
// of Laplace's approximation. What is seen is a time between the last look at which a state had not come and the press
// of a key, told with an error that has Student's t distribution, and each coat has a clock of its own, for what the
// model leaves out, with such long tails too: one odd board moves that clock, not the timing, and is pointed out.
//
// Of a coat of a day, an early state is told with an error that is a share of the coat's whole course, and one coat in ten is taken to be
// another than was told: then a look says little of what is not known, and the coat's times follow it all the same (Seen.Agree).
//
// # Conventions
//
// Times are seconds after laying unless said otherwise. Everything random comes from a seed; the same seed gives the
// same answer on any number of cores.
//
// # Not modelled
//
// The unknowns are taken to be independent before anything is seen, and the same for every board but for the day's own.
// A hand that changes within a day, a batch that stiffens in the tub, a wall whose patches differ and a background whose
// own retention is wrong are left to the coat's clock. A Timing is of one finish: what is learned of one says nothing
// here of another. Laplace's approximation takes the posterior for a normal one about its peak: that of the level of gone
// by, whose low end hardly moves a time, leans the other way, so that its truth lies among the timing's lowest tenth almost
// twice as often as it should. Bands of times hold all the same. How well they do is measured, also where the truth is none
// of the model's: see the study in testdata/coverage.
package learn
