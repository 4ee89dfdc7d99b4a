package unread

import (
	"fmt"
	"strings"

	"seamtally/sheets/headings"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// turned looks for a joint list that lies on its side, on a sheet that is not read: its
// headings stand below each other.
type turned struct {
	of   *Workbook
	keys map[int]map[string]bool // inputs that headings of a column name
	what string
	cell string
}

// row takes a row of the sheet in.
func (t *turned) row(r *worksheet.Row) {
	if r.Num > headings.MostNear || t.what != "" {
		return
	}
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Kind != worksheet.Text {
			continue
		}
		key := t.of.Quick.Recognise(strings.TrimSuffix(strings.TrimSpace(c.Text), ":")).Key
		if key != "od" && key != "wall" {
			continue
		}
		if t.keys[c.Col] == nil {
			t.keys[c.Col] = map[string]bool{}
		}
		if t.keys[c.Col][key] = true; len(t.keys[c.Col]) == 2 {
			t.what, t.cell = fmt.Sprintf("column %s has the headings of a joint list below each other; a list has them in a row", grid.ColName(c.Col)), grid.Ref(r.Num, c.Col)
		}
	}
}
