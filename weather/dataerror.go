package weather

import "fmt"

// DataError is a fault in a file of weather: where, what stands there, what is
// wrong and what was expected. Find it with [errors.As].
type DataError struct {
	File    string
	Line    int    // from 1; 0: the file as a whole
	Key     string // the column; may be empty
	Message string // what is wrong
	Text    string // what stands there; may be empty
	Want    string // what would be right, or what to do
}

// Error is file:line, what is wrong, and what was expected.
func (e *DataError) Error() string {
	return fmt.Sprintf("%s: %s; expected %s", e.Where(), e.Says(), e.Expected())
}

// Where is file:line.
func (e *DataError) Where() string {
	if e.Line == 0 {
		return e.File
	}
	return fmt.Sprintf("%s:%d", e.File, e.Line)
}

// Says is what is wrong, without the place in the file, and the text there.
func (e *DataError) Says() string {
	s := e.Message
	if e.Key != "" {
		s = e.Key + ": " + s
	}
	if e.Text != "" {
		s += fmt.Sprintf(": %q", shorten(e.Text))
	}
	return s
}

// Expected is what would be right.
func (e *DataError) Expected() string { return e.Want }

func shorten(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:57]) + "..."
	}
	return s
}
