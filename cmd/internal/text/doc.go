// Package text lays out words for a terminal of [Width] columns.
//
// Everything here is total: any text gives lines of at most Width cells, without control codes, in time that grows
// with its length. A cell is the width of a digit; an ideograph or an emoji takes two, a combining mark none
// (Unicode Standard Annexes 11 and 29, by github.com/rivo/uniseg). What does not print, and is no blank, becomes a
// question mark.
//
// Not modelled: text from right to left is not reordered, the terminal does that; lines are broken at blanks only,
// not by the rules of a language; the cells that a terminal gives to a character may differ from the standard's.
package text
