package material

import "testing"

// BenchmarkTable is what a material costs once, all of a finish's or a layer's curves found and tabulated.
func BenchmarkTable(b *testing.B) {
	for _, name := range Finishes() {
		f, err := FinishNamed(name)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := f.Table(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	for _, name := range []string{"primed-board", "painted"} {
		bg, err := BackgroundNamed(name, Fair)
		if err != nil {
			b.Fatal(err)
		}
		for _, r := range bg.Layers {
			b.Run(r.Name, func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if _, err := r.Table(); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
