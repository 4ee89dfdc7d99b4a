package sheets

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamtally/compute"
	"seamtally/sheets/part"
)

// rowMark stands in a printed formula where the number of the row goes.
const rowMark = "\x00"

// template is a formula of a column, cut where the number of the row goes.
type template struct {
	pieces []string
}

func newTemplate(text string) template {
	return template{pieces: strings.Split(text, rowMark)}
}

// at is the formula on a row.
func (t template) at(row int) string {
	if len(t.pieces) == 1 {
		return t.pieces[0]
	}
	return string(t.appendAt(nil, strconv.Itoa(row)))
}

// appendAt appends the formula on a row, whose number is given as text.
func (t template) appendAt(dst []byte, row string) []byte {
	for i, p := range t.pieces {
		if i > 0 {
			dst = append(dst, row...)
		}
		dst = append(dst, p...)
	}
	return dst
}

// resolver says which cell or name stands for a quantity in a formula.
type resolver func(table, key string) (string, error)

// column prints a defined name for a whole column of a table.
func (n *nameBook) column(t *compute.Scope, key string) string {
	return n.use(t.Prefix + "_" + key)
}

// lookups resolves what every scope has in common: whole columns of tables, a
// column on the line that the row has found, and single assumptions. own gives
// the cell of a quantity of the scope itself.
func lookups(m *compute.Model, n *nameBook, s *compute.Scope, own func(*compute.Quantity) (string, bool)) resolver {
	return func(table, key string) (string, error) {
		t, err := m.Find(s, table, key)
		if err != nil {
			return "", err
		}
		switch t.Reach {
		case compute.ReachColumn:
			if slices.Contains(m.Tables, t.Scope) {
				return n.column(t.Scope, key), nil
			}
		case compute.ReachFound:
			if no, ok := own(t.By); ok {
				return "INDEX(" + n.column(t.Scope, key) + "," + no + ")", nil
			}
		case compute.ReachOnce:
			if t.Scope == m.Singles {
				return n.use(key), nil
			}
		default:
			if cell, ok := own(t.Quantity); ok {
				return cell, nil
			}
		}
		return "", fmt.Errorf("%s has no cell", t.ID())
	}
}

// lineCells resolves the formulas of a joint list.
func lineCells(m *compute.Model, n *nameBook, l *list) resolver {
	base := lookups(m, n, m.Line, func(q *compute.Quantity) (string, bool) {
		return part.ColName(l.ours[q]) + rowMark, l.ours[q] > 0
	})
	checks := m.Checks()
	first, last := part.ColName(l.ours[checks[0]]), part.ColName(l.ours[checks[len(checks)-1]])
	return func(table, key string) (string, error) {
		switch {
		case table != "checks"+compute.ColumnMark:
			return base(table, key)
		case key == "flags":
			return first + rowMark + ":" + last + rowMark, nil
		}
		return fmt.Sprintf("$%s$%d:$%s$%d", first, l.headRow, last, l.headRow), nil
	}
}

// quoted is a text as a formula has it.
func quoted(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }
