// Package course is a wall over days: a bare wall that stands in the air it has had, the coats put on it at their times, and
// the air to come. Everything that is told of a wall is read off one course of it; nothing else stands a wall up.
//
// A [Course] stands at a moment, under one draw of what is not known. It can be branched, so that several futures are
// followed from one past. What was done to the wall is a deed (damped, misted, laid); what was seen of it is a look (the
// temperature of its face, the air of its room).
//
// Not modelled: that a coat is worked while it dries (compressing presses water out and closes pores), salts, and water that
// comes from behind the wall or the ground.
package course
