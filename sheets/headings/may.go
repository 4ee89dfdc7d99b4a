package headings

import (
	"slices"

	"seamtally/sheets/entry"
	"seamtally/sheets/part/worksheet"
)

// mayHead tells quickly which rows can be headings of a joint list at all: some word of
// theirs, or of the row below, ends a spelling of the diameter, and some word one of the
// wall; and some text of theirs leads a heading. A long sheet of the shop's own has few such rows.
type mayHead struct {
	Finder
	ends entry.Endings
	row  int // of which the ends are known
	has  uint8
}

func (b Finder) mayHead() *mayHead { return &mayHead{Finder: b, ends: b.Quick.Endings("od", "wall")} }

// at reports whether row i may be the first of headings. Rows are asked for from top to
// bottom.
func (m *mayHead) at(rows []worksheet.Row, i int) bool {
	has, used := m.has, 1
	if m.row != rows[i].Num {
		has = m.of(&rows[i])
	}
	if i+1 < len(rows) {
		m.row, m.has = rows[i+1].Num, m.of(&rows[i+1])
		has, used = has|m.has, 2
	}
	return has == both && slices.ContainsFunc(rows[i:i+used], func(r worksheet.Row) bool {
		return slices.ContainsFunc(r.Cells, func(c worksheet.Cell) bool { return c.Kind == worksheet.Text && m.Quick.Leads(c.Text) })
	})
}

const both = 1 | 2

func (m *mayHead) of(r *worksheet.Row) (has uint8) {
	for i := range r.Cells {
		if c := &r.Cells[i]; c.Kind == worksheet.Text && has != both {
			has |= m.ends.In(c.Text)
		}
	}
	return has
}
