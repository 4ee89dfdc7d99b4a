package sheets_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
)

// rateOrder is an order with joints that some shields do not fit, and one in
// which a figure was typed over.
func rateOrder(t *testing.T) string {
	t.Helper()
	bend, fillet := butt("J-2"), butt("J-3")
	bend[2], bend[7] = "pie cut", 90
	fillet[2], fillet[1] = "fillet", "Demo car two"
	odd := butt("J-4")
	odd[6] = "trailing shield, by hand"
	out, rep := price(t, small(t, butt("J-1"), bend, fillet, odd, butt("J-5")))
	require.True(t, rep.Complete, "%v", rep.Findings)
	g := sheetstest.Read(t, out)
	out = typeIn(t, out, typed{"Joints", fmt.Sprint(ourColumn(t, g, "Joints", "arc_time"), 6), 9.5})
	return typeIn(t, out, typed{"Assumptions", fmt.Sprint("C", tableRow(t, g, "Demo car one")), 3})
}

// What Rates says of a set-up is what pricing the order comes to with that
// set-up typed on every joint that it fits, to the cent.
func TestRatesAreThePricesOfOtherSetups(t *testing.T) {
	in := rateOrder(t)
	out, rep := priceWith(t, in, "rates")
	g := sheetstest.Read(t, out)["Rates"]
	assert.InDelta(t, rep.Order["order_cost"], g["H7"].Num, 0.0051)
	for row, c := range []struct {
		setup string
		fits  []int // rows of the list
	}{
		{"cup, stop and start", []int{2, 3, 4, 5}},
		{"trailing shield, on rolls", []int{2, 3, 5}}, // no fillet, as shipped
		{"trailing shield, by hand", []int{2, 3, 4, 5}},
	} {
		var cells []typed
		for _, r := range c.fits {
			cells = append(cells, typed{"Joints", fmt.Sprint(colSetup, r), c.setup})
		}
		want := reportOf(t, typeIn(t, in, cells...))
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
	out, _ := priceWith(t, rateOrder(t), "rates")
	changed := typeIn(t, assume(t, out, set{key: "shop_rate", value: 150}), typed{"Joints", colQty + "2", 7}, typed{"Joints", colWall + "3", 0.049}, typed{"Joints", colSetup + "5", "cup, stop and start"})
	again, _ := price(t, changed)
	live := sheetstest.Recalculate(t, changed)["Rates"]
	fresh := sheetstest.Read(t, again)["Rates"]
	for row := 7; row <= 10; row++ {
		for _, col := range []string{"D", "E", "F", "G", "H", "I", "J", "K", "L"} {
			at := fmt.Sprint(col, row)
			assert.InDelta(t, fresh[at].Num, live[at].Num, 1e-6, at)
		}
	}
}
