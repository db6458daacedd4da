// Package exposure turns the weather at a place into what meets the face of a wall: so far a wall in a
// room, whose air is the air that was read there.
//
// # Not modelled
//
// The surfaces that the wall sees are taken to be at the temperature of the room's air. Sun through
// glass, and the moisture that the wet wall itself adds to a closed room, are not counted.
package exposure
