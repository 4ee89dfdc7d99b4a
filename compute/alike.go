package compute

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// unlikely is how many times off what the other lines of its table have for as much a
// number is told.
const unlikely = 5

// unlike tells of numbers of a line that are far off those of the lines that they should be
// like: a tube at ten times what the others of its alloy cost for as much metal.
func (e *Engine) unlike(t *model.Scope, i int) (out []Doubt, err error) {
	for _, q := range t.Quantities {
		if q.Guard == nil || q.Guard.Alike == nil {
			continue
		}
		a, much := q.Guard.Alike, func(*formula.Frame) float64 { return 1 }
		if a.By != nil {
			code, err := e.compile(t, a.By)
			if err != nil {
				return nil, err
			}
			much = code.Num
		}
		var others []float64
		frames := e.Values.Rows(t).Frames
		of := a.Within.Text(frames[i])
		for k, f := range frames {
			if each := q.Num(f) / much(f); k != i && strings.EqualFold(a.Within.Text(f), of) && each > 0 && !math.IsInf(each, 0) {
				others = append(others, each)
			}
		}
		x, like := q.Num(frames[i]), middle(others)*much(frames[i])
		if formula.IsBlank(x) || !(like > 0) || x < unlikely*like && like < unlikely*x {
			continue
		}
		out = append(out, Doubt{
			Table: t, Row: i + 1, Column: q, Look: true, Fix: "check it and its unit",
			What: fmt.Sprintf("%s is %s; by the other lines of %s it would be about %s", q.Name(), q.AmountText(x), of, q.AmountText(model.Rough(like))),
		})
	}
	return out, nil
}

// middle is the median, 0 of none.
func middle(list []float64) float64 {
	n := len(list)
	if n == 0 {
		return 0
	}
	slices.Sort(list)
	return (list[(n-1)/2] + list[n/2]) / 2
}
