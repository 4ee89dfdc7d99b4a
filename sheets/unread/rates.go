package unread

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// rates looks for a rate, a share or a price that a sheet which is not read gives otherwise
// than Assumptions, where nobody has chosen it yet.
type rates struct {
	of    *Workbook
	above map[int]string // the last text of each column
	what  string
	cell  string
}

// row takes a row of the sheet in. The label of a number is the first text before it; where
// there is none, what stands above it.
func (s *rates) row(r *worksheet.Row) {
	before := ""
	for i := range r.Cells {
		c := &r.Cells[i]
		switch {
		case s.what != "":
			return
		case c.Kind == worksheet.Text && before == "":
			before = strings.TrimSpace(c.Text)
			s.above[c.Col] = before
		case c.Kind == worksheet.Text:
			s.above[c.Col] = strings.TrimSpace(c.Text)
			s.number(r.Num, c.Col, c.Text, before)
		case c.Kind == worksheet.Number && !s.of.IsDate(c.Style):
			s.number(r.Num, c.Col, strconv.FormatFloat(c.Num, 'f', -1, 64), cmp.Or(before, s.above[c.Col]))
		}
	}
}

// number looks at a number beside its label.
func (s *rates) number(row, col int, number, label string) {
	if says := s.of.AssumedIn(label, number); says != "" {
		s.what, s.cell = fmt.Sprintf("%q and %s may %s", label, strings.TrimSpace(number), says), grid.Ref(row, col)
	}
}
