package psychro_test

import (
	"errors"
	"fmt"
	"log"

	"limeday/psychro"
)

// A hall at half past six: is the wall warm enough to stay free of dew?
func Example() {
	air, err := psychro.NewAir(12, 0.78, 98600)
	if err != nil {
		log.Fatal(err)
	}
	const wall = psychro.Celsius(9.5)
	fmt.Printf("dew point %.1f C, the wall is %.1f K above it\n", air.DewPoint(), wall-air.DewPoint())
	fmt.Printf("deficit %.0f Pa, wet bulb %.1f C\n", air.VapourPressureDeficit(), air.WetBulb())
	// Output:
	// dew point 8.3 C, the wall is 1.2 K above it
	// deficit 309 Pa, wet bulb 10.0 C
}

// Below 0 C the relative humidity is still over liquid water, and dew and frost
// point differ.
func ExampleAir_FrostPoint() {
	air, err := psychro.NewAir(-10, 0.85, 101325)
	if err != nil {
		log.Fatal(err)
	}
	frost, _ := air.FrostPoint()
	fmt.Printf("dew point %.2f C, frost point %.2f C\n", air.DewPoint(), frost)
	// Output: dew point -12.04 C, frost point -10.73 C
}

// An aspirated psychrometer reads 18.5 C dry and 13.0 C wet.
func ExampleNewAirFromWetBulb() {
	air, err := psychro.NewAirFromWetBulb(18.5, 13, psychro.StandardPressure(320))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f %%\n", 100*air.RelativeHumidity())
	// Output: 54 %
}

// A forecast gives the dew point instead of the relative humidity.
func ExampleNewAirFromVapourPressure() {
	air, err := psychro.NewAirFromVapourPressure(14, psychro.SaturationWater(9), 101325)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f %%, %.1f g/m3\n", 100*air.RelativeHumidity(), 1000*air.AbsoluteHumidity())
	// Output: 72 %, 8.7 g/m3
}

// A percentage given as a fraction is refused, not guessed.
func ExampleRangeError() {
	_, err := psychro.NewAir(20, 57, 101325)
	var r *psychro.RangeError
	if errors.As(err, &r) {
		fmt.Println(r.Quantity, "is", r.Value)
	}
	fmt.Println(err)
	// Output:
	// relative humidity is 57
	// psychro: relative humidity 57 outside [0, 1]
}

func ExampleDewPoint() {
	dew, err := psychro.DewPoint(1000)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f C\n", dew)
	// Output: 6.97 C
}

func ExampleSaturationWater() {
	fmt.Printf("%.1f Pa, rising %.1f Pa/K\n", psychro.SaturationWater(20), psychro.SaturationWaterSlope(20))
	// Output: 2339.2 Pa, rising 144.9 Pa/K
}

// The air pressure to assume at an address 650 m above the sea.
func ExampleStandardPressure() {
	h := psychro.GeopotentialAltitude(650)
	fmt.Printf("%.0f hPa\n", psychro.StandardPressure(h)/100)
	// Output: 938 hPa
}
