package calibrate

import (
	"fmt"

	"seamtally/compute/logged"
	"seamtally/sheets/book"
)

// amounts sums bottles for each run of cars, as bottles go on from one car to the
// next; rods are counted for each car.
func (g *gathered) amounts() {
	runs := map[string][]*car{}
	var order []string
	for _, c := range g.cars {
		if c.BottleHolds > 0 {
			key := c.File + "\x00" + c.Order
			if runs[key] == nil {
				order = append(order, key)
			}
			runs[key] = append(runs[key], c)
		}
		switch {
		case c.Rods == 0 && c.RodsEstimate > 0:
			g.tell(book.LevelWarning, c.Line, "no rods", fmt.Sprintf("the rods of %s are not counted: none was used, and the estimate has some", c.Car), "leave the cell blank where rods were not counted")
		case c.Rods > 0 && c.RodsEstimate > 0 && c.FillerYield > 0:
			g.rods = append(g.rods, logged.Amount{Used: c.Rods, Estimate: c.RodsEstimate * c.FillerYield, Cars: 1, Ends: 1})
		}
	}
	for _, key := range order {
		g.bottles(runs[key])
	}
}

// bottles counts those of a run of cars.
func (g *gathered) bottles(run []*car) {
	var a logged.Amount
	gas := make([]float64, len(run)) // of each car, in bottles, on the lines that count
	for k := range run[0].Bottles {
		used, of := g.onLine(run, k)
		some := 0.0
		for i, x := range of {
			gas[i] += x
			some += x
		}
		if some > 0 {
			a.Used, a.Ends = a.Used+used, a.Ends+1
		}
	}
	for _, x := range gas {
		if x > 0 {
			a.Estimate, a.Cars, a.Squares = a.Estimate+x, a.Cars+1, a.Squares+x*x
		}
	}
	switch {
	case a.Cars == 0:
	case a.Used == 0:
		g.tell(book.LevelWarning, run[0].Line, "no bottles", "the argon of these cars is not counted: not one bottle was changed, so no amount is known", "log over more cars")
	default:
		a.Squares /= a.Estimate * a.Estimate
		g.gas = append(g.gas, a)
	}
}

// lineWords are the gas lines in words. One bottle for all is logged as the first.
func lineWords() [3]string {
	return [3]string{"bottles (torch, or all lines)", "bottles (trail)", "bottles (purge)"}
}

// onLine is how many bottles were changed on a gas line, and what each car was
// estimated to take of it, in bottles. A blank beside typed ones is 0, as a floor that
// types a bottle when it changes one leaves the others blank. What was typed is first
// held against the estimate since the change before.
func (g *gathered) onLine(run []*car, k int) (used float64, of []float64) {
	what := lineWords()[k]
	of = make([]float64, len(run))
	need := map[string]float64{} // gas of a car, where any of its kind has bottles typed
	var blank []*car
	for _, c := range run {
		if !(c.Bottles[k] >= 0) {
			blank = append(blank, c)
		} else if c.Gas[k] >= 0 {
			need[c.Car] = c.Gas[k] / c.BottleHolds
		}
	}
	if len(blank) == len(run) {
		return 0, of
	}
	for _, c := range run {
		if _, known := need[c.Car]; !known {
			g.tell(book.LevelWarning, c.Line, "blank bottles", fmt.Sprintf("%s of these cars are not counted: none is typed for any %s, so what it took is not known", what, c.Car), "type 0 where no bottle was changed")
			return 0, of
		}
	}
	if len(blank) > 0 {
		g.tell(book.LevelWarning, blank[0].Line, "blank bottles", fmt.Sprintf("%s of %d cars, of which this is the first, are blank beside others that are typed, and count as 0", what, len(blank)), "type 0 where no bottle was changed")
	}
	since, first := 0.0, 0
	count := func(end int, changed float64) {
		if c := run[end-1]; farOff(changed, since) {
			g.tell(book.LevelWarning, c.Line, "bottles far off", fmt.Sprintf("%s of %s are not counted: %g changed, and %.1f estimated since the change before", what, c.Car, changed, since), "write how many whole bottles were changed, on each car")
		} else {
			used += changed
			for i := first; i < end; i++ {
				of[i] = need[run[i].Car]
			}
		}
		since, first = 0, end
	}
	for i, c := range run {
		since += need[c.Car]
		if c.Bottles[k] > 0 {
			count(i+1, c.Bottles[k])
		}
	}
	if first < len(run) {
		count(len(run), 0)
	}
	return used, of
}

// farOff reports whether bottles that were changed are so many more or fewer than
// estimated that they are a slip: three times, and two bottles that were begun before
// or are left over. Common practice, no source.
func farOff(changed, estimate float64) bool {
	return changed > 3*estimate+2 || estimate > 3*(changed+2)
}
