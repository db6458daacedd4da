package weather

import (
	"math"

	"limeday/psychro"
)

// dewSlack is how far, in K, a dew point may be above its temperature and still
// be rounding, or two sensors, in saturated air. Common practice, no source.
const dewSlack = 0.5

// VapourOf returns the vapour pressure, in Pa, of air whose temperature is t, C,
// from its dew point, C, or where that is not known from its relative humidity
// over water, percent: services round the latter more. It is missing where
// neither is known, or for humidity alone the temperature is not. At saturation
// it stays: a dew point up to 0.5 K above t counts as t, and humidity above 100 %
// as 100 %.
//
// The tag is that of what it came from. The error is a [*RangeError] where the
// dew point is higher than that above t, or humidity outside its range.
//
// Source of the saturation pressure: [psychro.SaturationWater].
func VapourOf(t, dew, rh Value) (Value, error) {
	switch {
	case dew.Known():
		if err := DewPoint.Check(dew.V); err != nil {
			return Value{}, err
		}
		v := dew.V
		if t.Known() && v > t.V {
			if v > t.V+dewSlack {
				return Value{}, &RangeError{Quantity: DewPoint, Value: v, Min: quantities[DewPoint].min, Max: t.V}
			}
			v = t.V
		}
		return Value{V: float64(psychro.SaturationWater(psychro.Celsius(v))), Tag: dew.Tag}, nil
	case rh.Known() && t.Known():
		if err := RelativeHumidity.Check(rh.V); err != nil {
			return Value{}, err
		}
		e := math.Min(rh.V, 100) / 100 * float64(psychro.SaturationWater(psychro.Celsius(t.V)))
		return Value{V: e, Tag: rh.Tag}, nil
	}
	return Value{}, nil
}
