package logged

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Amount is what was used of something, in whole pieces, beside the estimate of it.
type Amount struct {
	Used, Estimate float64 // in pieces
	Cars           int     // that it was used for
	// Squares is the sum of the squared shares that cars have in the estimate: how
	// far the scatter of a car shows in it. 1 for one car, 0 is taken so.
	Squares float64
	// Ends is how often a piece that was begun or left over is counted whole or not:
	// the lines that bottles hang on.
	Ends int
}

// usable reports whether anything can be made of it.
func (a Amount) usable() bool { return a.Used > 0 && a.Estimate > 0 }

// amountScatter is that of a car's use about the estimate that is thought usual:
// common practice, no source.
const amountScatter = 0.2

// Amounts fits the ratio of what was used to the estimate, whose logarithm is
// thought normal about a mean with a spread. Each end of a row of whole pieces is
// off by up to one either way, a variance of 1/6 of a piece.
func Amounts(all []Amount, mean, spread float64) (Ratio, error) {
	p := &problem{size: 1, slope: -1, nu: freedom, usual: [2]float64{0, amountScatter}}
	p.prior, _ = newNormal([]float64{mean}, mat.NewSymDense(1, []float64{spread * spread}))
	var r Ratio
	for _, a := range all {
		if !a.usable() {
			continue
		}
		g := row{x: []float64{1}, y: math.Log(a.Used / a.Estimate), scale: 1, known: float64(a.Ends) / 6 / (a.Used * a.Used)}
		if a.Squares > 0 {
			g.scale = a.Squares
		}
		p.groups = append(p.groups, []row{g})
		r.Count += a.Cars
		r.Estimate, r.Logged = r.Estimate+a.Estimate, r.Logged+a.Used
	}
	if p.groups == nil {
		return Ratio{}, ErrNothing
	}
	points, err := p.posterior()
	if err != nil {
		return Ratio{}, err
	}
	out := ratio(points, []float64{1}, 1, 0)
	scatter := 0.0
	for _, at := range points {
		scatter += at.log * at.within
	}
	out.OneCar = math.Hypot(out.Spread, scatter*math.Sqrt(freedom/(freedom-2.)))
	out.Count, out.Estimate, out.Logged = r.Count, r.Estimate, r.Logged
	return out, nil
}

// Bottles sums what the lines of a run of cars took: of each line what was used, and
// what each car was estimated to take of it.
func Bottles(used []float64, of [][]float64) (a Amount) {
	var cars []float64 // of each, on all lines that count
	for k, line := range of {
		some := 0.0
		cars = append(cars, make([]float64, len(line)-len(cars))...)
		for i, x := range line {
			cars[i] += x
			some += x
		}
		if some > 0 {
			a.Used, a.Ends = a.Used+used[k], a.Ends+1
		}
	}
	for _, x := range cars {
		if x > 0 {
			a.Estimate, a.Cars, a.Squares = a.Estimate+x, a.Cars+1, a.Squares+x*x
		}
	}
	if a.Cars > 0 {
		a.Squares /= a.Estimate * a.Estimate
	}
	return a
}

// Rods are those of one car, beside the estimate at the quote's yield.
func Rods(used, estimate, yield float64) Amount {
	return Amount{Used: used, Estimate: estimate * yield, Cars: 1, Ends: 1}
}
