package ranges

import (
	"errors"
	"math"
	"slices"
	"sort"
	"strings"

	"seamtally/compute"
	"seamtally/compute/chance"
	"seamtally/compute/model"
	"seamtally/compute/units"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/bid/layout"
	"seamtally/sheets/book"
)

// ranged is an assumption with a range, and what the order costs at its ends.
type ranged struct {
	q            *model.Quantity
	row          int // on Assumptions
	spread       chance.Triangle
	basis        string
	costs, hours [2]float64 // direct cost and hours at low, at high
	swing        float64
}

// outOfRange is an assumption that Range leaves as it is, and why.
type outOfRange struct {
	q   *model.Quantity
	why string
}

// ranges is Range while it is laid out.
type ranges struct {
	*layout.Laid
	used   []ranged
	unused []outOfRange
	came   came
	trials int
	drawn  []*model.Quantity // that the sweep varies
	sweep  *compute.Sweep
}

// notLogged is the basis of a factor of the shop's own as shipped. Its range is that
// of the minutes and amounts below it, which would then be drawn twice.
const notLogged = "as shipped: no logged hours yet"

// Fill lays out Range: what each assumption does to cost and hours at the
// ends of its range, one at a time, and what all do together, by simulation.
// They are values: no formula can draw them again.
func Fill(f *layout.Laid) error {
	r := &ranges{Laid: f, trials: int(f.Single("trials"))}
	if err := r.choose(); err != nil {
		return err
	}
	err := r.simulate()
	if errors.Is(err, errTogether) { // a price is worth more than its range
		r.Note(book.LevelWarning, "range", r.P.Title, err.Error(), "narrow the ranges on Assumptions")
		for _, x := range r.used {
			r.unused = append(r.unused, outOfRange{x.q, "the order cannot be worked out everywhere in the ranges"})
		}
		r.used = nil
		err = r.simulate()
	}
	if err != nil {
		return err
	}
	return r.write()
}

// errTogether says that some trial gave no numbers.
var errTogether = errors.New("the order cannot be worked out everywhere in the ranges; nothing is drawn")

// choose finds the assumptions whose range counts: those that move cost or
// hours, are no decisions, and have a range and a basis for it.
func (r *ranges) choose() error {
	m := r.Model
	behind := m.Behind(m.OrderOf.Quantity("order_cost"), m.OrderOf.Quantity("order_hours"))
	for _, q := range m.Singles.Quantities {
		if q.Role != model.Assumption || q.IsText() || !behind[q] && !slices.ContainsFunc(q.Spreads, func(c *model.Quantity) bool { return behind[c] }) {
			continue
		}
		x := ranged{q: q, row: r.Workings.Assume.Key[q.Key], spread: chance.Triangle{Mode: q.Num(r.Values.Singles)}, basis: r.basisOf(q)}
		x.spread.Low, x.spread.High = r.RangeOf(q, r.Workings.Assume)
		why := ""
		switch {
		case q.Decided:
			why = "a decision"
		case strings.TrimSpace(x.basis) == "" || strings.EqualFold(x.basis, assumptions.NotSet):
			why = "its range has no basis"
		case strings.EqualFold(x.basis, notLogged):
			why = "nothing is logged: what it stands for is drawn instead"
		case q.Under != nil && !strings.EqualFold(r.basisOf(q.Under), notLogged):
			why = "logged work stands behind " + q.Under.Key + ", which is drawn for it"
		case r.invented(q):
			why = "prices that are used stand there as shipped, invented"
		case !x.spread.Sound():
			why = "its value is outside its range"
		case x.spread.Low == x.spread.High:
			why = "its range is one value"
		case q.Fault(x.spread.Low) != "":
			why = "its low end " + q.Fault(x.spread.Low)
		case q.Fault(x.spread.High) != "":
			why = "its high end " + q.Fault(x.spread.High)
		}
		if why != "" {
			r.unused = append(r.unused, outOfRange{q, why})
			continue
		}
		r.used = append(r.used, x)
	}
	r.leaveLogged()
	return r.oneByOne()
}

// basisOf is the basis of a single assumption.
func (r *ranges) basisOf(q *model.Quantity) string {
	if row := r.Workings.Assume.Key[q.Key]; r.Own.Assumptions != "" && !r.Workings.Assume.Arrived(row) {
		return book.CellText(*r.Own.Cell(row, book.AssumeBasis))
	}
	return q.Source
}

// inventedPrices begins the basis of a price as shipped.
const inventedPrices = "invented"

// invented reports whether some joint goes by a line of such a column that stands
// as shipped, with a price that is nobody's.
func (r *ranges) invented(q *model.Quantity) bool {
	for by, t := range r.Model.LookUps() {
		basis := t.Quantity("basis")
		if !slices.ContainsFunc(q.Spreads, func(c *model.Quantity) bool { return c.Scope == t }) {
			continue
		}
		for i := range r.Joints {
			if f := r.Values.Rows(t).At(by.Num(&r.Joints[i].Line.Frame)); f != nil && strings.HasPrefix(basis.Text(f), inventedPrices) {
				return true
			}
		}
	}
	return false
}

// newSweep makes ready to work cost and hours out with other values of those that
// are used.
func (r *ranges) newSweep() error {
	var lines []*compute.Line
	for i := range r.Joints {
		lines = append(lines, r.Joints[i].Line)
	}
	for _, x := range r.used {
		r.drawn = append(r.drawn, x.q)
	}
	m := r.Model
	wanted := []*model.Quantity{m.OrderOf.Quantity("order_cost"), m.OrderOf.Quantity("money_contingency"), m.OrderOf.Quantity("order_hours")}
	var err error
	r.sweep, err = compute.NewSweep(r.Values, lines, r.drawn, wanted)
	return err
}

// likely are the values of all that the sweep varies, and where each of those that are
// used stands among them.
func (r *ranges) likely() (values []float64, at []int) {
	for _, q := range r.drawn {
		values = append(values, q.Num(r.Values.Singles))
	}
	for _, x := range r.used {
		at = append(at, slices.Index(r.drawn, x.q))
	}
	return values, at
}

// directAt is the direct cost and the hours of the order with such values. The
// contingency is held against what is drawn, and no cost of its own.
func directAt(s *compute.Sweep, values []float64) (cost, hours float64) {
	out := s.At(values)
	return compute.Direct(out[0], out[1]), out[2]
}

// oneByOne works the order out at both ends of each range, and sorts by what
// that does to the cost. Those that do nothing are left out.
func (r *ranges) oneByOne() error {
	if err := r.newSweep(); err != nil {
		return err
	}
	values, _ := r.likely()
	for i := range r.used {
		x := &r.used[i]
		for k, end := range []float64{x.spread.Low, x.spread.High} {
			values[i] = end
			x.costs[k], x.hours[k] = directAt(r.sweep, values)
		}
		values[i] = x.spread.Mode
		x.swing = math.Abs(x.costs[1] - x.costs[0])
	}
	var kept []ranged
	for _, x := range r.used {
		switch {
		case math.IsNaN(x.swing) || math.IsInf(x.swing, 0):
			r.unused = append(r.unused, outOfRange{x.q, "the order cannot be worked out at an end of its range"})
		case x.swing == 0 && x.hours[0] == x.hours[1]:
			r.unused = append(r.unused, outOfRange{x.q, "it does nothing in this order"})
		default:
			kept = append(kept, x)
		}
	}
	r.used = kept
	sort.SliceStable(r.used, func(i, j int) bool { return r.used[i].swing > r.used[j].swing })
	return nil
}

// ofTime reports whether an assumption is a time, or a share of columns of times: these
// go up and down together.
func ofTime(q *model.Quantity) bool {
	return isTime(q.Unit) || len(q.Spreads) > 0 && isTime(q.Spreads[0].Unit)
}

// isTime reports whether a unit is one of time.
func isTime(u units.Unit) bool {
	h, err := units.Parse("h")
	return err == nil && u.SameDim(h)
}

// from is what the values were worked out from, for their digest.
func (r *ranges) from() []any {
	m := r.Model
	out := []any{r.trials, r.Single("seed"), r.Single("time_correlation")}
	for _, key := range []string{"order_cost", "money_contingency", "order_hours", m.Roles.Brings.Key} {
		out = append(out, r.OrderAmount(key).Value)
	}
	for _, x := range r.used {
		out = append(out, x.q.Key, x.spread, x.costs, x.hours, x.basis)
	}
	for _, x := range r.unused {
		out = append(out, x.q.Key, x.why)
	}
	for _, share := range toldShares() {
		out = append(out, r.came.Cost.At(share), r.came.Hours.At(share))
	}
	return out
}
