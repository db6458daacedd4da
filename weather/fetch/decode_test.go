package fetch_test

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"limeday/weather/fetch"
)

func TestNumber(t *testing.T) {
	for text, want := range map[string]fetch.Number{
		`null`: {}, `""`: {}, `" "`: {}, `0`: {OK: true}, `-3.5e1`: {V: -35, OK: true}, `"14.2"`: {V: 14.2, OK: true}, `" -4 "`: {V: -4, OK: true},
	} {
		var n fetch.Number
		if err := fetch.Decode([]byte(text), &n); err != nil || n != want {
			t.Errorf("%s: %v %v", text, n, err)
		}
	}
	for _, text := range []string{`"12,5"`, `"NaN"`, `"Inf"`, `1e999`, `"1e999"`, `"0x1p4"`, `"1_0"`, `true`, `{}`, `[1]`, `"6 to 10 mph"`, `"\u001b[31m"`} {
		var n fetch.Number
		err := fetch.Decode([]byte(text), &n)
		var decode *fetch.DecodeError
		if !errors.As(err, &decode) || n.OK || strings.ContainsRune(decode.Words(), '\x1b') {
			t.Errorf("%s: %v %v", text, n, err)
		}
	}
}

func TestDecodeMark(t *testing.T) {
	var n fetch.Number
	if err := fetch.Decode([]byte("\xef\xbb\xbf 7\n"), &n); err != nil || n.V != 7 {
		t.Error(n, err)
	}
}

func TestKind(t *testing.T) {
	num := func(v float64) fetch.Number { return fetch.Number{V: v, OK: true} }
	for _, row := range []struct {
		kind fetch.Kind
		v    float64
		unit string
		want float64
	}{
		{fetch.Temperature, 50, "wmoUnit:degF", 10}, {fetch.Temperature, -40, "°F", -40}, {fetch.Temperature, 273.15, "K", 0}, {fetch.Temperature, 5, "unit:degC", 5},
		{fetch.Speed, 36, "wmoUnit:km_h-1", 10}, {fetch.Speed, 10, "mp/h", 4.4704}, {fetch.Speed, 1, "kn", 1852. / 3600}, {fetch.Speed, 3, "m/s", 3},
		{fetch.Pressure, 1013.25, "hPa", 101325}, {fetch.Pressure, 96.4, "kPa", 96400}, {fetch.Share, 35, "%", .35}, {fetch.Humidity, 35, "wmoUnit:percent", 35},
		{fetch.Rain, 1, "inch", 25.4}, {fetch.Direction, 350, "degrees", 350}, {fetch.Length, 100, "ft", 30.48},
	} {
		if got, err := row.kind.SI(num(row.v), row.unit, "x"); err != nil || math.Abs(got.V-row.want) > 1e-9 {
			t.Errorf("%g %s: %v %v, want %g", row.v, row.unit, got, err, row.want)
		}
	}
	for _, row := range []struct {
		kind  fetch.Kind
		v     float64
		unit  string
		words string
	}{
		{fetch.Temperature, 20, "", `the answer of the service cannot be used at x: the unit "" of its temperature is not known, and is not guessed`},
		{fetch.Temperature, 20, "degR", `the answer of the service cannot be used at x: the unit "degR" of its temperature is not known, and is not guessed`},
		{fetch.Temperature, 288, "C", `the answer of the service cannot be used at x: a temperature of 288 C cannot be`},
		{fetch.Speed, 1048, "mph", `the answer of the service cannot be used at x: a wind of 468.5 m/s cannot be`},
		{fetch.Pressure, 1013, "Pa", `the answer of the service cannot be used at x: a pressure of 1013 Pa cannot be`},
		{fetch.Rain, -1, "mm", `the answer of the service cannot be used at x: a rain of -1 mm cannot be`},
		{fetch.Share, math.NaN(), "%", `the answer of the service cannot be used at x: a share of NaN of 1 cannot be`},
	} {
		_, err := row.kind.SI(num(row.v), row.unit, "x")
		var decode *fetch.DecodeError
		if !errors.As(err, &decode) || decode.Words() != row.words {
			t.Errorf("%g %s: %v, want %s", row.v, row.unit, err, row.words)
		}
	}
	// What is missing has no unit, and stays missing.
	if n, err := fetch.Temperature.SI(fetch.Number{}, "?", "x"); err != nil || n.OK {
		t.Error(n, err)
	}
}

func TestCoordinate(t *testing.T) {
	for _, row := range []struct {
		v        float64
		decimals int
		want     string
	}{{54.123456, 2, "54.12"}, {54.123456, 9, "54.1235"}, {-0.004, 2, "0"}, {-7.6, 2, "-7.6"}, {10, 4, "10"}, {-179.999, 2, "-180"}, {0.00001, 4, "0"}} {
		if got := fetch.Coordinate(row.v, row.decimals); got != row.want {
			t.Errorf("%g to %d: %s, want %s", row.v, row.decimals, got, row.want)
		}
	}
}

// Any number that can be written as JSON is read as it is, in quotes or not.
func TestNumberRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64().Draw(t, "v")
		text, err := json.Marshal(v)
		if err != nil {
			t.Skip(err)
		}
		if rapid.Bool().Draw(t, "quoted") {
			text = []byte(`"` + string(text) + `"`)
		}
		var n fetch.Number
		if err := fetch.Decode(text, &n); err != nil || !n.OK || n.V != v {
			t.Fatalf("%s: %v %v", text, n, err)
		}
	})
}
