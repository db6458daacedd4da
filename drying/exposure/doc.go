// Package exposure turns the weather at a place into what meets the face of a wall: so far a wall in a room,
// whose air is that read there, or estimated from the air outside.
//
// # Not modelled
//
// The surfaces that the wall sees are taken to be at the temperature of the room's air. What the wet wall
// itself gives the room is not added here but solved with the wall (wall.Room).
package exposure
