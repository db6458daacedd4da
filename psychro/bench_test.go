package psychro

import "testing"

// sink keeps the results from being optimised away.
var sink float64

func BenchmarkSaturationWater(b *testing.B) {
	for i := range b.N {
		sink += float64(SaturationWater(Celsius(i % 40)))
	}
}

func BenchmarkSaturationWaterSlope(b *testing.B) {
	for i := range b.N {
		sink += SaturationWaterSlope(Celsius(i % 40))
	}
}

func BenchmarkSaturationIce(b *testing.B) {
	for i := range b.N {
		sink += float64(SaturationIce(Celsius(-i % 40)))
	}
}

func BenchmarkDewPoint(b *testing.B) {
	for i := range b.N {
		td, _ := DewPoint(Pascal(500 + i%2000))
		sink += float64(td)
	}
}

func BenchmarkFrostPoint(b *testing.B) {
	for i := range b.N {
		tf, _ := FrostPoint(Pascal(50 + i%500))
		sink += float64(tf)
	}
}

func BenchmarkWetBulb(b *testing.B) {
	a, err := NewAir(20, 0.5, 101325)
	if err != nil {
		b.Fatal(err)
	}
	for range b.N {
		sink += float64(a.WetBulb())
	}
}

func BenchmarkWetBulbIce(b *testing.B) {
	a, err := NewAir(-5, 0.5, 101325)
	if err != nil {
		b.Fatal(err)
	}
	for range b.N {
		sink += float64(a.WetBulb())
	}
}

func BenchmarkNewAir(b *testing.B) {
	for i := range b.N {
		a, _ := NewAir(Celsius(i%40), 0.5, 101325)
		sink += float64(a.VapourPressure())
	}
}
