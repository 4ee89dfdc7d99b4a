package logged

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Stages are those that minutes are logged of.
const Stages = 3

// Car is what was logged of one car, beside what the model makes of it with all
// ratios at 1 and without learning. NaN is what is not known.
type Car struct {
	Logged, Estimate [Stages]float64
	// Clocked is all that was logged of a car, for one without any stage: it tells
	// of what the stages have in common.
	Clocked, EstimateClocked float64
	// Fixed is what in EstimateClocked does not go up and down with the ratios: it is
	// taken off both, as thought. NaN is none.
	Fixed float64
	// Number is the car's place in its run, from 1; 0 where not known.
	Number int
	// Hand is the share of each stage that is learned.
	Hand [Stages]float64
}

// AddStage adds minutes of a stage, of some joints of the car.
func (c *Car) AddStage(s int, minutes, estimate float64) {
	c.Logged[s] += minutes
	c.Estimate[s] += estimate
}

// AddInAll adds minutes in all, of some joints of the car.
func (c *Car) AddInAll(clocked, estimate float64, stages [Stages]float64) {
	c.Clocked += clocked
	c.EstimateClocked += estimate
	for s, e := range stages {
		if e > 0 {
			c.Estimate[s] += e
		}
	}
}

// Usable reports whether anything can be made of a stage of a car; with Stages, of
// its clocked minutes.
func (c Car) usable(stage int) bool {
	if stage < Stages {
		return c.Logged[stage] > 0 && c.Estimate[stage] > 0
	}
	clocked, estimate := c.moving()
	return clocked > 0 && estimate > 0 && c.sum() > 0
}

// moving is what of the clocked minutes, and of their estimate, the ratios move.
func (c Car) moving() (clocked, estimate float64) {
	fixed := 0.0
	if c.Fixed > 0 {
		fixed = c.Fixed
	}
	return c.Clocked - fixed, c.EstimateClocked - fixed
}

// sum is what the stages of a car come to by the estimate.
func (c Car) sum() (sum float64) {
	for _, e := range c.Estimate {
		if e > 0 {
			sum += e
		}
	}
	return sum
}

// Prior is what is thought of the stages' ratios before anything is logged: their
// logarithms are normal about 0 with this covariance.
type Prior [Stages][Stages]float64

// Options say what is fitted.
type Options struct {
	Prior Prior
	// Slope is the learning slope that the estimates are used with; 1 or 0 is none.
	Slope float64
	// FitSlope has it fitted, where places in the run are known.
	FitSlope bool
}

// Ratio is what was logged over the estimate.
type Ratio struct {
	// Value is the mean; in four cases of five it lies from Low to High.
	Value, Low, High float64
	// Spread is the standard deviation of its logarithm.
	Spread float64
	// Count is how many cars it rests on, Clocked how many of them by clocked
	// minutes alone.
	Count, Clocked int
	// Estimate and Logged are the sums over the cars with that stage logged.
	Estimate, Logged float64
	// OneCar is by how much, as a share, one new car is still expected to be off
	// (standard deviation).
	OneCar float64
}

// Fit is what comes of a fit.
type Fit struct {
	Stages [Stages]Ratio
	// Slope is the learning slope, where it was fitted, else its Count is 0.
	Slope Ratio
	// Mean is by how much the hours of the estimate are still expected to be off, in
	// the mean of many cars; OneCar, of one new car. Both are shares.
	Mean, OneCar float64
	// Car and Stage are the scatter of cars, and of the stages within them.
	Car, Stage float64
	// Weights say how much each car has counted, to 1 in full; NaN for one of which
	// nothing is usable.
	Weights []float64
	// Residuals are the logarithms of logged over fitted minutes; NaN where not
	// logged. The last is that of clocked minutes.
	Residuals [][Stages + 1]float64

	points []*point
}

// Few is the number of cars under which ratios are advice and no more.
const Few = 5

// ErrNothing says that no car has anything to fit.
var ErrNothing = errors.New("no minutes are logged of any car that the estimate has minutes for; fill in what cars took, stage by stage or in all")

// slopeSpread is what is thought of the learning exponent before: normal about none.
// A slope of 80 % is an exponent of -0.32; common practice, no source.
const slopeSpread = 0.2

// scatters are those of cars and of stages that are thought usual, as half-normal
// spreads: common practice, no source.
func scatters() [2]float64 { return [2]float64{0.15, 0.3} }

// Minutes fits the ratios of the stages.
func Minutes(cars []Car, o Options) (*Fit, error) {
	p, of, err := stageProblem(cars, o)
	if err != nil {
		return nil, err
	}
	points, err := p.posterior()
	if err != nil {
		return nil, err
	}
	f := &Fit{points: points, Weights: make([]float64, len(cars)), Residuals: make([][Stages + 1]float64, len(cars))}
	f.settle(p, of, cars)
	return f, nil
}

// stageProblem lays out the rows of cars; of tells of which car each group is.
func stageProblem(cars []Car, o Options) (p *problem, of []int, err error) {
	p = &problem{size: Stages, slope: -1, nu: freedom, usual: scatters()}
	if o.Slope > 0 {
		p.fixed = math.Log2(o.Slope)
	}
	if o.FitSlope {
		p.slope, p.fixed = Stages, 0
		p.size++
	}
	cov := mat.NewSymDense(p.size, nil)
	for s := range Stages {
		for t := s; t < Stages; t++ {
			cov.SetSym(s, t, o.Prior[s][t])
		}
	}
	if o.FitSlope {
		cov.SetSym(Stages, Stages, slopeSpread*slopeSpread)
	}
	var sound bool
	if p.prior, sound = newNormal(make([]float64, p.size), cov); !sound {
		return nil, nil, errors.New("what is thought of the ratios beforehand is no covariance")
	}
	for i, c := range cars {
		if g := c.rows(p.size); g != nil {
			p.groups, of = append(p.groups, g), append(of, i)
		}
	}
	if p.groups == nil {
		return nil, nil, ErrNothing
	}
	return p, of, nil
}

// rows are what a car tells: its stages, or without any its clocked minutes, which
// stand for the stages' mean by their shares of the estimate.
func (c Car) rows(size int) (out []row) {
	for s := range Stages {
		if c.usable(s) {
			x := make([]float64, size)
			x[s] = 1
			out = append(out, row{x: x, y: math.Log(c.Logged[s] / c.Estimate[s]), scale: 1, place: c.Number, hand: c.Hand[s]})
		}
	}
	if out != nil || !c.usable(Stages) {
		return out
	}
	clocked, estimate := c.moving()
	r := row{x: make([]float64, size), y: math.Log(clocked / estimate), place: c.Number}
	for s, e := range c.Estimate {
		if e > 0 {
			r.x[s] = e / c.sum()
			r.scale += r.x[s] * r.x[s]
			r.hand += r.x[s] * c.Hand[s]
		}
	}
	return []row{r}
}

// mix is the mean and the variance of a sum of the unknowns, over all points.
func mix(points []*point, by []float64) (mean, variance float64) {
	var square float64
	for _, at := range points {
		m, v := at.of(by)
		mean += at.log * m
		square += at.log * (v + m*m)
	}
	return mean, square - mean*mean
}

// of is the mean and the variance of a sum of the unknowns at one point.
func (at *point) of(by []float64) (mean, variance float64) {
	for i, x := range by {
		mean += x * at.mean[i]
		for j, y := range by {
			variance += x * y * at.cov.At(i, j)
		}
	}
	return mean, max(variance, 0)
}

// under is the probability that a sum of the unknowns is under x.
func under(points []*point, by []float64, x float64) (p float64) {
	for _, at := range points {
		m, v := at.of(by)
		p += at.log * distuv.UnitNormal.CDF((x-m)/math.Sqrt(v))
	}
	return p
}

// quantile is where a share of a sum of the unknowns lies under.
func quantile(points []*point, by []float64, share float64) float64 {
	mean, variance := mix(points, by)
	low, high := mean-12*math.Sqrt(variance), mean+12*math.Sqrt(variance)
	for range 60 {
		if mid := (low + high) / 2; under(points, by, mid) < share {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// one picks one of some unknowns.
func one(i, of int) []float64 {
	by := make([]float64, of)
	by[i] = 1
	return by
}

// ratio is exp of a sum of the unknowns times what turns the median into the mean,
// which has a deviation of its own.
func ratio(points []*point, by []float64, middle, deviation float64) Ratio {
	mean, variance := mix(points, by)
	end := func(share float64) float64 {
		far := math.Hypot(quantile(points, by, share)-mean, distuv.UnitNormal.Quantile(0.9)*deviation)
		return math.Exp(mean+math.Copysign(far, share-0.5)) * middle
	}
	return Ratio{Value: math.Exp(mean) * middle, Low: end(0.1), High: end(0.9), Spread: math.Hypot(math.Sqrt(variance), deviation)}
}

// settle works out all that is told.
func (f *Fit) settle(p *problem, of []int, cars []Car) {
	for i := range cars {
		f.Weights[i] = math.NaN()
		f.Residuals[i] = [Stages + 1]float64{math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	}
	for _, at := range f.points {
		f.Car, f.Stage = f.Car+at.log*at.car, f.Stage+at.log*at.within
	}
	mean := make([]float64, p.size)
	for j := range mean {
		mean[j], _ = mix(f.points, one(j, p.size))
	}
	for k, g := range p.groups {
		f.Weights[of[k]] = countOf(f.points, k)
		next := 0
		for s := range Stages {
			if cars[of[k]].usable(s) {
				f.Residuals[of[k]][s] = p.residual(g[next], mean)
				next++
			}
		}
		if next == 0 {
			f.Residuals[of[k]][Stages] = p.residual(g[0], mean)
		}
	}
	middle, deviation := smear(f.Residuals, f.Weights)
	var share [Stages]float64
	total := 0.0
	for _, c := range cars {
		for s, e := range c.Estimate {
			if sum := c.sum(); e > 0 {
				share[s] += e / sum
				total += e / sum
			}
		}
	}
	heavy := math.Sqrt(p.nu / (p.nu - 2)) // of Student's t, over its scale
	by, squares := make([]float64, p.size), 0.0
	for s := range Stages {
		r := ratio(f.points, one(s, p.size), middle, deviation)
		r.OneCar = math.Hypot(r.Spread, heavy*math.Hypot(f.Car, f.Stage))
		for _, c := range cars {
			switch {
			case c.usable(s):
				r.Count++
				r.Estimate, r.Logged = r.Estimate+c.Estimate[s], r.Logged+c.Logged[s]
			case c.clockedAlone() && c.Estimate[s] > 0:
				r.Count++
				r.Clocked++
			}
		}
		f.Stages[s] = r
		by[s] = share[s] / total
		squares += by[s] * by[s]
	}
	_, v := mix(f.points, by)
	f.Mean = math.Hypot(math.Sqrt(v), deviation)
	f.OneCar = math.Hypot(f.Mean, heavy*math.Hypot(f.Car, f.Stage*math.Sqrt(squares)))
	if p.slope >= 0 {
		f.Slope = f.slope(p, cars)
	}
}

// clockedAlone reports whether a car has clocked minutes and no stage.
func (c Car) clockedAlone() bool {
	return !c.usable(0) && !c.usable(1) && !c.usable(2) && c.usable(Stages)
}

// slope turns the exponent into a slope: what the mean falls to when a run doubles.
func (f *Fit) slope(p *problem, cars []Car) Ratio {
	r := ratio(f.points, one(p.slope, p.size), 1, 0)
	for _, x := range []*float64{&r.Value, &r.Low, &r.High} {
		*x = math.Exp2(math.Log(*x))
	}
	r.Spread *= math.Ln2
	for _, c := range cars {
		if c.Number > 0 && (c.usable(0) || c.usable(1) || c.usable(2) || c.usable(Stages)) {
			r.Count++
		}
	}
	return r
}

// countOf is how much a group has counted.
func countOf(points []*point, group int) (weight float64) {
	for _, at := range points {
		weight += at.log * min(at.weights[group], 1)
	}
	return weight
}

func (p *problem) residual(r row, mean []float64) float64 {
	over, by := unit(r.place, p.power(mean))
	log, _ := learned(over, by, r.hand)
	y := r.y - log
	for j, x := range r.x {
		if j != p.slope {
			y -= x * mean[j]
		}
	}
	return y
}

// smear is the mean of what is off, by what a median becomes a mean, and its
// standard deviation: N. Duan, "Smearing Estimate", Journal of the American
// Statistical Association 1983 (from memory). Each stage's are taken about their own
// middle, as the ratios are drawn towards what was thought before.
func smear(residuals [][Stages + 1]float64, weights []float64) (mean, deviation float64) {
	var middle [Stages + 1]float64
	for s := range middle {
		all := 0.0
		for i, r := range residuals {
			if !math.IsNaN(r[s]) {
				middle[s] += weights[i] * r[s]
				all += weights[i]
			}
		}
		middle[s] /= all
	}
	each := func(see func(car int, x, weight float64)) {
		for i, r := range residuals {
			for s, y := range r {
				if math.IsNaN(y) {
					continue
				}
				y -= middle[s]
				if math.Abs(y) <= math.Log(slip) {
					see(i, math.Exp(y), 1)
				} else {
					see(i, math.Exp(y), weights[i])
				}
			}
		}
	}
	all := 0.0
	each(func(_ int, x, weight float64) { mean, all = mean+weight*x, all+weight })
	mean /= all
	by := make([]float64, len(residuals)) // a car's go together
	each(func(car int, x, weight float64) { by[car] += weight * (x - mean) / all })
	for _, d := range by {
		deviation += d * d
	}
	return mean, math.Sqrt(deviation) / mean
}

// slip is how many times as long as the others' the minutes of a stage may be and
// count in full in the mean: such a job comes again. Those beyond may be a slip of the
// pen, and count as much as their car. Common practice, no source.
const slip = 2
