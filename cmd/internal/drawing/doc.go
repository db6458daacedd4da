// Package drawing draws a day at the wall as SVG: each coat's course in the working hours, the last coat close up
// where its window is short, under each bar a bracket that eight cases in ten of its time fall into, and under them the
// temperatures of air and wall with the dew point and the finish's limits, and sun and rain on the wall where there are any,
// all on one axis of clock time in the job's zone; and below them later days of the plan, a line each in words.
//
// A state is told by words, by the height and the pattern of its bar, and last by its colour, so the picture holds
// in greyscale and for every kind of colour vision. Colours are CSS variables: the one drawing serves light, dark
// and print. Under them each mark has the light's as attributes, for viewers that know no CSS. There is no style attribute and no script. Text is laid out at its largest, that of a phone; where
// there is room a media query makes it smaller, so labels that do not meet on a phone meet nowhere.
//
// It also draws a season: between which days of each year a wall stays safe from frost, and the share of days that can be
// worked by half-month, for each wall and each start. A cell is filled from below by its share, with the days in ten
// as a number over it where there is room, so that a row reads as the year's rise and fall without any colour.
//
// And it draws one coat by itself: the water at its face as it dries, with the states named and, where something was changed,
// the course before ([Drying]); and the coat at several thicknesses ([Ladder]).
//
// And it draws how a wall is held by its hands: the wall seen from the front with its patches in the order of laying, its sections
// and day joints ([Patchwork]), and each hand's day with the damp windows behind the closing ([Hands]).
//
// Not drawn: how shares differ from year to year, how one time hangs on another, the reveals of openings, and anything more than a
// day after a day's axis begins, which is named in words at an open end.
package drawing
