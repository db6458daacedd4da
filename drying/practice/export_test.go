package practice

// With is Case.with, for the tests that run a case again.
func (c Case) With(f Factor, other Case) (Case, bool) { return c.with(f, other) }

// Signs are the signs at the blade that atTheBlade shows.
func Signs() (out []string) {
	for _, f := range []face{faceWet, faceOpen, faceDamp, faceOff, faceDry} {
		out = append(out, signs[f]...)
	}
	return out
}
