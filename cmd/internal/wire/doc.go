// Package wire writes answers for programs: JSON in SI units, with exact moments in RFC 3339 and null for one that is not reached. It
// writes what a view holds and knows no lime.
//
// Not in here: the answers that have no view yet (wall, season, thickness and the rest), which cmd/internal/app writes.
package wire
