package nws

import (
	"fmt"
	"regexp"

	"limeday/weather/fetch"
)

// Point is where a place lies in the service's grid.
type Point struct {
	Office string // three letters
	X, Y   int    // the cell in the office's grid
	Zone   string // the IANA time zone of the place, as "America/New_York"; may be empty
}

// officeForm keeps anything but a name out of the address asked next.
var officeForm = regexp.MustCompile(`^[A-Z]{3}$`)

// ParsePoint reads the answer for a place. The error is a *[fetch.DecodeError].
func ParsePoint(body []byte) (Point, error) {
	var doc struct {
		Properties struct {
			GridID   string       `json:"gridId"`
			GridX    fetch.Number `json:"gridX"`
			GridY    fetch.Number `json:"gridY"`
			TimeZone string       `json:"timeZone"`
		} `json:"properties"`
	}
	if err := fetch.Decode(body, &doc); err != nil {
		return Point{}, err
	}
	p := doc.Properties
	x, y := int(p.GridX.V), int(p.GridY.V)
	if !officeForm.MatchString(p.GridID) || !p.GridX.OK || !p.GridY.OK || float64(x) != p.GridX.V || float64(y) != p.GridY.V || x < 0 || y < 0 {
		return Point{}, &fetch.DecodeError{Where: "gridId, gridX, gridY", What: fmt.Sprintf("expected an office and the whole numbers of a cell, found %.10q, %g, %g", p.GridID, p.GridX.V, p.GridY.V)}
	}
	return Point{Office: p.GridID, X: x, Y: y, Zone: p.TimeZone}, nil
}
