package compute

import (
	"fmt"
	"strings"

	"seamtally/compute/formula"
)

// sumKey is a line figure that some table of the summary adds up, by the
// number that says which of its rows a line belongs to.
type sumKey struct{ figure, by *Quantity }

// view is what the formulas of one scope can see. Without values it serves to
// check them; with values, to work them out.
type view struct {
	m *Model
	s *Scope
	v *Values
}

// Name resolves a name of a formula: a quantity of the own scope, a single
// assumption, order.x, or a column of the table line that the row has found.
func (w *view) Name(table, key string) (formula.Ref, error) {
	switch {
	case table == "":
		if q := w.s.byKey[key]; q != nil {
			return ownRef(q), nil
		}
		if q := w.m.Singles.byKey[key]; q != nil {
			return w.singleRef(q, func() *formula.Frame { return w.v.Singles }), nil
		}
		return formula.Ref{}, fmt.Errorf("nothing is called %s here", key)
	case table == w.m.orderName():
		if q := w.m.OrderOf.byKey[key]; q != nil {
			return w.singleRef(q, func() *formula.Frame { return w.v.Order }), nil
		}
		return formula.Ref{}, fmt.Errorf("the order has no figure %s", key)
	}
	t := w.m.tableCalled(table)
	no := w.s.byKey[table+"_no"]
	if no == nil && t != nil && w.s.Of == t {
		no = w.s.byKey[w.s.By]
	}
	if t == nil || no == nil {
		return formula.Ref{}, fmt.Errorf("a row here has found no line of a table called %s", table)
	}
	q := t.byKey[key]
	if q == nil {
		return formula.Ref{}, fmt.Errorf("the table %s has no column %s", t.Name, key)
	}
	return w.lookupRef(t, q, no.Slot), nil
}

func (m *Model) orderName() string {
	if m.OrderOf == nil {
		return "order"
	}
	return m.OrderOf.Name
}

// tableCalled finds a table by the name that a row's formulas call it.
func (m *Model) tableCalled(prefix string) *Scope {
	for _, t := range m.Tables {
		if t.Prefix == prefix || t.Alias == prefix && prefix != "" {
			return t
		}
	}
	return nil
}

func typeOf(q *Quantity) formula.Type {
	return formula.Type{Kind: q.Kind, Unit: q.Unit}
}

func ownRef(q *Quantity) formula.Ref {
	slot := q.Slot
	if q.IsText() {
		return formula.Ref{Type: typeOf(q), Text: func(f *formula.Frame) string { return f.Text[slot] }}
	}
	if q.Role == Column {
		return formula.Ref{Type: typeOf(q), Num: func(f *formula.Frame) float64 { return zeroIfBlank(f.Num[slot]) }}
	}
	return formula.Ref{Type: typeOf(q), Num: func(f *formula.Frame) float64 { return f.Num[slot] }}
}

// zeroIfBlank is how a spreadsheet reckons with an empty cell.
func zeroIfBlank(x float64) float64 {
	if formula.IsBlank(x) {
		return 0
	}
	return x
}

func (w *view) singleRef(q *Quantity, frame func() *formula.Frame) formula.Ref {
	slot := q.Slot
	if q.IsText() {
		return formula.Ref{Type: typeOf(q), Text: func(*formula.Frame) string { return frame().Text[slot] }}
	}
	return formula.Ref{Type: typeOf(q), Num: func(*formula.Frame) float64 { return frame().Num[slot] }}
}

func (w *view) lookupRef(t *Scope, q *Quantity, no int) formula.Ref {
	slot := q.Slot
	var rows *Rows
	if w.v != nil {
		rows = w.v.Rows(t)
	}
	if q.IsText() {
		return formula.Ref{Type: typeOf(q), Text: func(f *formula.Frame) string {
			if r := rows.at(f.Num[no]); r != nil {
				return r.Text[slot]
			}
			return formula.ErrorText
		}}
	}
	return formula.Ref{Type: typeOf(q), Num: func(f *formula.Frame) float64 {
		if r := rows.at(f.Num[no]); r != nil {
			return zeroIfBlank(r.Num[slot])
		}
		return nan
	}}
}

// check resolves and unit-checks every formula of the model, and puts the
// figures of each scope in an order in which they can be worked out.
func (m *Model) check() error {
	for _, s := range m.scopes() {
		w := &view{m: m, s: s}
		for _, q := range s.Quantities {
			if err := w.checkQuantity(q); err != nil {
				return err
			}
		}
		if err := s.sort(m); err != nil {
			return err
		}
	}
	for _, s := range m.Summary { // rows counted tell which lines of a table are in use
		m.noteSum(sumKey{m.Line.byKey["fine"], m.Line.byKey[s.By]})
	}
	return m.sortClosing()
}

func (w *view) checkQuantity(q *Quantity) error {
	for i := range q.adds {
		if err := w.checkAddition(q, &q.adds[i]); err != nil {
			return err
		}
	}
	if q.node == nil {
		return nil
	}
	f, err := formula.Check(q.node, q.src, wanted(q), w)
	if err != nil {
		return err
	}
	q.formula = f
	return nil
}

// wanted is the type that a quantity's formula must have: that of the
// quantity, but a check is a condition.
func wanted(q *Quantity) formula.Type {
	if q.Role == Check {
		return formula.Type{Kind: formula.KindBool}
	}
	t := typeOf(q)
	t.Blank = q.Role == Figure && !q.IsText()
	return t
}

// addition is one cell of the line that a look-up adds to its table when it
// finds nothing.
type addition struct {
	column string
	src    formula.Source
	node   formula.Node
}

func (w *view) checkAddition(q *Quantity, a *addition) error {
	call, ok := q.node.(*formula.Call)
	if !ok || call.Name != "match" {
		return fmt.Errorf("%s: only a match can add a line", q.Where())
	}
	t := w.m.Table(call.Args[0].(*formula.Name).Table)
	col := t.byKey[a.column]
	if col == nil {
		return fmt.Errorf("%s: the table %s has no column %s", q.Where(), t.Name, a.column)
	}
	_, err := formula.Check(a.node, a.src, typeOf(col), w)
	return err
}

// uses lists the quantities of the own scope, and of other scopes of the
// summary, that a formula needs.
func (m *Model) uses(s *Scope, q *Quantity) []*Quantity {
	if q.node == nil {
		return nil
	}
	var out []*Quantity
	add := func(q *Quantity) {
		if q != nil {
			out = append(out, q)
		}
	}
	var searched formula.Node // the column that a look-up goes through: its table needs no row yet
	visit(q.node, func(n formula.Node) {
		if n == searched {
			return
		}
		switch n := n.(type) {
		case *formula.Call:
			switch n.Name {
			case "match", "band":
				searched = n.Args[0]
			case "first_check":
				out = append(out, m.Checks()...)
			case "total":
				add(m.summary("cars").byKey["car_qty"])
			}
		case *formula.Name:
			if n.Table == "" {
				add(s.byKey[n.Key])
				return
			}
			if s != m.OrderOf && s.Of == nil {
				add(s.byKey[n.Table+"_no"])
				return
			}
			if other := m.summary(n.Table); other != nil {
				add(other.byKey[n.Key])
			}
		}
	})
	return out
}

// visit calls f for a node and everything below it.
func visit(n formula.Node, f func(formula.Node)) {
	f(n)
	switch n := n.(type) {
	case *formula.Unary:
		visit(n.X, f)
	case *formula.Percent:
		visit(n.X, f)
	case *formula.Paren:
		visit(n.X, f)
	case *formula.Binary:
		visit(n.L, f)
		visit(n.R, f)
	case *formula.Call:
		for _, a := range n.Args {
			visit(a, f)
		}
	}
}

// sort orders the quantities of a scope that have formulas.
func (s *Scope) sort(m *Model) error {
	if s == m.OrderOf || s.Of != nil {
		return nil // the summary is sorted across its scopes
	}
	var err error
	s.order, err = sortQuantities(s.Quantities, func(q *Quantity) []*Quantity { return m.uses(s, q) })
	return err
}

func (m *Model) sortClosing() error {
	var all []*Quantity
	for _, s := range append(append([]*Scope{}, m.Summary...), m.OrderOf) {
		all = append(all, s.Quantities...)
	}
	var err error
	m.closing, err = sortQuantities(all, func(q *Quantity) []*Quantity { return m.uses(q.Scope, q) })
	if err != nil {
		return err
	}
	for _, q := range m.closing {
		q.Scope.order = append(q.Scope.order, q)
	}
	return nil
}

// sortQuantities puts those that have formulas in an order of need; a circle
// is an error that shows it.
func sortQuantities(list []*Quantity, uses func(*Quantity) []*Quantity) ([]*Quantity, error) {
	byID := map[string]*Quantity{}
	var ids []string
	for _, q := range list {
		byID[q.ID()] = q
		ids = append(ids, q.ID())
	}
	sorted, err := formula.Order(ids, func(id string) []string {
		var out []string
		for _, u := range uses(byID[id]) {
			out = append(out, u.ID())
		}
		return out
	})
	if err != nil {
		return nil, err
	}
	var out []*Quantity
	for _, id := range sorted {
		if q := byID[id]; q != nil && q.node != nil {
			out = append(out, q)
		}
	}
	return out, nil
}

// ID is the scope and the key of a quantity: lines.arc_time.
func (q *Quantity) ID() string {
	return strings.Join([]string{q.Scope.Name, q.Key}, ".")
}
