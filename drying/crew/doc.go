// Package crew works out how much wall a crew can lay and still compress and burnish inside the damp window, and who does what
// when. [New] takes walls, coats, crew and air to a [Plan].
//
// A wall is cut into patches: strips no wider than a hand lays before the edge of the strip before is lost, each from the top
// down, lift by lift. Every operation goes over the patches in the order of laying, from an internal corner to the other side. A
// patch takes as long as it is laid at the hand's rate; its first part is laid when that begins and its last when it ends,
// and both parts must be worked inside windows of their own:
//
//   - compressing begins no sooner than the part opens, burnishing no sooner than it can be burnished, and both are over
//     before it has gone by;
//   - beside a patch the next one is laid, height by height, before that height has dried, and below it the next begins before its
//     lower edge has;
//   - a hand is in one place, goes back along the wall in its time, and keeps its breaks.
//
// The windows are runs of the model ([drying.Layings]) at moments through the day, straight between them, each turned towards the
// careful side where a patch laid later would open sooner or go by sooner than one laid before it.
//
// # Timing a plan
//
// A plan is a section, the hour it begins and, for each hand, the order of its work. Given these each of the conditions above
// says that one time is no sooner than a rising function of another, so there is an earliest timetable that keeps them all, or none
// at all; it is found by letting the times rise until nothing moves (Knaster-Tarski; from memory). The same orders are timed
// at the earliest, likely and latest windows, and under each draw of what is not known. A plan holds for the band where it has a
// timetable at all three (which may be asking more than that, as not everything is at its earliest at once) or, where one made for the
// likely windows holds more, in eight draws of ten; its risk is the share of the draws in which it has none, or needs another day.
//
// # Which orders are looked at
//
// The orders tried are those of one rule: lay a number of patches, turn back, close them, go on; or lay on while others follow;
// with every split of the hands between compressing and burnishing, and burnishing a few patches behind. An order that holds
// goes on holding when windows grow longer or hands are added, so neither makes the section smaller. For sections of up to six patches
// and two hands every order there is is looked at, up to some hundred thousand (then Exact is not claimed). For others the most that
// any order could do is bounded by what laying alone allows and by the hands' time; the difference is told as the gap.
//
// The last coat is searched for together with the one under it, section by section, since how long that has dried decides its
// window. Of the coats under the last the edges may dry before they are met where nothing else holds as much: the next covers them.
//
// # Not here
//
// Prices. That a hand tires, or a patch differs from the next in suction or thickness: a draw is one day's, for the whole wall.
// That a patch meets a room which the patches before it have filled with vapour: each finds it as the first does. How rates depend on
// thickness and reach. Scaffolding, other than that its lifts part the wall. The draws are followed at one moment of laying for each
// coat; at others the likely times are stretched as they were there (TestSpreadCarries).
package crew
