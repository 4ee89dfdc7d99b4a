package compute

import (
	"maps"
	"math"
	"slices"

	"seamtally/compute/formula"
	"seamtally/compute/functions"
	"seamtally/compute/model"
)

// Values holds what the estimator has set, and what was worked out from it
// besides the joint lines. Numbers are in the units of the model's book; a
// blank number is formula.Blank.
type Values struct {
	Model   *model.Model
	Singles *formula.Frame
	Order   *formula.Frame
	once    map[*model.Scope]*formula.Frame // Singles, Order and all else that is one row
	rows    map[*model.Scope]*model.Rows
	sums    lineSums
	counts  [][]float64 // of each joint list, in the order of the model's counts

	held     map[Place]float64
	heldSums map[listSum]float64
}

// Place is a value outside the joint lines: a figure, and of a table the number
// of its line, from 1.
type Place struct {
	Figure *model.Quantity
	Row    int
}

type listSum struct {
	list       int
	figure, by *model.Quantity
	no         float64
}

// Hold makes a figure keep a number whatever its formula gives: the order is
// then worked out as a workbook does in which somebody has typed over it. A spare line
// of a table becomes one of its lines: the workbook's sums go over it.
func (v *Values) Hold(at Place, x float64) {
	at.Figure = v.Model.Twin(at.Figure)
	if t := at.Figure.Scope; slices.Contains(v.Model.Tables, t) {
		for len(v.rows[t].Frames) < at.Row {
			v.AddRow(t)
		}
	}
	if v.held == nil {
		v.held = map[Place]float64{}
	}
	v.held[at] = x
}

// HoldSum does the same for a figure added up over the lines of one list that
// have a number.
func (v *Values) HoldSum(list int, figure, by *model.Quantity, no int, x float64) {
	if v.heldSums == nil {
		v.heldSums = map[listSum]float64{}
	}
	v.heldSums[listSum{list, v.Model.Twin(figure), v.Model.Twin(by), float64(no)}] = x
}

// Held are the places of the figures that are held, sums apart.
func (v *Values) Held() []Place { return slices.Collect(maps.Keys(v.held)) }

// LetGo takes back all that was held.
func (v *Values) LetGo() { v.held, v.heldSums = nil, nil }

// Defaults are the values as shipped.
func Defaults(m *model.Model) *Values {
	v := Empty(m)
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
func Empty(m *model.Model) *Values {
	v := &Values{Model: m, once: map[*model.Scope]*formula.Frame{m.Singles: m.Singles.NewFrame()}, rows: map[*model.Scope]*model.Rows{}}
	v.Singles = v.once[m.Singles]
	for _, q := range m.Singles.Quantities {
		if q.Role == model.Assumption {
			q.SetShipped(v.Singles)
		}
	}
	for _, s := range m.Tables {
		v.rows[s] = &model.Rows{}
	}
	for _, s := range m.Closing {
		if s.Once() {
			v.once[s] = s.NewFrame()
			continue
		}
		v.rows[s] = &model.Rows{}
	}
	v.Order = v.once[m.OrderOf]
	return v
}

// Once is the one row of a scope that has no more.
func (v *Values) Once(s *model.Scope) *formula.Frame { return v.once[s] }

// Find says what only the run can know: an amount of the model's run.
func (v *Values) Find(q *model.Quantity, x float64) { v.once[v.Model.Run].Num[q.Slot] = x }

// Clone is a copy of what the estimator has set: the single assumptions and
// the lines of the tables. Nothing is worked out in it, and nothing held.
func (v *Values) Clone() *Values {
	c := Empty(v.Model)
	for _, t := range v.Model.Tables {
		for range v.rows[t].Frames {
			c.AddRow(t)
		}
	}
	c.SetAs(v)
	return c
}

// SetAs sets what is set in others, whose tables have as many lines.
func (v *Values) SetAs(from *Values) {
	CopySet(v.Singles, from.Singles, v.Model.Singles.Quantities)
	for _, t := range v.Model.Tables {
		for i, f := range from.rows[t].Frames {
			CopySet(v.rows[t].Frames[i], f, t.Quantities)
		}
	}
}

// CopySet copies what the estimator has set of some quantities.
func CopySet(to, from *formula.Frame, list []*model.Quantity) {
	for _, q := range list {
		if q.Role == model.Assumption || q.Role == model.Column {
			q.Copy(to, from)
		}
	}
}

// Rows are the lines of a table, or of a table of the summary.
func (v *Values) Rows(s *model.Scope) *model.Rows { return v.rows[s] }

// AddRow adds an empty line to a table: every number blank, every text "".
func (v *Values) AddRow(s *model.Scope) *formula.Frame {
	f := s.NewFrame()
	v.rows[s].Frames = append(v.rows[s].Frames, f)
	return f
}

// view is what the formulas of a scope see of the values.
func (v *Values) view(s *model.Scope) *model.View {
	return &model.View{Model: v.Model, Scope: s, Values: v}
}

// SettleParts writes a word as the basis of the lines of other work that are not settled,
// and gives the lines: those that the check of them counts.
func (v *Values) SettleParts(word string) map[*formula.Frame]bool {
	return functions.Settle(v.view(v.Model.Ready), v.Model.Roles.PartsOpen, word)
}
