package coat
const MistingTime = 300.0
func (w *Wall) Mist() (float64, error) { return 0, nil }
func (w *Wall) Measured(face float64, fade func(float64) float64) float64 { return 0 }
func (w *Wall) Inside() (t, v float64, ok bool) { return 0, 0, false }
func (w *Wall) SetInside(t, v float64) {}
func (w *Wall) AirChanges() float64 { return 0 }
func (w *Wall) SetAirChanges(n float64) {}
