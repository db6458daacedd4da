package exposure

import (
	"time"

	"limeday/drying/wall"
	"limeday/weather"
)

// Indoor turns readings of a room's air into forcing. Times become seconds after origin; readings without
// temperature or humidity are passed over. speed, m/s, is the air speed along the wall where a reading
// has none. It returns nil when no reading can be used.
func Indoor(s weather.Series, origin time.Time, speed float64) []wall.Air {
	var air []wall.Air
	for _, r := range s.Records {
		if !r.Temperature.Known() || !r.Vapour.Known() {
			continue
		}
		u := speed
		if r.AirSpeed.Known() {
			u = r.AirSpeed.V
		}
		air = append(air, wall.Air{
			Time: r.Time.Sub(origin).Seconds(), Temperature: r.Temperature.V, Vapour: r.Vapour.V,
			Speed: u, Radiant: r.Temperature.V,
		})
	}
	return air
}
