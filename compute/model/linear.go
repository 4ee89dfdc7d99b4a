package model

import (
	"slices"

	"seamtally/compute/formula"
)

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
		t, err := m.Find(s, n.Table, n.Key)
		if err != nil { // a whole column
			t, err = m.Find(s, n.Table+ColumnMark, n.Key)
		}
		if err == nil && slices.Contains(m.Closing, t.Scope) {
			return m.linear(t.Scope, t.Quantity)
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
		t, err := m.Find(s, name.Table+ColumnMark, name.Key)
		switch {
		case err != nil:
			return true, false
		case t.Scope == m.Line:
			return true, true
		case !slices.Contains(m.Closing, t.Scope):
			return false, true // parts
		case t.Scope.Of == nil || t.Scope.Of.Name != "cars":
			return true, false // its rows come and go with the lines
		}
		return m.linear(t.Scope, t.Quantity)
	}
	lines, linear = false, true
	for _, a := range n.Args {
		in, ok := m.linearNode(s, a)
		lines, linear = lines || in, linear && ok
	}
	return lines, linear && !lines
}
