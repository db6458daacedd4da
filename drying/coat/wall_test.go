package coat

import (
	"testing"

	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/psychro"
)

// stand sets up a bare background in constant air at c degrees and humidity rh, moving at speed m/s.
func stand(t testing.TB, name string, p material.Primer, c, rh, speed float64) *Wall {
	t.Helper()
	w, err := Stand(background(t, name, p), setting(c, rh, speed), 0)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func setting(c, rh, speed float64) Setting {
	e := rh * float64(psychro.SaturationWater(psychro.Celsius(c)))
	return Setting{
		Face:     wall.FaceSpec{Height: 2.5, Emissivity: 0.9, Pressure: 101325},
		Air:      []wall.Air{{Temperature: c, Vapour: e, Speed: speed, Radiant: c}},
		WallTemp: c,
	}
}
