// Package drying answers the plasterer's questions: how a coat behaves in given air (Ladder), and whether
// today is a day to plaster, with a plan of every coat over the days it takes, what could be changed, and the care that follows
// (Check, and Resume of a wall with coats on it). It is a facade: the wall and its moisture are in drying/wall, one coat in
// drying/coat, a wall over days in drying/course, the numbers of finishes and backgrounds in drying/material, what meets the face in
// drying/exposure.
//
// A plan is read off one course of the wall: from the first thing known of it, through the air it has had and will have, with the
// coats that were laid. Of a bare wall starts are tried through the working hours; from each the coats that fit are laid one
// after another, as soon as the one before is dry enough and the trade leaves it no longer. The rest follows on the first working day on
// which it serves; beyond the air that is known it is not before. Where suction was measured at several spots it is laid on the
// slowest and the fastest at once. The verdict is of what is due today. Every change it offers has been worked out by planning
// again (Variant, WhatIf); of a wall with coats on it what was before now stays as it was.
//
// Limits, signs, waits and advice are common practice without a source unless a source stands beside them.
//
// # Not modelled
//
// Salts, rising damp, additives, patches that were not measured, the hand, and whatever the air does after
// the last reading. What a drop test on an earlier coat tells of the bed is not used. That a render coat is damped before the next is
// not either. Of changes: what opened windows let in is the air that came in before; what a dryer gives off as heat is not counted; heat is
// taken to have been on for as long as the air is known; half a wall and one more hand count in the room from the first coat on, or
// not at all where that is laid. Times are the middle of a band whose width the ranges in drying/material give a feel for.
package drying
