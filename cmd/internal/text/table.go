package text

import "strings"

// Column is one of a fixed width; the blanks after it do not count.
type Column struct {
	Cells int  // its width
	Right bool // set to the right
	Gap   int  // blanks after it
	Name  bool // a cell that is too wide for it stands above its row, whole; else it is cut
}

// Rows sets each row in columns. A row has one cell more than there are columns: the last is broken over lines.
// Rows panics on a row of another length: that is the caller's.
func Rows(columns []Column, rows ...[]string) string {
	var b strings.Builder
	for _, row := range rows {
		if len(row) != len(columns)+1 {
			panic("text: a row has one cell more than columns")
		}
		var lead strings.Builder
		for i, c := range columns {
			cell := Clean(row[i])
			if c.Name && Wide(cell) > c.Cells {
				b.WriteString(Paragraph("", Together(cell)))
				cell = ""
			}
			if c.Right {
				cell = Cut(cell, c.Cells)
				cell = strings.Repeat(" ", max(0, c.Cells-Wide(cell))) + cell
			} else {
				cell = Pad(cell, c.Cells)
			}
			lead.WriteString(cell + strings.Repeat(" ", c.Gap))
		}
		b.WriteString(Paragraph(lead.String(), row[len(columns)]))
	}
	return b.String()
}

// Table sets rows of equal length in columns as wide as what they hold, after indent blanks and two apart. Where
// they do not fit, the widest before the last are made narrower: what is too wide in the first stands above its row,
// in others it is cut. Where not even that helps, each row is a paragraph.
func Table(indent int, rows [][]string) string {
	if len(rows) == 0 || len(rows[0]) == 0 {
		return ""
	}
	const gap = 2
	n := len(rows[0])
	wide := make([]int, n)
	for _, row := range rows {
		for i, cell := range row[:n] {
			wide[i] = max(wide[i], min(Wide(Clean(cell)), Width))
		}
	}
	last := n - 1
	left := Width - indent - gap*last - min(wide[last], room) // for the columns before the last
	if left < last {
		var b strings.Builder
		for _, row := range rows {
			b.WriteString(Paragraph("", strings.Join(row, " ")))
		}
		return b.String()
	}
	columns := make([]Column, last)
	for total := sum(wide[:last]); total > left; total-- {
		widest := 0
		for i := range columns {
			if wide[i] > wide[widest] {
				widest = i
			}
		}
		wide[widest]--
	}
	for i := range columns {
		columns[i] = Column{Cells: wide[i], Gap: gap, Name: i == 0}
	}
	columns = append([]Column{{Gap: indent}}, columns...)
	var b strings.Builder
	for _, row := range rows {
		b.WriteString(Rows(columns, append([]string{""}, row[:n]...)))
	}
	return b.String()
}

func sum(all []int) int {
	s := 0
	for _, n := range all {
		s += n
	}
	return s
}
