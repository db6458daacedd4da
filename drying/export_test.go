package drying

// Whole makes every lay be followed on its own wall to the end of what is judged, and none be left out: what Long takes short
// cuts to.
func (l *Long) Whole() { l.screen, l.own = false, judged }

// Unscreened makes none be left out.
func (l *Long) Unscreened() { l.screen = false }
