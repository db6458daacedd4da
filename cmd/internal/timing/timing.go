// Package timing reads and writes the file that a timing is kept in: what was learned of one plasterer with one finish, in
// TOML, as plain numbers with their names.
package timing

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/pelletier/go-toml/v2"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/infile"
	"limeday/drying"
)

const schema = "limeday.timing/1"

// file is the timing as it is kept. Means and covariance are in standard deviations of what is known before anything was
// seen.
type file struct {
	Schema     string
	Finish     string
	Boards     int
	Learned    time.Time
	From       []string // the boards, in words
	Unknowns   []string
	Mean       []float64
	Covariance [][]float64
}

// Write writes a timing, learned at a moment from boards described in words.
func Write(w io.Writer, t drying.Timing, at time.Time, from []string) error {
	if _, err := io.WriteString(w, "# What was learned of one plasterer with one finish. Made by limeday sample learn.\n\n"); err != nil {
		return err
	}
	return toml.NewEncoder(w).Encode(struct {
		Schema     string      `toml:"schema"`
		Finish     string      `toml:"finish"`
		Boards     int         `toml:"boards"`
		Learned    time.Time   `toml:"learned"`
		From       []string    `toml:"from,multiline"`
		Unknowns   []string    `toml:"unknowns,multiline"`
		Mean       []float64   `toml:"mean"`
		Covariance [][]float64 `toml:"covariance,multiline"`
	}{schema, t.Finish, t.Boards, at.Truncate(time.Second), from, drying.TimingNames(), t.Mean, t.Rows()})
}

// maxSize is the largest file read, in bytes: a timing takes some kilobytes.
const maxSize = 1 << 20

// Load reads the timing kept in a file. The error is a fault.List.
func Load(path string) (drying.Timing, error) {
	data, err := infile.Read(path, maxSize)
	if err != nil {
		return drying.Timing{}, fault.List{{File: path, Message: "could not be read: " + fault.Plain(err), Expected: "a timing, as limeday sample learn writes it"}}
	}
	return Parse(path, data)
}

// Parse reads a timing; name is the file's.
func Parse(name string, data []byte) (drying.Timing, error) {
	const expected = "a timing, as limeday sample learn writes it"
	bad := func(line int, format string, a ...any) (drying.Timing, error) {
		return drying.Timing{}, fault.List{{File: name, Line: line, Message: fmt.Sprintf(format, a...), Expected: expected}}
	}
	var f file
	if err := toml.NewDecoder(bytes.NewReader(data)).DisallowUnknownFields().Decode(&f); err != nil {
		var strict *toml.StrictMissingError
		var plain *toml.DecodeError
		switch {
		case errors.As(err, &strict) && len(strict.Errors) > 0:
			row, _ := strict.Errors[0].Position()
			return bad(row, "unknown key %q; give %s", strings.Join(strict.Errors[0].Key(), "."), expected)
		case errors.As(err, &plain):
			row, _ := plain.Position()
			return bad(row, "%s; give %s", strings.TrimPrefix(plain.Error(), "toml: "), expected)
		}
		return bad(0, "%v; give %s", err, expected)
	}
	switch {
	case f.Schema != schema:
		return bad(0, "its schema is %q and not %q; give %s", f.Schema, schema, expected)
	case f.Finish == "":
		return bad(0, "it does not say of which finish it is; give %s", expected)
	case !slices.Equal(f.Unknowns, drying.TimingNames()):
		return bad(0, "its unknowns are %s, and not %s: learn it again with this version", strings.Join(f.Unknowns, ", "), strings.Join(drying.TimingNames(), ", "))
	case f.Boards < 1:
		return bad(0, "it was learned from %d boards; give %s", f.Boards, expected)
	}
	t, err := drying.NewTiming(f.Finish, f.Boards, f.Mean, f.Covariance)
	if err != nil {
		return bad(0, "%v; learn it again", err)
	}
	return t, nil
}
