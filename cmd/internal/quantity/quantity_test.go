package quantity

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var everyKind = []*Kind{Temperature, Humidity, Pressure, Length, Altitude, Thickness, Speed, Spread, Mass, Volume, WorkRate, Waste, Duration}

func TestParseValues(t *testing.T) {
	for _, tc := range []struct {
		kind   *Kind
		text   string
		units  Units
		want   float64
		source string
	}{
		{Temperature, "14C", Metric, 14, "identity"},
		{Temperature, "14", Metric, 14, "bare number is C"},
		{Temperature, "57", US, 125.0 / 9, "bare number is F; (57-32)*5/9"},
		{Temperature, "-40 °F", Metric, -40, "the scales cross at -40"},
		{Temperature, "−5C", Metric, -5, "typographic minus"},
		{Temperature, "273.15K", US, 0, "ITS-90 definition of the Celsius scale"},
		{Temperature, "1.4e1 c", Metric, 14, "letter case is ignored"},
		{Humidity, "72", Metric, 72, "bare number is percent"},
		{Humidity, "72 %", US, 72, "identity"},
		{Pressure, "1013.25hPa", Metric, 101325, "SI prefix"},
		{Pressure, "1013.25", Metric, 101325, "bare number is hPa"},
		{Pressure, "101.325 kPa", Metric, 101325, "SI prefix"},
		{Pressure, "1inHg", Metric, 3386.389, "NIST SP 811 (2008) B.8: 3.386 389 E+03, conventional"},
		{Pressure, "29.92", US, 29.92 * 3386.389, "bare number is inHg; NIST SP 811 (2008) B.8"},
		{Altitude, "320m", Metric, 320, "identity"},
		{Altitude, "1000", US, 304.8, "international foot, NIST SP 811 (2008) B.6"},
		{Thickness, "8mil", Metric, 0.0002032, "1 mil = 25.4 um, NIST SP 811 (2008) B.8"},
		{Thickness, "0.1", Metric, 0.0001, "bare number is mm"},
		{Speed, "36km/h", Metric, 10, "1 km/h = 1/3.6 m/s"},
		{Speed, "1mph", Metric, 0.44704, "NIST SP 811 (2008) B.8, exact"},
		{Speed, "1kn", Metric, 1852.0 / 3600, "international nautical mile, NIST SP 811 (2008) B.8"},
		{Spread, "1lb/ft2", Metric, 4.882428, "NIST SP 811 (2008) B.8: 4.882 428 E+00"},
		{Mass, "1lb", Metric, 0.45359237, "international pound, exact"},
		{Volume, "1ft3", Metric, 0.028316846592, "international foot cubed, exact"},
		{WorkRate, "12m2/h", US, 12, "identity"},
		{WorkRate, "12 m²/h", Metric, 12, "the other spelling"},
		{WorkRate, "12", Metric, 12, "bare number is m2/h"},
		{WorkRate, "100ft2/h", Metric, 9.290304, "international foot squared, exact: 0.092 903 04 m2"},
		{WorkRate, "100", US, 9.290304, "bare number is ft2/h"},
		{Waste, "10", US, 10, "bare number is percent"},
		{Duration, "40s", Metric, 40, "identity"},
		{Duration, "20min", Metric, 1200, "SI brochure table 8"},
		{Duration, "4h", US, 14400, "SI brochure table 8"},
	} {
		got, err := Parse(tc.kind, tc.text, tc.units, Range{})
		// 2e-7 relative: the published factors have seven digits.
		if err != nil || math.Abs(got-tc.want) > 2e-7*math.Max(math.Abs(tc.want), 1e-4) {
			t.Errorf("%s %q (%s) = %v, %v; want %v (%s)", tc.kind, tc.text, tc.units, got, err, tc.want, tc.source)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	air := Range{Min: -40, Max: 50}
	rh := Range{Min: 1, Max: 100}
	press := Range{Min: 50e3, Max: 110e3}
	thick := Range{Min: 0, Max: 0.06, Above: true}
	for _, tc := range []struct {
		kind  *Kind
		text  string
		units Units
		r     Range
		says  string
	}{
		{Humidity, "0.72", Metric, rh, "did you mean 72%?"},
		{Humidity, "172", Metric, rh, "172% is outside 1 to 100 %"},
		{Humidity, "0", Metric, rh, "outside 1 to 100 %"},
		{Humidity, "72C", Metric, rh, `"C" is not a unit of relative humidity`},
		{Temperature, "57", Metric, air, "did you mean 57F?"},
		{Temperature, "57C", Metric, air, "outside -40 to 50 C; did you mean 57F?"},
		{Temperature, "287", Metric, air, "did you mean 287K?"},
		{Temperature, "200", US, air, "outside -40 to 122 F"},
		{Temperature, "14R", Metric, air, `"R" is not a unit of temperature; use C, F or K`},
		{Temperature, "", Metric, air, "is empty"},
		{Temperature, "  ", Metric, air, "is empty"},
		{Temperature, "NaN", Metric, air, "not a number"},
		{Temperature, "Inf", Metric, air, "not a number"},
		{Temperature, "-inf", Metric, air, "not a number"},
		{Temperature, "0x1p4", Metric, air, "not a unit"},
		{Temperature, "1_4", Metric, air, "not a unit"},
		{Temperature, "14,5", Metric, air, "with a point: 14.5"},
		{Temperature, "1e999", Metric, Range{}, "too large"},
		{Temperature, "warm", Metric, air, "not a number"},
		{Pressure, "5 Pa", Metric, press, "5 Pa is outside 500 to 1100 hPa"},
		{Pressure, "1013Pa", Metric, press, "did you mean 1013hPa?"},
		{Pressure, "101.3", Metric, press, "did you mean 101.3kPa?"},
		{Thickness, "0", Metric, thick, "above 0, up to 60 mm"},
		{Thickness, "-1mm", Metric, thick, "above 0, up to 60 mm"},
		{Thickness, "80mm", Metric, thick, "80 mm must be above 0, up to 60 mm"},
		{Thickness, "0,2", Metric, thick, "with a point: 0.2"},
		{WorkRate, "150", Metric, WorkRates, "did you mean 150ft2/h?"},
		{WorkRate, "12m/h", Metric, WorkRates, `"m/h" is not a unit of rate of work; use m2/h or ft2/h`},
		{WorkRate, "-1m2/h", Metric, WorkRates, "outside 0.1 to 100 m2/h"},
		{Waste, "120", Metric, Wastes, "outside 0 to 100 %"},
		{Duration, "40", Metric, Range{}, "needs a unit: s, min or h"},
	} {
		_, err := Parse(tc.kind, tc.text, tc.units, tc.r)
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("%s %q was accepted", tc.kind, tc.text)
			continue
		}
		if !strings.Contains(e.Error(), tc.says) {
			t.Errorf("%s %q is refused with %q, which does not say %q", tc.kind, tc.text, e, tc.says)
		}
		if e.Expected == "" || strings.Contains(e.Error(), "\n") {
			t.Errorf("%s %q: expectation %q, message %q", tc.kind, tc.text, e.Expected, e)
		}
	}
}

func TestParseList(t *testing.T) {
	got, err := ParseList(Thickness, "0.05mm,0.1mm, 8mil", Metric, Range{})
	if err != nil || len(got) != 3 || got[0] != 0.05*1e-3 || math.Abs(got[2]-0.0002032) > 1e-15 {
		t.Errorf("list = %v, %v", got, err)
	}
	for _, bad := range []string{"0,2", "1,5mm", "0.1mm,,0.2mm", ",", ""} {
		if v, err := ParseList(Thickness, bad, Metric, Range{}); err == nil {
			t.Errorf("list %q was read as %v", bad, v)
		}
	}
}

func TestUnknownNearestFirst(t *testing.T) {
	e := Unknown("finish", "polishd-lime", []string{"grit-primer", "polished-lime"})
	if !strings.Contains(e.Reason, "did you mean polished-lime? Known: polished-lime, grit-primer") {
		t.Error(e.Reason)
	}
}

func TestFormat(t *testing.T) {
	for _, tc := range []struct{ got, want string }{
		{Format(Temperature, 13.888, US, 1), "57.0 F"},
		{Format(Temperature, -0.04, Metric, 1), "0.0 C"},
		{Format(Temperature, -0.06, Metric, 1), "-0.1 C"},
		{Format(Pressure, 101325, Metric, 0), "1013 hPa"},
		{Format(Pressure, 101325, US, 2), "29.92 inHg"},
		{Format(Duration, 40, US, 0), "40 s"},
		{FormatStep(2, Metric, 1), "2.0 K"},
		{FormatStep(2, US, 1), "3.6 F (2.0 K)"},
	} {
		if tc.got != tc.want {
			t.Errorf("got %q, want %q", tc.got, tc.want)
		}
	}
}

// A value written with all its digits in any unit is read back to round-off.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(everyKind).Draw(t, "kind")
		un := rapid.SampledFrom(k.units).Draw(t, "unit")
		v := rapid.Float64Range(-1e4, 1e4).Draw(t, "value")
		text := trim(un.fromBase(v), 17) + un.name
		got, err := Parse(k, text, Metric, Range{})
		// A few units in the last place of the largest number on the way.
		if scale := math.Max(math.Abs(v), 1e3*un.scale); err != nil || math.Abs(got-v) > 1e-14*scale {
			t.Fatalf("%s -> %v, %v; want %v", text, got, err, v)
		}
	})
}

// A parser's answer is inside the range it was given, or an *Error.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"14C", "0,2", "-1.5e2 hPa", "NaN", "", "8mil", "°", "72%", "1e400", "\x00", "−3F"} {
		f.Add(s, 0, false)
	}
	f.Fuzz(func(t *testing.T, s string, kind int, us bool) {
		k := everyKind[uint(kind)%uint(len(everyKind))]
		u := Metric
		if us {
			u = US
		}
		for _, r := range []Range{{}, {Min: -40, Max: 50}, {Min: 0, Max: 0.06, Above: true}} {
			v, err := Parse(k, s, u, r)
			var e *Error
			switch {
			case err == nil && (math.IsNaN(v) || math.IsInf(v, 0) || !r.Contains(v)):
				t.Fatalf("%s %q gave %v", k, s, v)
			case err != nil && (!errors.As(err, &e) || e.Reason == ""):
				t.Fatalf("%s %q gave error %v", k, s, err)
			}
			if _, err := ParseList(k, s, u, r); err != nil && !errors.As(err, &e) {
				t.Fatalf("list %q gave error %v", s, err)
			}
		}
	})
}
