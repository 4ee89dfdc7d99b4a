package compute

import (
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"seamtally/compute/formula"
)

var nan = math.NaN()

// Rows are the lines of a table in use, each with its columns and figures.
type Rows struct{ Frames []*formula.Frame }

// Values holds what the estimator has set, and what was worked out from it
// besides the joint lines. Numbers are in the units of the model's book; a
// blank number is formula.Blank.
type Values struct {
	Model   *Model
	Singles *formula.Frame
	Order   *formula.Frame
	once    map[*Scope]*formula.Frame // Singles, Order and all else that is one row
	rows    map[*Scope]*Rows
	sums    lineSums
	counts  [][]float64 // of each joint list, in the order of the model's counts

	held     map[Place]float64
	heldSums map[listSum]float64
}

// Place is a value outside the joint lines: a figure, and of a table the number
// of its line, from 1.
type Place struct {
	Figure *Quantity
	Row    int
}

type listSum struct {
	list       int
	figure, by *Quantity
	no         float64
}

// Hold makes a figure keep a number whatever its formula gives: the order is
// then worked out as a workbook does in which somebody has typed over it.
func (v *Values) Hold(at Place, x float64) {
	if v.held == nil {
		v.held = map[Place]float64{}
	}
	v.held[Place{v.Model.twin(at.Figure), at.Row}] = x
}

// twin is the quantity of the model that is called as one of another, which was
// loaded from the same texts.
func (m *Model) twin(q *Quantity) *Quantity {
	for _, s := range m.scopes() {
		if mine := s.byKey[q.Key]; mine != nil && s.Name == q.Scope.Name && mine.Role == q.Role {
			return mine
		}
	}
	return q
}

// HoldSum does the same for a figure added up over the lines of one list that
// have a number.
func (v *Values) HoldSum(list int, figure, by *Quantity, no int, x float64) {
	if v.heldSums == nil {
		v.heldSums = map[listSum]float64{}
	}
	v.heldSums[listSum{list, v.Model.twin(figure), v.Model.twin(by), float64(no)}] = x
}

// Held are the places of the figures that are held, sums apart.
func (v *Values) Held() []Place { return slices.Collect(maps.Keys(v.held)) }

// LetGo takes back all that was held.
func (v *Values) LetGo() { v.held, v.heldSums = nil, nil }

// Defaults are the values as shipped.
func (m *Model) Defaults() *Values {
	v := m.Empty()
	for _, t := range m.Tables {
		for _, r := range t.Rows {
			f := v.AddRow(t)
			copy(f.Text, r.Text)
			for i, x := range r.Num {
				if !math.IsNaN(x) {
					f.Num[i] = x
				}
			}
		}
	}
	return v
}

// Empty are the single assumptions as shipped, with empty tables.
func (m *Model) Empty() *Values {
	v := &Values{Model: m, once: map[*Scope]*formula.Frame{m.Singles: newFrame(m.Singles)}, rows: map[*Scope]*Rows{}}
	v.Singles = v.once[m.Singles]
	for _, q := range m.Singles.Quantities {
		if q.Role == Assumption {
			v.Singles.Num[q.Slot], v.Singles.Text[q.Slot] = q.Value, q.TextValue
		}
	}
	for _, s := range m.Tables {
		v.rows[s] = &Rows{}
	}
	for _, s := range m.Closing {
		if s.Once() {
			v.once[s] = newFrame(s)
			continue
		}
		v.rows[s] = &Rows{}
	}
	v.Order = v.once[m.OrderOf]
	return v
}

// Once is the one row of a scope that has no more.
func (v *Values) Once(s *Scope) *formula.Frame { return v.once[s] }

// Find says what only the run can know: an amount of the model's run.
func (v *Values) Find(q *Quantity, x float64) { v.once[v.Model.Run].Num[q.Slot] = x }

// Clone is a copy of what the estimator has set: the single assumptions and
// the lines of the tables. Nothing is worked out in it, and nothing held.
func (v *Values) Clone() *Values {
	c := v.Model.Empty()
	CopySet(c.Singles, v.Singles, v.Model.Singles.Quantities)
	for _, t := range v.Model.Tables {
		for _, f := range v.rows[t].Frames {
			CopySet(c.AddRow(t), f, t.Quantities)
		}
	}
	return c
}

// CopySet copies what the estimator has set of some quantities.
func CopySet(to, from *formula.Frame, list []*Quantity) {
	for _, q := range list {
		if q.Role == Assumption || q.Role == Column {
			to.Num[q.Slot], to.Text[q.Slot] = from.Num[q.Slot], from.Text[q.Slot]
		}
	}
}

// Digits is a value as text, for comparing: with every digit that it has.
func (q *Quantity) Digits(f *formula.Frame) string {
	switch {
	case q.IsText():
		return strings.ToLower(q.Text(f)) // capitals make no difference anywhere
	case formula.IsBlank(q.Num(f)):
		return ""
	}
	return strconv.FormatFloat(q.Num(f), 'g', -1, 64)
}

// Same reports whether a quantity is the same in two frames.
func (q *Quantity) Same(x, y *formula.Frame) bool { return q.Digits(x) == q.Digits(y) }

func newFrame(s *Scope) *formula.Frame {
	f := &formula.Frame{Num: make([]float64, len(s.Quantities)), Text: make([]string, len(s.Quantities))}
	for i := range f.Num {
		f.Num[i] = formula.Blank()
	}
	return f
}

// Rows are the lines of a table, or of a table of the summary.
func (v *Values) Rows(s *Scope) *Rows { return v.rows[s] }

// AddRow adds an empty line to a table: every number blank, every text "".
func (v *Values) AddRow(s *Scope) *formula.Frame {
	f := newFrame(s)
	v.rows[s].Frames = append(v.rows[s].Frames, f)
	return f
}

// Num and Text read a quantity of a frame.
func (q *Quantity) Num(f *formula.Frame) float64 { return f.Num[q.Slot] }

// Text reads a text quantity of a frame.
func (q *Quantity) Text(f *formula.Frame) string { return f.Text[q.Slot] }

// tally adds up numbers without losing the small ones (Neumaier's sum), so
// that a sum does not depend on how many rows a list has.
type tally struct{ sum, rest float64 }

func (t *tally) add(x float64) {
	s := t.sum + x
	if math.Abs(t.sum) >= math.Abs(x) {
		t.rest += t.sum - s + x
	} else {
		t.rest += x - s + t.sum
	}
	t.sum = s
}

func (t *tally) value() float64 { return t.sum + t.rest }

// Figures are the figures of a line, a car or the order, by the names of the
// model. Texts and blanks are left out.
type Figures map[string]float64

// Figures are those of a frame; flags are not among them either.
func (s *Scope) Figures(f *formula.Frame) Figures {
	out := Figures{}
	for _, q := range s.Quantities {
		x := f.Num[q.Slot]
		if q.IsText() || q.Inner() || math.IsNaN(x) {
			continue
		}
		if q.UnitOf == "$" {
			// A stored value keeps the dust that float64 leaves behind the
			// cents, as the spreadsheet's own sum has it; a report does not.
			x = formula.Round(x, MoneyPlaces)
		}
		out[q.Key] = x
	}
	return out
}
