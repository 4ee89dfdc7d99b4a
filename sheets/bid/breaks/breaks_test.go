package breaks_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// breaksOf reads the table of Breaks: of each car and number the price, the
// learning factor and the once-only cost.
func breaksOf(t *testing.T, path string) map[string][3]float64 {
	t.Helper()
	g := sheetstest.Read(t, path)["Breaks"]
	out := map[string][3]float64{}
	for row := 1; ; row++ {
		at := func(col string) sheetstest.Value { return g[fmt.Sprint(col, row)] }
		if at("A").Text == "Checks" {
			break
		}
		if at("B").Kind == sheetstest.Text && at("C").Kind == sheetstest.Number && at("J").Kind == sheetstest.Number && at("K").Kind == sheetstest.Number {
			out[fmt.Sprint(at("B").Text, " ", at("C").Num)] = [3]float64{at("D").Num, at("G").Num, at("I").Num}
		}
	}
	return out
}

// What Breaks says of a number of cars is what pricing the order comes to with
// that number typed, be tube charged by use or by whole sticks.
func TestBreaksAreThePricesOfOtherOrders(t *testing.T) {
	second := shop.Butt("J-2")
	second[1] = "Demo car two"
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-3"), second))
	g := sheetstest.Read(t, base)
	stock, car := shop.TableRow(t, g, "grade 2", 3.0, 0.049), shop.TableRow(t, g, "Demo car one")
	const slope = 0.9
	base = shop.Assume(t, base, shop.Setting{Key: "learning_slope", Value: slope})
	base = shop.TypeIn(t, base, shop.At("Assumptions", fmt.Sprint("G", stock), "whole sticks"), shop.At("Assumptions", fmt.Sprint("C", car), 3))
	out, rep := shop.PriceWith(t, base, "breaks")
	got := breaksOf(t, out)
	require.Len(t, got, 6+5, "one car is ordered once: as often as the first number")
	fell := map[float64]bool{}
	for _, n := range []int{1, 2, 5, 10, 20, 3} {
		want := shop.ReportOf(t, shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("C", car), n)))
		b := got[fmt.Sprint("Demo car one ", n)]
		assert.InDelta(t, want.Cars[0].Figures["price_car"], b[0], 0.0051, "%d", n)
		fell[b[0]] = true
		// T. P. Wright, "Factors affecting the cost of airplanes", 1936 (from
		// memory): the mean over n falls to the slope with every doubling.
		assert.InDelta(t, math.Pow(slope, math.Log2(float64(n))), b[1], 1e-9)
		// Two coupons at 18 $, as shipped, shared by the cars of the spec.
		assert.InDelta(t, 36/float64(n), b[2], 0.0051)
	}
	assert.Greater(t, len(fell), 3)
	assert.InDelta(t, rep.Cars[0].Figures["price_car"], got["Demo car one 3"][0], 1e-9)
}

// A number changed afterwards moves the sheet along, in a program that is not
// ours.
func TestBreaksAreLive(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	out, _ := shop.PriceWith(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")), "breaks")
	changed := shop.Assume(t, out, shop.Setting{Key: "shop_rate", Value: 150})
	live := sheetstest.Recalculate(t, changed)["Breaks"]
	again, _ := shop.Price(t, changed)
	for ref, v := range sheetstest.Read(t, again)["Breaks"] {
		if v.Kind == sheetstest.Number {
			assert.InDelta(t, v.Num, live[ref].Num, 1e-6, ref)
		}
	}
}
