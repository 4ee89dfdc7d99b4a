package headings

import (
	"strings"

	"seamtally/sheets/entry"
	"seamtally/sheets/part/worksheet"
)

// mayHead tells quickly which rows can be headings of a joint list at all: some word of
// theirs, or of the row below, ends a spelling of the diameter, and some word one of the
// wall. A long sheet of the shop's own has few such rows.
type mayHead struct {
	words *entry.Headings
	ends  [2]map[string]bool
	row   int // of which the ends are known
	has   [2]bool
}

func (b Finder) mayHead() *mayHead {
	return &mayHead{words: b.Quick, ends: [2]map[string]bool{b.Quick.Ends("od"), b.Quick.Ends("wall")}}
}

// at reports whether row i may be the first of headings. Rows are asked for from top to
// bottom.
func (m *mayHead) at(rows []worksheet.Row, i int) bool {
	has := m.has
	if m.row != rows[i].Num {
		has = m.of(&rows[i])
	}
	if i+1 < len(rows) {
		m.row, m.has = rows[i+1].Num, m.of(&rows[i+1])
		for k := range has {
			has[k] = has[k] || m.has[k]
		}
	}
	return has[0] && has[1]
}

func (m *mayHead) of(r *worksheet.Row) (has [2]bool) {
	for _, c := range r.Cells {
		if c.Kind != worksheet.Text || has[0] && has[1] {
			continue
		}
		for _, w := range m.words.Words(strings.TrimSpace(c.Text)) {
			for k := range has {
				has[k] = has[k] || m.ends[k][w]
			}
		}
	}
	return has
}
