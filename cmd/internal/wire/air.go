package wire

import "limeday/psychro"

// Air is the state of moist air and, where a face is given, how far that is above its dew point.
type Air struct {
	Schema           string   `json:"schema,omitempty"` // left out where the air is part of another answer
	TempC            float64  `json:"temp_c"`
	RHPct            float64  `json:"rh_pct"`
	PressurePa       float64  `json:"pressure_pa"`
	DewPointC        float64  `json:"dew_point_c"`
	FrostPointC      *float64 `json:"frost_point_c"` // null when not below 0
	WetBulbC         float64  `json:"wet_bulb_c"`
	VapourPressurePa float64  `json:"vapour_pressure_pa"`
	VPDPa            float64  `json:"vpd_pa"`
	HumidityRatio    float64  `json:"humidity_ratio_kg_per_kg"`
	EnthalpyJPerKg   float64  `json:"enthalpy_j_per_kg"`
	Density          float64  `json:"density_kg_per_m3"`
	AbsoluteHumidity float64  `json:"absolute_humidity_g_per_m3"`
	Wall             *Face    `json:"wall,omitempty"`
}

// Face is a face in that air.
type Face struct {
	TempC          float64 `json:"temp_c"`
	AboveDewPointK float64 `json:"above_dew_point_k"`
}

// NewAir writes the air, and a face at so many C where one is given.
func NewAir(air psychro.Air, face *float64) Air {
	a := Air{
		Schema:           "limeday.air/1",
		TempC:            float64(air.Temperature()),
		RHPct:            100 * float64(air.RelativeHumidity()),
		PressurePa:       float64(air.Pressure()),
		DewPointC:        float64(air.DewPoint()),
		WetBulbC:         float64(air.WetBulb()),
		VapourPressurePa: float64(air.VapourPressure()),
		VPDPa:            float64(air.VapourPressureDeficit()),
		HumidityRatio:    air.HumidityRatio(),
		EnthalpyJPerKg:   air.Enthalpy(),
		Density:          air.Density(),
		AbsoluteHumidity: 1000 * air.AbsoluteHumidity(),
	}
	if frost, below := air.FrostPoint(); below && frost < 0 {
		f := float64(frost)
		a.FrostPointC = &f
	}
	if face != nil {
		a.Wall = &Face{TempC: *face, AboveDewPointK: *face - a.DewPointC}
	}
	return a
}
