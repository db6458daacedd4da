package drying_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"limeday/psychro"
	"limeday/weather"
	"limeday/weather/sky"
)

// The rows of published-values.csv that weather/sky answers, and those it is shown
// beside: sun, sky, and the radiation of FAO-56.

var skyProduction = map[string]dispatcher{
	"SUN angle of incidence": func(in inputs) ([]float64, error) {
		s, err := sky.NewSurface(sky.Degrees(in.num("surf_az")), sky.Degrees(in.num("tilt")))
		d := sky.Toward(90-sky.Degrees(in.num("zenith")), sky.Degrees(in.num("sun_az")))
		return []float64{s.Incidence(d).Radians(), s.CosIncidence(d)}, err
	},
	"SUN AOI vertical N wall at the SPA instant": wallIncidence(0),
	"SUN AOI vertical E wall at the SPA instant": wallIncidence(90),
	"SUN AOI vertical S wall at the SPA instant": wallIncidence(180),
	"SUN AOI vertical W wall at the SPA instant": wallIncidence(270),
	"SUN simplified Solis": func(in inputs) ([]float64, error) {
		c := sky.ClearSky(math.Sin(sky.Degrees(in.num("elev_deg")).Radians()), in.num("dni_extra"), psychro.Pascal(in.num("p_pa")),
			in.num("pw_cm")/100, in.num("aod700"))
		return []float64{c.Global, c.Direct, c.Diffuse}, nil
	},
	"SUN isotropic sky diffuse": func(in inputs) ([]float64, error) {
		s, err := sky.NewSurface(0, sky.Degrees(in.num("tilt")))
		l := sky.Light{Diffuse: known(in.num("dhi"))}
		return []float64{s.Irradiance(sky.Toward(45, 0), math.Inf(1), l, 0).Total()}, err
	},
	"SUN ground diffuse albedo 0.25": func(in inputs) ([]float64, error) {
		s, err := sky.NewSurface(0, sky.Degrees(in.num("tilt")))
		l := sky.Light{Global: known(in.num("ghi"))}
		return []float64{s.Irradiance(sky.Toward(45, 0), math.Inf(1), l, 0.25).Ground}, err
	},
	"SUN Hay-Davies isotropic;circumsolar": func(in inputs) ([]float64, error) {
		s, err := sky.NewSurface(sky.Degrees(in.num("surf_az")), sky.Degrees(in.num("tilt")))
		d := sky.Toward(90-sky.Degrees(in.num("zenith")), sky.Degrees(in.num("sun_az")))
		got := s.Irradiance(d, in.num("dni_extra"), sky.Light{Direct: known(in.num("dni")), Diffuse: known(in.num("dhi"))}, 0)
		return []float64{got.Isotropic, got.Circumsolar}, err
	},
	"SUN D&B 2.15.1 isotropic beam;diffuse;ground;total": func(in inputs) ([]float64, error) {
		got := duffieBeckman2151(in, math.Inf(1))
		return []float64{got.Beam, got.Isotropic, got.Ground, got.Total()}, nil
	},
	"SKY clear-sky emissivity Martin-Berdahl calibrated": func(in inputs) ([]float64, error) {
		return []float64{sky.Emissivity(psychro.Celsius(in.num("t_dew_c")), in.num("opaque_cover"))}, nil
	},
}

var skyRivals = map[string]rival{
	"SUN SPA R":                      spa(func(p sky.Position, _ inputs) float64 { return p.Distance }, 1e-4),
	"SUN SPA delta":                  spa(func(p sky.Position, _ inputs) float64 { return p.Declination.Radians() }, spaAngle),
	"SUN SPA H":                      spa(func(p sky.Position, _ inputs) float64 { return p.HourAngle.Radians() }, spaAngle),
	"SUN SPA e0":                     spa(func(p sky.Position, _ inputs) float64 { return p.TrueElevation.Radians() }, spaAngle),
	"SUN SPA e":                      spa(func(p sky.Position, _ inputs) float64 { return p.Elevation.Radians() }, spaAngle),
	"SUN SPA refraction":             spa(func(p sky.Position, _ inputs) float64 { return (p.Elevation - p.TrueElevation).Radians() }, 5e-4*spaAngle/0.01),
	"SUN SPA zenith":                 spa(func(p sky.Position, _ inputs) float64 { return math.Pi/2 - p.Elevation.Radians() }, spaAngle),
	"SUN SPA azimuth (N, clockwise)": spa(func(p sky.Position, _ inputs) float64 { return p.Azimuth.Radians() }, spaAzimuth),
	"SUN SPA Gamma":                  spa(func(p sky.Position, _ inputs) float64 { return p.Azimuth.Radians() - math.Pi }, spaAzimuth),
	"SUN SPA equation of time":       spa(func(p sky.Position, _ inputs) float64 { return p.EquationOfTime.Seconds() }, 0.01*240),
	"SUN SPA incidence": spa(func(p sky.Position, in inputs) float64 {
		s, err := sky.NewSurface(sky.Degrees(180+in.num("azm_rotation")), sky.Degrees(in.num("slope")))
		if err != nil {
			in.t.Fatal(err)
		}
		return s.Incidence(p.Toward).Radians()
	}, spaAngle),
	"SUN SPA sunrise": spaTimes(func(d sky.Day) []time.Time { return []time.Time{d.Rise} }),
	"SUN SPA sunset":  spaTimes(func(d sky.Day) []time.Time { return []time.Time{d.Set} }),
	"SUN SPA rise/set/transit Golden CO (UTC-7)": spaTimes(func(d sky.Day) []time.Time { return []time.Time{d.Rise, d.Set, d.Noon} }),

	"SUN D&B 1.6.1 incidence": bySolarTime(13, time.February, func(in inputs, delta float64) float64 {
		s, err := sky.NewSurface(sky.Degrees(180+in.num("surf_az_w_of_s")), sky.Degrees(in.num("tilt")))
		if err != nil {
			in.t.Fatal(err)
		}
		return s.Incidence(solarPlace(in, delta)).Radians()
	}, func(in inputs, p sky.Position) float64 {
		s, _ := sky.NewSurface(sky.Degrees(180+in.num("surf_az_w_of_s")), sky.Degrees(in.num("tilt")))
		return s.Incidence(p.Toward).Radians()
	}, false),
	"SUN D&B 1.6.2a zenith":  bySolarTime(13, time.February, zenithOf, zenith, false),
	"SUN D&B 1.6.2a azimuth": bySolarTime(13, time.February, southAzimuthOf, southAzimuth, true),
	"SUN D&B 1.6.2b zenith":  bySolarTime(1, time.July, zenithOf, zenith, false),
	"SUN D&B 1.6.2b azimuth": bySolarTime(1, time.July, southAzimuthOf, southAzimuth, true),
	"SUN D&B 2.8.1 clear sky G_on": {
		yardstick: func(in inputs) ([]float64, error) { return []float64{hottelAt(in).gon}, nil },
		production: func(in inputs) ([]float64, error) {
			return []float64{greenwich(in.t, in.num("lat")).Sun(time.Date(2025, 8, 22, 11, 30, 0, 0, time.UTC)).Extraterrestrial()}, nil
		},
		allowance: func(in inputs) ([]float64, error) {
			return []float64{1367*distanceApart(hottelAt(in).gon/1367, 234) + 1367 - sky.SolarConstant}, nil
		},
		why: "1367 W/m2 against 1361; " + spencerWhy,
	},
	"SUN D&B 2.16.1 HDKR total": {
		yardstick: func(in inputs) ([]float64, error) { return []float64{hdkr(in, true)}, nil },
		production: func(in inputs) ([]float64, error) {
			return []float64{duffieBeckman2151(in, in.num("Io")).Total()}, nil
		},
		allowance: func(in inputs) ([]float64, error) { return []float64{hdkr(in, true) - hdkr(in, false)}, nil },
		why:       "HDKR brightens the sky towards the horizon (Reindl et al. 1990), Hay and Davies do not: that term",
	},

	"FAO Ex 8 d_r": {
		yardstick: func(in inputs) ([]float64, error) { return []float64{faoDay(in.num("J"), in.num("lat_deg")).dr}, nil },
		production: func(in inputs) ([]float64, error) {
			return []float64{math.Pow(dayNoon(in, in.num("J")).Distance, -2)}, nil
		},
		allowance: func(in inputs) ([]float64, error) {
			return []float64{distanceApart(faoDay(in.num("J"), in.num("lat_deg")).dr, in.num("J"))}, nil
		},
		why: spencerWhy,
	},
	"FAO Ex 8 declination": {
		yardstick: func(in inputs) ([]float64, error) {
			return []float64{faoDay(in.num("J"), in.num("lat_deg")).delta}, nil
		},
		production: func(in inputs) ([]float64, error) {
			return []float64{dayNoon(in, in.num("J")).Declination.Radians()}, nil
		},
		allowance: func(in inputs) ([]float64, error) {
			return []float64{declinationApart(faoDay(in.num("J"), in.num("lat_deg")).delta, in.num("J"))}, nil
		},
		why: spencerWhy,
	},
	"FAO Ex 8 sunset hour angle": {
		yardstick: func(in inputs) ([]float64, error) {
			return []float64{faoDay(in.num("J"), in.num("lat_deg")).sunset}, nil
		},
		production: func(in inputs) ([]float64, error) { return []float64{daylight(in, in.num("J")) * math.Pi / 86400}, nil },
		allowance:  func(in inputs) ([]float64, error) { return []float64{sunsetApart(in, in.num("J"))}, nil },
		why:        sunsetWhy,
	},
	"FAO Ex 9 daylight hours":   hours("J", 0),
	"FAO Ex 18 N":               hours("", 187),
	"FAO Ex 8 R_a":              beyondAir("J", 0),
	"FAO Ex 17 R_a (unrounded)": beyondAir("", 105),
	"FAO Ex 18 R_a":             beyondAir("", 187),

	"SKY clear-sky emissivity Clark-Allen": emissivityRival(func(in inputs) float64 { return clarkAllen(in.num("t_dew_c")) }),
	"SKY clear-sky emissivity Brunt calibrated": emissivityRival(func(in inputs) float64 {
		return 0.618 + 0.056*math.Sqrt(float64(psychro.SaturationWater(psychro.Celsius(in.num("t_dew_c"))))/100)
	}),
	"SKY clear-sky emissivity Idso calibrated": emissivityRival(func(in inputs) float64 {
		e := float64(psychro.SaturationWater(psychro.Celsius(in.num("t_dew_c")))) / 100
		return 0.685 + 3.2e-5*e*math.Exp(1699/(in.num("t_c")+273.15))
	}),
	"SKY Berdahl & Martin 1984 value": emissivityRival(func(in inputs) float64 { return berdahlMartin1984(in.num("t_dew_c")) }),
	"SKY EnergyPlus worked example": {
		yardstick: func(in inputs) ([]float64, error) {
			e := clarkAllen(in.num("tdp_K")-273) * sky.CloudFactor(in.num("N")/10)
			return []float64{e, e * 5.6697e-8 * math.Pow(in.num("tdb_K"), 4)}, nil
		},
		production: func(in inputs) ([]float64, error) {
			flat, err := sky.NewSurface(0, 0)
			air, dew := psychro.Kelvin(in.num("tdb_K")).Celsius(), psychro.Kelvin(in.num("tdp_K")).Celsius()
			e := sky.Emissivity(dew, in.num("N")/10)
			return []float64{e, flat.View(0).Longwave(e, air, air, air)}, err
		},
		allowance: func(in inputs) ([]float64, error) {
			return []float64{setsApart, setsApart * sky.StefanBoltzmann * math.Pow(in.num("tdb_K"), 4)}, nil
		},
		why: setsApartWhy,
	},
}

var skyAsides = map[string]aside{
	"SUN Haurwitz clear-sky GHI": {
		yardstick: func(in inputs) ([]float64, error) {
			c := math.Sin(in.num("elev_deg") * math.Pi / 180)
			return []float64{1098 * c * math.Exp(-0.059/c)}, nil
		},
		beside: func(in inputs) ([]float64, error) {
			return []float64{clearBeside(in.num("elev_deg"), sky.SolarConstant).Global}, nil
		},
	},
	"SUN Ineichen-Perez": {
		yardstick: func(in inputs) ([]float64, error) {
			// Ineichen and Perez 2002 at sea level, with the enhancement and bounds of the library the row is from (from memory).
			cos, am, tl := math.Cos(in.num("zenith")*math.Pi/180), in.num("airmass"), in.num("linke")
			ghi := 0.868 * 1364 * cos * math.Exp(-0.0387*am*tl)
			dni := math.Min(1364*(0.664+0.163)*math.Exp(-0.09*am*(tl-1)), ghi*(1-(0.1-0.2*math.Exp(-tl))/(0.1+0.882))/cos)
			return []float64{ghi, dni, ghi - dni*cos}, nil
		},
		beside: func(in inputs) ([]float64, error) {
			c := clearBeside(90-in.num("zenith"), 1364)
			return []float64{c.Global, c.Direct, c.Diffuse}, nil
		},
	},
	"SUN D&B 2.8.1 clear sky tau_b":         hottel(func(h hottelSky) float64 { return h.taub }, nil),
	"SUN D&B 2.8.1 clear sky G_cnb":         hottel(func(h hottelSky) float64 { return h.taub * h.gon }, func(c sky.Clear, _ float64) float64 { return c.Direct }),
	"SUN D&B 2.8.1 clear sky G_cb":          hottel(func(h hottelSky) float64 { return h.taub * h.gon * h.cos }, func(c sky.Clear, up float64) float64 { return c.Direct * up }),
	"SUN D&B 2.8.1 clear sky tau_d (2.8.2)": hottel(func(h hottelSky) float64 { return h.taud }, nil),
	"SUN D&B 2.8.1 clear sky G_o (2.8.2)":   hottel(func(h hottelSky) float64 { return h.gon * h.cos }, nil),
	"SUN D&B 2.8.1 clear sky G_cd (2.8.2)":  hottel(func(h hottelSky) float64 { return h.taud * h.gon * h.cos }, func(c sky.Clear, _ float64) float64 { return c.Diffuse }),
	"SUN D&B 2.8.1 clear sky G_c (2.8.2)": hottel(func(h hottelSky) float64 { return (h.taub + h.taud) * h.gon * h.cos },
		func(c sky.Clear, _ float64) float64 { return c.Global }),

	"SKY Swinbank": {yardstick: func(in inputs) ([]float64, error) { return []float64{0.0552 * math.Pow(in.num("Ta_K"), 1.5)}, nil }},

	// FAO-56's days: Angstrom's sun hours, its clear sky, and its net long wave of a field as warm as the air.
	"FAO Ex 10 R_s": {yardstick: func(in inputs) ([]float64, error) {
		return []float64{(0.25 + 0.5*in.num("n_h")/in.num("N_h")) * in.num("Ra") * perDay}, nil // eq 35
	}},
	"FAO Ex 11 R_nl": {yardstick: func(in inputs) ([]float64, error) {
		return []float64{faoLongwave(in.num("tmax_c"), in.num("tmin_c"), in.num("ea_kpa"), in.num("Rs")/in.num("Rso"), 273.16)}, nil
	}},
	"FAO Ex 12 R_ns": {yardstick: func(in inputs) ([]float64, error) { return []float64{0.77 * in.num("Rs") * perDay}, nil }}, // eq 38
	"FAO Ex 14 wind 10 m to 2 m": {yardstick: func(in inputs) ([]float64, error) {
		return []float64{faoWind(in.num("u_z"), in.num("z_m"))}, nil
	}},
	"FAO Ex 18 u2":  {yardstick: func(in inputs) ([]float64, error) { return []float64{faoWind(in.num("u10_m_s"), 10)}, nil }},
	"FAO Ex 17 R_s": {yardstick: func(in inputs) ([]float64, error) { return []float64{faoRadiation(in).rs}, nil }},
	"FAO Ex 18 R_s": {yardstick: func(in inputs) ([]float64, error) { return []float64{faoRadiation(in).rs}, nil }},
	"FAO Ex 17 R_so (unrounded)": {
		yardstick: func(in inputs) ([]float64, error) { return []float64{faoRadiation(in).rso}, nil },
		beside:    clearDay(105),
	},
	"FAO Ex 18 R_so": {
		yardstick: func(in inputs) ([]float64, error) { return []float64{faoRadiation(in).rso}, nil },
		beside:    clearDay(187),
	},
	"FAO Ex 17 R_nl (unrounded)": {yardstick: func(in inputs) ([]float64, error) { return []float64{faoRadiation(in).rnl}, nil }},
	"FAO Ex 18 R_nl (unrounded)": {yardstick: func(in inputs) ([]float64, error) { return []float64{faoRadiation(in).rnl}, nil }},
	"FAO Ex 17 R_n": {yardstick: func(in inputs) ([]float64, error) {
		f := faoRadiation(in)
		return []float64{0.77*f.rs - f.rnl}, nil
	}},
	"FAO Ex 18 R_n": {yardstick: func(in inputs) ([]float64, error) {
		f := faoRadiation(in)
		return []float64{0.77*f.rs - f.rnl}, nil
	}},
}

var skyForms = map[string]func(t *testing.T, r row){
	"SKY forms (calibrated)": func(t *testing.T, r row) {
		in := r.inputs(t)
		// Production is a parabola in the dew point: three of its values give back the coefficients.
		c := sky.ClearEmissivity(0)
		warm, cold := sky.ClearEmissivity(20)-c, sky.ClearEmissivity(-20)-c
		got := fmt.Sprintf("%.3f+%.3f*(Td/100)+%.3f*(Td/100)^2", c, (warm-cold)/0.4, (warm+cold)/0.08)
		if got != in.text("MB") {
			t.Errorf("%v: production is %s, the row has %s", r, got, in.text("MB"))
		}
		for name, want := range map[string]string{"Brunt": "0.618+0.056*sqrt(Pw_hPa)", "ClarkAllen": "0.787+0.764*ln(Td_K/273)",
			"Idso": "0.685+3.2e-5*Pw_hPa*exp(1699/Ta)"} {
			if in.text(name) != want {
				t.Errorf("%v: the row has %s, the yardstick is typed as %s", r, in.text(name), want)
			}
		}
	},
	"SKY Berdahl & Martin 1984 clear sky": func(t *testing.T, r row) {
		k := numbers(t, r)
		same(t, r, k[0]+k[1]*0.167+k[2]*0.167*0.167, berdahlMartin1984(16.7))
	},
	"SKY cloud factor (Walton)": func(t *testing.T, r row) {
		k := numbers(t, r)
		for n := 0.0; n <= 10; n++ {
			same(t, r, 1+k[0]*n+k[1]*n*n+k[2]*n*n*n, sky.CloudFactor(n/10))
		}
	},
	"SKY Crawford-Duchon cloud blend": func(t *testing.T, r row) {
		if form := r.inputs(t).text("form"); form != "eps=c+(1-c)*eps_clear" {
			t.Errorf("%v: form %q", r, form)
		}
		for c := 0.0; c <= 1; c += 0.25 {
			same(t, r, c+(1-c)*0.8, sky.CloudBlend(0.8, c))
		}
	},
}

// skyUnanswered are the rows that weather/sky does not compute.
var skyUnanswered = []reason{
	{"an intermediate of SPA, not computed", []string{
		"SUN SPA julian day", "SUN SPA L", "SUN SPA B", "SUN SPA Theta", "SUN SPA beta", "SUN SPA delta psi", "SUN SPA delta epsilon",
		"SUN SPA epsilon", "SUN SPA lambda", "SUN SPA alpha", "SUN SPA alpha prime", "SUN SPA delta prime", "SUN SPA H prime",
	}},
	{"a form, no value: the model is not used", []string{"SUN ASHRAE tau model exponents 2017"}},
	{"a form, no value: the terms are left out", []string{"SKY B&M hour and pressure terms"}},
}

// perDay turns MJ/(m2 d) into W/m2.
const perDay = 1e6 / 86400

func known(v float64) weather.Value { return weather.Value{V: v, Tag: weather.Measured} }

func wallIncidence(bearing sky.Degrees) dispatcher {
	return func(in inputs) ([]float64, error) {
		w, err := sky.NewWall(bearing)
		return []float64{w.Incidence(sky.Toward(90-sky.Degrees(in.num("zenith")), sky.Degrees(in.num("sun_az")))).Radians()}, err
	}
}

// ---- NREL's example ----

// The accuracy that production's theory of the sun has by its author: 0.01 degrees
// (Meeus 1998, ch. 25). It is also allowed in sunrise, by what the sun climbs.
const (
	spaAngle   = 0.01 * math.Pi / 180
	spaAzimuth = spaAngle / 0.64 // over the cosine of the elevation
	spaWhy     = "production's theory of the sun is good to 0.01 degrees by its author (Meeus 1998, ch. 25)"
)

func spaSite(in inputs) sky.Site {
	p := weather.Place{Lat: in.num("lat"), Lon: in.num("lon")}
	if _, ok := in.values["elev_m"]; ok {
		p.Altitude = in.num("elev_m")
	}
	s, err := sky.NewSite(p)
	if err != nil {
		in.t.Fatal(err)
	}
	return s
}

// mountain is the zone of Golden, Colorado, in the rows.
var mountain = time.FixedZone("UTC-7", -7*3600)

func spa(property func(p sky.Position, in inputs) float64, allowed float64) rival {
	return rival{
		production: func(in inputs) ([]float64, error) {
			at, err := time.ParseInLocation("2006-01-02 15:04:05", in.text("date")+" "+in.text("time_local"), mountain)
			return []float64{property(spaSite(in).Sun(at), in)}, err
		},
		allowance: func(inputs) ([]float64, error) { return []float64{allowed}, nil },
		why:       spaWhy,
	}
}

func spaTimes(which func(sky.Day) []time.Time) rival {
	day := func(in inputs) (sky.Day, error) {
		at, err := time.ParseInLocation("2006-01-02", in.text("date"), mountain)
		d := spaSite(in).Day(at.Add(12 * time.Hour))
		// SPA looks for the sunset of the UTC date, which in Colorado may be that of the evening before.
		if date := in.text("date"); d.Set.Format(time.DateOnly) != date {
			before := spaSite(in).Day(at.Add(-12 * time.Hour)).Set
			in.t.Logf("the row's sunset is that of the UTC date, at %v; the sun sets on the local date at %v", before.In(mountain), d.Set.In(mountain))
			d.Set = before
		}
		return d, err
	}
	return rival{
		production: func(in inputs) ([]float64, error) {
			d, err := day(in)
			var out []float64
			for _, at := range which(d) {
				l := at.In(mountain)
				out = append(out, l.Sub(time.Date(l.Year(), l.Month(), l.Day(), 0, 0, 0, 0, mountain)).Seconds())
			}
			return out, err
		},
		allowance: func(in inputs) ([]float64, error) {
			d, err := day(in)
			var out []float64
			for range which(d) {
				// 240 s a degree along the equator, and less climb at a latitude: a factor of 1/cos(lat) or a little more.
				out = append(out, 0.01*240/math.Cos(in.num("lat")*math.Pi/180)*1.2)
			}
			return out, err
		},
		why: spaWhy + ", which the sun takes 4 s to climb in Colorado",
	}
}

// ---- Duffie and Beckman's and FAO-56's sun by the day of the year ----

// The two books' forms by the day of the year are held to production by way of
// Spencer 1971 (Duffie and Beckman's eqs 1.6.1b and 1.4.1b), whose series are good to
// 0.035 degrees in declination and 0.01 % in the distance; all from memory. The hour
// and the leap years put an instant up to a day from the one a series by dates is for:
// 0.4 degrees and 0.06 % at most.
const (
	spencerDeclination = (0.035 + 0.4) * math.Pi / 180
	spencerDistance    = 1e-4 + 6e-4
	spencerWhy         = "the difference of the form by the day of the year from Spencer 1971, and 0.435 degrees and 0.07 % for Spencer, the hour and leap years"
)

// spencer is the declination, rad, and the inverse of the distance squared on day n.
func spencer(n float64) (declination, inverse float64) {
	b := 2 * math.Pi * (n - 1) / 365
	s1, c1 := math.Sincos(b)
	s2, c2 := math.Sincos(2 * b)
	s3, c3 := math.Sincos(3 * b)
	return 0.006918 - 0.399912*c1 + 0.070257*s1 - 0.006758*c2 + 0.000907*s2 - 0.002697*c3 + 0.00148*s3,
		1.000110 + 0.034221*c1 + 0.001280*s1 + 0.000719*c2 + 0.000077*s2
}

// declinationApart and distanceApart are how far a form's value on day n may be from production's.
func declinationApart(form, n float64) float64 {
	d, _ := spencer(n)
	return math.Abs(form-d) + spencerDeclination
}

func distanceApart(form, n float64) float64 {
	_, e := spencer(n)
	return math.Abs(form-e) + spencerDistance
}

// cooper is Duffie and Beckman's eq 1.6.1a, Cooper 1969: declination, rad, on day n.
func cooper(n float64) float64 {
	return 23.45 * math.Pi / 180 * math.Sin(2*math.Pi*(284+n)/365)
}

// solarPlace is where the sun is at a row's latitude and solar time.
func solarPlace(in inputs, delta float64) sky.Direction {
	sinL, cosL := math.Sincos(in.num("lat") * math.Pi / 180)
	sinD, cosD := math.Sincos(delta)
	sinH, cosH := math.Sincos((in.num("solar_time") - 12) * 15 * math.Pi / 180)
	return sky.Direction{East: -cosD * sinH, North: cosL*sinD - sinL*cosD*cosH, Up: sinL*sinD + cosL*cosD*cosH}
}

func greenwich(t *testing.T, lat float64) sky.Site {
	t.Helper()
	s, err := sky.NewSite(weather.Place{Lat: lat})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func zenithOf(in inputs, delta float64) float64     { return math.Acos(solarPlace(in, delta).Up) }
func zenith(_ inputs, p sky.Position) float64       { return math.Pi/2 - p.TrueElevation.Radians() }
func southAzimuth(_ inputs, p sky.Position) float64 { return p.Azimuth.Radians() - math.Pi }
func southAzimuthOf(in inputs, delta float64) float64 {
	d := solarPlace(in, delta)
	return math.Atan2(-d.East, -d.North)
}

// bySolarTime checks an example at a solar time: production at the instant of 2025
// at Greenwich when the sundial shows it. The rows of 1 July were made with n = 181, the
// day before; with 182 the form gives 79.63 and 112.04 degrees.
func bySolarTime(day int, month time.Month, form func(in inputs, delta float64) float64, property func(in inputs, p sky.Position) float64, azimuth bool) rival {
	n := float64(time.Date(2025, month, day, 0, 0, 0, 0, time.UTC).YearDay())
	if month == time.July {
		n--
	}
	at := func(in inputs) sky.Position {
		s := greenwich(in.t, in.num("lat"))
		clock := time.Date(2025, month, day, 0, 0, 0, 0, time.UTC).Add(time.Duration(in.num("solar_time") * float64(time.Hour)))
		return s.Sun(clock.Add(-s.Sun(clock).EquationOfTime))
	}
	return rival{
		yardstick:  func(in inputs) ([]float64, error) { return []float64{form(in, cooper(n))}, nil },
		production: func(in inputs) ([]float64, error) { return []float64{property(in, at(in))}, nil },
		allowance: func(in inputs) ([]float64, error) {
			p := at(in)
			allowed := declinationApart(cooper(n), n) + (p.Elevation - p.TrueElevation).Radians()
			if azimuth {
				allowed /= math.Cos(p.TrueElevation.Radians())
			}
			return []float64{allowed}, nil
		},
		why: spencerWhy + "; and refraction, which it leaves out",
	}
}

// duffieBeckman2151 is production on the roof of example 2.15.1: the sun in the plane
// of the roof's normal, at the height that gives the row's R_b.
func duffieBeckman2151(in inputs, beyond float64) sky.Incident {
	if as, ok := in.values["as"]; ok {
		in = exampleLike(in.t, fmt.Sprint(as))
	}
	tilt := in.num("tilt") * math.Pi / 180
	z := math.Atan((in.num("Rb") - math.Cos(tilt)) / math.Sin(tilt))
	s, err := sky.NewSurface(180, sky.Degrees(in.num("tilt")))
	if err != nil {
		in.t.Fatal(err)
	}
	// The hour's energies stand for its powers; beyond is on the flat, as I_o is.
	l := sky.Light{Global: known(in.num("I")), Direct: known(in.num("Ib") / math.Cos(z)), Diffuse: known(in.num("Id"))}
	got := s.Irradiance(sky.Toward(sky.Degrees(90-z*180/math.Pi), 180), beyond/math.Cos(z), l, in.num("rho_g"))
	for _, v := range []*float64{&got.Beam, &got.Circumsolar, &got.Isotropic, &got.Ground} {
		*v *= 1e6 // MJ
	}
	return got
}

// hdkr is Duffie and Beckman's eq 2.16.7, J/m2; without the horizon's term it is eq 2.16.5.
func hdkr(in inputs, horizon bool) float64 {
	e := exampleLike(in.t, in.text("as"))
	ai, f := e.num("Ib")/in.num("Io"), math.Sqrt(e.num("Ib")/e.num("I"))
	if !horizon {
		f = 0
	}
	cos := math.Cos(e.num("tilt") * math.Pi / 180)
	bright := 1 + f*math.Pow(math.Sin(e.num("tilt")*math.Pi/360), 3)
	return 1e6 * ((e.num("Ib")+e.num("Id")*ai)*e.num("Rb") + e.num("Id")*(1-ai)*(1+cos)/2*bright + e.num("I")*e.num("rho_g")*(1-cos)/2)
}

// exampleLike is the inputs of the row of another of Duffie and Beckman's examples.
func exampleLike(t *testing.T, number string) inputs {
	t.Helper()
	for _, r := range readRows(t, checks+"published-values.csv") {
		if strings.HasPrefix(r["quantity"], "D&B "+number+" ") {
			return r.inputs(t)
		}
	}
	t.Fatalf("no example %s", number)
	return inputs{}
}

// hottelSky is Hottel 1976, Duffie and Beckman's eqs 2.8.1 to 2.8.5, in a midlatitude
// summer with a visibility of 23 km.
type hottelSky struct{ gon, cos, taub, taud float64 }

func hottelAt(in inputs) hottelSky {
	if c := in.text("climate"); c != "midlatitude summer" {
		in.t.Fatalf("climate %q", c)
	}
	const n = 234 // 22 August
	h := hottelSky{gon: 1367 * (1 + 0.033*math.Cos(2*math.Pi*n/365)), cos: solarPlace(in, cooper(n)).Up}
	a := in.num("alt_km")
	a0 := 0.97 * (0.4237 - 0.00821*(6-a)*(6-a))
	a1 := 0.99 * (0.5055 + 0.00595*(6.5-a)*(6.5-a))
	k := 1.02 * (0.2711 + 0.01858*(2.5-a)*(2.5-a))
	h.taub = a0 + a1*math.Exp(-k/h.cos)
	h.taud = 0.271 - 0.294*h.taub
	return h
}

// hottel checks one of the example's numbers; production's clear sky is shown beside it.
func hottel(of func(hottelSky) float64, ours func(c sky.Clear, up float64) float64) aside {
	a := aside{yardstick: func(in inputs) ([]float64, error) { return []float64{of(hottelAt(in))}, nil }}
	if ours != nil {
		a.beside = func(in inputs) ([]float64, error) {
			h := hottelAt(in)
			z := psychro.GeopotentialAltitude(psychro.Metre(1000 * in.num("alt_km")))
			c := sky.ClearSky(h.cos, h.gon, psychro.StandardPressure(z), midlatitudeSummer, sky.Haze).Clouded(h.cos, 0)
			return []float64{ours(c, h.cos)}, nil
		}
	}
	return a
}

// midlatitudeSummer is that atmosphere's precipitable water, m (AFGL 1986, from memory).
const midlatitudeSummer = 0.029

// clearBeside is production's clear sky at sea level, over 14 mm of water.
func clearBeside(elevation, beyond float64) sky.Clear {
	up := math.Sin(elevation * math.Pi / 180)
	return sky.ClearSky(up, beyond, 101325, 0.014, sky.Haze).Clouded(up, 0)
}

// ---- FAO-56, chapter 3 ----

type faoSun struct{ dr, delta, sunset, ra float64 } // -, rad, rad, W/m2

// faoDay is FAO-56 eqs 21 to 25 on day j at a latitude.
func faoDay(j, lat float64) faoSun {
	return faoDayAt(j, lat, 0.409*math.Sin(2*math.Pi*j/365-1.39))
}

func faoDayAt(j, lat, delta float64) faoSun {
	f := faoSun{dr: 1 + 0.033*math.Cos(2*math.Pi*j/365), delta: delta}
	sinL, cosL := math.Sincos(lat * math.Pi / 180)
	sinD, cosD := math.Sincos(f.delta)
	f.sunset = math.Acos(-sinL / cosL * sinD / cosD)
	f.ra = 1440 / math.Pi * 0.0820 * f.dr * (f.sunset*sinL*sinD + cosL*cosD*math.Sin(f.sunset)) * perDay
	return f
}

// dayAt is day j of 2025 at a row's latitude, at Greenwich.
func dayAt(in inputs, j float64) (sky.Site, sky.Day) {
	s := greenwich(in.t, in.num("lat_deg"))
	return s, s.Day(time.Date(2025, 1, int(j), 12, 0, 0, 0, time.UTC))
}

func dayNoon(in inputs, j float64) sky.Position {
	s, d := dayAt(in, j)
	return s.Sun(d.Noon)
}

func daylight(in inputs, j float64) float64 {
	_, d := dayAt(in, j)
	return d.Sunshine.Seconds()
}

// sunsetApart is how far FAO-56's sunset may be from production's, rad of hour angle.
func sunsetApart(in inputs, j float64) float64 {
	f, lat := faoDay(j, in.num("lat_deg")), in.num("lat_deg")*math.Pi/180
	climb := math.Cos(lat) * math.Cos(f.delta) * math.Sin(f.sunset)
	turn := math.Abs(math.Tan(lat)) / (math.Cos(f.delta) * math.Cos(f.delta) * math.Sin(f.sunset))
	return 0.8333*math.Pi/180/climb + turn*declinationApart(f.delta, j)
}

const sunsetWhy = "FAO-56's sun is a point without refraction, production's sets at -0.8333 degrees; " + spencerWhy

func hours(input string, day float64) rival {
	j := func(in inputs) float64 {
		if input != "" {
			return in.num(input)
		}
		return day
	}
	return rival{
		yardstick: func(in inputs) ([]float64, error) { // eq 34
			return []float64{86400 / math.Pi * faoDay(j(in), in.num("lat_deg")).sunset}, nil
		},
		production: func(in inputs) ([]float64, error) { return []float64{daylight(in, j(in))}, nil },
		allowance:  func(in inputs) ([]float64, error) { return []float64{86400 / math.Pi * sunsetApart(in, j(in))}, nil },
		why:        sunsetWhy,
	}
}

// overDay is the mean of f over the day around noon, in steps of two minutes.
func overDay(in inputs, j float64, f func(p sky.Position) float64) float64 {
	s, d := dayAt(in, j)
	const steps = 720
	sum := 0.0
	for i := range steps {
		sum += f(s.Sun(d.Noon.Add(time.Duration(2*i-steps+1) * time.Minute)))
	}
	return sum / steps
}

// beyondAir checks the irradiance of the flat beyond the air, summed over a day.
func beyondAir(input string, day float64) rival {
	j := func(in inputs) float64 {
		if input != "" {
			return in.num(input)
		}
		return day
	}
	return rival{
		yardstick: func(in inputs) ([]float64, error) { return []float64{faoDay(j(in), in.num("lat_deg")).ra}, nil },
		production: func(in inputs) ([]float64, error) {
			return []float64{overDay(in, j(in), func(p sky.Position) float64 {
				return p.Extraterrestrial() * math.Max(0, math.Sin(p.TrueElevation.Radians()))
			})}, nil
		},
		allowance: func(in inputs) ([]float64, error) {
			lat := in.num("lat_deg")
			f := faoDay(j(in), lat)
			apart := declinationApart(f.delta, j(in))
			turn := math.Max(math.Abs(faoDayAt(j(in), lat, f.delta+apart).ra-f.ra), math.Abs(faoDayAt(j(in), lat, f.delta-apart).ra-f.ra))
			return []float64{turn + f.ra*(distanceApart(f.dr, j(in))+1-sky.SolarConstant/(0.0820e6/60))}, nil
		},
		why: "0.0820 MJ/(m2 min), 1366.7 W/m2, against 1361; " + spencerWhy,
	}
}

// clearDay is production's clear sky over a day, at a row's height and humidity.
func clearDay(j float64) dispatcher {
	return func(in inputs) ([]float64, error) {
		t := (in.num("tmax_c") + in.num("tmin_c")) / 2
		e := psychro.Pascal(1000 * faoVapourPressure(in))
		p := psychro.StandardPressure(psychro.Metre(in.num("z_m")))
		return []float64{overDay(in, j, func(s sky.Position) float64 {
			return sky.ClearSky(s.Toward.Up, s.Extraterrestrial(), p, sky.PrecipitableWater(psychro.Celsius(t), e), sky.Haze).Clouded(s.Toward.Up, 0).Global
		})}, nil
	}
}

// faoWind is FAO-56 eq 47: wind at 2 m over grass from that at z, m.
func faoWind(u, z float64) float64 { return u * 4.87 / math.Log(67.8*z-5.42) }

// faoLongwave is FAO-56 eq 39, W/m2, from C, kPa and R_s/R_so.
func faoLongwave(tmax, tmin, ea, clear, zero float64) float64 {
	return 4.903e-9 * (math.Pow(tmax+zero, 4) + math.Pow(tmin+zero, 4)) / 2 * (0.34 - 0.14*math.Sqrt(ea)) * (1.35*clear - 0.35) * perDay
}

// faoVapourPressure is the row's, kPa: example 17 rounds it to 2.85, and the rows
// called unrounded have that of a relative humidity of 87 and 51 %.
func faoVapourPressure(in inputs) float64 {
	low, high := tetens(in.num("tmin_c"))/1000, tetens(in.num("tmax_c"))/1000
	if _, ok := in.values["rhmax"]; ok {
		return (low*in.num("rhmax") + high*in.num("rhmin")) / 200
	}
	return (low*87 + high*51) / 200
}

// faoRadiation is FAO-56 eqs 35, 37 and 39 of examples 17 and 18, W/m2.
//
// The rows of R_nl were made with R_s to 0.01 MJ/(m2 d), as the examples print it, and
// 273.15 K for 0 C, where eq 39 has 273.16: 1.3e-4 of R_nl apart.
func faoRadiation(in inputs) (out struct{ rs, rso, rnl float64 }) {
	j := 187.
	if _, ok := in.values["month"]; ok {
		j = 105 // mid April
	}
	f := faoDay(j, in.num("lat_deg"))
	out.rs = (0.25 + 0.5*in.num("n_h")/(24/math.Pi*f.sunset)) * f.ra
	out.rso = (0.75 + 2e-5*in.num("z_m")) * f.ra
	printed := math.Round(out.rs/perDay*100) / 100 * perDay
	out.rnl = faoLongwave(in.num("tmax_c"), in.num("tmin_c"), faoVapourPressure(in), printed/out.rso, 273.15)
	return out
}

// ---- Emissivity of the clear sky ----

// setsApart is the spread of the published forms that the row's notes record at a
// dew point of 16.7 C.
const (
	setsApart    = 0.038
	setsApartWhy = "the published sets are up to 0.038 apart at a dew point of 16.7 C, as testdata/checks records; production's is the one of 2017"
)

func clarkAllen(dew float64) float64 { return 0.787 + 0.764*math.Log((dew+273)/273) }

func berdahlMartin1984(dew float64) float64 { return 0.711 + dew/100*(0.56+dew/100*0.73) }

func emissivityRival(form func(in inputs) float64) rival {
	return rival{
		yardstick: func(in inputs) ([]float64, error) { return []float64{form(in)}, nil },
		production: func(in inputs) ([]float64, error) {
			return []float64{sky.ClearEmissivity(psychro.Celsius(in.num("t_dew_c")))}, nil
		},
		allowance: func(inputs) ([]float64, error) { return []float64{setsApart}, nil },
		why:       setsApartWhy,
	}
}
