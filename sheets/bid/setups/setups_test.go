package setups_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// rateOrder is an order with joints that some shields do not fit, and one in
// which a figure was typed over.
func rateOrder(t *testing.T) string {
	t.Helper()
	bend, fillet := shop.Butt("J-2"), shop.Butt("J-3")
	bend[2], bend[7] = "pie cut", 90
	fillet[2], fillet[1] = "fillet", "Demo car two"
	odd := shop.Butt("J-4")
	odd[6] = "trailing shield, by hand"
	out, rep := shop.Price(t, shop.Small(t, shop.Butt("J-1"), bend, fillet, odd, shop.Butt("J-5")))
	require.True(t, rep.Complete, "%v", rep.Findings)
	g := sheetstest.Read(t, out)
	out = shop.TypeIn(t, out, shop.At("Joints", fmt.Sprint(shop.OurColumn(t, g, "Joints", "arc_time"), 6), 9.5))
	return shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("C", shop.TableRow(t, g, "Demo car one")), 3))
}

// What Set-ups says of a set-up is what pricing the order comes to with that
// set-up typed on every joint that it fits, to the cent.
func TestRatesAreThePricesOfOtherSetups(t *testing.T) {
	in := rateOrder(t)
	out, rep := shop.PriceWith(t, in, "rates")
	g := sheetstest.Read(t, out)["Set-ups"]
	assert.InDelta(t, rep.Order["order_cost"], g["H7"].Num, 0.0051)
	for row, c := range []struct {
		setup string
		fits  []int // rows of the list
	}{
		{"cup, stop and start", []int{2, 3, 4, 5}},
		{"trailing shield, on rolls", []int{2, 3, 5}}, // no fillet, as shipped
		{"trailing shield, by hand", []int{2, 3, 5}},
	} {
		var cells []shop.Cell
		for _, r := range c.fits {
			cells = append(cells, shop.At("Joints", fmt.Sprint(shop.ColSetup, r), c.setup))
		}
		want := shop.ReportOf(t, shop.TypeIn(t, in, cells...))
		at := func(col string) float64 { return g[fmt.Sprint(col, 8+row)].Num }
		require.Equal(t, c.setup, g[fmt.Sprint("B", 8+row)].Text)
		assert.InDelta(t, float64(len(c.fits)), at("C"), 0, c.setup)
		assert.InDelta(t, want.Order["order_hours"], at("D"), 1e-9, c.setup)
		assert.InDelta(t, want.Order["order_stops"], at("E"), 0, c.setup)
		assert.InDelta(t, want.Order["order_argon"], at("F"), 1e-6, c.setup)
		assert.InDelta(t, want.Order["bottles"], at("G"), 0, c.setup)
		assert.InDelta(t, want.Order["order_cost"], at("H"), 0.0051, c.setup)
		assert.InDelta(t, want.Order["order_price"], at("I"), 0.0051, c.setup)
	}
	assert.Equal(t, "ok", g["B3"].Text)
}

// In a program that is not ours the sheet follows a rate, a size and a set-up
// that are changed afterwards.
func TestRatesAreLive(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	out, _ := shop.PriceWith(t, rateOrder(t), "rates")
	changed := shop.TypeIn(t, shop.Assume(t, out, shop.Setting{Key: "shop_rate", Value: 150}), shop.At("Joints", shop.ColQty+"2", 7), shop.At("Joints", shop.ColWall+"3", 0.049), shop.At("Joints", shop.ColOD+"4", 2.5), shop.At("Joints", shop.ColSetup+"5", "cup, stop and start"))
	again, _ := shop.Price(t, changed)
	live := sheetstest.Recalculate(t, changed)["Set-ups"]
	fresh := sheetstest.Read(t, again)["Set-ups"]
	for row := 7; row <= 10; row++ {
		for _, col := range []string{"D", "E", "F", "G", "H", "I", "J", "K", "L"} {
			at := fmt.Sprint(col, row)
			assert.InDelta(t, fresh[at].Num, live[at].Num, 1e-6, at)
		}
	}
	kits := 0
	for row := 8; row < 30; row++ {
		if fresh[fmt.Sprint("B", row-1)].Text != "Set-up" {
			continue
		}
		for i, sizes := range []float64{2, 1, 1} { // the fillet has the second
			for col := 'C'; col <= 'J'; col++ {
				at := fmt.Sprintf("%c%d", col, row+i)
				assert.Equal(t, fresh[at].Text, live[at].Text, at)
				assert.InDelta(t, fresh[at].Num, live[at].Num, 1e-6, at)
			}
			assert.InDelta(t, sizes, live[fmt.Sprint("D", row+i)].Num, 0)
			kits++
		}
		break
	}
	assert.Equal(t, 3, kits)
}
