package compute

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// Scenes works an order out again and again with other amounts of a few numbers that
// the shop has set. It gives what [Order.Again] gives, but works no more out than these
// move: formulas are made ready once, and of a joint line every figure stays that does
// not rest on them. It is for one goroutine.
type Scenes struct {
	o     *Order
	e     *Engine
	moved []step // figures of the line
	sums  []int  // places of the sums that these are in
	whole bool   // all is worked out each time
	num   []float64
}

// Scenes makes ready. The changed ones are single assumptions or columns of tables.
func (o *Order) Scenes(changed ...*model.Quantity) (*Scenes, error) {
	for _, q := range changed {
		if q.IsText() || q.Role != model.Assumption && q.Role != model.Column {
			return nil, fmt.Errorf("%s is no number that the shop has set", q.Where())
		}
	}
	e, err := NewEngine(o.Values.Clone())
	if err != nil {
		return nil, err
	}
	s := &Scenes{o: o, e: e, num: make([]float64, len(o.Model.Line.Quantities))}
	// Lines that were worked out with something held are not as a new engine has them.
	s.whole = len(o.Values.held)+len(o.Values.heldSums) > 0 || !s.prepare(o.Model.Moved(changed...))
	if s.whole {
		return s, nil
	}
	for i := range o.Joints {
		e.Add(o.Joints[i].Line, o.Joints[i].List)
	}
	s.whole = !s.same()
	return s, nil
}

// Keeps reports whether joint lines keep what does not move.
func (s *Scenes) Keeps() bool { return !s.whole }

// prepare finds what moves on a line. It is false where that may decide more than
// amounts: whether a line is refused, what it finds in a table or brings to one, the
// sum that it is in.
func (s *Scenes) prepare(moved map[*model.Quantity]bool) bool {
	decides := func(st step) bool {
		q := st.q
		return q.IsText() || q.Role != model.Figure || st.to != nil || slices.ContainsFunc(s.e.lookUps, func(u lookUp) bool { return u.by == q })
	}
	for _, st := range s.e.first {
		if moved[st.q] {
			return false
		}
	}
	for _, st := range s.e.rest {
		if !moved[st.q] {
			continue
		}
		if decides(st) {
			return false
		}
		s.moved = append(s.moved, st)
	}
	for i, k := range s.e.Model.LineSums {
		if k.By != nil && moved[k.By] {
			return false
		}
		if moved[k.Figure] {
			s.sums = append(s.sums, i)
		}
	}
	return true
}

// work works out what moves on a joint's line, into a frame that is used again. It is
// false where a figure has no value: the line would be refused.
func (s *Scenes) work(l *Line) (f *formula.Frame, ok bool) {
	copy(s.num, l.Frame.Num)
	f = &formula.Frame{Num: s.num, Text: l.Frame.Text}
	for i := range s.moved {
		st := &s.moved[i]
		if !l.given[st.q.Slot] {
			run(st.q, st.code, f)
		}
		if x := f.Num[st.q.Slot]; math.IsNaN(x) && !formula.IsBlank(x) {
			return f, false
		}
	}
	return f, true
}

// same reports whether the lines, with nothing changed, have the figures that they have.
func (s *Scenes) same() bool {
	for i := range s.o.Joints {
		l := s.o.Joints[i].Line
		f, ok := s.work(l)
		if !ok {
			return false
		}
		for _, st := range s.moved {
			if math.Float64bits(f.Num[st.q.Slot]) != math.Float64bits(l.Frame.Num[st.q.Slot]) {
				return false
			}
		}
	}
	return true
}

// With works the order out with what set changes: amounts of those that change, and
// nothing else. The values that it gives are the caller's own.
func (s *Scenes) With(set func(*Values)) (*Values, error) {
	if s.whole {
		return s.anew(set)
	}
	v, m := s.e.Values, s.e.Model
	v.SetAs(s.o.Values)
	set(v)
	for _, st := range s.e.singles {
		run(st.q, st.code, v.Singles)
	}
	for _, t := range m.Tables {
		s.e.workRows(t)
	}
	if !s.addUp() {
		return s.anew(set)
	}
	if _, err := s.e.Close(); err != nil {
		return nil, err
	}
	return v.whole(), nil
}

// addUp adds the lines' figures that move up again.
func (s *Scenes) addUp() bool {
	if len(s.sums) == 0 {
		return true
	}
	lists := s.e.Values.sums.lists
	for list := range lists {
		for _, i := range s.sums {
			lists[list][i].clear()
		}
	}
	for i := range s.o.Joints {
		j := &s.o.Joints[i]
		f, ok := s.work(j.Line)
		if !ok {
			return false
		}
		for _, k := range s.sums {
			sum, no := s.e.Model.LineSums[k], 1.0
			if sum.By != nil {
				no = f.Num[sum.By.Slot]
			}
			lists[j.List][k].add(no, f.Num[sum.Figure.Slot])
		}
	}
	return true
}

func (s *Scenes) anew(set func(*Values)) (*Values, error) {
	v := s.o.Values.Clone()
	set(v)
	_, err := s.o.Again(v, nil)
	return v, err
}

// whole is a copy with all that was worked out, sums too.
func (v *Values) whole() *Values {
	own := func(f *formula.Frame) *formula.Frame {
		return &formula.Frame{Num: slices.Clone(f.Num), Text: slices.Clone(f.Text)}
	}
	c := &Values{Model: v.Model, once: map[*model.Scope]*formula.Frame{}, rows: map[*model.Scope]*model.Rows{}}
	for s, f := range v.once {
		c.once[s] = own(f)
	}
	for s, r := range v.rows {
		rows := &model.Rows{}
		for _, f := range r.Frames {
			rows.Frames = append(rows.Frames, own(f))
		}
		c.rows[s] = rows
	}
	c.Singles, c.Order = c.once[v.Model.Singles], c.once[v.Model.OrderOf]
	for _, of := range v.sums.lists {
		list := make([]numbered, len(of))
		for i, sum := range of {
			list[i] = sum.clone()
		}
		c.sums.lists = append(c.sums.lists, list)
	}
	for _, n := range v.counts {
		c.counts = append(c.counts, slices.Clone(n))
	}
	c.held, c.heldSums = maps.Clone(v.held), maps.Clone(v.heldSums)
	return c
}
