package chance

import "math"

// Around is the triangle about a mode that has a share of all below low and as much
// above high: a range that is passed now and then, as one with ends. A mode outside
// the range is taken for its end. The share is below a half.
func Around(low, mode, high, share float64) Triangle {
	low, high = min(low, mode), max(high, mode)
	t := Triangle{low - (high-low)/2, mode, high + (high-low)/2}
	const rounds = 200 // each brings both ends nearer; they settle in a few dozen
	for range rounds {
		width := t.High - t.Low
		t.Low, t.High = low-math.Sqrt(share*width*(mode-t.Low)), high+math.Sqrt(share*width*(t.High-mode))
	}
	return t
}
