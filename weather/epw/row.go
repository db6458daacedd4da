package epw

import "limeday/weather"

// Row is one hour of the file, with every column; values that are missing by the
// codes of the data dictionary, empty or beyond the end of a short row are not
// known. The numbers are the columns.
type Row struct {
	Line                   int           // in the file
	Year, Month, Day, Hour int           // 1 to 4: local standard time; the hour ends at Hour:00
	Minute                 int           // 5: 0 or 60, which mean the same
	Flags                  string        // 6: sources and uncertainties, as they stand
	DryBulb                weather.Value // 7, C
	DewPoint               weather.Value // 8, C
	RelativeHumidity       weather.Value // 9, %
	Pressure               weather.Value // 10, at the station, Pa
	ExtraterrestrialGlobal weather.Value // 11, on the flat, Wh/m2
	ExtraterrestrialDirect weather.Value // 12, facing the sun, Wh/m2
	Infrared               weather.Value // 13, from the sky on the flat, Wh/m2
	Global                 weather.Value // 14, on the flat, Wh/m2
	Direct                 weather.Value // 15, facing the sun, Wh/m2
	Diffuse                weather.Value // 16, on the flat, Wh/m2
	GlobalIlluminance      weather.Value // 17, lux
	DirectIlluminance      weather.Value // 18, lux
	DiffuseIlluminance     weather.Value // 19, lux
	ZenithLuminance        weather.Value // 20, cd/m2
	WindFrom               weather.Value // 21, degrees clockwise from north; 0 in calm
	Wind                   weather.Value // 22, m/s
	Cloud                  weather.Value // 23, tenths of the sky
	OpaqueCloud            weather.Value // 24, tenths of the sky
	Visibility             weather.Value // 25, km
	Ceiling                weather.Value // 26, m; 77777 none, 88888 cirrus
	Observed               weather.Value // 27: 0 where present weather was seen
	PresentWeather         string        // 28: nine digits, each a code
	PrecipitableWater      weather.Value // 29, mm
	AerosolDepth           weather.Value // 30, as the file writes it (thousandths by the dictionary, 1 in files)
	SnowDepth              weather.Value // 31, cm
	DaysSinceSnow          weather.Value // 32
	Albedo                 weather.Value // 33
	RainDepth              weather.Value // 34, mm, in the time of RainHours
	RainHours              weather.Value // 35, h
}

// column describes a number of a row.
type column struct {
	name    string
	missing float64 // from here on the value is missing
	tag     weather.Tag
	check   weather.Quantity // its range, if checked
	checked bool
	scale   float64 // to the unit of the check
	at      func(*Row) *weather.Value
}

// columns are the numbers, by their column from 7 on. Missing codes: the EPW
// data dictionary.
var columns = [36]column{
	7:  checked("dry bulb", 99.9, weather.Measured, weather.Temperature, 1, func(r *Row) *weather.Value { return &r.DryBulb }),
	8:  checked("dew point", 99.9, weather.Measured, weather.DewPoint, 1, func(r *Row) *weather.Value { return &r.DewPoint }),
	9:  checked("relative humidity", 999, weather.Measured, weather.RelativeHumidity, 1, func(r *Row) *weather.Value { return &r.RelativeHumidity }),
	10: checked("pressure", 999999, weather.Measured, weather.Pressure, 1, func(r *Row) *weather.Value { return &r.Pressure }),
	11: plain("extraterrestrial radiation", 9999, weather.Estimated, func(r *Row) *weather.Value { return &r.ExtraterrestrialGlobal }),
	12: plain("extraterrestrial direct radiation", 9999, weather.Estimated, func(r *Row) *weather.Value { return &r.ExtraterrestrialDirect }),
	13: plain("infrared radiation", 9999, weather.Estimated, func(r *Row) *weather.Value { return &r.Infrared }),
	14: checked("global radiation", 9999, weather.Estimated, weather.Radiation, 1, func(r *Row) *weather.Value { return &r.Global }),
	15: checked("direct radiation", 9999, weather.Estimated, weather.Radiation, 1, func(r *Row) *weather.Value { return &r.Direct }),
	16: checked("diffuse radiation", 9999, weather.Estimated, weather.Radiation, 1, func(r *Row) *weather.Value { return &r.Diffuse }),
	17: plain("global illuminance", 999900, weather.Estimated, func(r *Row) *weather.Value { return &r.GlobalIlluminance }),
	18: plain("direct illuminance", 999900, weather.Estimated, func(r *Row) *weather.Value { return &r.DirectIlluminance }),
	19: plain("diffuse illuminance", 999900, weather.Estimated, func(r *Row) *weather.Value { return &r.DiffuseIlluminance }),
	20: plain("zenith luminance", 9999, weather.Estimated, func(r *Row) *weather.Value { return &r.ZenithLuminance }),
	21: checked("wind direction", 999, weather.Measured, weather.WindFrom, 1, func(r *Row) *weather.Value { return &r.WindFrom }),
	22: checked("wind speed", 999, weather.Measured, weather.Wind, 1, func(r *Row) *weather.Value { return &r.Wind }),
	23: checked("total sky cover", 99, weather.Measured, weather.Cloud, 0.1, func(r *Row) *weather.Value { return &r.Cloud }),
	24: checked("opaque sky cover", 99, weather.Measured, weather.Cloud, 0.1, func(r *Row) *weather.Value { return &r.OpaqueCloud }),
	25: plain("visibility", 9999, weather.Measured, func(r *Row) *weather.Value { return &r.Visibility }),
	26: plain("ceiling height", 99999, weather.Measured, func(r *Row) *weather.Value { return &r.Ceiling }),
	27: plain("present weather observation", 9, weather.Measured, func(r *Row) *weather.Value { return &r.Observed }),
	29: plain("precipitable water", 999, weather.Measured, func(r *Row) *weather.Value { return &r.PrecipitableWater }),
	30: plain("aerosol optical depth", 0.999, weather.Measured, func(r *Row) *weather.Value { return &r.AerosolDepth }),
	31: plain("snow depth", 999, weather.Measured, func(r *Row) *weather.Value { return &r.SnowDepth }),
	32: plain("days since snow", 99, weather.Measured, func(r *Row) *weather.Value { return &r.DaysSinceSnow }),
	33: plain("albedo", 999, weather.Measured, func(r *Row) *weather.Value { return &r.Albedo }),
	34: checked("rain depth", 999, weather.Measured, weather.Rain, 1, func(r *Row) *weather.Value { return &r.RainDepth }),
	35: plain("rain hours", 99, weather.Measured, func(r *Row) *weather.Value { return &r.RainHours }),
}

func plain(name string, missing float64, tag weather.Tag, at func(*Row) *weather.Value) column {
	return column{name: name, missing: missing, tag: tag, at: at}
}

func checked(name string, missing float64, tag weather.Tag, q weather.Quantity, scale float64, at func(*Row) *weather.Value) column {
	return column{name: name, missing: missing, tag: tag, check: q, checked: true, scale: scale, at: at}
}
