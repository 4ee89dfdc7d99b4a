package model

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seamtally/compute/formula"
)

// Reach says where a formula finds what a name stands for.
type Reach uint8

// The reaches.
const (
	ReachRow    Reach = iota // on the row itself
	ReachOnce                // there is one: a single assumption, a figure of the order
	ReachFound               // on the line of a table that the row has found, whose number By is
	ReachColumn              // on every row of another table; in a sum, those whose By is the row's own
	ReachBeside              // on the row that the own row follows
)

// Target is what a name in a formula stands for.
type Target struct {
	*Quantity
	Reach Reach
	By    *Quantity
}

// Find resolves a name in a formula of a scope: the one place that knows what
// names mean. A table that ends in [ColumnMark] asks for a whole column.
func (m *Model) Find(s *Scope, table, key string) (Target, error) {
	if name, column := strings.CutSuffix(table, ColumnMark); column {
		for _, of := range m.among(s) {
			if of.Name == name && of.byKey[key] != nil {
				return Target{of.byKey[key], ReachColumn, nil}, nil
			}
		}
		return Target{}, fmt.Errorf("there is no column %s.%s", name, key)
	}
	if table == "" {
		if q := s.byKey[key]; q != nil {
			return Target{q, ReachRow, nil}, nil
		}
		if q := m.Singles.byKey[key]; q != nil {
			return Target{q, ReachOnce, nil}, nil
		}
		return Target{}, fmt.Errorf("nothing is called %s here", key)
	}
	if s.Beside != nil && s.Beside.Name == table {
		if q := s.Beside.byKey[key]; q != nil {
			return Target{q, ReachBeside, nil}, nil
		}
		return Target{}, fmt.Errorf("%s has no %s", strings.ToLower(s.Beside.Title), key)
	}
	for _, once := range m.among(s) {
		if once.Name == table && once.Once() {
			if q := once.byKey[key]; q != nil {
				return Target{q, ReachOnce, nil}, nil
			}
			return Target{}, fmt.Errorf("%s has no figure %s", strings.ToLower(once.Title), key)
		}
	}
	t := m.tableCalled(table)
	no := s.byKey[table+"_no"]
	if no == nil && t != nil && s.Of == t {
		no = s.byKey[s.By]
	}
	if no == nil && s.Beside != nil {
		no = s.Beside.byKey[table+"_no"]
	}
	if t == nil || no == nil {
		return Target{}, fmt.Errorf("a row here has found no line of a table called %s", table)
	}
	if t.byKey[key] == nil {
		return Target{}, fmt.Errorf("the table %s has no column %s", t.Name, key)
	}
	return Target{t.byKey[key], ReachFound, no}, nil
}

// among are the scopes whose columns and single rows the formulas of one can see,
// those first whose names stand before others'.
func (m *Model) among(s *Scope) []*Scope {
	switch {
	case s.Sheet != "":
		var out []*Scope
		for _, o := range m.Bids {
			if o.Sheet == s.Sheet {
				out = append(out, o)
			}
		}
		return append(append(out, m.Closing...), m.Tables...)
	case slices.Contains(m.Closing, s): // a table that is worked out may bear the name of the one that it follows
		return append(slices.Clone(m.Closing), m.scopes()...)
	}
	return m.scopes()
}

// Worked is what stands behind the names of formulas once they are worked out.
type Worked interface {
	// Once is the one row of a scope that has no more.
	Once(*Scope) *formula.Frame
	// Rows are those of a table.
	Rows(*Scope) *Rows
	// SumAt is the sum of that place among the model's LineSums, over one list and for
	// one number; ok is false where no line of the list has it.
	SumAt(list, place int, no float64) (x float64, ok bool)
	// SumOf is the same over all lists.
	SumOf(place int, no float64) float64
	// Counted is the count of that place among the model's Counts, on one list.
	Counted(list, place int) float64
}

// View is what the formulas of one scope can see. Without values it serves to
// check them; with values, to work them out.
type View struct {
	Model  *Model
	Scope  *Scope
	Values Worked
	Beside **formula.Frame // where the row is that the one worked out follows

	q *Quantity // whose formula is checked; what it reaches is noted
}

// Functions finds the functions that a model has besides a spreadsheet's own.
type Functions func(w *View, name string) (formula.Func, bool)

// Func finds a function of a formula.
func (w *View) Func(name string) (formula.Func, bool) { return w.Model.functions(w, name) }

// Name resolves a name of a formula.
func (w *View) Name(table, key string) (formula.Ref, error) {
	t, err := w.Model.Find(w.Scope, table, key)
	if err != nil {
		return formula.Ref{}, err
	}
	w.Note(t.Quantity, t.Reach, t.By)
	switch t.Reach {
	case ReachRow:
		return ownRef(t.Quantity), nil
	case ReachOnce:
		return w.onceRef(t.Quantity), nil
	case ReachBeside:
		return w.besideRef(t.Quantity), nil
	}
	return w.foundRef(t), nil
}

// Note keeps what a formula reaches, when the model is loaded.
func (w *View) Note(q *Quantity, reach Reach, by *Quantity) {
	if w.q != nil {
		w.q.reaches = append(w.q.reaches, Target{q, reach, by})
	}
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

// Type is the type that a quantity has in formulas.
func (q *Quantity) Type() formula.Type {
	return formula.Type{Kind: q.Kind, Unit: q.Unit}
}

func ownRef(q *Quantity) formula.Ref {
	slot, said := q.Slot, q.TextSlot
	if q.IsText() {
		return formula.Ref{Type: q.Type(), Text: func(f *formula.Frame) string { return f.Text[said] }}
	}
	if q.Role == Column {
		return formula.Ref{Type: q.Type(), Num: func(f *formula.Frame) float64 { return ZeroIfBlank(f.Num[slot]) }}
	}
	return formula.Ref{Type: q.Type(), Num: func(f *formula.Frame) float64 { return f.Num[slot] }}
}

func (w *View) onceRef(q *Quantity) formula.Ref {
	slot, said, once := q.Slot, q.TextSlot, (*formula.Frame)(nil)
	if w.Values != nil {
		once = w.Values.Once(q.Scope)
	}
	if q.IsText() {
		return formula.Ref{Type: q.Type(), Text: func(*formula.Frame) string { return once.Text[said] }}
	}
	return formula.Ref{Type: q.Type(), Num: func(*formula.Frame) float64 { return once.Num[slot] }}
}

// besideRef is what the row has that the own row follows.
func (w *View) besideRef(q *Quantity) formula.Ref {
	ref, beside := ownRef(q), w.Beside
	if q.IsText() {
		return formula.Ref{Type: ref.Type, Text: func(*formula.Frame) string { return ref.Text(*beside) }}
	}
	return formula.Ref{Type: ref.Type, Num: func(*formula.Frame) float64 { return ref.Num(*beside) }}
}

func (w *View) foundRef(t Target) formula.Ref {
	q, slot, said, no := t.Quantity, t.Slot, t.TextSlot, ownRef(t.By).Num
	if t.By.Scope != w.Scope {
		no = w.besideRef(t.By).Num
	}
	var rows *Rows
	if w.Values != nil {
		rows = w.Values.Rows(q.Scope)
	}
	if q.IsText() {
		return formula.Ref{Type: q.Type(), Text: func(f *formula.Frame) string {
			if r := rows.At(no(f)); r != nil {
				return r.Text[said]
			}
			return formula.ErrorText
		}}
	}
	return formula.Ref{Type: q.Type(), Num: func(f *formula.Frame) float64 {
		if r := rows.At(no(f)); r != nil {
			return ZeroIfBlank(r.Num[slot])
		}
		return math.NaN()
	}}
}

// check resolves and unit-checks every formula of the model, and puts the
// figures of each scope in an order in which they can be worked out.
func (m *Model) check() error {
	for _, s := range m.all() {
		for _, q := range s.Quantities {
			w := &View{Model: m, Scope: s, q: q}
			if err := w.checkQuantity(q); err != nil {
				return err
			}
		}
		if err := s.sort(m); err != nil {
			return err
		}
	}
	for _, q := range m.Checks() {
		if q.Level != LevelOK && len(q.Cells) == 0 {
			return fmt.Errorf("%s: a check of a row says under cell which inputs it is about", q.Where())
		}
		for _, key := range q.Cells {
			if in := m.Line.byKey[key]; in == nil || in.Role != Input {
				return fmt.Errorf("%s: cell names the inputs that a check is about, and %s is none", q.Where(), key)
			}
		}
	}
	for _, q := range m.OrderOf.Quantities {
		if m.Singles.byKey[q.Key] != nil {
			return fmt.Errorf("%s: an assumption is called %s too, and each is a name in the workbook; call one otherwise", q.Where(), q.Key)
		}
	}
	for _, s := range m.Summary { // rows counted tell which lines of a table are in use
		m.NoteSum(m.Roles.Fine, m.Line.byKey[s.By])
	}
	if err := m.checkCounts(); err != nil {
		return err
	}
	var err error
	if m.ClosingOrder, err = sortTogether(m.Closing); err != nil {
		return err
	}
	m.BidOrder, err = sortTogether(m.Bids)
	return err
}

func (w *View) checkQuantity(q *Quantity) error {
	for i := range q.Adds {
		if err := w.checkAddition(q, &q.Adds[i]); err != nil {
			return err
		}
	}
	if g := q.Guard; g != nil && g.where != nil {
		var err error
		if g.Where, err = formula.Check(g.where, g.src, formula.Type{Kind: formula.KindBool}, &View{Model: w.Model, Scope: w.Scope}); err != nil {
			return err
		}
	}
	if g := q.Guard; g != nil && g.Alike != nil && g.Alike.by != nil {
		var err error
		a := g.Alike
		if a.By, err = formula.Check(a.by, a.src, formula.Type{Kind: formula.KindNumber, Unit: a.unit}, &View{Model: w.Model, Scope: w.Scope}); err != nil {
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
	if q.Role == Check && !q.Scope.Once() && q.Scope.Sheet == "" {
		return formula.Type{Kind: formula.KindBool}
	}
	t := q.Type()
	t.Blank = q.Role == Figure && !q.IsText()
	return t
}

// Addition is one cell of the line that a look-up adds to its table when it
// finds nothing.
type Addition struct {
	Column  *Quantity
	Formula *formula.Formula

	column string
	src    formula.Source
	node   formula.Node
}

func (w *View) checkAddition(q *Quantity, a *Addition) error {
	call := q.Call("match")
	if call == nil {
		return fmt.Errorf("%s: only a match can add a line", q.Where())
	}
	t := w.Model.Table(call.Args[0].(*formula.Name).Table)
	if a.Column = t.byKey[a.column]; a.Column == nil {
		return fmt.Errorf("%s: the table %s has no column %s", q.Where(), t.Name, a.column)
	}
	var err error
	a.Formula, err = formula.Check(a.node, a.src, a.Column.Type(), w)
	return err
}

// Reaches are what the formula of a quantity rests on straight: what it names,
// the numbers that it looks things up by, and what its functions go through.
func (q *Quantity) Reaches() []Target { return q.reaches }

// needs are the quantities that have to be worked out before one can be.
func (q *Quantity) needs() []*Quantity {
	var out []*Quantity
	for _, t := range q.reaches {
		out = append(out, t.Quantity)
		if t.By != nil {
			out = append(out, t.By)
		}
	}
	return out
}

// sort orders the quantities of a scope that have formulas.
func (s *Scope) sort(m *Model) error {
	if slices.Contains(m.Closing, s) || s.Sheet != "" {
		return nil // these are sorted together
	}
	var err error
	s.order, err = sortQuantities(s.Quantities)
	return err
}

// sortTogether does the same for scopes that rest on each other.
func sortTogether(scopes []*Scope) ([]*Quantity, error) {
	var all []*Quantity
	for _, s := range scopes {
		all = append(all, s.Quantities...)
	}
	sorted, err := sortQuantities(all)
	for _, q := range sorted {
		q.Scope.order = append(q.Scope.order, q)
	}
	return sorted, err
}

// sortQuantities puts those that have formulas in an order of need; a circle
// is an error that shows it.
func sortQuantities(list []*Quantity) ([]*Quantity, error) {
	byID := map[string]*Quantity{}
	var ids []string
	for _, q := range list {
		byID[q.ID()] = q
		ids = append(ids, q.ID())
	}
	sorted, err := formula.Order(ids, func(id string) []string {
		var out []string
		for _, u := range byID[id].needs() {
			if byID[u.ID()] == u { // two tables may have one name
				out = append(out, u.ID())
			}
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

// ColumnMark ends the table in a name that a formula prints for a whole column:
// match(setups.name, setup) asks for setups[].name, where setup.travel alone
// means the travel on the line that the row has found.
const ColumnMark = "[]"
