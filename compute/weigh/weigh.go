// Package weigh says what an order would come to with values or joints otherwise, and
// works out for it no more than what that reaches. It knows nothing of cells, nor of why
// they are otherwise.
package weigh

import (
	"slices"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// most is how many lines are worked out again, at the most: a minute's work. What is
// otherwise in one row costs one; what every line rests on, as many as there are.
const most = 4_000_000

// Weight is how much more the order costs, and at how much more it stands, than as it
// is, and how many joints cannot be worked out.
type Weight struct {
	Cost, Price float64
	Refused     int
}

// Row is where a joint stands: the number of its list, and the row on the sheet.
type Row struct{ List, Row int }

// Scales weigh what an order would come to.
type Scales struct {
	Cost, Price float64 // of the order as it is
	Unweighed   int     // how often lines would have been too many to work out
	order       *compute.Order
	worked      int      // lines that were worked out again
	on          *weigher // nil until something is weighed
}

// New makes scales for an order whose joints are kept.
func New(o *compute.Order) *Scales {
	s := &Scales{order: o}
	s.Cost, s.Price = s.sums(o.Values)
	return s
}

// Beside are the prices of the order with something that makes it so much more, and
// without it; counted says that the order as it is has it in it.
func (s *Scales) Beside(more float64, counted bool) (with, without float64) {
	if counted {
		return s.Price, s.Price - more
	}
	return s.Price + more, s.Price
}

// sums are the cost and the price that values come to, in whole cents.
func (s *Scales) sums(v *compute.Values) (cost, price float64) {
	of := func(key string) float64 { return model.Cents(s.order.Model.OrderOf.Quantity(key).Num(v.Order)) }
	return of("order_cost"), of("order_price")
}

// weight is what values come to, less what the order does.
func (s *Scales) weight(v *compute.Values, refused int) *Weight {
	cost, price := s.sums(v)
	return &Weight{cost - s.Cost, price - s.Price, refused}
}

// weigher is the order worked out from its inputs, kept so that what is
// otherwise costs what it reaches.
type weigher struct {
	s           *Scales
	v           *compute.Values
	closer      *compute.Closer
	cost, price *model.Quantity
	in          []compute.Amounts // of each row; nil where it is refused
	refused     int
	found       [][]float64                      // the lines of tables that each row finds, in the order of lookUps
	lookUps     []*model.Quantity                // figures that are the number of such a line
	of          map[*model.Quantity]*model.Scope // and its table
	needed      map[*model.Quantity]bool         // what joints are worked out with
	decide      map[*model.Quantity]bool         // what decides which lines of tables they find
	at          map[Row]int                      // rows by where they stand
}

// newWeigher works the order out.
func newWeigher(s *Scales) (*weigher, error) {
	o, m := s.order, s.order.Model
	w := &weigher{
		s: s, v: o.Set.Clone(), cost: m.OrderOf.Quantity("order_cost"), price: m.OrderOf.Quantity("order_price"),
		of: m.LookUps(), needed: m.NeededBy(m.Line.Quantities), at: map[Row]int{},
	}
	for _, q := range m.Line.Quantities {
		if w.of[q] != nil {
			w.lookUps = append(w.lookUps, q)
		}
	}
	w.decide = m.NeededBy(w.lookUps)
	engine, err := compute.NewEngine(w.v)
	if err != nil {
		return nil, err
	}
	if w.closer, err = engine.Closer(w.cost, w.price); err != nil {
		return nil, err
	}
	for i := range o.Joints {
		r := &o.Joints[i]
		line := r.Line.Clone()
		amounts, err := w.closer.Work(line)
		if err != nil {
			return nil, err
		}
		w.put(amounts, r.List)
		if amounts == nil {
			w.refused++
		}
		var found []float64
		for _, q := range w.lookUps {
			found = append(found, q.Num(&line.Frame))
		}
		w.in, w.found = append(w.in, amounts), append(w.found, found)
		w.at[Row{r.List, r.Row}] = i
	}
	return w, nil
}

func (w *weigher) put(a compute.Amounts, list int) {
	if a != nil {
		w.closer.Put(a, list)
	}
}

func (w *weigher) take(a compute.Amounts, list int) {
	if a != nil {
		w.closer.Take(a, list)
	}
}

// reaches says which rows are other with other values. It is false where their
// tables have other lines, or lines by other names: then the order is to be
// worked out afresh.
func (w *weigher) reaches(v *compute.Values) (rows []bool, ok bool) {
	rows = make([]bool, len(w.in))
	all := func() {
		for i := range rows {
			rows[i] = true
		}
	}
	m := w.s.order.Model
	for _, at := range v.Held() {
		if at.Figure.Scope == m.Singles || slices.Contains(m.Tables, at.Figure.Scope) {
			all()
		}
	}
	for _, q := range m.Singles.Quantities {
		if w.needed[q] && !sameSet(q, v.Singles, w.s.order.Set.Singles) {
			all()
		}
	}
	for _, t := range m.Tables {
		now, was := v.Rows(t).Frames, w.s.order.Set.Rows(t).Frames
		if len(now) != len(was) {
			return nil, false
		}
		for _, q := range t.Quantities {
			if !w.needed[q] {
				continue
			}
			for i := range was {
				switch {
				case sameSet(q, now[i], was[i]):
				case w.decide[q]:
					return nil, false
				default:
					w.finds(t, i+1, rows, all)
				}
			}
		}
	}
	return rows, true
}

// finds marks the rows that find a line of a table; of a table in which none
// looks a line up, that is all.
func (w *weigher) finds(t *model.Scope, no int, rows []bool, all func()) {
	looked := false
	for k, q := range w.lookUps {
		if w.of[q] != t {
			continue
		}
		looked = true
		for i := range rows {
			rows[i] = rows[i] || w.found[i][k] == float64(no)
		}
	}
	if !looked {
		all()
	}
}

// sameSet compares what the estimator has set.
func sameSet(q *model.Quantity, x, y *formula.Frame) bool {
	if q.Role != model.Assumption && q.Role != model.Column {
		return true
	}
	if q.IsText() {
		return q.Text(x) == q.Text(y)
	}
	return q.Num(x) == q.Num(y) || formula.IsBlank(q.Num(x)) && formula.IsBlank(q.Num(y))
}

// restore makes the values what they were.
func (w *weigher) restore() {
	w.v.LetGo()
	w.v.SetAs(w.s.order.Set)
	w.closer.Renew()
}

// otherRow is a row that is other with a fault; line is nil where it is away.
type otherRow struct {
	i    int
	line *compute.Line
}

// others lists the rows whose figures a fault changes: those marked in anew, and
// those that change alters or, by false, leaves out. If only is not nil, change is
// asked of no other rows.
func (w *weigher) others(anew []bool, only []int, change func(*compute.Joint, *compute.Line) bool) []otherRow {
	var out []otherRow
	line := &compute.Line{}
	look := func(i int) {
		r := &w.s.order.Joints[i]
		r.Line.LendTo(line)
		switch {
		case change != nil && !change(r, line):
			out = append(out, otherRow{i, nil})
		case !line.Lent(), anew[i]:
			out = append(out, otherRow{i, line})
			line = &compute.Line{}
		}
	}
	if only != nil && !slices.Contains(anew, true) {
		for _, i := range only {
			look(i)
		}
		return out
	}
	for i := range w.s.order.Joints {
		look(i)
	}
	return out
}

// weigh works the order out with other rows, and with the values as they are
// now. After it the sums are as before.
func (w *weigher) weigh(rows []otherRow, asShown bool) (*Weight, error) {
	refused := w.refused
	now := make([]compute.Amounts, len(rows))
	work := w.closer.Work
	if asShown {
		work = w.closer.WorkAsShown
	}
	for k, o := range rows {
		list := w.s.order.Joints[o.i].List
		if w.in[o.i] == nil {
			refused--
		}
		w.take(w.in[o.i], list)
		if o.line == nil {
			continue
		}
		var err error
		if now[k], err = work(o.line); err != nil {
			return nil, err
		}
		if now[k] == nil {
			refused++
		}
		w.put(now[k], list)
	}
	w.closer.Close()
	out := w.s.weight(w.v, refused)
	for k, o := range rows {
		list := w.s.order.Joints[o.i].List
		w.take(now[k], list)
		w.put(w.in[o.i], list)
	}
	return out, nil
}

// Otherwise works the order out with other values, and with lines that change may change
// or, by false, leave out; either may be nil. If rows is not nil, change concerns no
// other rows. It gives nil where enough was worked out already.
func (s *Scales) Otherwise(values func(*compute.Values), rows []Row, change func(*compute.Joint, *compute.Line) bool) (*Weight, error) {
	return s.otherwise(values, rows, change, false)
}

// AsShown does the same for a workbook that no run has seen since: a joint that a check
// refuses counts there until the next run leaves it out.
func (s *Scales) AsShown(values func(*compute.Values), rows []Row, change func(*compute.Joint, *compute.Line) bool) (*Weight, error) {
	return s.otherwise(values, rows, change, true)
}

func (s *Scales) otherwise(values func(*compute.Values), rows []Row, change func(*compute.Joint, *compute.Line) bool, asShown bool) (*Weight, error) {
	w, err := s.weigher()
	if err != nil {
		return nil, err
	}
	anew := make([]bool, len(w.in))
	if values != nil {
		v, ok := s.order.Set.Clone(), false
		values(v)
		if anew, ok = w.reaches(v); !ok {
			return s.afresh(v, change, asShown)
		}
	}
	others := w.others(anew, w.joints(rows), change)
	if !s.affords(len(others)) {
		return nil, nil
	}
	if values != nil {
		values(w.v)
		w.closer.Renew()
		defer w.restore()
	}
	out, err := w.weigh(others, asShown)
	if err != nil {
		s.on = nil // its sums are no more what they were
	}
	return out, err
}

// WithJoint works a line out and weighs the order with it: nil where it is refused, or
// enough was worked out already.
func (s *Scales) WithJoint(line *compute.Line, list int) (*Weight, error) {
	return s.with(list, func(c *compute.Closer) (compute.Amounts, error) { return c.Work(line) })
}

// WithWorked weighs the order with a line that was worked out elsewhere.
func (s *Scales) WithWorked(line *compute.Line, list int) (*Weight, error) {
	return s.with(list, func(c *compute.Closer) (compute.Amounts, error) { return c.Amounts(line), nil })
}

func (s *Scales) with(list int, amounts func(*compute.Closer) (compute.Amounts, error)) (*Weight, error) {
	w, err := s.weigher()
	if err != nil || !s.affords(1) {
		return nil, err
	}
	one, err := amounts(w.closer)
	if err != nil || one == nil {
		return nil, err
	}
	w.put(one, list)
	w.closer.Close()
	out := s.weight(w.v, 0)
	w.take(one, list)
	return out, nil
}

// weigher is made once it is needed.
func (s *Scales) weigher() (*weigher, error) {
	if s.on == nil {
		w, err := newWeigher(s)
		if err != nil {
			return nil, err
		}
		s.on = w
	}
	return s.on, nil
}

// affords reports whether so many lines may still be worked out, and counts one time
// more that they may not.
func (s *Scales) affords(lines int) bool {
	if s.worked += lines; s.worked > most {
		s.Unweighed++
		return false
	}
	return true
}

// afresh works the order out with a new engine.
func (s *Scales) afresh(v *compute.Values, change func(*compute.Joint, *compute.Line) bool, asShown bool) (*Weight, error) {
	if !s.affords(len(s.order.Joints)) {
		return nil, nil
	}
	again := s.order.Again
	if asShown {
		again = s.order.AgainAsShown
	}
	refused, err := again(v, change)
	if err != nil {
		return nil, err
	}
	return s.weight(v, len(refused)), nil
}

// joints are those that stand on rows, nil for nil.
func (w *weigher) joints(rows []Row) []int {
	if rows == nil {
		return nil
	}
	out := []int{}
	for _, r := range rows {
		if i, is := w.at[r]; is {
			out = append(out, i)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
