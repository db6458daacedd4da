package app

import "time"

// stamp is a day and time with its zone: the place it is named for or, for this computer's, its abbreviation.
func stamp(t time.Time) string {
	zone := t.Format("MST")
	if t.Location() != time.Local {
		zone = t.Location().String()
	}
	return t.Format("Mon 2 Jan 2006, 15:04") + ", " + zone
}
