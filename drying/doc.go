// Package drying answers the plasterer's questions: how a coat behaves in given air (Ladder), and whether
// today is a day to plaster, with the times of every coat (Check). It is a facade: the wall and its
// moisture are in drying/wall, one coat in drying/coat, the numbers of finishes and backgrounds in
// drying/material, what meets the face in drying/exposure.
//
// # Not modelled
//
// Salts, rising damp, additives, patches of filler, the hand, and whatever the air does after the last
// reading. Times are the middle of a band whose width the ranges in drying/material give a feel for.
package drying
