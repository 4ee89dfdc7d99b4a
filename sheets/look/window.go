package look

import "math"

// window is how many pixels of cells a common wide screen shows: 1920 without the rows'
// numbers and the bar beside them (common practice, no source).
const window = 1920 - 50

// LeftOver is how wide a column may be, in digits of so many pixels, to end where the window
// does at a zoom (per cent, 0 = 100), beside columns as wide as these, in points; between
// least and most.
func LeftOver(zoom int, digit float64, beside []float64, least, most float64) float64 {
	if zoom <= 0 {
		zoom = 100
	}
	room := window * 100 / float64(zoom)
	for _, w := range beside {
		room -= w * 96 / 72
	}
	return min(max(math.Floor(room/digit), least), most)
}
