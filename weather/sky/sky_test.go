package sky_test

import (
	"errors"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/weather"
	"limeday/weather/sky"
)

func site(t interface{ Fatal(...any) }, lat, lon float64) sky.Site {
	s, err := sky.NewSite(weather.Place{Lat: lat, Lon: lon})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func surface(t interface{ Fatal(...any) }, bearing, tilt sky.Degrees) sky.Surface {
	s, err := sky.NewSurface(bearing, tilt)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// drawTime draws an instant of the years for which the accuracy is promised.
func drawTime(t *rapid.T) time.Time {
	return time.Unix(rapid.Int64Range(-631152000, 4102444800).Draw(t, "unix"), 0).UTC()
}

// TestMeeus is example 25.a of Meeus 1998 (from memory): 1992 October 13, 0 h of
// terrestrial time.
func TestMeeus(t *testing.T) {
	p := site(t, 0, 0).Sun(time.Date(1992, 10, 13, 0, 0, -69, 0, time.UTC))
	if got := float64(p.Declination); !(math.Abs(got - -7.78507) <= 1e-5) {
		t.Errorf("declination %.6f, Meeus has -7.78507", got)
	}
	if !(math.Abs(p.Distance-0.99766) <= 1e-5) {
		t.Errorf("distance %.6f, Meeus has 0.99766", p.Distance)
	}
	// Right ascension 198.38083: with the sidereal time at 0 h from eq 12.3, the hour angle at Greenwich.
	T := (2448908.5 - 69./86400 - 2451545) / 36525
	sidereal := 280.46061837 + 360.98564736629*36525*T + 0.000387933*T*T
	want := math.Mod(sidereal-198.38083, 360) + 360
	if off := math.Remainder(float64(p.HourAngle)-want, 360); !(math.Abs(off) <= 0.005) { // nutation in the equinoxes aside
		t.Errorf("hour angle %v, with Meeus's right ascension %v", p.HourAngle, want)
	}
}

func TestSunProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := site(t, rapid.Float64Range(-90, 90).Draw(t, "lat"), rapid.Float64Range(-180, 180).Draw(t, "lon"))
		at := drawTime(t)
		p := s.Sun(at)
		if !(p.Elevation <= 90 && p.Elevation >= -90 && p.TrueElevation <= p.Elevation) {
			t.Fatalf("elevation %v, true %v", p.Elevation, p.TrueElevation)
		}
		if !(p.Azimuth >= 0 && p.Azimuth < 360) {
			t.Fatalf("azimuth %v", p.Azimuth)
		}
		if !(math.Abs(float64(p.Declination)) < 23.46) {
			t.Fatalf("declination %v", p.Declination)
		}
		if e := p.EquationOfTime.Minutes(); !(e > -14.6 && e < 16.8) { // its range in our time, from memory
			t.Fatalf("equation of time %v min", e)
		}
		if !(p.Distance > 0.983 && p.Distance < 1.0171) {
			t.Fatalf("distance %v", p.Distance)
		}
		d := p.Toward
		if n := d.East*d.East + d.North*d.North + d.Up*d.Up; !(math.Abs(n-1) < 1e-9) {
			t.Fatalf("length of the direction squared: %v", n)
		}
		again := sky.Toward(p.Elevation, p.Azimuth)
		if !(math.Abs(again.East-d.East)+math.Abs(again.North-d.North)+math.Abs(again.Up-d.Up) < 1e-9) {
			t.Fatalf("%v toward %v, by angles %v", p, d, again)
		}
		// The zone of the clock does not matter.
		if kathmandu := s.Sun(at.In(time.FixedZone("", 5*3600+45*60))); kathmandu != p {
			t.Fatalf("%v at +05:45, %v in UTC", kathmandu, p)
		}
		// Two walls back to back, and the four walls with the flat: the squares of the cosines are 1.
		b := sky.Degrees(rapid.Float64Range(0, 180).Draw(t, "bearing"))
		front, back := surface(t, b, 90), surface(t, b+180, 90)
		side := surface(t, b+90, 90)
		if sum := front.CosIncidence(d) + back.CosIncidence(d); !(math.Abs(sum) < 1e-12) {
			t.Fatalf("cosines of a wall and its back: %v", sum)
		}
		up := surface(t, b, 0).CosIncidence(d)
		if sum := front.CosIncidence(d)*front.CosIncidence(d) + side.CosIncidence(d)*side.CosIncidence(d) + up*up; !(math.Abs(sum-1) < 1e-9) {
			t.Fatalf("squares of three cosines at right angles sum to %v", sum)
		}
		if inc := front.Incidence(d).Radians(); !(math.Abs(math.Cos(inc)-front.CosIncidence(d)) < 1e-9) {
			t.Fatalf("incidence %v, its cosine %v", inc, front.CosIncidence(d))
		}
		if z := surface(t, b, 0).Incidence(d); !(math.Abs(float64(z)-90+float64(p.Elevation)) < 1e-9) {
			t.Fatalf("on the flat %v from the zenith, elevation %v", z, p.Elevation)
		}
	})
}

// TestDay: the sun is on its line at rise and set, on the meridian at noon, and
// the day is symmetric about noon but for what the sun moves meanwhile.
func TestDay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat := rapid.Float64Range(-89.9, 89.9).Draw(t, "lat")
		s := site(t, lat, rapid.Float64Range(-180, 180).Draw(t, "lon"))
		at := drawTime(t)
		d := s.Day(at)
		noon := s.Sun(d.Noon)
		if off := at.Sub(d.Noon); off.Abs() > 12*time.Hour+2*time.Minute {
			t.Fatalf("noon %v of %v", d.Noon, at)
		}
		if h := float64(noon.HourAngle); !(math.Abs(h) < 1e-5) {
			t.Fatalf("hour angle at noon: %v", h)
		}
		low := math.Max(float64(s.Sun(d.Noon.Add(-12*time.Hour)).TrueElevation), float64(s.Sun(d.Noon.Add(12*time.Hour)).TrueElevation))
		switch {
		case d.Kind == sky.PolarDay:
			if !(low > -0.9 && d.Sunshine == 24*time.Hour && d.Rise.IsZero() && d.Set.IsZero()) {
				t.Fatalf("%+v, elevation at midnight %v", d, low)
			}
		case d.Kind == sky.PolarNight:
			if !(noon.TrueElevation < -0.8 && d.Sunshine == 0 && d.Rise.IsZero() && d.Set.IsZero()) {
				t.Fatalf("%+v, elevation at noon %v", d, noon.TrueElevation)
			}
		default:
			for _, c := range []time.Time{d.Rise, d.Set} {
				// The convention has no parallax: 0.0025 degrees at most.
				if e := float64(s.Sun(c).TrueElevation); !c.IsZero() && !(math.Abs(e+0.8333) < 0.003) {
					t.Fatalf("elevation %v at %v", e, c)
				}
			}
			if d.Rise.IsZero() && d.Set.IsZero() {
				t.Fatalf("%+v", d)
			}
			if math.Abs(lat) < 60 {
				// The declination moves 0.4 degrees a day at most, which shifts rise and set by
				// 4 min tan(lat)/cos(...) a degree: under 3 minutes of asymmetry up to 60 degrees.
				if skew := d.Noon.Sub(d.Rise) - d.Set.Sub(d.Noon); skew.Abs() > 3*time.Minute || d.Sunshine != d.Set.Sub(d.Rise) {
					t.Fatalf("%+v: asymmetric by %v", d, skew)
				}
			}
		}
	})
}

// TestPoles: a year at the poles has one day and one night.
func TestPoles(t *testing.T) {
	for _, lat := range []float64{90, -90} {
		s := site(t, lat, 0)
		counts := map[sky.Kind]int{}
		for i := range 365 {
			d := s.Day(time.Date(2025, 1, 1+i, 12, 0, 0, 0, time.UTC))
			counts[d.Kind]++
			if d.Kind == sky.Ordinary && d.Rise.IsZero() == d.Set.IsZero() {
				t.Errorf("%v: %+v", lat, d)
			}
		}
		if counts[sky.Ordinary] != 2 || counts[sky.PolarDay]+counts[sky.PolarNight] != 363 {
			t.Errorf("%v degrees: %v", lat, counts)
		}
		if june := s.Day(time.Date(2025, 6, 21, 12, 0, 0, 0, time.UTC)).Kind; (june == sky.PolarDay) != (lat > 0) || june == sky.Ordinary {
			t.Errorf("%v degrees in June: %v", lat, june)
		}
	}
}

// TestHemispheres: the sun culminates in the south at 40 N and in the north at 40 S,
// and half a year apart the two have the same day within what the ellipse makes of it.
func TestHemispheres(t *testing.T) {
	north, south := site(t, 40, 0), site(t, -40, 0)
	a := north.Day(time.Date(2025, 6, 21, 12, 0, 0, 0, time.UTC))
	b := south.Day(time.Date(2025, 12, 21, 12, 0, 0, 0, time.UTC))
	if off := (a.Sunshine - b.Sunshine).Abs(); off > time.Minute {
		t.Errorf("longest days: %v and %v", a.Sunshine, b.Sunshine)
	}
	if az := north.Sun(a.Noon).Azimuth; !(math.Abs(float64(az)-180) < 1e-3) {
		t.Errorf("azimuth at noon, 40 N: %v", az)
	}
	if az := south.Sun(b.Noon).Azimuth; !(math.Abs(math.Remainder(float64(az), 360)) < 1e-3) {
		t.Errorf("azimuth at noon, 40 S: %v", az)
	}
	if az := south.Sun(b.Rise).Azimuth; !(az > 90 && az < 180) {
		t.Errorf("azimuth at sunrise in summer, 40 S: %v, want south of east", az)
	}
}

// TestContinuity: through a leap year and into the next nothing jumps, but for the
// refraction where the sun goes out of sight.
func TestContinuity(t *testing.T) {
	const step = time.Minute
	s := site(t, 51.5, -0.13)
	last := s.Sun(time.Date(2023, 12, 31, 0, 0, 0, 0, time.UTC))
	for at := time.Date(2023, 12, 31, 0, 1, 0, 0, time.UTC); at.Year() < 2025; at = at.Add(step) {
		p := s.Sun(at)
		// The sky turns by 0.251 degrees a minute.
		if !(math.Abs(float64(p.TrueElevation-last.TrueElevation)) < 0.2507) {
			t.Fatalf("%v: elevation from %v to %v", at, last.TrueElevation, p.TrueElevation)
		}
		if last.Up() && p.Up() && !(math.Abs(float64(p.Elevation-last.Elevation)) < 0.2507) {
			t.Fatalf("%v: elevation as seen from %v to %v", at, last.Elevation, p.Elevation)
		}
		if !(math.Abs(float64(p.Declination-last.Declination)) < 0.4/24/60*1.02) {
			t.Fatalf("%v: declination from %v to %v", at, last.Declination, p.Declination)
		}
		if off := (p.EquationOfTime - last.EquationOfTime).Abs(); off > 31*time.Second/24/60 {
			t.Fatalf("%v: equation of time from %v to %v", at, last.EquationOfTime, p.EquationOfTime)
		}
		last = p
	}
}

func TestSunOver(t *testing.T) {
	s := site(t, 45, 10)
	d := s.Day(time.Date(2025, 3, 20, 11, 0, 0, 0, time.UTC))
	for _, tc := range []struct {
		name   string
		from   time.Time
		share  float64
		middle time.Time
	}{
		{"night", d.Noon.Add(-12 * time.Hour), 0, d.Noon.Add(-12*time.Hour + 30*time.Minute)},
		{"day", d.Noon, 1, d.Noon.Add(30 * time.Minute)},
		{"sunrise", d.Rise.Add(-45 * time.Minute), 0.25, d.Rise.Add(7*time.Minute + 30*time.Second)},
		{"sunset", d.Set.Add(-15 * time.Minute), 0.25, d.Set.Add(-7*time.Minute - 30*time.Second)},
	} {
		p, share := s.SunOver(tc.from, time.Hour)
		if !(math.Abs(share-tc.share) < 1e-5) {
			t.Errorf("%s: share %v, want %v", tc.name, share, tc.share)
		}
		if want := s.Sun(tc.middle); !(math.Abs(float64(p.TrueElevation-want.TrueElevation)) < 1e-3) {
			t.Errorf("%s: %v, want %v", tc.name, p, want)
		}
	}
}

func TestRefused(t *testing.T) {
	nan := math.NaN()
	for _, err := range []error{
		second(sky.NewSurface(400, 90)), second(sky.NewSurface(-1, 90)), second(sky.NewSurface(0, 181)),
		second(sky.NewSurface(sky.Degrees(nan), 90)), second(sky.NewWall(361)),
		second(sky.NewSite(weather.Place{Lat: 91})), second(sky.NewSite(weather.Place{Lon: 181})),
		second(sky.NewSite(weather.Place{Lat: nan})), second(sky.NewSite(weather.Place{Altitude: 9001})),
	} {
		var r *sky.RangeError
		if !errors.As(err, &r) {
			t.Errorf("%v, want a RangeError", err)
		}
	}
	if got, want := second(sky.NewSurface(400, 90)).Error(), "bearing 400 degrees is outside 0 to 360 degrees"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if _, err := sky.NewSite(weather.Place{Altitude: nan}); err != nil {
		t.Errorf("an altitude that is not known: %v", err)
	}
}

func second[T any](_ T, err error) error { return err }
