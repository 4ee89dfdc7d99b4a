package compute

import (
	"strings"

	"seamtally/compute/formula"
)

// Again makes ready to work lines out anew after values have been changed in
// place: single assumptions, and columns of the tables. It is far cheaper than
// a new engine. What a line of a table is found by must stay, and no line may
// have moved: their numbers are remembered. Lines that came to the tables with
// the joints stay there.
func (e *Engine) Again() {
	for _, s := range e.singles {
		e.work(s.q, s.code, e.Values.Singles, 0)
	}
	for _, t := range e.Model.Tables {
		e.workRows(t)
	}
	e.Values.sums = lineSums{}
}

// Add adds a line that this engine has worked out before to the sums of a list.
func (e *Engine) Add(l *Line, list int) { e.Values.addLine(l, list) }

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
