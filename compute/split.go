package compute

import (
	"errors"
	"math"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/terms"
	"seamtally/compute/units"
)

// lineSplit takes the figures of joint lines apart for a sweep: into what only the
// row knows and what only the draw knows.
type lineSplit struct {
	s       *Sweep
	moved   map[*model.Quantity]bool
	terms   *terms.Split
	inputs  []input
	inputAt map[input]int
	figures []splitFigure
	vals    []terms.Value // of figures of the line that move, by slot
	rounded int           // roundings that are left off
	named   map[*model.Quantity]bool
}

// input is where the sweep has a drawn number: in the row of a scope, 0 for the only
// one; or the share of one that is varied, which has no scope.
type input struct {
	scope     *model.Scope
	row, slot int
}

type splitFigure struct {
	slot int
	of   formula.Drawn
}

// splitSum is where a sum of joint lines is kept.
type splitSum struct {
	sum int // of the model's sums
	no  float64
}

var errWhole = errors.New("what is drawn goes into what cannot be taken apart")

// split gives the sums of lines that move as a program, or an error where they cannot
// be had so. Cents that lines are rounded to are left off, but for what they come to
// with nothing drawn.
func (s *Sweep) split(moved map[*model.Quantity]bool) error {
	d := &lineSplit{s: s, moved: moved, terms: terms.NewSplit(), inputAt: map[input]int{},
		vals: make([]terms.Value, len(s.e.Model.Line.Quantities)), named: map[*model.Quantity]bool{}}
	for _, st := range s.steps {
		of, err := d.figure(st.q)
		if err != nil {
			return err
		}
		d.figures = append(d.figures, splitFigure{st.q.Slot, of})
	}
	sums, err := d.addUp()
	if err != nil {
		return err
	}
	s.program, s.inputs = d.terms.Compile(sums), d.inputs
	s.ready()
	return s.settle(d.rounded)
}

// figure takes the formula of a figure apart.
func (d *lineSplit) figure(q *model.Quantity) (formula.Drawn, error) {
	if q.IsText() {
		return nil, errWhole
	}
	m := d.s.e.Model
	f, err := q.Formula().With(d.s.e.Values.view(m.Line))
	if err != nil {
		return nil, err
	}
	clear(d.named)
	of, err := f.Split(d.terms, d)
	if err != nil {
		return nil, err
	}
	for _, t := range q.Reaches() { // what functions find without a name
		if d.moved[t.Quantity] && !d.named[t.Quantity] {
			return nil, errWhole
		}
	}
	return of, nil
}

// Smooth reports whether a rounded amount is money.
func (d *lineSplit) Smooth(t formula.Type) bool {
	money, err := units.Parse("$")
	smooth := err == nil && t.Unit.SameDim(money)
	if smooth {
		d.rounded++
	}
	return smooth
}

// Moves gives the terms of a name that is drawn.
func (d *lineSplit) Moves(n *formula.Name) (of formula.Drawn, alike bool, err error) {
	m := d.s.e.Model
	t, err := m.Find(m.Line, n.Table, n.Key)
	if err != nil {
		if t, err = m.Find(m.Line, n.Table+model.ColumnMark, n.Key); err != nil || d.moved[t.Quantity] {
			return nil, false, errWhole
		}
		return nil, false, nil
	}
	if t.By != nil && d.moved[t.By] {
		return nil, false, errWhole
	}
	if !d.moved[t.Quantity] {
		return nil, t.Reach == model.ReachOnce, nil
	}
	d.named[t.Quantity] = true
	slot := t.Slot
	switch {
	case t.Reach == model.ReachRow:
		return func(*formula.Frame) terms.Value { return d.vals[slot] }, false, nil
	case t.Reach == model.ReachOnce && t.Scope == m.Singles:
		drawn := d.input(input{m.Singles, 0, slot})
		return func(*formula.Frame) terms.Value { return drawn }, true, nil
	case t.Reach == model.ReachFound:
		return d.found(t), false, nil
	}
	return nil, false, errWhole
}

// found gives the terms of a column of the line that a row has found. Of a column of
// which a share is drawn they are the share times what stands there.
func (d *lineSplit) found(t model.Target) formula.Drawn {
	rows, by, slot := d.s.e.Values.Rows(t.Scope), t.By.Slot, t.Slot
	share := d.s.shareOf(t.Quantity)
	return func(f *formula.Frame) terms.Value {
		no := f.Num[by]
		r := rows.At(no)
		switch {
		case r == nil:
			return terms.Known(math.NaN(), false)
		case share < 0:
			return d.input(input{t.Scope, int(no), slot})
		}
		is := model.ZeroIfBlank(r.Num[slot])
		if is == 0 {
			return terms.Known(0, true)
		}
		return d.input(input{nil, 0, share}).Scale(func(x float64) float64 { return is * x })
	}
}

func (d *lineSplit) input(at input) terms.Value {
	no, known := d.inputAt[at]
	if !known {
		no = len(d.inputs)
		d.inputAt[at], d.inputs = no, append(d.inputs, at)
	}
	return d.terms.Input(no)
}

// addUp adds the lines' terms up, by the number of the row that they belong to.
func (d *lineSplit) addUp() ([]*terms.Sum, error) {
	s := d.s
	at := map[splitSum]int{}
	var out []*terms.Sum
	for _, i := range s.sums {
		if d.moved[s.e.Model.LineSums[i].By] {
			return nil, errWhole
		}
	}
	for _, l := range s.lines {
		for _, f := range d.figures {
			if l.given[f.slot] {
				d.vals[f.slot] = terms.Known(l.Frame.Num[f.slot], false)
				continue
			}
			d.vals[f.slot] = f.of(&l.Frame)
		}
		for _, i := range s.sums {
			k := s.e.Model.LineSums[i]
			no := l.Frame.Num[k.By.Slot]
			if math.IsNaN(no) {
				continue
			}
			sum := splitSum{i, no}
			j, known := at[sum]
			if !known {
				j = len(out)
				at[sum], out, s.targets = j, append(out, &terms.Sum{}), append(s.targets, sum)
			}
			out[j].Add(d.vals[k.Figure.Slot], l.count)
		}
	}
	return out, nil
}

// settle keeps how far the split sums are from the order's own with nothing drawn:
// the cents that were left off. More than cents is a fault.
func (s *Sweep) settle(rounded int) error {
	v := s.e.Values
	lines := 0.0
	for _, l := range s.lines {
		lines += l.count
	}
	s.runTerms(func(int) float64 { return 1 })
	s.off = make([]float64, len(s.targets))
	for i, t := range s.targets {
		exact := v.SumOf(t.sum, t.no)
		s.off[i] = exact - s.to[i]
		if !(math.Abs(s.off[i]) <= 0.005*lines*float64(rounded)+1e-9*math.Abs(exact)) {
			return errWhole
		}
	}
	return nil
}

// runTerms works the split sums out.
func (s *Sweep) runTerms(share func(varied int) float64) {
	v := s.e.Values
	for i, in := range s.inputs {
		switch {
		case in.scope == nil:
			s.in[i] = share(in.slot)
		case in.row == 0:
			s.in[i] = v.Once(in.scope).Num[in.slot]
		default:
			s.in[i] = model.ZeroIfBlank(v.Rows(in.scope).Frames[in.row-1].Num[in.slot])
		}
	}
	s.runner.Run(s.in, s.to)
}
