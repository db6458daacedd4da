// Package exposure turns the weather at a place into what meets the face of a wall: in a room, the air read
// there, or estimated from the air outside; outdoors, wind along the face, sun, sky and rain after shelter and
// cover.
//
// # Not modelled
//
// In a room the surfaces that the wall sees are taken to be at the temperature of its air, and what the wet wall
// itself gives the room is not added here but solved with the wall (wall.Room). Outdoors there is no flow round
// a building (a lee wall has the same wind as one that faces it), no snow, no splash or run-off, no shadow of
// trees or neighbours, and one share of the airfield's driving rain stands for ground, obstacles and wall.
// Behind sheeting and in a tent the air is that of the weather: neither what the wet wall gives it nor the warmth
// the sun leaves under the cloth is counted. A room behind the wall keeps its temperature and takes no moisture;
// a cavity is still air of one resistance; behind a wall with no room no heat passes.
package exposure
