package sheets

import (
	"fmt"
	"math"
	"sort"

	"seamtally/compute"
	"seamtally/sheets/part"
)

// slip is a factor by which a value in a wrong unit is off.
type slip struct {
	by   float64
	word string
}

// slips are the factors of the commonest mix-ups of units: mm for inches
// (25.4, exact; the inch of 1959), lb for kg (2.2046), min for h, a point
// misplaced, a sign.
func slips() []slip {
	return []slip{{25.4, "25.4"}, {2.20462262, "2.2046"}, {60, "60"}, {10, "10"}}
}

// slipOf says by which factor a value is off from another, if it is one that a
// mix-up of units makes.
func slipOf(x, right float64) (why string, is bool) {
	near := func(a, b float64) bool { return math.Abs(a-b) <= 2e-3*math.Abs(b) }
	if right == 0 || x == right || math.IsNaN(x) || math.IsNaN(right) {
		return "", false
	}
	if near(x, -right) {
		return "with the other sign", true
	}
	for _, s := range slips() {
		switch {
		case near(x, right*s.by):
			return "times " + s.word, true
		case near(x, right/s.by):
			return "over " + s.word, true
		}
	}
	return "", false
}

// sizes are the inputs that repeat from joint to joint, and in which a value
// off by the factor of a unit stands out.
var sizeKeys = [...]string{"od", "wall", "wire", "run_od", "run_wall"}

// unitFaults looks for rows whose size is that of most others in another unit.
func (a *auditor) unitFaults() {
	for _, l := range a.lists {
		for _, key := range sizeKeys {
			if l.shop[key].col > 0 {
				a.unitFaultsOf(l, a.model.Line.Quantity(key))
			}
		}
	}
}

func (a *auditor) unitFaultsOf(l *list, q *compute.Quantity) {
	times := map[float64]int{}
	for _, r := range a.rows {
		if r.list == l && r.line.Given(q) {
			times[q.Num(&r.line.Frame)]++
		}
	}
	var known []float64
	for x := range times {
		known = append(known, x)
	}
	sort.Slice(known, func(i, j int) bool {
		return times[known[i]] > times[known[j]] || times[known[i]] == times[known[j]] && known[i] < known[j]
	})
	suspect := func(r *takenRow, priced bool) {
		x := q.Num(&r.line.Frame)
		if r.list != l || !r.line.Given(q) {
			return
		}
		for _, y := range known {
			why, is := slipOf(x, y)
			if !is || times[y] <= 2*times[x] {
				continue
			}
			f := a.add(unitKey(l, q, r.row), Fault{
				Grade: Doubtful, Rule: "unit mixed up", Cell: l.ref(r.row, l.shop[q.Key].col),
				What:  fmt.Sprintf("%s is that of %d other rows %s", q.Key, times[y], why),
				Found: shownText(&part.Cell{Kind: part.Number, Num: x}), Expected: shownText(&part.Cell{Kind: part.Number, Num: y}), Fix: "check the value and its unit",
			})
			if priced {
				a.undo(f, nil, func(o *takenRow, line *compute.Line) {
					if o == r {
						line.Set(q, y)
					}
				})
			}
			return
		}
	}
	for i := range a.rows {
		suspect(&a.rows[i], true)
	}
	for i := range a.leftOut {
		suspect(&a.leftOut[i], false)
	}
}

// unitKey is the key of a fault about the unit of an input on a row.
func unitKey(l *list, q *compute.Quantity, row int) string {
	return fmt.Sprintf("unit %s %d %d", q.Key, l.no, row)
}
