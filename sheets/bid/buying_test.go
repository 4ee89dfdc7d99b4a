package bid_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// buyingOrder has straight tubes and bends of one size: two straights of 30 in
// and one bend of 90 degrees, on three cars.
func buyingOrder(t *testing.T) string {
	t.Helper()
	one, bend := shop.Butt("J-1"), shop.Butt("J-2")
	one[3], one[8] = 2, 30
	bend[2], bend[3], bend[7], bend[8] = "pie cut", 1, 90, nil
	out, rep := shop.Price(t, shop.Small(t, one, bend))
	require.True(t, rep.Complete, "%v", rep.Findings)
	g := sheetstest.Read(t, out)
	return shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("C", shop.TableRow(t, g, "Demo car one")), 3))
}

// buyingRow is the row of Buying that has a text in a column, from a row on.
func buyingRow(t *testing.T, g map[string]sheetstest.Value, col, text string, from int) int {
	t.Helper()
	for row := from; row < 500; row++ {
		if g[fmt.Sprint(col, row)].Text == text {
			return row
		}
	}
	require.FailNow(t, "no row", text)
	return 0
}

// By hand: a bend of 90 degrees in pies of 15 has 6, each 2*4.5*tan(7.5°) =
// 1.18487 in on its axis, 7.1092 in all; 7 cuts of 0.06/cos(7.5°)+0.02 in, of
// which one parts the blank from the stick. With six tubes of 30 in and three
// blanks, sticks of 120 in and 0.08 in a cut, three tubes and three blanks fit
// on one (90 + 22.8 + 6 cuts), and three tubes are left: two sticks.
func TestBuyingByHand(t *testing.T) {
	out, rep := shop.PriceWith(t, buyingOrder(t), "buying")
	g := sheetstest.Read(t, out)["Buying"]
	row := buyingRow(t, g, "B", "grade 2, 3 x 0.049", 1)
	assert.InDelta(t, 9, g[fmt.Sprint("C", row)].Num, 0)
	const blank = 7.10922 + 7*(0.06*1.00863+0.02) - 0.08
	assert.InDelta(t, (6*30+3*blank)/12, g[fmt.Sprint("D", row)].Num, 1e-4)
	assert.InDelta(t, 2, g[fmt.Sprint("F", row)].Num, 0)
	assert.Equal(t, "ok", g["B3"].Text)

	// What is bought goes into pieces, cuts and drops, stick by stick.
	head := buyingRow(t, g, "C", "Sticks cut so", row)
	pieces, times, cut := 0.0, 0.0, 0.0
	for r := head + 1; g[fmt.Sprint("E", r)].Kind == sheetstest.Number; r++ {
		at := func(col string) float64 { return g[fmt.Sprint(col, r)].Num }
		if at("C") > 0 {
			times, cut = at("C"), 0
		}
		assert.InDelta(t, cut, at("D"), 1e-3, "each piece begins where the saw has left off")
		cut = at("D") + at("F")*(at("E")+0.08)
		pieces += times * at("F")
		if g[fmt.Sprint("H", r)].Kind == sheetstest.Number {
			assert.InDelta(t, 7.5, at("G"), 1e-9, "half of what a pie turns")
		}
		if g[fmt.Sprint("L", r)].Kind == sheetstest.Number {
			assert.InDelta(t, 120, cut+at("L"), 0.081)
		}
	}
	assert.InDelta(t, 9, pieces, 0)
	assert.Positive(t, rep.Order["torch_bottles"])
}

// Bottles weld by weld: never fewer than the whole order divided, and each is
// changed when the next weld does not fit. Nine welds that take 0.6 of a bottle
// each need a bottle each, though 5.4 would do by the whole.
func TestBottlesAreChangedBetweenWelds(t *testing.T) {
	first, _ := shop.PriceWith(t, buyingOrder(t), "buying")
	g := sheetstest.Read(t, first)["Buying"]
	row := buyingRow(t, g, "B", "torch", 1)
	most := g[fmt.Sprint("G", row)].Num
	require.Positive(t, most)
	small := shop.Assume(t, first, shop.Setting{Key: "bottle_usable", Value: 0.9}, shop.Setting{Key: "bottle_size", Value: most / 0.6 / 0.9})
	out, rep := shop.PriceWith(t, small)
	g = sheetstest.Read(t, out)["Buying"]
	row = buyingRow(t, g, "B", "torch", 1)
	whole, seq := g[fmt.Sprint("D", row)].Num, g[fmt.Sprint("E", row)].Num
	assert.InDelta(t, rep.Order["torch_bottles"], whole, 0)
	assert.Greater(t, seq, whole)
	assert.LessOrEqual(t, seq, rep.Order["order_welds"])
	used := g[fmt.Sprint("C", row)].Num
	assert.InDelta(t, used, seq*g[fmt.Sprint("H", row)].Num-g[fmt.Sprint("F", row)].Num, g[fmt.Sprint("H", row)].Num, "what is bought less what is left, but for the last bottle")
}

// A weld that takes two and a half bottles takes the rest of it from the third:
// every bottle is used up, so that there are as many as by the whole.
func TestWeldsThatTakeBottles(t *testing.T) {
	first, _ := shop.PriceWith(t, shop.Small(t, shop.Butt("J-1")), "buying") // two welds alike
	g := sheetstest.Read(t, first)["Buying"]
	most := g[fmt.Sprint("G", buyingRow(t, g, "B", "torch", 1))].Num
	out, rep := shop.PriceWith(t, shop.Assume(t, first, shop.Setting{Key: "bottle_usable", Value: 0.9}, shop.Setting{Key: "bottle_size", Value: most / 2.5 / 0.9}))
	g = sheetstest.Read(t, out)["Buying"]
	row := buyingRow(t, g, "B", "torch", 1)
	assert.InDelta(t, 5, rep.Order["torch_bottles"], 0)
	assert.InDelta(t, 6, g[fmt.Sprint("E", row)].Num, 0, "the second weld is not begun on the half bottle that the first leaves")
}

// Once a length, a stick or a bottle is other, the sheet says so, in a program
// that is not ours.
func TestBuyingTellsWhenItIsOld(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	out, _ := shop.PriceWith(t, buyingOrder(t), "buying")
	g := sheetstest.Read(t, out)
	stock := shop.TableRow(t, g, "grade 2", 3.0, 0.049)
	changed := []string{
		shop.TypeIn(t, out, shop.At("Joints", shop.ColTube+"2", 31)),
		shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("F", stock), 8)),
		shop.Assume(t, out, shop.Setting{Key: "bottle_size", Value: 200}),
		shop.Assume(t, out, shop.Setting{Key: "kerf", Value: 0.1}),
		shop.TypeIn(t, out, shop.At("Joints", shop.ColQty+"3", 2)),
	}
	for i, live := range sheetstest.RecalculateAll(t, append(changed, out)...) {
		want := "LOOK"
		if i == len(changed) {
			want = "ok"
		}
		assert.Equal(t, want, live["Buying"]["B3"].Text, "%d", i)
		if want != "ok" {
			assert.Positive(t, shop.OnSummary(t, live, "Sheets for the bid: checks that do not hold"))
		}
	}
}
