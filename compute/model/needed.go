package model

import (
	"strings"
)

// NeededBy are the single assumptions, and the columns of the tables, that some
// of these figures of a joint line are worked out from.
func (m *Model) NeededBy(figures []*Quantity) map[*Quantity]bool {
	need := m.Behind(figures...)
	for q := range need {
		if q.Role != Assumption && q.Role != Column {
			delete(need, q)
		}
	}
	return need
}

// LookUps are the figures of a joint line that are the number of the line which
// it has found in a table, each with that table.
func (m *Model) LookUps() map[*Quantity]*Scope {
	out := map[*Quantity]*Scope{}
	for _, q := range m.Line.Quantities {
		if prefix, ok := strings.CutSuffix(q.Key, "_no"); ok && m.tableCalled(prefix) != nil {
			out[q] = m.tableCalled(prefix)
		}
	}
	return out
}
