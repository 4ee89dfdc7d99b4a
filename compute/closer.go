package compute

import (
	"fmt"
	"math"
	"slices"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// Closer works some figures of the order out again and again, as lines come to
// the sums and go: a line that comes costs what rests on its sums, and not what
// the order has. It gives what a new engine would give. It is for one goroutine,
// and its engine has no lines in its sums but those that Put has brought.
type Closer struct {
	e      *Engine
	sums   []closeSum // those of the model's that count
	steps  []closeStep
	scopes []*closeScope         // the tables of the summary that count, then the order
	added  map[*model.Scope]bool // tables on Assumptions that are added up
	all    bool                  // everything is to be worked out
}

// closeSum is a sum of the joint lines: its place among the model's, and the
// table of the summary whose rows it goes by.
type closeSum struct{ no, table int }

// Amounts are what a line, once worked out, has in the sums of its list: first
// the numbers that it goes by, then the figures.
type Amounts []float64

// closeStep is a figure, and what it follows.
type closeStep struct {
	step
	at    *closeScope
	own   []int       // figures of its own row
	over  []closeOver // columns that it adds up, and figures of the order
	lines bool        // sums of the joint lines
}

type closeOver struct {
	of   *closeScope
	slot int
}

// closeScope is a table of the summary, or the order, which is one row.
type closeScope struct {
	s       *model.Scope
	by      *model.Quantity // nil of the order
	fine    int             // the place of the count of its lines among the sums
	rows    []*closeRow
	touched []*closeRow // since the last closing
	changed []bool      // figures that have changed on some row, by slot
	reform  bool        // rows have come or gone
}

type closeRow struct {
	f       *formula.Frame
	no      int // from 1; 0 of the order
	used    bool
	fresh   bool // nothing on it is worked out
	touched bool
	summed  bool   // its sums have changed
	changed []bool // its figures that have, by slot
}

// Closer makes ready to work out these figures of the order.
func (e *Engine) Closer(figures ...*model.Quantity) (*Closer, error) {
	if err := e.compileClosing(); err != nil {
		return nil, err
	}
	c := &Closer{e: e, all: true, added: map[*model.Scope]bool{}}
	for _, q := range figures {
		if q.Scope != e.Model.OrderOf {
			return nil, fmt.Errorf("%s is no figure of the order", q.Key)
		}
	}
	need := e.Model.Behind(figures...)
	for _, s := range e.Model.Closing {
		if slices.ContainsFunc(s.Quantities, func(q *model.Quantity) bool { return need[q] }) {
			c.addScope(s)
		}
	}
	for _, s := range e.closing {
		if need[s.q] {
			c.addStep(s)
		}
	}
	e.Values.sums = lineSums{}
	return c, nil
}

func (c *Closer) addScope(s *model.Scope) {
	at := &closeScope{s: s, changed: make([]bool, len(s.Quantities)), fine: -1}
	c.scopes = append(c.scopes, at)
	if s == c.e.Model.OrderOf {
		at.rows = []*closeRow{at.newRow(c.e.Values.Order, 0)}
		at.rows[0].used = true
		return
	}
	at.by = c.e.Model.Line.Quantity(s.By)
	if s.Of.Name != "cars" { // all of which have a row
		at.fine = c.addSum(c.e.Model.Line.Quantity("fine"), at)
	}
}

func (c *Closer) scope(s *model.Scope) *closeScope {
	i := slices.IndexFunc(c.scopes, func(at *closeScope) bool { return at.s == s })
	if i < 0 {
		return nil
	}
	return c.scopes[i]
}

func (at *closeScope) newRow(f *formula.Frame, no int) *closeRow {
	return &closeRow{f: f, no: no, fresh: true, changed: make([]bool, len(at.s.Quantities))}
}

// addStep finds out what a figure follows.
func (c *Closer) addStep(s step) {
	st := closeStep{step: s, at: c.scope(s.q.Scope)}
	for _, t := range s.q.Reaches() {
		switch {
		case t.Scope == c.e.Model.Line:
			if t.By != nil {
				st.lines = true
				c.addSum(t.Quantity, st.at)
			}
		case t.Reach == model.ReachRow:
			st.own = append(st.own, t.Slot)
		case c.scope(t.Scope) != nil:
			st.over = append(st.over, closeOver{c.scope(t.Scope), t.Slot})
		case t.Reach == model.ReachColumn:
			c.added[t.Scope] = true
		}
	}
	c.steps = append(c.steps, st)
}

// addSum takes in a sum of the joint lines by the number of a table's rows.
func (c *Closer) addSum(figure *model.Quantity, at *closeScope) int {
	sum := closeSum{c.e.Model.SumPlace(figure, at.by), slices.Index(c.scopes, at)}
	if !slices.Contains(c.sums, sum) {
		c.sums = append(c.sums, sum)
	}
	return sum.no
}

// Work works a line out, and gives its amounts; it does not put them. They are
// nil if the line is refused.
func (c *Closer) Work(l *Line) (Amounts, error) {
	out, err := c.e.workLine(l)
	if len(out.Added) > 0 {
		c.Renew() // parts may be of a car that has come
	}
	if err != nil || out.Refused {
		return nil, err
	}
	return c.Amounts(l), nil
}

// WorkAsShown works a line out as the formulas on its row do: one that a check refuses
// counts on, and the check is told. They are nil if a figure comes to no number.
func (c *Closer) WorkAsShown(l *Line) (Amounts, error) {
	c.e.counts = true
	defer func() { c.e.counts = false }()
	return c.Work(l)
}

// Amounts are those of a line that was worked out.
func (c *Closer) Amounts(l *Line) Amounts {
	a := make(Amounts, 0, len(c.scopes)-1+len(c.sums))
	for _, at := range c.scopes {
		if at.by != nil {
			a = append(a, l.Frame.Num[at.by.Slot])
		}
	}
	for _, sum := range c.sums {
		a = append(a, l.Frame.Num[c.e.Model.LineSums[sum.no].Figure.Slot])
	}
	return a
}

// Put adds amounts to the sums of a list.
func (c *Closer) Put(a Amounts, list int) { c.put(a, list, 1) }

// Take takes away amounts that were put. What is left is what it would be
// without them: sums are kept with twice the digits that a figure has.
func (c *Closer) Take(a Amounts, list int) { c.put(a, list, -1) }

func (c *Closer) put(a Amounts, list int, sign float64) {
	tables := len(c.scopes) - 1
	for i, at := range c.scopes[:tables] {
		if no := a[i]; no == math.Trunc(no) && c.e.Values.Rows(at.s.Of).At(no) != nil { // else no row has the number
			c.row(at, int(no)).summed = true
		}
	}
	of := c.e.Values.sumsOf(list)
	for i, sum := range c.sums {
		of[sum.no].add(a[sum.table], sign*a[tables+i])
	}
}

// row is the row of that number, touched.
func (c *Closer) row(at *closeScope, no int) *closeRow {
	for len(at.rows) < no {
		f := at.s.NewFrame()
		f.Num[at.s.Quantity(at.s.By).Slot] = float64(len(at.rows) + 1)
		at.rows = append(at.rows, at.newRow(f, len(at.rows)+1))
	}
	r := at.rows[no-1]
	at.touch(r)
	return r
}

func (at *closeScope) touch(r *closeRow) {
	if !r.touched {
		r.touched = true
		at.touched = append(at.touched, r)
	}
}

// Clear takes everything out of the sums.
func (c *Closer) Clear() {
	c.e.Values.sums = lineSums{}
	c.all = true
}

// Renew makes ready to go on after values have been changed in place, or held:
// all that is worked out once is worked out anew. Lines that were worked out
// with the values as they were must be taken out and put in anew.
func (c *Closer) Renew() {
	for _, s := range c.e.singles {
		c.e.work(s.q, s.code, c.e.Values.Singles, 0)
	}
	for _, t := range c.e.Model.Tables {
		c.e.workRows(t)
	}
	c.all = true
}

// RenewRow does the same where nothing but a line of a table has changed, and
// of it no name; no counts from 1.
func (c *Closer) RenewRow(t *model.Scope, no int) {
	c.e.workRow(t, c.e.Values.Rows(t).Frames[no-1], no)
	for _, s := range c.e.Model.Summary {
		if at := c.scope(s); s.Of == t && at != nil {
			c.row(at, no).fresh = true
			return
		}
	}
	c.all = c.all || c.added[t]
}

// Close works the figures out.
func (c *Closer) Close() {
	c.openRows()
	for i := range c.steps {
		st := &c.steps[i]
		if c.all || st.follows() {
			for _, r := range st.at.rows {
				if r.used {
					c.work(st, r)
				}
			}
			continue
		}
		for _, r := range st.at.touched {
			if r.used && (r.fresh || r.summed && st.lines || slices.ContainsFunc(st.own, func(slot int) bool { return r.changed[slot] })) {
				c.work(st, r)
			}
		}
	}
	c.all = false
	for _, at := range c.scopes {
		for _, r := range at.touched {
			r.touched, r.summed = false, false
			if r.used {
				r.fresh = false
			}
			clear(r.changed)
		}
		at.touched, at.reform = at.touched[:0], false
		clear(at.changed)
	}
}

// follows reports whether something has changed that every row follows.
func (st *closeStep) follows() bool {
	for _, o := range st.over {
		if o.of.reform || o.of.changed[o.slot] {
			return true
		}
	}
	return false
}

func (c *Closer) work(st *closeStep, r *closeRow) {
	q, slot := st.q, st.q.Slot
	was, said := r.f.Num[slot], q.Text(r.f)
	c.e.work(q, st.code, r.f, r.no)
	if !r.fresh && math.Float64bits(was) == math.Float64bits(r.f.Num[slot]) && said == q.Text(r.f) {
		return
	}
	st.at.touch(r)
	r.changed[slot], st.at.changed[slot] = true, true
}

// openRows sees which rows the tables of the summary have.
func (c *Closer) openRows() {
	for _, at := range c.scopes {
		if at.by == nil {
			continue
		}
		rows := at.touched
		if c.all {
			if n := len(c.e.Values.Rows(at.s.Of).Frames); n > 0 {
				c.row(at, n)
			}
			rows = at.rows
		}
		for _, r := range rows {
			used := at.fine < 0
			for list := range c.e.Values.sums.lists {
				n, _ := c.e.Values.SumAt(list, at.fine, float64(r.no))
				used = used || n > 0
			}
			if used != r.used {
				r.used, at.reform = used, true
				r.fresh = used
				at.touch(r)
			}
		}
		if at.reform {
			open := c.e.Values.Rows(at.s)
			open.Frames = nil
			for _, r := range at.rows {
				if r.used {
					open.Frames = append(open.Frames, r.f)
				}
			}
		}
	}
}
