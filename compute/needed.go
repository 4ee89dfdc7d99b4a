package compute

import (
	"strings"

	"seamtally/compute/formula"
)

// NeededBy are the single assumptions, and the columns of the tables, that some
// of these figures of a joint line are worked out from.
func (m *Model) NeededBy(figures []*Quantity) map[*Quantity]bool {
	need := map[*Quantity]bool{}
	var mark func(s *Scope, q *Quantity)
	name := func(s *Scope, n *formula.Name) {
		if n.Table == "" {
			if q := s.byKey[n.Key]; q != nil {
				mark(s, q)
			} else {
				mark(m.Singles, m.Singles.byKey[n.Key])
			}
			return
		}
		mark(s, s.byKey[n.Table+"_no"])
		t := m.tableCalled(n.Table)
		if t == nil {
			t = m.Table(n.Table) // searched through, by its own name
		}
		if t != nil {
			mark(t, t.byKey[n.Key])
		}
	}
	mark = func(s *Scope, q *Quantity) {
		if q == nil || need[q] {
			return
		}
		need[q] = true
		nodes := []formula.Node{q.node}
		for _, a := range q.adds {
			nodes = append(nodes, a.node)
		}
		for _, node := range nodes {
			if node == nil {
				continue
			}
			visit(node, func(n formula.Node) {
				switch n := n.(type) {
				case *formula.Name:
					name(s, n)
				case *formula.Call:
					if n.Name == "branch_edge" { // reads its table without naming it
						for _, q := range m.Table("edge").Quantities {
							mark(q.Scope, q)
						}
					}
				}
			})
		}
	}
	for _, q := range figures {
		mark(m.Line, q)
	}
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
