// Package chance draws what is not known from what is thought of it: triangular
// amounts, some of which go up and down together, and what comes of many draws.
// It knows nothing of joints or money.
package chance

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
)

// Triangle is an amount between Low and High, most likely Mode.
type Triangle struct{ Low, Mode, High float64 }

// Sound reports whether it is one: Low <= Mode <= High, all numbers.
func (t Triangle) Sound() bool { return t.Low <= t.Mode && t.Mode <= t.High }

// Mean is (low+mode+high)/3; Kotz and van Dorp, "Beyond Beta", World Scientific
// 2004, chapter 1 (from memory), as the variance and the inverse.
func (t Triangle) Mean() float64 { return (t.Low + t.Mode + t.High) / 3 }

// Variance is that of the amount.
func (t Triangle) Variance() float64 {
	a, m, b := t.Low, t.Mode, t.High
	return (a*a + m*m + b*b - a*m - a*b - m*b) / 18
}

// At is the amount under which a share of all lies, 0 to 1.
func (t Triangle) At(share float64) float64 {
	width := t.High - t.Low
	if width == 0 {
		return t.Mode
	}
	below := (t.Mode - t.Low) / width
	if share < below {
		return t.Low + math.Sqrt(share*width*(t.Mode-t.Low))
	}
	return t.High - math.Sqrt((1-share)*width*(t.High-t.Mode))
}

// Draws are triangular amounts that are drawn together.
type Draws struct {
	Of []Triangle
	// Together says which of them go up and down with one another, by a rank
	// correlation of Correlation (Spearman's), from 0 to under 1, between any two.
	Together    []bool
	Correlation float64
	// Seed sets all draws: a trial's numbers depend on it and on the trial's
	// number alone.
	Seed uint64
}

// Check says what is wrong with the draws.
func (d Draws) Check() error {
	if len(d.Together) != len(d.Of) {
		return errors.New("it is not said of every amount whether it goes with others")
	}
	if !(d.Correlation >= 0 && d.Correlation < 1) {
		return errors.New("the correlation is to be from 0 to under 1")
	}
	for _, t := range d.Of {
		if !t.Sound() {
			return errors.New("an amount's low, likely and high do not rise")
		}
	}
	return nil
}

// Trial draws the amounts of one trial into out.
func (d Draws) Trial(no int, out []float64) {
	d.Shares(no, out)
	for i, t := range d.Of {
		out[i] = t.At(out[i])
	}
}

// Shares draws of each amount of one trial the share under which it lies, so that
// several triangles of one amount can be drawn alike. Amounts that go together share
// a part of a normal draw (a Gaussian copula with one factor). For a rank
// correlation r its normal draws are correlated by 2*sin(pi*r/6): K. Pearson,
// "On further methods of determining correlation", 1907 (from memory).
func (d Draws) Shares(no int, out []float64) {
	rng := rand.New(rand.NewPCG(d.Seed, uint64(no)))
	common := 2 * math.Sin(math.Pi*d.Correlation/6)
	shared := rng.NormFloat64() * math.Sqrt(common)
	for i, together := range d.Together {
		if together && common > 0 {
			z := shared + rng.NormFloat64()*math.Sqrt(1-common)
			out[i] = math.Erfc(-z/math.Sqrt2) / 2
			continue
		}
		out[i] = rng.Float64()
	}
}

// Sorted are the outcomes of trials, rising.
type Sorted []float64

// Sort makes them so.
func Sort(outcomes []float64) Sorted {
	slices.Sort(outcomes)
	return outcomes
}

// At is the outcome that a share of the trials, 0 to 1, does not exceed: between
// two of them in proportion (Hyndman and Fan, "Sample quantiles in statistical
// packages", The American Statistician 1996, definition 7, from memory; that of
// spreadsheets).
func (s Sorted) At(share float64) float64 {
	if len(s) == 0 {
		return math.NaN()
	}
	at := share * float64(len(s)-1)
	low := min(max(int(math.Floor(at)), 0), len(s)-1)
	high := min(low+1, len(s)-1)
	return s[low] + (at-float64(low))*(s[high]-s[low])
}

// Error is the standard error of At, from the outcomes as far to either side as
// the number of trials below may stray (half the width between the shares one
// standard deviation of a binomial count apart).
func (s Sorted) Error(share float64) float64 {
	n := float64(len(s))
	if n == 0 {
		return math.NaN()
	}
	step := math.Sqrt(share * (1 - share) / n)
	return (s.At(math.Min(share+step, 1)) - s.At(math.Max(share-step, 0))) / 2
}

// Under is the share of the trials that do not exceed an amount.
func (s Sorted) Under(x float64) float64 { return 1 - s.Over(x) }

// Over is the share of the trials that exceed an amount.
func (s Sorted) Over(x float64) float64 {
	if len(s) == 0 {
		return math.NaN()
	}
	at, _ := slices.BinarySearchFunc(s, x, func(y, x float64) int {
		if y > x {
			return 1
		}
		return -1
	})
	return float64(len(s)-at) / float64(len(s))
}
