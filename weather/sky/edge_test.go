package sky_test

import (
	"errors"
	"testing"
	"time"

	"limeday/weather"
	"limeday/weather/sky"
)

// TestPolarLight: where the sun stays up every hour has light, of the north at midnight too; where it stays down none
// has, and neither radiation nor cloud is missed. Real sunshine then is a fault of the times.
func TestPolarLight(t *testing.T) {
	s := site(t, 78, 16) // the sun is up on 21 June and no higher than -11 degrees on 21 December, by its declination
	north, south := surface(t, 0, 90), surface(t, 180, 90)
	if k := s.Day(time.Date(2026, 6, 21, 11, 0, 0, 0, time.UTC)).Kind; k != sky.PolarDay {
		t.Errorf("in June: %v", k)
	}
	if k := s.Day(time.Date(2026, 12, 21, 11, 0, 0, 0, time.UTC)).Kind; k != sky.PolarNight {
		t.Errorf("in December: %v", k)
	}
	for h := range 24 {
		day := time.Date(2026, 6, 21, h, 0, 0, 0, time.UTC)
		sun, share := s.SunOver(day, time.Hour)
		l, err := s.Light(weather.Record{Time: day, Cloud: measured(0)}, sun, share)
		if err != nil || share != 1 || l.How != sky.FromCloud || !(l.Global.V > 20 && l.Direct.V > 100) {
			t.Fatalf("%v: share %v, %+v, %v", day, share, l, err)
		}
		if h == 22 || h == 23 || h == 0 { // midnight by the sun is at 22:56 here
			n, so := north.Irradiance(sun.Toward, sun.Extraterrestrial(), l, sky.Albedo), south.Irradiance(sun.Toward, sun.Extraterrestrial(), l, sky.Albedo)
			if !(n.Beam > 50 && so.Beam == 0) {
				t.Errorf("%v: beam of %.0f W/m2 on the north wall, %.0f on the south wall", day, n.Beam, so.Beam)
			}
		}
		var missing *sky.MissingError
		if _, err := s.Light(weather.Record{Time: day}, sun, share); !errors.As(err, &missing) {
			t.Errorf("%v without radiation and cloud: %v", day, err)
		}

		night := time.Date(2026, 12, 21, h, 0, 0, 0, time.UTC)
		sun, share = s.SunOver(night, time.Hour)
		if l, err := s.Light(weather.Record{Time: night}, sun, share); err != nil || share != 0 || l.How != sky.Night || l.Global.V != 0 {
			t.Errorf("%v: share %v, %+v, %v", night, share, l, err)
		}
		var fault *sky.NightError
		if _, err := s.Light(weather.Record{Time: night, Global: measured(300)}, sun, share); !errors.As(err, &fault) {
			t.Errorf("300 W/m2 at %v: %v", night, err)
		}
	}
}

// TestNothingKnown: an hour of day with neither radiation nor cloud is refused with its time and what is wanted.
func TestNothingKnown(t *testing.T) {
	noon := time.Date(2026, 4, 14, 12, 0, 0, 0, time.UTC)
	s := site(t, 52, 0)
	sun, share := s.SunOver(noon, time.Hour)
	_, err := s.Light(weather.Record{Time: noon, Temperature: measured(12)}, sun, share)
	const want = "no radiation and no cloud cover at 2026-04-14T12:00:00Z; expected global radiation, direct and diffuse, or cloud cover"
	if err == nil || err.Error() != want {
		t.Errorf("%v, want %q", err, want)
	}
	// One of direct and diffuse says nothing of the other.
	for _, r := range []weather.Record{{Time: noon, Direct: measured(500)}, {Time: noon, Diffuse: measured(100)}} {
		if _, err := s.Light(r, sun, share); err == nil {
			t.Errorf("%+v passes", r)
		}
	}
}

// TestTwilight: a span without sun may show some light, as spans are ended in more than one way, but no sunshine.
func TestTwilight(t *testing.T) {
	s := site(t, 52, 0)
	dusk := time.Date(2026, 3, 20, 18, 15, 0, 0, time.UTC) // a few minutes after sunset
	sun, share := s.SunOver(dusk, 15*time.Minute)
	if share != 0 || !(sun.TrueElevation < 0 && sun.TrueElevation > -4) {
		t.Fatalf("the sun stands at %.1f degrees, up for %g of the span", sun.TrueElevation, share)
	}
	if l, err := s.Light(weather.Record{Time: dusk, Global: measured(60)}, sun, share); err != nil || l.Direct.V != 0 || l.Diffuse.V != 60 {
		t.Errorf("%+v, %v", l, err)
	}
	var fault *sky.NightError
	if _, err := s.Light(weather.Record{Time: dusk, Global: measured(300)}, sun, share); !errors.As(err, &fault) {
		t.Errorf("300 W/m2 with the sun down: %v", err)
	}
}
