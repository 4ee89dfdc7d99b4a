package compute

import "seamtally/compute/formula"

// Linear reports whether a figure of the order is a plain sum over the joint
// lines: with all else as it is, what a line has in it does not depend on which
// others are there. A figure that is rounded, chosen or divided by what comes of
// lines is none.
func (m *Model) Linear(q *Quantity) bool {
	_, linear := m.linear(q.Scope, q)
	return linear
}

// linear says of a figure whether lines are in it, and whether as plain sums.
func (m *Model) linear(s *Scope, q *Quantity) (lines, linear bool) {
	if q.node == nil {
		return false, true
	}
	return m.linearNode(s, q.node)
}

func (m *Model) linearNode(s *Scope, n formula.Node) (lines, linear bool) {
	switch n := n.(type) {
	case *formula.Paren:
		return m.linearNode(s, n.X)
	case *formula.Unary:
		return m.linearNode(s, n.X)
	case *formula.Percent:
		return m.linearNode(s, n.X)
	case *formula.Name:
		of := m.summary(n.Table)
		switch {
		case of != nil:
			return m.linear(of, of.byKey[n.Key])
		case n.Table == "" && s.byKey[n.Key] != nil:
			return m.linear(s, s.byKey[n.Key])
		}
		return false, true // on Assumptions
	case *formula.Binary:
		left, ok := m.linearNode(s, n.L)
		right, alsoOK := m.linearNode(s, n.R)
		lines, linear = left || right, ok && alsoOK
		switch n.Op {
		case formula.Add, formula.Sub:
			return lines, linear
		case formula.Mul:
			return lines, linear && !(left && right)
		case formula.Div:
			return lines, linear && !right
		}
		return lines, linear && !lines
	case *formula.Call:
		return m.linearCall(s, n)
	}
	return false, true // a number, a text
}

func (m *Model) linearCall(s *Scope, n *formula.Call) (lines, linear bool) {
	if n.Name == "sum" || n.Name == "total" {
		name := n.Args[0].(*formula.Name)
		of := m.summary(name.Table)
		switch {
		case name.Table == m.Line.Name:
			return true, true
		case of == nil:
			return false, true // parts
		case of.Of == nil || of.Of.Name != "cars":
			return true, false // its rows come and go with the lines
		}
		return m.linear(of, of.byKey[name.Key])
	}
	lines, linear = false, true
	for _, a := range n.Args {
		in, ok := m.linearNode(s, a)
		lines, linear = lines || in, linear && ok
	}
	return lines, linear && !lines
}
