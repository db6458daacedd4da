package exposure

import (
	"fmt"
	"time"

	"limeday/psychro"
	"limeday/weather"
)

// Room says how a room's air follows the weather outside.
type Room struct {
	// Heating is the temperature the room is heated to, C; nil where it is unheated.
	Heating *float64
	// MoistureClass is that of EN ISO 13788, 1 to 5; 0 for a room nobody lives in, with no moisture of its own.
	MoistureClass int
}

// classLimits are the upper limits of the moisture classes 1 to 5 of EN ISO 13788:2012 annex A, Pa of vapour
// pressure above outdoors at 0 C and below (from memory; not read in the standard).
var classLimits = [...]float64{0, 270, 540, 810, 1080, 1360}

// MoistureExcess is the upper limit of a moisture class at outdoor temperature c, Pa: as at 0 C below it, and
// falling evenly to nothing at 20 C. It panics for a class other than 0 to 5.
func MoistureExcess(class int, c float64) float64 {
	return classLimits[class] * min(max((20-c)/20, 0), 1)
}

// follows is the time over which an unheated room follows the air outside (ESTIMATE: a house of masonry, 12 h
// to two days).
const follows = 24 * time.Hour

// Inside turns a forecast of the air outside into that of a room: vapour is carried in with the air and the
// middle of the room's moisture class added; temperature is the heating's, or outdoors' mean over the day
// before. The room's air cannot hold more than saturation. Values are tagged Estimated.
func (r Room) Inside(out weather.Series) weather.Series {
	in := out
	in.Records = nil
	in.Notes = append([]string(nil), out.Notes...)
	for i, rec := range out.Records {
		if !rec.Temperature.Known() || !rec.Vapour.Known() {
			continue
		}
		t := 0.0
		switch {
		case r.Heating != nil:
			t = max(*r.Heating, rec.Temperature.V) // heating does not cool
		default:
			t = runningMean(out.Records, i)
		}
		e := rec.Vapour.V
		if r.MoistureClass > 0 {
			e += (MoistureExcess(r.MoistureClass, rec.Temperature.V) + MoistureExcess(r.MoistureClass-1, rec.Temperature.V)) / 2
		}
		e = min(e, float64(psychro.SaturationWater(psychro.Celsius(t))))
		in.Records = append(in.Records, weather.Record{Time: rec.Time,
			Temperature: weather.Value{V: t, Tag: weather.Estimated}, Vapour: weather.Value{V: e, Tag: weather.Estimated}, Pressure: rec.Pressure})
	}
	how := "follows the mean of the day before outside"
	if r.Heating != nil {
		how = "is as warm as the heating keeps it"
	}
	in.Notes = append(in.Notes, fmt.Sprintf("The room's air is estimated from outside: it %s, with moisture class %d of EN ISO 13788.", how, r.MoistureClass))
	return in
}

// runningMean is the mean temperature over the time that an unheated room follows, up to record i.
func runningMean(rs []weather.Record, i int) float64 {
	sum, n := 0.0, 0
	for k := i; k >= 0 && rs[i].Time.Sub(rs[k].Time) <= follows; k-- {
		if rs[k].Temperature.Known() {
			sum += rs[k].Temperature.V
			n++
		}
	}
	return sum / float64(n)
}
