package calibrate

import (
	"fmt"

	"seamtally/compute/bottles"
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
			g.rods = append(g.rods, logged.Rods(c.Rods, c.RodsEstimate, c.FillerYield))
		}
	}
	for _, key := range order {
		g.bottles(runs[key])
	}
}

// bottles counts those of a run of cars.
func (g *gathered) bottles(run []*car) {
	var used []float64
	var of [][]float64
	for k := range run[0].Bottles {
		n := g.onLine(run, k)
		used, of = append(used, n.Used), append(of, n.Of)
	}
	switch a := logged.Bottles(used, of); {
	case a.Cars == 0:
	case a.Used == 0:
		g.tell(book.LevelWarning, run[0].Line, "no bottles", "the argon of these cars is not counted: not one bottle was changed, so no amount is known", "log over more cars")
	default:
		g.gas = append(g.gas, a)
	}
}

// lineWords are the gas lines in words. One bottle for all is logged as the first.
func lineWords() [3]string {
	return [3]string{"bottles (torch, or all lines)", "bottles (trail)", "bottles (purge)"}
}

// onLine counts the bottles of a gas line, and tells what of them does not count.
func (g *gathered) onLine(run []*car, k int) bottles.Count {
	what := lineWords()[k]
	cars := make([]bottles.Car, len(run))
	for i, c := range run {
		cars[i] = bottles.Car{Name: c.Car, Changed: c.Bottles[k], Expects: bottles.Expects(c.Gas[k], c.BottleHolds)}
	}
	n := bottles.Of(cars)
	if n.Unknown >= 0 {
		c := run[n.Unknown]
		g.tell(book.LevelWarning, c.Line, "blank bottles", fmt.Sprintf("%s of these cars are not counted: none is typed for any %s, so what it took is not known", what, c.Car), "type 0 where no bottle was changed")
	}
	if len(n.Blank) > 0 {
		g.tell(book.LevelWarning, run[n.Blank[0]].Line, "blank bottles", fmt.Sprintf("%s of %d cars, of which this is the first, are blank beside others that are typed, and count as 0", what, len(n.Blank)), "type 0 where no bottle was changed")
	}
	for _, far := range n.Far {
		c := run[far.At]
		g.tell(book.LevelWarning, c.Line, "bottles far off", fmt.Sprintf("%s of %s are not counted: %g changed, and %.1f estimated since the change before", what, c.Car, far.Changed, far.Since), "write how many whole bottles were changed, on each car")
	}
	return n
}
