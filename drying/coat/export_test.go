package coat

// Tighter has the wall solved from now on with errors k times as small as it would be.
func (w *Wall) Tighter(k float64) {
	if w.set.Tolerance == 0 {
		w.set.Tolerance, w.set.TempTol = 3e-4, 0.05
	}
	if w.set.FirstStep == 0 {
		w.set.FirstStep = 1e-3
	}
	w.set.Tolerance /= k
	w.set.TempTol /= k
	w.set.FirstStep /= k
}
