package view

import (
	"strings"
	"testing"
	"time"

	"limeday/cmd/internal/quantity"
	"limeday/drying"
	"limeday/weather"
)

// Weather of a far point says so where the air is told, in the reader's units; a forecast says when it was made.
func TestFarWeatherIsTold(t *testing.T) {
	made := time.Date(2026, 4, 14, 4, 0, 0, 0, time.UTC)
	k := drying.Knowledge{Source: "a service", Forecast: true, Issued: made, Age: 3 * time.Hour, Off: &weather.Offset{Away: 31e3, Up: -180}}
	for u, want := range map[quantity.Units]string{quantity.Metric: "31 km away, 180 m below, made 04:00", quantity.US: "19 mi away, 591 ft below, made 04:00"} {
		if got := (Printer{Units: u, Day: made}).Text(AirFrom(k)); !strings.Contains(got, want) {
			t.Errorf("%q, want %q in it", got, want)
		}
	}
	k.Off = &weather.Offset{Away: 10e3}
	if got := (Printer{Day: made}).Text(AirFrom(k)); strings.Contains(got, "far") {
		t.Errorf("ten kilometres: %q", got)
	}
}
