package page

import "limeday/cmd/internal/drawing"

// style is what the drawings add to the page's own.
var style = drawing.Style
