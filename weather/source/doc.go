// Package source says which service is asked for a forecast, in what order, and blends a reading taken on
// site into it.
//
// # Not handled
//
// It does not average services: the first that answers is the answer. A bias blended in is one number that
// fades; a forecast that is wrong in its course stays so.
package source
