package logged

import (
	"math"
	"sort"
)

// Verdict says what is to be done about a factor.
type Verdict string

// Verdicts.
const (
	Write  Verdict = "write"
	Keep   Verdict = "keep"
	TooFew Verdict = "too few"
	// Outside is that of a value outside its usual range, which whoever knows the range
	// gives: no Ratio knows one.
	Outside Verdict = "outside"
)

// Judge says what to do about a factor that stands: with few cars nothing; where it
// is so near that to keep it makes what is expected to be off at most an eighth more,
// it is kept.
func (r Ratio) Judge(stands float64) Verdict {
	switch {
	case r.Count < Few:
		return TooFew
	case math.Abs(math.Log(r.Value/stands)) < r.Spread/2:
		return Keep
	}
	return Write
}

// Far are the cars that have counted less than half, the least first.
func (f *Fit) Far() (cars []int) {
	for i, w := range f.Weights {
		if w < 0.5 {
			cars = append(cars, i)
		}
	}
	sort.SliceStable(cars, func(i, j int) bool { return f.Weights[cars[i]] < f.Weights[cars[j]] })
	return cars
}
