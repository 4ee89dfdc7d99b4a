package audit

import (
	"slices"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// mostWeighed is how many lines are worked out again, at the most, to weigh
// faults: a minute's work. A fault of a row costs one; of what every line rests
// on, as many as there are.
const mostWeighed = 4_000_000

// weight is how much more the order costs, and at how much more it stands, than
// it should, and how many rows cannot be worked out.
type weight struct {
	cost, price float64
	refused     int
}

// weigher is the order worked out from its inputs, kept so that what a fault
// does costs what the fault reaches.
type weigher struct {
	a           *auditor
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
	at          map[lineAt]int                   // rows by where they stand
}

// newWeigher works the order out.
func newWeigher(a *auditor) (*weigher, error) {
	m := a.Model
	w := &weigher{
		a: a, v: a.Set.Clone(), cost: m.OrderOf.Quantity("order_cost"), price: m.OrderOf.Quantity("order_price"),
		of: m.LookUps(), needed: m.NeededBy(m.Line.Quantities), at: map[lineAt]int{},
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
	for i := range a.Joints {
		r := &a.Joints[i]
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
		w.at[lineAt{r.List, r.Row}] = i
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
	m := w.a.Model
	for _, at := range v.Held() {
		if at.Figure.Scope == m.Singles || slices.Contains(m.Tables, at.Figure.Scope) {
			all()
		}
	}
	for _, q := range m.Singles.Quantities {
		if w.needed[q] && !sameSet(q, v.Singles, w.a.Set.Singles) {
			all()
		}
	}
	for _, t := range m.Tables {
		now, was := v.Rows(t).Frames, w.a.Set.Rows(t).Frames
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
	compute.CopySet(w.v.Singles, w.a.Set.Singles, w.a.Model.Singles.Quantities)
	for _, t := range w.a.Model.Tables {
		for i, f := range w.a.Set.Rows(t).Frames {
			compute.CopySet(w.v.Rows(t).Frames[i], f, t.Quantities)
		}
	}
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
		r := &w.a.Joints[i]
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
	for i := range w.a.Joints {
		look(i)
	}
	return out
}

// weigh works the order out with other rows, and with the values as they are
// now. After it the sums are as before.
func (w *weigher) weigh(rows []otherRow) (*weight, error) {
	out := &weight{refused: w.refused}
	now := make([]compute.Amounts, len(rows))
	for k, o := range rows {
		list := w.a.Joints[o.i].List
		if w.in[o.i] == nil {
			out.refused--
		}
		w.take(w.in[o.i], list)
		if o.line == nil {
			continue
		}
		var err error
		if now[k], err = w.closer.Work(o.line); err != nil {
			return nil, err
		}
		if now[k] == nil {
			out.refused++
		}
		w.put(now[k], list)
	}
	w.closer.Close()
	out.cost, out.price = w.a.sumOf(w.v, "order_cost")-w.a.cost, w.a.sumOf(w.v, "order_price")-w.a.price
	for k, o := range rows {
		list := w.a.Joints[o.i].List
		w.take(now[k], list)
		w.put(w.in[o.i], list)
	}
	return out, nil
}

// reworked works the order out with other values, and with lines that change
// may change or, by false, leave out; either may be nil. It gives nil where
// enough was worked out already.
func (a *auditor) reworked(values func(*compute.Values), change func(*compute.Joint, *compute.Line) bool) (*weight, error) {
	return a.reworkedRows(values, nil, change)
}

// reworkedRows does the same where change concerns no rows but those.
func (a *auditor) reworkedRows(values func(*compute.Values), only []int, change func(*compute.Joint, *compute.Line) bool) (*weight, error) {
	w, err := a.weigher()
	if err != nil {
		return nil, err
	}
	anew := make([]bool, len(w.in))
	if values != nil {
		v, ok := a.Set.Clone(), false
		values(v)
		if anew, ok = w.reaches(v); !ok {
			return a.afresh(v, change)
		}
	}
	rows := w.others(anew, only, change)
	if !a.affords(len(rows)) {
		return nil, nil
	}
	if values != nil {
		values(w.v)
		w.closer.Renew()
		defer w.restore()
	}
	out, err := w.weigh(rows)
	if err != nil {
		a.scales = nil // its sums are no more what they were
	}
	return out, err
}

// weigher is made once it is needed.
func (a *auditor) weigher() (*weigher, error) {
	if a.scales == nil {
		w, err := newWeigher(a)
		if err != nil {
			return nil, err
		}
		a.scales = w
	}
	return a.scales, nil
}

// affords reports whether so many lines may still be worked out, and counts a
// fault for which they may not.
func (a *auditor) affords(lines int) bool {
	if a.worked += lines; a.worked > mostWeighed {
		a.unweighed++
		return false
	}
	return true
}

// afresh is reworked with a new engine.
func (a *auditor) afresh(v *compute.Values, change func(*compute.Joint, *compute.Line) bool) (*weight, error) {
	if !a.affords(len(a.Joints)) {
		return nil, nil
	}
	refused, err := a.Again(v, change)
	if err != nil {
		return nil, err
	}
	return &weight{a.sumOf(v, "order_cost") - a.cost, a.sumOf(v, "order_price") - a.price, len(refused)}, nil
}

// undo weighs a fault by what the order comes to without it.
func (a *auditor) undo(f *auditFault, values func(*compute.Values), change func(*compute.Joint, *compute.Line) bool) {
	if w, err := a.reworked(values, change); err == nil && w != nil && w.refused == 0 {
		f.effect(-w.cost, -w.price)
	}
}

// weigh works out what every fault does to the cost and the price.
func (a *auditor) weigh() error {
	for _, f := range a.found {
		if len(f.shown)+len(f.held)+len(f.gone)+len(f.freed) == 0 {
			continue
		}
		w, err := a.weighed(f)
		switch {
		case err != nil:
			return err
		case w == nil:
		case len(f.freed) > 0:
			f.effect(-w.cost, -w.price) // as it stands is with the typed figure
		default:
			f.effect(w.cost, w.price)
		}
	}
	return nil
}

// weighed is what the order comes to with what a fault does, or without what is
// typed over.
func (a *auditor) weighed(f *auditFault) (*weight, error) {
	w, err := a.weigher()
	if err != nil {
		return nil, err
	}
	var values func(*compute.Values)
	if len(f.held) > 0 {
		values = f.hold
	}
	return a.reworkedRows(values, w.rowsOf(f), func(r *compute.Joint, line *compute.Line) bool {
		at := lineAt{r.List, r.Row}
		for q, x := range f.shown[at] {
			line.Set(q, x)
		}
		for _, q := range f.freed[at] {
			line.Release(q)
		}
		return !f.gone[at]
	})
}

// page.Rows are the rows that a fault is in.
func (w *weigher) rowsOf(f *auditFault) []int {
	rows := []int{}
	add := func(at lineAt) {
		if i, is := w.at[at]; is {
			rows = append(rows, i)
		}
	}
	for at := range f.shown {
		add(at)
	}
	for at := range f.freed {
		add(at)
	}
	for at := range f.gone {
		add(at)
	}
	slices.Sort(rows)
	return slices.Compact(rows)
}
