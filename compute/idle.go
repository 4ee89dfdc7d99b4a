package compute

import (
	"math"
	"slices"
	"strconv"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// IdleInput is an input that a joint's row gives and that moves nothing of what is
// added up: under the kind of the joint nobody asks for it.
type IdleInput struct {
	Input *model.Quantity
	Kind  string // under this kind it would count; "" if under none, of a number
}

// Idle lists the inputs of a priced line that move none of the sums of the order,
// whatever they are: a bend on a butt weld. What is given as it would be if it were
// blank is not among them, nor is 0.
func (o *Order) Idle(l *Line) []IdleInput {
	if o.idle == nil {
		o.idle = newIdler(o.engine)
	}
	return o.idle.of(l)
}

// idler remembers which inputs are idle in lines of one shape: with the same words,
// and numbers for the same inputs.
type idler struct {
	e     *Engine
	finds map[*model.Quantity]bool // inputs behind what finds a line in a table, and may add it
	seen  map[string][]IdleInput
	key   []byte

	all     trial                     // all that is looked at of a line
	follows map[*model.Quantity]trial // by inputs: what of that rests on them

	with, other *Line // room for lines that are tried
}

func newIdler(e *Engine) *idler {
	m := e.Model
	d := &idler{e: e, finds: findersOf(m), seen: map[string][]IdleInput{}, follows: map[*model.Quantity]trial{},
		with: NewLine(m), other: NewLine(m)}
	var looked, inputs []*model.Quantity
	for _, k := range m.LineSums {
		looked = append(looked, k.Figure)
	}
	for _, q := range m.Line.Quantities {
		if q.Role == model.Input {
			inputs = append(inputs, q)
		}
	}
	need := m.Behind(append(looked, inputs...)...)
	d.all = trial{first: e.first, rest: only(e.rest, need)}
	for _, q := range inputs {
		moved := m.Moved(q)
		d.follows[q] = trial{first: only(d.all.first, moved), rest: only(d.all.rest, moved)}
	}
	return d
}

// mostShapes bounds how many shapes are remembered.
const mostShapes = 4096

func (d *idler) of(l *Line) []IdleInput {
	for _, q := range d.e.Model.Line.Quantities {
		if q.Role != model.Input && l.given[q.Slot] {
			return nil // typed over, it stands in for all that is behind it
		}
	}
	key := d.shape(l)
	if found, known := d.seen[string(key)]; known {
		return found
	}
	var out []IdleInput
	for _, q := range d.e.Model.Line.Quantities {
		if !d.asks(l, q) || !d.still(l, q) {
			continue
		}
		if kind := d.wanted(l, q); kind != "" || !q.IsText() && d.costs(l) {
			out = append(out, IdleInput{q, kind})
		}
	}
	if len(d.seen) < mostShapes {
		d.seen[string(key)] = out
	}
	return out
}

// asks reports whether an input is given, and as no blank would be. What finds a
// line in a table always moves something.
func (d *idler) asks(l *Line, q *model.Quantity) bool {
	if q.Role != model.Input || q.Needed || !l.given[q.Slot] || q == d.e.Model.Line.Quantity("kind") || d.finds[q] {
		return false
	}
	if !q.IsText() && q.Num(&l.Frame) == 0 {
		return false
	}
	blank := d.with.like(l)
	blank.Release(q)
	return !d.e.try(blank, d.follows[q]) || q.Digits(&blank.Frame) != q.Digits(&l.Frame)
}

// still reports whether the sums stay as they are whatever the input is: blank, and
// far off on both sides.
func (d *idler) still(l *Line, q *model.Quantity) bool {
	x, tried := q.Num(&l.Frame), false
	tries := [...]float64{0, x * 1.5, x / 3, x*10 + 1, x / 10}
	for i, y := range tries {
		other := d.other.like(l)
		switch {
		case i == 0:
			other.Release(q)
		case q.IsText():
			return tried
		default:
			other.Set(q, y)
		}
		if !d.e.try(other, d.follows[q]) {
			continue // not a joint with that
		}
		tried = true
		if d.e.differ(l, other) {
			return false
		}
	}
	return tried
}

// costs reports whether a line costs anything: in one without joints nothing counts.
func (d *idler) costs(l *Line) bool { return d.e.Model.Roles.LineCost.Num(&l.Frame) != 0 }

// wanted is the kind under which the input would move a sum, "" for none.
func (d *idler) wanted(l *Line, q *model.Quantity) string {
	kind, kinds := d.e.Model.Line.Quantity("kind"), d.e.Model.Table("kinds")
	for _, f := range d.e.Values.Rows(kinds).Frames {
		name := kinds.Quantity("name").Text(f)
		with := d.with.like(l)
		with.SetText(kind, name)
		if name == "" || name == kind.Text(&l.Frame) || !d.e.try(with, d.all) && !d.complete(with) {
			continue
		}
		if !d.still(with, q) {
			return name
		}
	}
	return ""
}

// complete gives a line what it lacks to be a joint: who typed a pie angle on a butt has
// typed no bend. Each input is as it may usually be, and what is a multiple of another as
// small as that, or the line would grow and count what it did not before. It says whether
// the line is a joint then.
func (d *idler) complete(l *Line) bool {
	for _, q := range d.e.Model.Line.Quantities {
		if q.Role != model.Input || l.given[q.Slot] || !q.HasRange || !d.lacked(l, q) {
			continue
		}
		x := (q.Low + q.High) / 2
		if q.Times != nil {
			x = q.Times.Of.Num(&l.Frame) * q.Times.Low
		}
		l.Set(q, x)
		if d.e.try(l, d.all) {
			return true
		}
	}
	return false
}

// lacked reports whether a check that leaves the line out may be about an input.
func (d *idler) lacked(l *Line, q *model.Quantity) bool {
	return slices.ContainsFunc(d.e.check, func(check *model.Quantity) bool {
		return check.Level == model.LevelRefuse && l.Frame.Num[check.Slot] != 0 && slices.Contains(check.Cells, q.Key)
	})
}

// trial are steps of a line that is tried: those that decide whether it is a joint, and
// the others.
type trial struct{ first, rest []step }

// only are the steps of some quantities.
func only(steps []step, of map[*model.Quantity]bool) (out []step) {
	for _, s := range steps {
		if of[s.q] {
			out = append(out, s)
		}
	}
	return out
}

// try works out steps of a line without adding anything to tables or sums, and says
// whether it is a joint.
func (e *Engine) try(l *Line, of trial) bool {
	for i := range of.first {
		l.run(&of.first[i])
	}
	for _, q := range e.check {
		if q.Level == model.LevelRefuse && l.Frame.Num[q.Slot] != 0 {
			return false
		}
	}
	for i := range of.rest {
		l.run(&of.rest[i])
	}
	return true
}

// run works out a figure, unless it is given.
func (l *Line) run(s *step) {
	if !l.given[s.q.Slot] {
		run(s.q, s.code, &l.Frame)
	}
}

// differ reports whether two lines bring other amounts to the sums.
func (e *Engine) differ(a, b *Line) bool {
	for _, k := range e.Model.LineSums {
		x, y := a.Frame.Num[k.Figure.Slot], b.Frame.Num[k.Figure.Slot]
		if math.Abs(x-y) > 1e-9*math.Max(1, math.Abs(x)) || formula.IsBlank(x) != formula.IsBlank(y) || math.IsNaN(x) != math.IsNaN(y) {
			return true
		}
	}
	return false
}

// shape is what decides which inputs of a line are idle.
func (d *idler) shape(l *Line) []byte {
	key := d.key[:0]
	for _, q := range d.e.Model.Line.Quantities {
		if q.Role != model.Input || !l.given[q.Slot] || q.Key == "car" {
			continue
		}
		key = strconv.AppendInt(key, int64(q.Slot), 10)
		switch {
		case q.IsText():
			key = append(key, '=')
			key = append(key, q.Text(&l.Frame)...)
		case q.Num(&l.Frame) == 0:
			key = append(key, '0')
		}
		key = append(key, ' ')
	}
	d.key = key
	return key
}

// findersOf are the inputs behind what finds a line in a table that may be added to
// it.
func findersOf(m *model.Model) map[*model.Quantity]bool {
	var adding []*model.Quantity
	for _, q := range m.Line.Quantities {
		if len(q.Adds) > 0 {
			adding = append(adding, q)
		}
	}
	return m.Behind(adding...)
}
