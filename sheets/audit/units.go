package audit

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/units"
	"seamtally/sheets/joints"
)

// sizeKeys are the inputs that repeat from joint to joint, and in which a value
// off by the factor of a unit stands out.
var sizeKeys = [...]string{"od", "wall", "wire", "run_od", "run_wall"}

// unitFaults looks for rows whose size is that of most others in another unit.
func (a *auditor) unitFaults() {
	for _, l := range a.All {
		for _, key := range sizeKeys {
			if l.Shop[key].Col > 0 {
				a.unitFaultsOf(l, a.Model.Line.Quantity(key))
			}
		}
	}
}

func (a *auditor) unitFaultsOf(l *joints.List, q *model.Quantity) {
	times := map[float64]int{} // on priced rows
	each := func(do func(r *compute.Joint, x float64, priced bool)) {
		for k, rows := range [][]compute.Joint{a.Joints, a.leftOut} {
			for i := range rows {
				if r := &rows[i]; r.List == l.No && r.Line.Given(q) {
					do(r, q.Num(&r.Line.Frame), k == 0)
				}
			}
		}
	}
	each(func(_ *compute.Joint, x float64, priced bool) {
		if priced {
			times[x]++
		}
	})
	commonest := slices.SortedFunc(maps.Keys(times), func(x, y float64) int {
		return cmp.Or(cmp.Compare(times[y], times[x]), cmp.Compare(x, y))
	})
	from := map[float64]slipped{}
	each(func(r *compute.Joint, x float64, priced bool) {
		s, known := from[x]
		if !known {
			s = slippedFrom(x, times, commonest)
			from[x] = s
		}
		if s.why == "" {
			return
		}
		f := a.add(unitKey(l, q, r.Row), Fault{
			Grade: Doubtful, Rule: RuleUnit, Cell: l.Ref(r.Row, l.Shop[q.Key].Col),
			What:  fmt.Sprintf("%s is that of %d other rows %s", a.Heading(q), times[s.right], s.why),
			Found: formula.GeneralText(x), Expected: formula.GeneralText(s.right), Fix: "check the value and its unit",
		})
		if priced {
			a.undo(f, nil, func(o *compute.Joint, line *compute.Line) bool {
				if o == r {
					line.Set(q, s.right)
				}
				return true
			})
		}
	})
}

// slipped is a value that is probably another one in a wrong unit.
type slipped struct {
	right float64
	why   string // "" if it is not
}

// slippedFrom looks for a value of which x is a slip among those that more than
// twice as many rows have.
func slippedFrom(x float64, times map[float64]int, commonest []float64) slipped {
	for _, y := range commonest {
		if times[y] <= 2*times[x] {
			break
		}
		if why, is := units.Slip(x, y); is {
			return slipped{y, why}
		}
	}
	return slipped{}
}

// unitKey is the key of a fault about the unit of an input on a row.
func unitKey(l *joints.List, q *model.Quantity, row int) string {
	return fmt.Sprintf("unit %s %d %d", q.Key, l.No, row)
}
