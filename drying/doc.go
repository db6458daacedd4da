// Package drying answers the plasterer's questions: how a coat behaves in given air (Ladder), and whether
// today is a day to plaster, with the times of every coat, what could be changed, and the care that follows
// (Check). It is a facade: the wall and its moisture are in drying/wall, one coat in drying/coat, the numbers
// of finishes and backgrounds in drying/material, what meets the face in drying/exposure.
//
// Check tries starts through the working hours. From each it lays the coats one after another on the state
// of the wall, as soon as the one before allows; where suction was measured at several spots, on the slowest
// and the fastest at once. The answer is for the earliest start with the best verdict. Every change it offers
// has been worked out by laying the day again.
//
// Limits, signs, waits and advice are common practice without a source unless a source stands beside them.
//
// # Not modelled
//
// Salts, rising damp, additives, patches that were not measured, the hand, and whatever the air does after
// the last reading. Times are the middle of a band whose width the ranges in drying/material give a feel for.
package drying
