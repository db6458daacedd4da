package drying

import (
	"time"

	"limeday/drying/material"
	"limeday/psychro"
	"limeday/weather"
)

// Job is one wall or room, as the plasterer describes it.
type Job struct {
	Place      weather.Place
	Zone       *time.Location
	Background material.Background
	Coats      []Coat // in the order of laying
	Hours      Hours
	Room       Room
	Limits     Limits
}

// Coat is one coat of a job.
type Coat struct {
	Finish    material.Finish
	Thickness float64 // wet, m
	Tint      string
}

// Hours are the working hours, as time of day.
type Hours struct {
	From, To time.Duration // since midnight by the clock
}

// Room is what the wall stands in.
type Room struct {
	AirSpeed   float64        // along the wall, m/s
	WallHeight float64        // m
	Pressure   psychro.Pascal // of the air; zero: from the place's altitude
}

// Limits are those of the finish's data sheet; a nil limit is not stated.
type Limits struct {
	MinWall, MaxWall           *float64 // C
	MinAir, MaxAir             *float64 // C
	MinRH, MaxRH               *float64 // fraction
	MinThickness, MaxThickness *float64 // m, wet
}

// DefaultAirSpeed is that of a room without draught, m/s (common practice, no source: doors shut, no fan).
const DefaultAirSpeed = 0.1

// DefaultWallHeight is the height of a storey, m.
const DefaultWallHeight = 2.5

// Pressure is that of the room's air: as given, or the standard atmosphere's at the place.
func (j Job) Pressure() psychro.Pascal {
	if j.Room.Pressure > 0 {
		return j.Room.Pressure
	}
	return psychro.StandardPressure(psychro.Metre(j.Place.Altitude))
}
