package power

import (
	"fmt"
	"strings"

	"limeday/weather"
	"limeday/weather/fetch"
)

// convert is the value in the unit of a [weather.Record].
type convert func(n fetch.Number, unit, where string) (fetch.Number, error)

// lower is for units that the service writes with a capital.
func lower(k fetch.Kind) convert {
	return func(n fetch.Number, unit, where string) (fetch.Number, error) {
		return k.SI(n, strings.ToLower(unit), where)
	}
}

// rate reads mm/hour: the depth that falls in the hour.
func rate(n fetch.Number, unit, where string) (fetch.Number, error) {
	depth, by, _ := strings.Cut(unit, "/")
	switch by {
	case "hour", "hr", "h":
		return fetch.Rain.SI(n, depth, where)
	}
	return n, &fetch.DecodeError{Where: where, What: fmt.Sprintf("expected rain by the hour, found the unit %.30q", unit)}
}

// radiation reads W/m2, or sums over an hour; a sum in Wh/m2 is the mean in W/m2.
// The unit goes by the community asked for.
func radiation(n fetch.Number, unit, where string) (fetch.Number, error) {
	switch unit {
	case "Wh/m^2", "W/m^2", "Wh/m2", "W/m2", "W m-2", "Wh m-2":
	case "kWh/m^2", "kW-hr/m^2", "kW-hr/m^2/hour":
		n.V *= 1000
	case "MJ/hr", "MJ/m^2/hour", "MJ/m^2/hr":
		n.V *= 1e6 / 3600
	default:
		return n, &fetch.DecodeError{Where: where, What: fmt.Sprintf("the unit %.30q of its radiation is not known, and is not guessed", unit)}
	}
	if err := weather.Radiation.Check(n.V); err != nil {
		return n, &fetch.DecodeError{Where: where, What: err.Error()}
	}
	return n, nil
}
