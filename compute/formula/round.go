package formula

import (
	"math"
	"strconv"

	"github.com/shopspring/decimal"
)

// Beyond this many places a float64 holds nothing to round, to either side.
const farthestPlace = 330

// Round gives x to n places after the point (before it, for n below 0), a
// tie going away from zero, as a spreadsheet's ROUND does: x is first brought
// to 15 significant digits, so that 1.005, which is stored as slightly less,
// rounds to 1.01. The result is the float64 nearest to the decimal. NaN and
// infinities give NaN.
func Round(x float64, n int) float64 { return round(x, n, nearest) }

// RoundUp is Round away from zero: ROUNDUP.
func RoundUp(x float64, n int) float64 { return round(x, n, away) }

// RoundDown is Round toward zero: ROUNDDOWN.
func RoundDown(x float64, n int) float64 { return round(x, n, toward) }

type direction uint8

const (
	nearest direction = iota
	away
	toward
)

// round does without decimals wherever their result is beyond doubt.
func round(x float64, n int, d direction) float64 {
	if !isFinite(x) {
		return math.NaN()
	}
	if r, ok := roundFast(x, n, d); ok {
		return r
	}
	return roundDecimal(x, n, d)
}

// roundFast scales x to a whole number of units of the last place. With fewer
// than 1e9 of them, neither the scaling nor the cut to 15 digits can move x
// by 1e-5 of a unit, so anything 1e-4 away from a tie (or from a whole
// number, where the direction is given) is safe. The scale and the whole
// number are exact, so the one division rounds correctly.
func roundFast(x float64, n int, d direction) (float64, bool) {
	if n >= 0 && x == math.Trunc(x) && math.Abs(x) < 1e15 {
		return x + 0, true
	}
	if n < -15 || n > 15 {
		return 0, false
	}
	scale := powerOfTen(max(n, -n))
	y := x
	if n >= 0 {
		y *= scale
	} else {
		y /= scale
	}
	size := math.Abs(y)
	if size >= 1e9 {
		return 0, false
	}
	whole := math.Floor(size)
	part := size - whole
	const safe = 1e-4
	switch {
	case d == nearest && math.Abs(part-0.5) < safe, d != nearest && (part < safe || part > 1-safe):
		return 0, false
	case d == away || d == nearest && part > 0.5:
		whole++
	}
	whole = math.Copysign(whole, x)
	if n >= 0 {
		return whole/scale + 0, true
	}
	return whole*scale + 0, true
}

// powerOfTen is exact for n from 0 to 15.
func powerOfTen(n int) float64 {
	scale := [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}
	return scale[n]
}

func roundDecimal(x float64, n int, d direction) float64 {
	n = min(max(n, -farthestPlace), farthestPlace)
	exact, err := decimal.NewFromString(strconv.FormatFloat(x, 'e', 14, 64))
	if err != nil {
		return math.NaN()
	}
	switch d {
	case nearest:
		exact = exact.Round(int32(n))
	case away:
		exact = exact.RoundUp(int32(n))
	default:
		exact = exact.RoundDown(int32(n))
	}
	r, err := strconv.ParseFloat(exact.String(), 64)
	if err != nil {
		return math.NaN()
	}
	return r + 0
}
