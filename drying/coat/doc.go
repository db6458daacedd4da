// Package coat lays one coat of a finish on a wall and follows its face: until when the edge blends,
// when it opens for compressing, when to burnish, when it has gone by, and when the next coat can follow.
//
// A Wall is a build-up with the state it is in. Laying a coat puts a fresh layer on that state; drying it
// runs the solver of package wall under the air given and notes when the water at the face falls to the
// levels of the finish. A bare wall can be damped down, a bed that stood misted; a reading of the face or of the
// room's air is taken by Measured and SetInside.
//
// # Not modelled
//
// The hand: pressure, blade, and what working the face does to it. Thickness is taken as even. A coat
// dries by water alone here; carbonation and the strength it brings are not part of these times. Water that a face does
// not drink while it is sprayed or brushed runs off; none stands on it afterwards.
package coat
