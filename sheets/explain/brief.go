package explain

import (
	"math"
	"slices"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/units"
	"seamtally/sheets/front"
)

// Brief is what an explanation says first: what was asked for, then what it is made
// of, by size.
type Brief struct {
	Answers []Figure // the figure that was asked for, or those that matter most
	Steps   []Step
}

// Step is what one figure is made of: parts that add up to it, or else what it is
// worked out from.
type Step struct {
	Of    Figure
	Parts []Share
	More  Share // the rest of the parts, Count of them
	From  []Figure
}

// Share is a part of a figure.
type Share struct {
	Key, Heading, Cell string
	Value              float64
	Shown              string
	Of                 float64 // the part over the whole; NaN where the whole is 0
	Count              int     // of the rest
}

// Bounds of what is said first.
const (
	mostSteps  = 3
	mostShares = 9
)

// brief sums an explanation up. Each step goes on with the largest part, or with what
// is the most of a figure that is no sum.
func (w *explainer) brief(x *Explanation) (Brief, error) {
	known := map[string]Figure{}
	for _, g := range x.Groups {
		for _, f := range g.Figures {
			known[f.Key] = f
		}
	}
	var out Brief
	lead, answers, err := w.answers(x)
	if err != nil {
		return out, err
	}
	for _, key := range answers {
		if f, ok := known[key]; ok {
			out.Answers = append(out.Answers, f)
		}
	}
	seen := map[string]bool{}
	for at, ok := known[lead]; ok && len(out.Steps) < mostSteps && !seen[at.Key]; {
		seen[at.Key] = true
		step := w.step(at, known)
		next := largest(step, at, known)
		if len(step.Parts) > 0 || len(step.From) > 0 {
			out.Steps = append(out.Steps, step)
		}
		at, ok = known[next]
	}
	return out, nil
}

// answers are the figures with which an explanation begins, and the one that is then
// taken apart.
func (w *explainer) answers(x *Explanation) (lead string, keys []string, err error) {
	if x.Figure != "" {
		return x.Figure, []string{x.Figure}, nil
	}
	if x.Of == OfJoint {
		for _, g := range w.Model.Line.Groups {
			if q := w.Model.Line.Quantity(g.Headline); q != nil && !q.Inner() {
				keys = append(keys, g.Headline)
			}
		}
		lead = w.Model.Roles.LineCost.Key
		if !slices.Contains(keys, lead) {
			keys = append(keys, lead)
		}
		return lead, keys, nil
	}
	order, car, err := front.Figures(w.Model)
	if err != nil {
		return "", nil, err
	}
	lead = w.Model.Roles.Price.Key
	if x.Of == OfCar {
		order, lead = car, "price_car"
	}
	for _, q := range order {
		keys = append(keys, q.Key)
	}
	return lead, keys, nil
}

// step takes a figure apart.
func (w *explainer) step(f Figure, known map[string]Figure) Step {
	out := Step{Of: f}
	whole, number := f.Value.(float64)
	parts := f.Terms
	if len(parts) == 0 && len(f.Sums) == 1 && number && same(f.Sums[0].Total, whole) {
		s := f.Sums[0]
		parts = s.Parts
		out.More = Share{Value: s.MoreTotal, Shown: s.MoreShown, Count: s.More}
	}
	if len(parts) < 2 {
		for _, u := range f.Uses {
			if used, ok := known[u.Key]; ok {
				out.From = append(out.From, used)
			}
		}
		out.More = Share{}
		return out
	}
	for _, p := range parts {
		if p.Value == 0 {
			continue
		}
		share := Share{Key: p.Name, Heading: p.Words, Cell: p.Cell, Value: p.Value, Shown: p.Shown, Of: math.NaN()}
		if used, ok := known[p.Name]; ok {
			share.Heading = used.Heading
		}
		if whole != 0 {
			share.Of = p.Value / whole
		}
		out.Parts = append(out.Parts, share)
	}
	slices.SortStableFunc(out.Parts, func(a, b Share) int { return largerFirst(a.Value, b.Value) })
	if n := len(out.Parts) - mostShares; n > 1 {
		for _, p := range out.Parts[mostShares:] {
			out.More.Value += p.Value
			out.More.Count++
		}
		out.Parts = out.Parts[:mostShares]
		out.More.Shown = w.plain.number(w.unitOf(f), out.More.Value)
	}
	out.More.Of = math.NaN()
	if whole != 0 {
		out.More.Of = out.More.Value / whole
	}
	return out
}

// unitOf is the unit of a figure of what is explained.
func (w *explainer) unitOf(f Figure) units.Unit {
	for _, s := range []*model.Scope{w.home().q.Scope, w.Model.Singles} {
		if q := s.Quantity(f.Key); q != nil {
			return q.Unit
		}
	}
	return units.Unit{}
}

// largest is what a step goes on with, "" for nothing.
func largest(s Step, f Figure, known map[string]Figure) string {
	for _, p := range s.Parts {
		if _, ok := known[p.Key]; ok {
			return p.Key
		}
	}
	best, most := "", 0.0
	for _, u := range s.From {
		if x, ok := u.Value.(float64); ok && u.Unit == f.Unit && math.Abs(x) > most && u.Formula != "" {
			best, most = u.Key, math.Abs(x)
		}
	}
	return best
}

// same reports whether two numbers differ by dust alone.
func same(a, b float64) bool { return math.Abs(a-b) <= 1e-9*max(1, math.Abs(a), math.Abs(b)) }

// terms are what a formula adds up, where all of it can be told; what is neither a
// name nor a sum takes what is left.
func (w *explainer) terms(p place, f *formula.Formula) []Part {
	all := f.Terms()
	if len(all) < 2 || p.q.IsText() {
		return nil
	}
	whole := p.q.Num(p.f)
	left, odd := whole, -1
	var out []Part
	for _, t := range all {
		var part Part
		unit, known := units.Unit{}, true
		switch n := t.Node.(type) {
		case *formula.Name:
			u, ok := w.lookup(p, n.Table, n.Key)
			if !ok || u.q.IsText() {
				return nil
			}
			part, unit = Part{Name: nameInFormula(n.Table, n.Key), Words: u.q.Heading, Cell: w.cellOf(u), Value: countedAs(u.q, u.q.Num(u.f))}, u.q.Unit
		case *formula.Call:
			if known = n.Name == "sum" || n.Name == "total"; known {
				s := w.sum(p, n)
				part, unit = Part{Name: s.Of, Words: sumWords(s, n), Value: s.Total}, s.q.Unit
			}
		default:
			known = false
		}
		switch {
		case !known && odd >= 0:
			return nil
		case !known:
			odd = len(out)
			part.Name, part.Words = formula.Format(t.Node), w.nodeWords(p, t.Node)
		default:
			by, err := units.Conversion(unit, p.q.Unit)
			if err != nil {
				return nil
			}
			part.Value *= by.Apply(1)
			if t.Minus {
				part.Value = -part.Value
			}
			left -= part.Value
		}
		out = append(out, part)
	}
	switch {
	case odd >= 0:
		out[odd].Value = left
	case !same(left+whole, whole):
		return nil // a branch or a rounding of its own: these are not its parts
	}
	for i := range out {
		out[i].Shown = w.plain.number(p.q.Unit, out[i].Value)
	}
	return out
}
