// Package prior has what is thought of a shop before it has logged anything: from the
// usual ranges in the model, how far its minutes, argon and rods may be off what is
// shipped. It knows nothing of cells, files, or what was logged.
package prior

import (
	"fmt"
	"math"

	"seamtally/compute"
	"seamtally/compute/chance"
	"seamtally/compute/logged"
	"seamtally/compute/model"
	"seamtally/compute/units"
)

// Shop is one that has not logged anything, as it is thought to be.
type Shop struct {
	Stages logged.Prior
	Hand   [logged.Stages]float64 // share of each stage that is learned
	Gas    float64                // spread of the logarithm of the argon's ratio
	Yield  float64                // logarithm of the rods used over those in the weld,
	Spread float64                // and its spread
}

// leftOut is the spread of what the model does not have in it at all, as a share:
// common practice, no source.
const leftOut = 0.1

// twice bounds how far a shipped set-up's amounts are thought to be off, as their
// usual ranges are those of all set-ups: half to twice. Common practice, no source.
const twice = 2

// figures of a joint line whose spread is wanted: the stages, and the argon.
func spreadOf(m *model.Model) (out []*model.Quantity, err error) {
	for _, key := range []string{"saw_time", "bench_time", "weld_time", "argon"} {
		q := m.Line.Quantity(key)
		if q == nil {
			return nil, fmt.Errorf("the model has no figure %s", key)
		}
		out = append(out, q)
	}
	return out, nil
}

// examples are joints that stand for those of an order: a butt weld and a bend of
// pies, of a common tube.
func examples(m *model.Model) ([]*compute.Line, error) {
	inch := 1.0
	if m.System == model.Metric {
		inch = 25.4
	}
	var out []*compute.Line
	for _, bend := range []float64{0, 90} {
		l := compute.NewLine(m)
		l.Clear()
		l.SetText(m.Line.Quantity("car"), "example")
		l.Set(m.Line.Quantity("od"), 3*inch)
		l.Set(m.Line.Quantity("wall"), 0.049*inch)
		l.SetText(m.Line.Quantity("kind"), "butt")
		if bend > 0 {
			l.SetText(m.Line.Quantity("kind"), "pie cut")
			l.Set(m.Line.Quantity("bend"), bend)
		}
		out = append(out, l)
	}
	return out, nil
}

// work is what the figures of the examples come to in the sum.
func work(v *compute.Values, wanted []*model.Quantity) ([]float64, error) {
	e, err := compute.NewEngine(v)
	if err != nil {
		return nil, err
	}
	lines, err := examples(v.Model)
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(wanted))
	for _, l := range lines {
		done, err := e.Work(l, 0)
		if err != nil {
			return nil, err
		}
		if done.Refused {
			return nil, fmt.Errorf("an example of a joint is refused: %s", done.Why.Heading)
		}
		for i, q := range wanted {
			out[i] += q.Num(&l.Frame)
		}
	}
	return out, nil
}

// part is something that the figures are made of, with the range that it is thought
// to be in.
type part struct {
	q         *model.Quantity
	low, high float64
	set       func(v *compute.Values, x float64)
	// Slow is 1 where more of it is a slower shop, -1 where less of it is, 0 where it
	// says nothing of that.
	slow float64
}

// parts are the assumptions with usual ranges, and the amounts of the usual set-up.
func parts(v *compute.Values, wanted []*model.Quantity) (out []part, err error) {
	m := v.Model
	unit := map[string]units.Unit{"h": {}, "in/min": {}, "ft³/h": {}}
	for name := range unit {
		if unit[name], err = units.Parse(name); err != nil {
			return nil, err
		}
	}
	slow := func(q *model.Quantity) float64 {
		switch {
		case q.Unit.SameDim(unit["h"]):
			return 1
		case q.Unit.SameDim(unit["in/min"]):
			return -1
		}
		return 0
	}
	behind := m.Behind(wanted...)
	for _, q := range m.Singles.Quantities {
		x := q.Num(v.Singles)
		if q.Role != model.Assumption || q.IsText() || q.Decided || !q.HasRange || !behind[q] || !(q.Low <= x && x <= q.High) || q.Source == notLogged {
			continue
		}
		out = append(out, part{q, q.Low, q.High, func(v *compute.Values, x float64) { v.Singles.Num[q.Slot] = x }, slow(q)})
	}
	setups, usual := m.Table("setups"), m.Singles.Quantity("default_setup").Text(v.Singles)
	for i, f := range v.Rows(setups).Frames {
		if setups.Quantity("name").Text(f) != usual {
			continue
		}
		for _, q := range setups.Quantities {
			// Times, flows and speeds; what is measured with a rule is known.
			if q.Role != model.Column || q.IsText() || !behind[q] || slow(q) == 0 && !q.Unit.SameDim(unit["ft³/h"]) {
				continue
			}
			if x := q.Num(f); x > 0 {
				set := func(v *compute.Values, x float64) { v.Rows(setups).Frames[i].Num[q.Slot] = x }
				out = append(out, part{q, max(q.Low, x/twice), min(q.High, x*twice), set, slow(q)})
			}
		}
	}
	return out, nil
}

// notLogged is the basis of a factor as shipped.
const notLogged = "as shipped: no logged hours yet"

// Of works out what is thought of a shop from the usual ranges of what the figures
// are made of: each moves the logarithm of a figure between what it does at both ends,
// likeliest by nothing; times go up and down together.
func Of(m *model.Model, together float64) (*Shop, error) {
	v := compute.Defaults(m)
	wanted, err := spreadOf(m)
	if err != nil {
		return nil, err
	}
	base, err := work(v, wanted)
	if err != nil {
		return nil, err
	}
	all, err := parts(v, wanted)
	if err != nil {
		return nil, err
	}
	moves := make([][]float64, len(all)) // of each part, each figure: deviation, with its sign
	for k, p := range all {
		var at [2][]float64
		for end, x := range []float64{p.low, p.high} {
			other := compute.Defaults(m)
			p.set(other, x)
			if at[end], err = work(other, wanted); err != nil {
				return nil, err
			}
		}
		for i := range wanted {
			moves[k] = append(moves[k], deviation(math.Log(at[0][i]/base[i]), math.Log(at[1][i]/base[i])))
		}
	}
	covariance := func(i, j int) (sum float64) {
		for k := range all {
			sum += moves[k][i] * moves[k][j]
			for l := range all {
				if l != k {
					sum += together * all[k].slow * all[l].slow * moves[k][i] * moves[l][j]
				}
			}
		}
		return sum
	}
	var out Shop
	for i := range logged.Stages {
		for j := range logged.Stages {
			out.Stages[i][j] = covariance(i, j)
		}
		out.Stages[i][i] += leftOut * leftOut
	}
	out.Gas = math.Sqrt(covariance(logged.Stages, logged.Stages) + leftOut*leftOut)
	yield := m.Singles.Quantity("filler_yield")
	x := yield.Num(v.Singles)
	out.Yield, out.Spread = -math.Log(x), math.Abs(deviation(math.Log(yield.Low/x), math.Log(yield.High/x)))
	out.Hand, err = learns(v, base)
	return &out, err
}

// deviation is that of a triangle between two ends about nothing, below 0 where the
// second end is the lower.
func deviation(first, second float64) float64 {
	t := chance.Triangle{Low: min(first, second, 0), High: max(first, second, 0)}
	return math.Copysign(math.Sqrt(t.Variance()), second-first)
}

// learns is the share of each stage that is learned: what the machine does not pace.
// Factors of 0 on the other stages leave what is paced in one.
func learns(v *compute.Values, base []float64) (hand [logged.Stages]float64, err error) {
	m := v.Model
	paced := []*model.Quantity{m.Line.Quantity("paced_time")}
	factors := model.StageFactors()
	for s := range logged.Stages {
		other := compute.Defaults(m)
		for i, key := range factors {
			if i != s {
				other.Singles.Num[m.Singles.Quantity(key).Slot] = 0
			}
		}
		at, err := work(other, paced)
		if err != nil {
			return hand, err
		}
		hand[s] = 1 - at[0]/base[s]
	}
	return hand, nil
}
