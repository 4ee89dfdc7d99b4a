package logged

import "math"

// Given is the closed form at known scatters, each car counted as normal: mean and
// covariance. Without a prior it is flat.
func Given(cars []Car, o Options, flat bool, car, stage float64) (mean []float64, cov [][]float64, err error) {
	p, _, err := stageProblem(cars, o)
	if err != nil {
		return nil, nil, err
	}
	p.nu = math.Inf(1)
	if flat {
		p.prior = nil
	}
	at, err := p.at(p.work(), car, stage, make([]float64, p.size))
	if err != nil {
		return nil, nil, err
	}
	for i := range p.size {
		cov = append(cov, make([]float64, p.size))
		for j := range p.size {
			cov[i][j] = at.cov.At(i, j)
		}
	}
	return at.mean, cov, nil
}

// Rank is the share of the posterior of an unknown that lies under x: of a stage's
// logarithm, or of the learning exponent after the stages.
func (f *Fit) Rank(unknown int, x float64) float64 {
	return under(f.points, one(unknown, len(f.points[0].mean)), x)
}

// Freedom and Scatters are those of the program's own model.
const Freedom = freedom

func Scatters() [2]float64 { return scatters() }

// SlopeSpread is that of the learning exponent.
const SlopeSpread = slopeSpread

// Learned is the logarithm of a place's minutes over the first's.
func Learned(place int, power, hand float64) float64 {
	over, by := unit(place, power)
	y, _ := learned(over, by, hand)
	return y
}
