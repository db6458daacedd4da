package app

import (
	"time"

	"limeday/cmd/internal/view"
)

// stamp is a day and time with its zone.
func stamp(t time.Time) string { return view.Stamp(t) }
