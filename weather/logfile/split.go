package logfile

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"limeday/weather"
)

// MaxPreamble is how many lines may stand above the header.
const MaxPreamble = 30

const delimiters = ",;\t|"

// sampleSize is how much text the delimiter is decided on.
const sampleSize = 64 << 10

// longestCell is how many lines a quoted cell may run over; a quote that is
// not closed runs over all that follow.
const longestCell = 10

// longestRow is the longest row read, in bytes, with what is read ahead of it.
const longestRow = 64 << 10

// row is a line with readings, as text.
type row struct {
	line                   int
	when, clock            string
	temp, humidity, dewPnt string
}

// table is the file cut into cells.
type table struct {
	file, content string
	delimiter     rune
	columns
	unitRow []string // what stands under the header, if that is units
	rows    []row
	notes   []string
}

// records reads content as RFC 4180 does, section 2, but lets fields differ in
// number and quotes stand where they should not.
func records(content io.Reader, delimiter rune) *csv.Reader {
	c := csv.NewReader(content)
	c.Comma = delimiter
	c.FieldsPerRecord = -1
	c.LazyQuotes = true
	c.ReuseRecord = true
	// Loggers write blanks before quotes. A tab would be such a blank.
	c.TrimLeadingSpace = delimiter != '\t'
	return c
}

// comment reports whether a record is one. A bare # is the name of a column of
// numbers, and many are what a spreadsheet writes for a cell too narrow.
func comment(cells []string) bool {
	return strings.HasPrefix(cells[0], "#") && (len(cells) == 1 || strings.Trim(cells[0], "# ") != "")
}

// split finds the delimiter and the header, and collects the rows.
func split(name, content string, o Options) (*table, error) {
	content, said := separatorLine(content)
	if said != 0 {
		if o.Delimiter != 0 && o.Delimiter != said {
			return nil, &PinError{At: At{File: name, Line: 1}, Option: OptDelimiter, Pinned: string(o.Delimiter),
				Found: "the first line says " + delimiterName(said)}
		}
	} else {
		said = o.Delimiter
	}
	delimiter, err := chooseDelimiter(name, content, said, o)
	if err != nil {
		return nil, err
	}
	t := &table{file: name, content: content, delimiter: delimiter}
	return t, t.collect(o)
}

// separatorLine blanks a first line like sep=; and says what it named.
func separatorLine(content string) (string, rune) {
	first, rest, _ := strings.Cut(content, "\n")
	line := strings.Trim(strings.TrimSpace(first), `"`)
	if len(line) >= 4 && strings.EqualFold(line[:4], "sep=") {
		after := strings.TrimPrefix(strings.Trim(first, `" `), line[:4])
		if r, n := utf8.DecodeRuneInString(after); n == len(after) && n > 0 && strings.ContainsRune(delimiters, r) {
			return "\n" + rest, r
		}
	}
	return content, 0
}

// chooseDelimiter picks the delimiter under which there is a header and most of
// the rows fit it.
func chooseDelimiter(name, content string, said rune, o Options) (rune, error) {
	sample := content
	if len(sample) > sampleSize {
		sample = sample[:sampleSize]
		sample = sample[:strings.LastIndexByte(sample, '\n')+1]
		if sample == "" {
			return 0, &Error{At: At{File: name, Line: 1}, Message: fmt.Sprintf("the first line is longer than %d KiB", sampleSize>>10), Want: "CSV"}
		}
	}
	var best, second rune
	bestScore, secondScore := -1, -1
	var fault error
	for _, d := range delimiters {
		score, err := fit(name, sample, d, o)
		if score < 0 {
			continue
		}
		if score > bestScore {
			best, second, bestScore, secondScore = d, best, score, bestScore
			fault = err
		} else if score > secondScore {
			second, secondScore = d, score
		}
	}
	switch {
	case said != 0 && best == 0:
		return said, nil // collect says what is missing
	case said != 0 && best != said:
		if score, err := fit(name, sample, said, o); score >= 0 {
			return said, err
		}
		return 0, &PinError{At: At{File: name}, Option: OptDelimiter, Pinned: string(said),
			Found: "the header can only be read with " + delimiterName(best)}
	case best == 0:
		return 0, noHeader(name, content)
	case said == 0 && bestScore == secondScore:
		return 0, &AmbiguityError{At: At{File: name}, What: "what separates the columns",
			Ways: [2]string{delimiterName(best), delimiterName(second)}, Option: OptDelimiter}
	}
	return best, fault
}

// fit counts the rows that fit the header under a delimiter; -1 is no header.
// The error is what is not clear about the header.
func fit(name, sample string, delimiter rune, o Options) (int, error) {
	r := records(strings.NewReader(sample), delimiter)
	var c columns
	found, score := false, 0
	for {
		cells, err := r.Read()
		if err != nil {
			break
		}
		line, _ := r.FieldPos(0)
		switch {
		case found && len(trimTail(cells)) <= len(c.names) && len(cells) >= c.need():
			score++
		case !found && line > MaxPreamble+1:
			return -1, nil
		case !found:
			c, found, err = header(At{File: name, Line: line}, cells, o)
			if err != nil {
				return 0, err
			}
		}
	}
	if !found {
		return -1, nil
	}
	return score, nil
}

// header is find, with a comment sign before the names taken off.
func header(at At, cells []string, o Options) (columns, bool, error) {
	if comment(cells) {
		cells = append([]string{strings.TrimLeft(cells[0], "# ")}, cells[1:]...)
	}
	return find(at, cells, o)
}

// trimTail cuts off the blank cells at the end.
func trimTail(cells []string) []string {
	for len(cells) > 0 && strings.TrimSpace(cells[len(cells)-1]) == "" {
		cells = cells[:len(cells)-1]
	}
	return cells
}

func noHeader(name, content string) error {
	if strings.TrimSpace(content) == "" {
		return &Error{At: At{File: name}, Message: "is empty", Want: "a header and readings"}
	}
	first, _, _ := strings.Cut(strings.TrimLeft(content, "\n"), "\n")
	return &Error{At: At{File: name, Text: strings.TrimSpace(first)},
		Message: fmt.Sprintf("no header in the first %d lines; the file begins", MaxPreamble+1),
		Want:    "a row that names a time, a temperature and a humidity column, separated by comma, semicolon, tab or bar"}
}

// collect goes through all records, once the delimiter is known.
func (t *table) collect(o Options) error {
	return t.each(strings.NewReader(t.content), o, func(rw row) error {
		t.rows = append(t.rows, rw)
		return nil
	})
}

// each goes through the records of a text and gives the rows with readings to keep.
func (t *table) each(text io.Reader, o Options, keep func(row) error) error {
	limit := &weather.RowLimit{R: text, Max: longestRow}
	r := records(limit, t.delimiter)
	found := false
	var events, headers, firstEvent, over, kept int
	var before shapes
	line := 0
	for {
		limit.Done(r.InputOffset())
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return t.unreadable(err, line+1)
		}
		line, _ = r.FieldPos(0)
		for _, c := range cells {
			if strings.Count(c, "\n") > longestCell {
				return &Error{At: At{File: t.file, Line: line}, Message: "a quote is opened and not closed", Want: "quotes in pairs"}
			}
		}
		if !found {
			if line > MaxPreamble+1 {
				break
			}
			var c columns
			c, found, err = header(At{File: t.file, Line: line}, cells, o)
			if err != nil {
				return err
			}
			if found {
				t.columns = c
			}
			continue
		}
		if comment(cells) {
			continue
		}
		if t.isHeader(cells) {
			headers++
			continue
		}
		width := len(cells)
		cells = trimTail(cells)
		if kept == 0 && t.unitRow == nil && t.isUnits(cells) {
			t.unitRow = append([]string(nil), cells...)
			continue
		}
		at := func(i int) string {
			if i < 0 || i >= len(cells) {
				return ""
			}
			return strings.TrimSpace(cells[i])
		}
		rw := row{line: line, when: at(t.moment), clock: at(t.clock), temp: at(t.temp), humidity: at(t.rh), dewPnt: at(t.dew)}
		if rw.temp == "" && rw.humidity == "" {
			if len(cells) > 0 {
				if events++; events == 1 {
					firstEvent = line
				}
			}
			continue
		}
		if last, open := limit.Open(r.InputOffset()); open {
			told, out := t.cutShort(&rw, width, last == '"', before)
			if told != "" {
				t.note("line %d %s", line, told)
			}
			if out {
				continue
			}
		}
		for i := range cells {
			if strings.TrimSpace(cells[i]) != "" && (i >= len(t.names) || t.names[i] == "" && i != t.temp && i != t.rh && i != t.moment && i != t.clock) {
				_, col := r.FieldPos(i)
				return &Error{At: t.at(line, col, cells[i]), Message: "a value stands under no name",
					Want: fmt.Sprintf("no more than the %d columns of the header; a decimal comma needs semicolons between the columns", len(trimTail(t.names)))}
			}
		}
		// A delimiter too many behind a row is one too many behind all of them;
		// else it may be a decimal comma before an empty cell.
		if mine := max(width-len(t.names), 0); kept == 0 {
			over = mine
		} else if mine != over {
			if _, open := limit.Open(r.InputOffset()); !open || mine > over {
				return &Error{At: At{File: t.file, Line: line}, Message: fmt.Sprintf("has %d cells, which the rows above have not", width), Want: "as many cells in every row"}
			}
		}
		before.add(t, rw, width)
		kept++
		if err := keep(rw); err != nil {
			return err
		}
	}
	if !found {
		return noHeader(t.file, t.content)
	}
	if kept == 0 {
		return &Error{At: At{File: t.file, Line: t.line}, Message: "no readings stand under the header", Want: "at least one reading"}
	}
	if events > 0 {
		t.note("%s without temperature and humidity skipped, the first in line %d", count(events, "row"), firstEvent)
	}
	if headers > 0 {
		t.note("the header repeated: %s skipped", count(headers, "row"))
	}
	return nil
}

// unreadable words an error from below the records, of which those up to a byte
// were read.
func (t *table) unreadable(err error, line int) error {
	var f Fault
	switch {
	case errors.As(err, &f):
		return err
	case errors.Is(err, weather.ErrLongRow):
		return &Error{At: At{File: t.file, Line: line}, Message: fmt.Sprintf("a row is longer than %d KiB, or a quote in it is not closed", longestRow>>10), Want: "CSV, with a row for each reading"}
	}
	var p *csv.ParseError
	if errors.As(err, &p) {
		return &Error{At: At{File: t.file}, Message: "is not readable CSV: " + err.Error(), Want: "CSV"}
	}
	return fmt.Errorf("%s: %w", t.file, err)
}

// isHeader reports whether the header stands here again.
func (t *table) isHeader(cells []string) bool {
	if len(cells) != len(t.names) || kindOfFirst(cells[0]) {
		return false
	}
	for i, c := range cells {
		if strings.Join(strings.Fields(c), " ") != t.names[i] {
			return false
		}
	}
	return true
}

// kindOfFirst reports whether a row begins with a digit, as headers do not.
func kindOfFirst(cell string) bool { return cell != "" && cell[0] >= '0' && cell[0] <= '9' }

// isUnits reports whether a row under the header holds units.
func (t *table) isUnits(cells []string) bool {
	if t.temp >= len(cells) || t.rh >= len(cells) || strings.ContainsAny(strings.Join(cells, ""), "0123456789") {
		return false
	}
	_, ok := cellUnit(cells[t.temp])
	return ok && isPercent(cells[t.rh])
}

func (t *table) note(format string, args ...any) {
	t.notes = append(t.notes, fmt.Sprintf(format, args...))
}

// count is a number of things.
func count(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// at is a place, its column counted in characters from the byte col.
func (t *table) at(line, col int, raw string) At {
	rest := t.content
	for range line - 1 {
		_, rest, _ = strings.Cut(rest, "\n")
	}
	if n := col - 1; n > 0 && n <= len(rest) {
		col = 1 + utf8.RuneCountInString(rest[:n])
	}
	return At{File: t.file, Line: line, Column: col, Text: strings.TrimSpace(raw)}
}

// cell is the place of a cell of a row.
func (t *table) cell(line, column int, raw string) At {
	rest := t.content
	for range line - 1 {
		_, rest, _ = strings.Cut(rest, "\n")
	}
	r := records(strings.NewReader(rest), t.delimiter)
	cells, err := r.Read()
	if err != nil || column < 0 || column >= len(cells) {
		return t.at(line, 0, raw)
	}
	_, col := r.FieldPos(column)
	return t.at(line, col, raw)
}
