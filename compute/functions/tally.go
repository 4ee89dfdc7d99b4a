package functions

import "math"

// Tally adds up numbers without losing the small ones (Neumaier's sum), so
// that a sum does not depend on how many rows a list has.
type Tally struct{ sum, rest float64 }

// Add adds one.
func (t *Tally) Add(x float64) {
	s := t.sum + x
	if math.Abs(t.sum) >= math.Abs(x) {
		t.rest += t.sum - s + x
	} else {
		t.rest += x - s + t.sum
	}
	t.sum = s
}

// Sum is what they come to.
func (t *Tally) Sum() float64 { return t.sum + t.rest }
