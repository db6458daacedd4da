package cure

import "limeday/drying/material"

// Rules are the numbers judged by that are not a finish's own, each with its range and evidence.
type Rules struct {
	// Frost.
	FreezesAt    material.Property // C: the face at or under this freezes in its pores
	Uncarbonated material.Property // by how much S_cr is lower until the film has carbonated through
	SoakedBy     material.Property // kg/m2 of rain that soaks a face
	SoakedFor    material.Property // h that it stays soaked
	SkyWarning   material.Property // C: air at or under this warns of frost whatever the face is computed to be
	LongerAt10   material.Property // share by which the frost-free days lengthen at a mean of 10 C
	LongerAt5    material.Property // the same at 5 C

	// Drying too fast.
	ThickFilm      material.Property // m: films above it judge by the rates for lime
	PuttyRich      material.Property // kg/kg of Ca(OH)2 in the solid: so do finishes above it
	LimeCaution    material.Property // g/(m2 h)
	LimeStop       material.Property // g/(m2 h)
	OtherCaution   material.Property // g/(m2 h), for other films
	OtherStop      material.Property // g/(m2 h), for other films
	SunOn          material.Property // W/m2 on the face from which the sun counts as on it
	WindCaution    material.Property // m/s
	WindStop       material.Property // m/s, thin films
	DryAir         material.Property // relative humidity, 0 to 1
	ChalkCertainly material.Property // h: a thick coat dry within it chalks
	ChalkPossibly  material.Property // h

	// Rain and dew.
	RainWets  material.Property // kg/(m2 h) on the face
	WashesOut material.Property // S at the face above which rain washes lime out, until it has first drained to it
	FogFrom   material.Property // relative humidity, 0 to 1

	// Care.
	DampCure  material.Property // d that a thick coat is kept damp
	MistEvery material.Property // h, at least
	MistAbove material.Property // C: no misting of a colder face
	Calm      material.Property // h without rain or frost wanted after uncovering
}

// DefaultRules are the rules as the trade and the literature have them.
func DefaultRules() Rules {
	const judged = "judgement, no source"
	const custom = "common practice, no source"
	p := func(v, low, high float64, unit string, e material.Evidence, source string) material.Property {
		return material.Property{Value: v, Low: low, High: high, Unit: unit, Evidence: e, Source: source}
	}
	return Rules{
		FreezesAt:    p(-0.5, -1, 0, "C", material.Computed, "Gibbs-Thomson depression in pores of 0.1 um, FreezingDepression"),
		Uncarbonated: p(0.05, 0, 0.1, "-", material.Estimate, judged),
		SoakedBy:     p(0.1, 0.02, 0.5, "kg/m2", material.Estimate, judged),
		SoakedFor:    p(24, 12, 48, "h", material.Estimate, judged),
		SkyWarning:   p(2, 1, 4, "C", material.Estimate, "a face under a clear sky may lie 3-5 K below the air; "+judged),
		LongerAt10:   p(0.25, 0.1, 0.4, "-", material.Estimate, "25-50 % at 5-10 C, guidance tradition; "+judged),
		LongerAt5:    p(0.5, 0.3, 1, "-", material.Estimate, "25-50 % at 5-10 C, guidance tradition; "+judged),

		ThickFilm:      p(3e-3, 2e-3, 5e-3, "m", material.Estimate, judged),
		PuttyRich:      p(0.15, 0.1, 0.2, "kg/kg", material.Estimate, judged),
		LimeCaution:    p(100, 60, 200, "g/(m2 h)", material.Estimate, "films over 3 mm or rich in putty; "+judged),
		LimeStop:       p(200, 120, 400, "g/(m2 h)", material.Estimate, "films over 3 mm or rich in putty; "+judged),
		OtherCaution:   p(500, 500, 500, "g/(m2 h)", material.Memory, "concrete mixes of low bleed, from memory; not a figure for lime"),
		OtherStop:      p(1000, 1000, 1000, "g/(m2 h)", material.Published, "concrete, ACI 305 as quoted (0.2 lb/(ft2 h)); not a figure for lime"),
		SunOn:          p(120, 100, 200, "W/m2", material.Memory, "WMO-No. 8: sunshine is a direct beam over 120 W/m2; used for what falls on the face"),
		WindCaution:    p(5, 5, 5, "m/s", material.Practice, custom),
		WindStop:       p(8, 8, 8, "m/s", material.Practice, custom),
		DryAir:         p(0.35, 0.3, 0.4, "-", material.Estimate, judged),
		ChalkCertainly: p(24, 12, 36, "h", material.Estimate, judged),
		ChalkPossibly:  p(48, 36, 72, "h", material.Estimate, judged),

		RainWets:  p(0.05, 0.01, 0.2, "kg/(m2 h)", material.Estimate, judged),
		WashesOut: p(0.95, 0.85, 1, "-", material.Estimate, judged),
		FogFrom:   p(0.97, 0.95, 1, "-", material.Estimate, judged),

		DampCure:  p(3, 3, 7, "d", material.Published, "after NPS Preservation Brief 2, as retold: burlap the first 3 days; 7 from memory of BS 5492"),
		MistEvery: p(3, 1, 4, "h", material.Published, "after NPS Preservation Brief 2, as retold: hourly at first, easing to 3 or 4 h"),
		MistAbove: p(5, 5, 8, "C", material.Practice, custom),
		Calm:      p(24, 12, 48, "h", material.Estimate, judged),
	}
}
