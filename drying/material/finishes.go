package material

import "fmt"

// UnknownError says that a name is not in the tables.
type UnknownError struct {
	Kind, Name string
	Known      []string
}

func (e *UnknownError) Error() string {
	return fmt.Sprintf("material: no %s named %q", e.Kind, e.Name)
}

// Finishes lists the names known, in the order people are shown them.
func Finishes() []string {
	return []string{"polished-lime", "marble-coat", "float-coat", "nhl-render", "grit-primer"}
}

const (
	mixSums    = "composition arithmetic of putty at 53 % water and marble flour, no air"
	practice   = "common practice, no source"
	noText     = "no published figure found; judgement, no source"
	mm         = 1e-3
	carbonates = "from lime-mortar practice and the layered carbonation of Lawrence 2006 (abstract), judgement, no source"
	puttyFrost = "published advice varies from 1 to 13 weeks; assembled from guidance tradition, judgement, no table seen"
	puttyRain  = "unsheeted rain, putty lime; " + practice
	rootMin    = mm / 7.745966692414834 // 1 mm/min^0.5 in m/s^0.5
)

// FinishNamed returns a finish; the error is an *UnknownError.
func FinishNamed(name string) (Finish, error) {
	switch name {
	case "polished-lime":
		return polishedLime(), nil
	case "marble-coat":
		return marbleCoat(), nil
	case "float-coat":
		return floatCoat(), nil
	case "nhl-render":
		return nhlRender(), nil
	case "grit-primer":
		return gritPrimer(), nil
	}
	return Finish{}, &UnknownError{Kind: "finish", Name: name, Known: Finishes()}
}

// states fills the thresholds every finish shares.
func states(f Finish) Finish {
	const from = "working criterion in need of a weigh-test, judgement, no source"
	f.EdgeShare = prop(0.5, 0.3, 0.7, "-", Estimate, from)
	f.OpensShare = prop(0.15, 0, 0.3, "-", Estimate, from)
	f.Burnish = prop(0.85, 0.75, 0.95, "-", Estimate, from)
	f.Closes = prop(0.60, 0.5, 0.7, "-", Estimate, from)
	f.Dry = prop(0.45, 0.3, 0.55, "-", Estimate, from)
	f.CriticalSaturation = prop(0.85, 0.75, 0.91, "-", Estimate,
		"no value for lime plaster found; mortars near 0.90 (MacInnis & Beaudoin 1968, abstract), 0.75-0.90 for mineral materials (Fagerlund 1977, from memory), 0.917 where ice just fits")
	f.Wetting = wetting()
	f.Emissivity = prop(0.9, 0.85, 0.96, "-", Memory, "plaster, textbook tables")
	f.HeatCapacity = prop(900, 800, 1000, "J/(kg K)", Memory, "lime and marble, handbook tables")
	return f
}

func polishedLime() Finish {
	return states(Finish{
		Name: "polished-lime", About: "fine polished lime, two or three very thin coats", Polish: true,
		Grain:          300,
		WaterRatio:     prop(0.36, 0.28, 0.54, "kg/kg", Computed, mixSums+": wet basis 0.26 (0.22-0.35)"),
		ShrinkageLimit: prop(0.26, 0.21, 0.30, "kg/kg", Computed, mixSums+" at a porosity of 0.40"),
		SolidDensity:   prop(2540, 2300, 2710, "kg/m3", Computed, "equal masses of putty and marble flour, 2240 and 2710 kg/m3"),
		FreshSuction:   prop(300, 50, 2000, "Pa", Estimate, guess),
		AirEntry:       prop(5e5, 3e5, 1.5e6, "Pa", Computed, "2 sigma/r for pores of 0.1-0.5 um (pore family: Lawrence et al. 2007, Cem. Concr. Res. 37, 1059)"),
		Desorptivity:   prop(0.4*rootMin, 0.15*rootMin, 0.8*rootMin, "m/s^0.5", Estimate, noText),
		DesorbedAt:     prop(1e5, 5e4, 2e5, "Pa", Memory, "suction of a brick's wetting front, Collier et al. 2007"),
		W80:            prop(8, 4, 15, "kg/m3", Memory, "low confidence"),
		Mu:             prop(15, 8, 25, "-", Estimate, guess),
		Conductivity:   prop(0.7, 0.5, 1, "W/(m K)", Estimate, guess),
		Coats: [3]Property{
			prop(0.20*mm, 0.15*mm, 0.25*mm, "m", Practice, practice),
			prop(0.125*mm, 0.10*mm, 0.15*mm, "m", Practice, practice),
			prop(0.075*mm, 0.05*mm, 0.10*mm, "m", Practice, practice),
		},
		Thickest:    prop(0.4*mm, 0.3*mm, 0.5*mm, "m", Practice, practice),
		MinFace:     prop(10, 8, 12, "C", Practice, practice),
		MaxFace:     prop(30, 25, 30, "C", Memory, "EN 13914: above about 30 C only with measures"),
		Carbonation: prop(0.3, 0.15, 0.5, "mm/d^0.5", Estimate, carbonates),
		Portlandite: prop(0.32, 0.25, 0.40, "kg/kg", Computed, "equal masses of putty at 53 % water and marble flour"),
		FrostFree:   prop(90, 60, 120, "d", Estimate, puttyFrost),
		RainFree:    prop(72, 72, 72, "h", Practice, puttyRain),
	})
}

func marbleCoat() Finish {
	return states(Finish{
		Name: "marble-coat", About: "medium-grained marble coat, about 1 mm", Polish: true,
		Grain:          600,
		WaterRatio:     prop(0.28, 0.22, 0.38, "kg/kg", Estimate, guess),
		ShrinkageLimit: prop(0.21, 0.17, 0.26, "kg/kg", Estimate, guess),
		SolidDensity:   prop(2620, 2400, 2710, "kg/m3", Computed, "one part putty to two of marble by mass"),
		FreshSuction:   prop(300, 50, 2000, "Pa", Estimate, guess),
		AirEntry:       prop(2e5, 5e4, 6e5, "Pa", Estimate, guess),
		Desorptivity:   prop(0.7*rootMin, 0.3*rootMin, 1.2*rootMin, "m/s^0.5", Estimate, noText),
		DesorbedAt:     prop(1e5, 5e4, 2e5, "Pa", Memory, "suction of a brick's wetting front, Collier et al. 2007"),
		W80:            prop(8, 4, 15, "kg/m3", Memory, "low confidence"),
		Mu:             prop(12, 8, 20, "-", Estimate, guess),
		Conductivity:   prop(0.75, 0.5, 1, "W/(m K)", Estimate, guess),
		Coats: [3]Property{
			prop(1*mm, 0.7*mm, 1.2*mm, "m", Practice, practice),
			prop(0.8*mm, 0.4*mm, 1*mm, "m", Practice, practice),
			prop(0.5*mm, 0.3*mm, 0.8*mm, "m", Practice, practice),
		},
		Thickest:    prop(1.5*mm, 1*mm, 2*mm, "m", Practice, practice),
		MinFace:     prop(10, 8, 12, "C", Practice, practice),
		MaxFace:     prop(30, 25, 30, "C", Memory, "EN 13914: above about 30 C only with measures"),
		Carbonation: prop(0.5, 0.25, 0.8, "mm/d^0.5", Estimate, "between polish and float coat, as its grain is; judgement, no source"),
		Portlandite: prop(0.19, 0.14, 0.25, "kg/kg", Computed, "one part putty at 53 % water to two of marble by mass"),
		FrostFree:   prop(90, 60, 120, "d", Estimate, puttyFrost),
		RainFree:    prop(72, 72, 72, "h", Practice, puttyRain),
	})
}

func floatCoat() Finish {
	return states(Finish{
		Name: "float-coat", About: "lime and sand float coat, about 8 mm",
		Grain:          12 * 3600,
		WaterRatio:     prop(0.176, 0.149, 0.235, "kg/kg", Computed, "wet basis 0.15 (0.13-0.19), mix arithmetic"),
		ShrinkageLimit: prop(0.12, 0.09, 0.14, "kg/kg", Estimate, guess),
		SolidDensity:   prop(2620, 2500, 2680, "kg/m3", Computed, "quartz sand 2650 with lime 2240"),
		FreshSuction:   prop(300, 50, 2000, "Pa", Estimate, guess),
		AirEntry:       prop(3e4, 1e4, 1e5, "Pa", Estimate, "lower for a sanded coat, judgement, no source"),
		Desorptivity:   prop(1.2*rootMin, 0.6*rootMin, 2.0*rootMin, "m/s^0.5", Estimate, "from the trend of Ince & Derogar, judgement"),
		DesorbedAt:     prop(1e5, 5e4, 2e5, "Pa", Memory, "suction of a brick's wetting front, Collier et al. 2007"),
		W80:            prop(8, 4, 20, "kg/m3", Memory, "low confidence"),
		Mu:             prop(10, 6, 15, "-", Memory, "EN ISO 10456:2007 Table 3, lime-sand plaster 10 dry, 6 wet"),
		Conductivity:   prop(0.8, 0.6, 1, "W/(m K)", Memory, "EN ISO 10456:2007 Table 3, lime-sand plaster"),
		Coats: [3]Property{
			prop(8*mm, 3*mm, 12*mm, "m", Practice, practice),
			prop(8*mm, 3*mm, 10*mm, "m", Practice, practice),
			prop(3*mm, 2*mm, 5*mm, "m", Practice, practice),
		},
		Thickest: prop(12*mm, 10*mm, 15*mm, "m", Practice, practice),
		Waits: &Waits{
			PerMm: prop(1, 0.5, 1.5, "d/mm", Memory, "a day for each mm: screed rule of the BS 8204 family, whose attribution differs between texts; the plaster rule of a week for each 5 mm"),
			Least: prop(7, 7, 14, "d", Memory, "backing coats of lime putty, building tradition"),
		},
		MinFace:     prop(8, 5, 10, "C", Practice, practice+" (putty lime)"),
		MaxFace:     prop(30, 25, 30, "C", Memory, "EN 13914: above about 30 C only with measures"),
		Carbonation: prop(0.7, 0.4, 1.1, "mm/d^0.5", Estimate, carbonates),
		Portlandite: prop(0.12, 0.08, 0.17, "kg/kg", Estimate, "about 220 kg/m3 of hardened lime and sand, judgement, no source"),
		FrostFree:   prop(90, 60, 120, "d", Estimate, puttyFrost),
		RainFree:    prop(72, 72, 72, "h", Practice, puttyRain),
	})
}

func nhlRender() Finish {
	return states(Finish{
		Name: "nhl-render", About: "natural hydraulic lime render, about 10 mm",
		Grain:          1800,
		WaterRatio:     prop(0.183, 0.149, 0.22, "kg/kg", Memory, "wet basis 0.155 (0.13-0.18)"),
		ShrinkageLimit: prop(0.11, 0.08, 0.14, "kg/kg", Estimate, guess),
		SolidDensity:   prop(2640, 2550, 2700, "kg/m3", Computed, "quartz sand 2650 with hydraulic lime 2600"),
		FreshSuction:   prop(300, 50, 2000, "Pa", Estimate, guess),
		AirEntry:       prop(5e4, 2e4, 2e5, "Pa", Estimate, guess),
		Desorptivity:   prop(1.8*rootMin, 1.0*rootMin, 2.6*rootMin, "m/s^0.5", Computed, "inferred from dewatering times of NHL mortar on brick, Mater. Struct. 43 (2010) 985-992, abstract"),
		DesorbedAt:     prop(1e5, 5e4, 2e5, "Pa", Memory, "suction of a brick's wetting front, Collier et al. 2007"),
		W80:            prop(15, 8, 30, "kg/m3", Memory, "low confidence"),
		Mu:             prop(12, 8, 20, "-", Memory, "EN 1745: mortars 15/35 above, 5/20 below 1600 kg/m3"),
		Conductivity:   prop(0.85, 0.6, 1.1, "W/(m K)", Memory, book1745),
		Coats: [3]Property{
			prop(10*mm, 6*mm, 15*mm, "m", Practice, practice),
			prop(8*mm, 5*mm, 12*mm, "m", Practice, practice),
			prop(5*mm, 3*mm, 8*mm, "m", Practice, practice),
		},
		Thickest: prop(15*mm, 12*mm, 20*mm, "m", Practice, practice),
		Waits: &Waits{
			PerMm: prop(1, 0.3, 1, "d/mm", Memory, "a day for each mm: screed rule of the BS 8204 family, whose attribution differs between texts"),
			Least: prop(3, 2, 7, "d", Memory, "BS 5492 and BS 8000-10: 2-4 d warm, 7 d and more cold between render coats; low confidence"),
		},
		MinFace:     prop(5, 5, 8, "C", Memory, "EN 13914: not below 5 C; and rising, common practice"),
		MaxFace:     prop(30, 25, 30, "C", Memory, "EN 13914: above about 30 C only with measures"),
		Carbonation: prop(0.9, 0.5, 1.6, "mm/d^0.5", Estimate, carbonates),
		Portlandite: prop(0.045, 0.03, 0.08, "kg/kg", Estimate, "available lime of NHL 3.5 at least 25 % (EN 459-1, from memory), one part to two and a half of sand by volume; judgement"),
		FrostFree:   prop(28, 14, 45, "d", Estimate, "NHL 3.5; published advice varies from 1 to 13 weeks; assembled from guidance tradition, judgement, no table seen"),
		RainFree:    prop(48, 48, 48, "h", Practice, "unsheeted rain, hydraulic lime; "+practice),
	})
}

func gritPrimer() Finish {
	set, _ := primerLayer(Fair) // Fair is known
	return states(Finish{
		Name: "grit-primer", About: "gritty mineral primer, rolled or brushed",
		Grain:          1800,
		WaterRatio:     prop(0.54, 0.4, 0.8, "kg/kg", Estimate, "wet basis 0.35, judgement, no source"),
		ShrinkageLimit: prop(0.20, 0.12, 0.3, "kg/kg", Estimate, guess),
		SolidDensity:   prop(2300, 1900, 2600, "kg/m3", Estimate, "quartz 2650 with binder and filler, judgement, no source"),
		FreshSuction:   prop(300, 50, 2000, "Pa", Estimate, guess),
		AirEntry:       prop(1e5, 2e4, 5e5, "Pa", Estimate, guess),
		Desorptivity:   prop(0.6*rootMin, 0.2*rootMin, 1.5*rootMin, "m/s^0.5", Estimate, noText),
		DesorbedAt:     prop(1e5, 5e4, 2e5, "Pa", Memory, "suction of a brick's wetting front, Collier et al. 2007"),
		W80:            prop(10, 4, 25, "kg/m3", Estimate, guess),
		Mu:             prop(120, 60, 500, "-", Estimate, "s_d 0.03 m (0.02-0.14), judgement, no source"),
		Conductivity:   prop(0.6, 0.4, 0.9, "W/(m K)", Estimate, guess),
		Coats: [3]Property{
			prop(0.30*mm, 0.15*mm, 0.5*mm, "m", Practice, practice),
			prop(0.25*mm, 0.15*mm, 0.4*mm, "m", Practice, practice),
			prop(0.25*mm, 0.15*mm, 0.4*mm, "m", Practice, practice),
		},
		Thickest:    prop(0.6*mm, 0.5*mm, 0.8*mm, "m", Practice, practice),
		MinFace:     prop(8, 5, 10, "C", Practice, practice),
		MaxFace:     prop(30, 25, 30, "C", Practice, practice),
		Carbonation: prop(0.4, 0.15, 0.9, "mm/d^0.5", Estimate, "where lime binds it; "+guess),
		Portlandite: prop(0.03, 0, 0.1, "kg/kg", Estimate, "little lime or none beside its other binder, judgement, no source"),
		FrostFree:   prop(28, 7, 60, "d", Estimate, guess),
		RainFree:    prop(48, 24, 72, "h", Estimate, guess),
		Waits: &Waits{
			PerMm: prop(1, 0, 2, "d/mm", Estimate, guess),
			Least: prop(0.5, 0.5, 1, "d", Practice, "left overnight; "+practice),
		},
		Sets: &set,
	})
}
