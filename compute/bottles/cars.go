package bottles

import "math"

// Car is one of a run of cars on a gas line: how many bottles were changed during it,
// and what it was estimated to take, in bottles. NaN is what is not known.
type Car struct {
	Name             string
	Changed, Expects float64
}

// Count is what a run of cars took of a gas line.
type Count struct {
	Used    float64   // bottles that were changed and count
	Of      []float64 // what each car was estimated to take, where it counts
	Blank   []int     // cars without a number beside others with one, which count as 0
	Unknown int       // the first car of which nothing is known, which leaves the line out; -1 = none
	Far     []Far     // what is left out as a slip
}

// Far is a number of bottles, typed at a car, that is far off the estimate since the
// change before.
type Far struct {
	At             int
	Changed, Since float64
}

// Of counts a run. A blank beside typed ones is 0, as a floor that types a bottle when
// it changes one leaves the others blank. What was typed is first held against the
// estimate since the change before.
func Of(run []Car) Count {
	out := Count{Of: make([]float64, len(run)), Unknown: -1}
	need := map[string]float64{} // gas of a car, where any of its kind has bottles typed
	for i, c := range run {
		if !(c.Changed >= 0) {
			out.Blank = append(out.Blank, i)
		} else if c.Expects >= 0 {
			need[c.Name] = c.Expects
		}
	}
	if len(out.Blank) == len(run) {
		out.Blank = nil
		return out
	}
	for i, c := range run {
		if _, known := need[c.Name]; !known {
			out.Unknown, out.Blank = i, nil
			return out
		}
	}
	since, first := 0.0, 0
	count := func(end int, changed float64) {
		if farOff(changed, since) {
			out.Far = append(out.Far, Far{end - 1, changed, since})
		} else {
			out.Used += changed
			for i := first; i < end; i++ {
				out.Of[i] = need[run[i].Name]
			}
		}
		since, first = 0, end
	}
	for i, c := range run {
		since += need[c.Name]
		if c.Changed > 0 {
			count(i+1, c.Changed)
		}
	}
	if first < len(run) {
		count(len(run), 0)
	}
	return out
}

// farOff reports whether bottles that were changed are so many more or fewer than
// estimated that they are a slip: three times, and two bottles that were begun before
// or are left over. Common practice, no source.
func farOff(changed, estimate float64) bool {
	return changed > 3*estimate+2 || estimate > 3*(changed+2)
}

// Expects is in bottles of which one holds so much.
func Expects(gas, holds float64) float64 {
	if gas >= 0 {
		return gas / holds
	}
	return math.NaN()
}
