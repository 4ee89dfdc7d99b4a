package compute

import (
	"fmt"
	"math"
	"slices"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// Engine works out joint lines one after another, and from their sums the cars
// and the order. It is for one goroutine.
type Engine struct {
	Model  *model.Model
	Values *Values

	first  []step // what decides whether a line can be worked out at all
	rest   []step
	tables map[*model.Scope][]step
	nums   []*model.Quantity // numeric figures, which must come out as numbers
	check  []*model.Quantity
	counts bool // refused lines count, see [Order.AgainAsShown]

	singles, closing []step // of what is worked out once, before the lines and after them
	counters         []counter
	lookUps          []lookUp
}

// step works out one quantity of the line.
type step struct {
	q    *model.Quantity
	code formula.Code
	adds []addStep
	to   *model.Scope
}

type addStep struct {
	col  *model.Quantity
	code formula.Code
}

// Line is one joint row of a list, for one car.
type Line struct {
	Frame  formula.Frame
	given  []bool // by slot: typed by the shop, or typed over a calculated cell
	Raised []*model.Quantity
	lent   bool // frame and given are another line's
}

// NewLine makes a line that can be used again and again.
func NewLine(m *model.Model) *Line {
	n := len(m.Line.Quantities)
	return &Line{Frame: *m.Line.NewFrame(), given: make([]bool, n)}
}

// Clear forgets the row that was in the line.
func (l *Line) Clear() {
	l.own()
	for i := range l.given {
		l.given[i] = false
		l.Frame.Num[i] = formula.Blank()
	}
	clear(l.Frame.Text)
	l.Raised = l.Raised[:0]
}

// Clone is a line of its own with the same in it.
func (l *Line) Clone() *Line {
	return &Line{
		Frame:  formula.Frame{Num: slices.Clone(l.Frame.Num), Text: slices.Clone(l.Frame.Text)},
		given:  slices.Clone(l.given),
		Raised: slices.Clone(l.Raised),
	}
}

// like makes a line of its own the same as another, and gives it.
func (l *Line) like(other *Line) *Line {
	copy(l.Frame.Num, other.Frame.Num)
	copy(l.Frame.Text, other.Frame.Text)
	copy(l.given, other.given)
	l.Raised = append(l.Raised[:0], other.Raised...)
	return l
}

// LendTo makes another line hold the same: what this one has is copied only
// once something is set in the other, or it is worked out.
func (l *Line) LendTo(to *Line) {
	*to = Line{Frame: l.Frame, given: l.given, Raised: l.Raised, lent: true}
}

// Lent reports whether nothing was set in a lent line.
func (l *Line) Lent() bool { return l.lent }

func (l *Line) own() {
	if l.lent {
		*l = *l.Clone()
	}
}

// Set gives the number of an input, or of a figure that was typed over.
func (l *Line) Set(q *model.Quantity, x float64) {
	l.own()
	l.Frame.Num[q.Slot], l.given[q.Slot] = x, true
}

// SetText gives the text of an input; a number in whose cell there is one is given, and
// stays as blank as it was.
func (l *Line) SetText(q *model.Quantity, s string) {
	l.own()
	if q.IsText() {
		l.Frame.Text[q.TextSlot] = s
	}
	l.given[q.Slot] = true
}

// Take sets a quantity to what another line has.
func (l *Line) Take(from *Line, q *model.Quantity) {
	if q.IsText() {
		l.SetText(q, q.Text(&from.Frame))
		return
	}
	l.Set(q, q.Num(&from.Frame))
}

// Release takes back a number or a text that was set: it is worked out again.
func (l *Line) Release(q *model.Quantity) {
	l.own()
	q.Blank(&l.Frame)
	l.given[q.Slot] = false
}

// Given reports whether the quantity was set rather than worked out.
func (l *Line) Given(q *model.Quantity) bool { return l.given[q.Slot] }

// NewEngine makes ready to work out lines with these values: what is worked
// out once, and the figures of every table, are done here.
func NewEngine(v *Values) (*Engine, error) {
	e := &Engine{Model: v.Model, Values: v, check: v.Model.Checks(), tables: map[*model.Scope][]step{}}
	if err := e.workSingles(); err != nil {
		return nil, err
	}
	if err := e.workTables(); err != nil {
		return nil, err
	}
	early := e.earlySet()
	for _, q := range v.Model.Line.Order() {
		s, err := e.step(q)
		if err != nil {
			return nil, err
		}
		if early[q] {
			e.first = append(e.first, s)
		} else {
			e.rest = append(e.rest, s)
		}
		if !q.IsText() && q.Role != model.Check {
			e.nums = append(e.nums, q)
		}
	}
	for by, of := range v.Model.LookUps() {
		e.lookUps = append(e.lookUps, lookUp{by: by, of: of})
	}
	return e, e.compileCounts()
}

// earlySet is what the refusing checks need: a refused row must not add a line
// to a table.
func (e *Engine) earlySet() map[*model.Quantity]bool {
	var refuse []*model.Quantity
	for _, q := range e.check {
		if q.Level == model.LevelRefuse {
			refuse = append(refuse, q)
		}
	}
	return e.Model.Behind(refuse...)
}

// compile takes a formula that was checked, now with values behind its names.
func (e *Engine) compile(s *model.Scope, f *formula.Formula) (formula.Code, error) {
	f, err := f.With(e.Values.view(s))
	if err != nil {
		return formula.Code{}, err
	}
	return f.Compile()
}

func (e *Engine) step(q *model.Quantity) (step, error) {
	code, err := e.compile(e.Model.Line, q.Formula())
	if err != nil {
		return step{}, err
	}
	s := step{q: q, code: code}
	for _, a := range q.Adds {
		s.to = a.Column.Scope
		code, err := e.compile(e.Model.Line, a.Formula)
		if err != nil {
			return step{}, err
		}
		s.adds = append(s.adds, addStep{a.Column, code})
	}
	return s, nil
}

// work works out one quantity of a row, unless its value is held.
func (e *Engine) work(q *model.Quantity, code formula.Code, f *formula.Frame, row int) {
	if x, held := e.Values.held[Place{q, row}]; held {
		f.Num[q.Slot] = x
		return
	}
	run(q, code, f)
}

// run works out one quantity into its frame.
func run(q *model.Quantity, code formula.Code, f *formula.Frame) {
	if q.IsText() {
		f.Text[q.TextSlot] = code.Text(f)
		return
	}
	f.Num[q.Slot] = code.Num(f)
}

func (e *Engine) workSingles() error {
	for _, q := range e.Model.Singles.Order() {
		code, err := e.compile(e.Model.Singles, q.Formula())
		if err != nil {
			return err
		}
		e.singles = append(e.singles, step{q: q, code: code})
		e.work(q, code, e.Values.Singles, 0)
	}
	return nil
}

// workTables works out the figures of every table.
func (e *Engine) workTables() error {
	for _, t := range e.Model.Tables {
		for _, q := range t.Order() {
			code, err := e.compile(t, q.Formula())
			if err != nil {
				return err
			}
			e.tables[t] = append(e.tables[t], step{q: q, code: code})
		}
		e.workRows(t)
	}
	return nil
}

func (e *Engine) workRows(t *model.Scope) {
	for i, f := range e.Values.Rows(t).Frames {
		e.workRow(t, f, i+1)
	}
}

func (e *Engine) workRow(t *model.Scope, f *formula.Frame, no int) {
	for _, s := range e.tables[t] {
		e.work(s.q, s.code, f, no)
	}
}

// Outcome is what became of a line.
type Outcome struct {
	Refused bool
	Why     *model.Quantity // the check that refused it, or the figure without a value
	Added   []*model.Scope  // tables that got a line for it
}

// Work works out the line and, unless it is refused, adds it to the sums of
// the list of that number.
func (e *Engine) Work(l *Line, list int) (Outcome, error) {
	out, err := e.workLine(l)
	e.look(l)
	if err == nil && !out.Refused {
		e.Values.addLine(l, list)
	}
	return out, err
}

// Add adds a line that was worked out before to the sums of a list.
func (e *Engine) Add(l *Line, list int) { e.Values.addLine(l, list) }

func (e *Engine) workLine(l *Line) (Outcome, error) {
	l.own()
	var out Outcome
	for i := range e.first {
		if err := e.do(&e.first[i], l, &out); err != nil {
			return out, err
		}
	}
	for _, q := range e.check {
		if q.Level == model.LevelRefuse && l.Frame.Num[q.Slot] != 0 && !e.counts {
			out.Refused, out.Why = true, q
			return out, nil
		}
	}
	for i := range e.rest {
		if err := e.do(&e.rest[i], l, &out); err != nil {
			return out, err
		}
	}
	for _, q := range e.nums {
		if x := l.Frame.Num[q.Slot]; math.IsNaN(x) && !formula.IsBlank(x) {
			out.Refused, out.Why = true, q
			return out, nil
		}
	}
	for _, q := range e.check {
		if q.Level == model.LevelWarn && l.Frame.Num[q.Slot] == 1 {
			l.Raised = append(l.Raised, q)
		}
	}
	return out, nil
}

func (e *Engine) do(s *step, l *Line, out *Outcome) error {
	if l.given[s.q.Slot] {
		return nil
	}
	run(s.q, s.code, &l.Frame)
	if s.adds == nil || !math.IsNaN(l.Frame.Num[s.q.Slot]) {
		return nil
	}
	row := e.Values.AddRow(s.to)
	for _, a := range s.adds {
		if a.col.IsText() {
			row.Text[a.col.TextSlot] = a.code.Text(&l.Frame)
		} else {
			row.Num[a.col.Slot] = a.code.Num(&l.Frame)
		}
	}
	e.workRow(s.to, row, len(e.Values.Rows(s.to).Frames))
	run(s.q, s.code, &l.Frame)
	if math.IsNaN(l.Frame.Num[s.q.Slot]) {
		return fmt.Errorf("%s: a line added to the table %s is not found in it", s.q.Where(), s.to.Name)
	}
	out.Added = append(out.Added, s.to)
	return nil
}

// BlankRow is an empty line of a table with its figures worked out, as its
// spare lines show them.
func (e *Engine) BlankRow(t *model.Scope) (*formula.Frame, error) {
	if e.Values.rows[t] == nil {
		return nil, fmt.Errorf("%s is no table", t.Name)
	}
	f := t.NewFrame()
	e.workRow(t, f, 0)
	return f, nil
}
