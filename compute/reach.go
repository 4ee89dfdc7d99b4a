package compute

import "seamtally/compute/formula"

// Behind are all quantities that some figures are worked out from, through
// joint lines, tables, cars and the order; the figures themselves are among
// them.
func (m *Model) Behind(figures ...*Quantity) map[*Quantity]bool {
	out := map[*Quantity]bool{}
	var mark func(*Quantity)
	mark = func(q *Quantity) {
		if q == nil || out[q] {
			return
		}
		out[q] = true
		for _, u := range m.restsOn(q) {
			mark(u)
		}
	}
	for _, q := range figures {
		mark(q)
	}
	return out
}

// Moved are all quantities that may be other when some are; these themselves
// are among them.
func (m *Model) Moved(changed ...*Quantity) map[*Quantity]bool {
	used := map[*Quantity][]*Quantity{}
	for _, s := range m.scopes() {
		for _, q := range s.Quantities {
			for _, u := range m.restsOn(q) {
				used[u] = append(used[u], q)
			}
		}
	}
	out := map[*Quantity]bool{}
	var mark func(*Quantity)
	mark = func(q *Quantity) {
		if out[q] {
			return
		}
		out[q] = true
		for _, by := range used[q] {
			mark(by)
		}
	}
	for _, q := range changed {
		mark(q)
	}
	return out
}

// restsOn are the quantities that the formula of one names, in whichever scope.
func (m *Model) restsOn(q *Quantity) []*Quantity {
	var out []*Quantity
	add := func(q *Quantity) {
		if q != nil {
			out = append(out, q)
		}
	}
	name := func(n *formula.Name) {
		summed := q.Scope == m.OrderOf || q.Scope.Of != nil // its formulas name tables of the summary
		switch of := m.summary(n.Table); {
		case n.Table == "" && q.Scope.byKey[n.Key] != nil:
			add(q.Scope.byKey[n.Key])
		case n.Table == "":
			add(m.Singles.byKey[n.Key])
		case n.Table == m.Line.Name:
			add(m.Line.byKey[n.Key])
			add(m.Line.byKey[q.Scope.By])
		case summed && of != nil:
			add(of.byKey[n.Key])
		case m.tableCalled(n.Table) != nil:
			add(m.tableCalled(n.Table).byKey[n.Key])
			add(q.Scope.byKey[n.Table+"_no"])
		case m.Table(n.Table) != nil:
			add(m.Table(n.Table).byKey[n.Key])
		}
	}
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
				name(n)
			case *formula.Call:
				switch n.Name {
				case "total":
					add(m.summary("cars").byKey["car_qty"])
				case "first_check":
					out = append(out, m.Checks()...)
				case "branch_edge":
					out = append(out, m.Table("edge").Quantities...)
				}
			}
		})
	}
	return out
}
