package units

import "math"

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

// Slip says by which factor a value is off from another, if it is one that a
// mix-up of units makes.
func Slip(x, right float64) (why string, is bool) {
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
