package sheets_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// A shop may point formulas of its own at the order's figures by their names. They
// follow the figures when the order grows, in a workbook of an earlier version
// too, and mean what they say when it is recalculated.
func TestOrderFiguresHaveNames(t *testing.T) {
	formulas := map[string]string{"B1": "order_price", "B2": "ROUND(order_cost/order_cars,2)", "B3": "bottles"}
	ours := func(f *excelize.File) {
		_, err := f.NewSheet("Our sums")
		require.NoError(t, err)
		for ref, formula := range formulas {
			require.NoError(t, f.SetCellFormula("Our sums", ref, formula))
		}
	}
	check := func(t *testing.T, _ []string, live []sheetstest.Grid) {
		g := live[0]
		price, cost, cars := shop.OnWorkings(t, g, "Price of the order"), shop.OnWorkings(t, g, "Cost"), shop.OnWorkings(t, g, "Cars")
		assert.Equal(t, price, g["Our sums"]["B1"].Num)
		assert.InDelta(t, cost/cars, g["Our sums"]["B2"].Num, 0.01)
		assert.Equal(t, shop.OnWorkings(t, g, "Bottles to buy"), g["Our sums"]["B3"].Num)
	}
	var grown []shop.Row
	for i := range 20 { // more than the first Summary has room for
		r := shop.Butt(fmt.Sprint("J-", i+3))
		r[1] = fmt.Sprint("Demo car ", i+3)
		grown = append(grown, r)
	}
	shop.Play(t,
		shop.Scene{Name: "as it is", Check: check, Make: func(t *testing.T) []string {
			out, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
			return []string{shop.Edited(t, out, ours)}
		}},
		shop.Scene{Name: "grown", Check: check, Make: func(t *testing.T) []string {
			out, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
			out = shop.Edited(t, shop.Edited(t, out, ours), func(f *excelize.File) {
				for i, r := range grown {
					row := []any(r)
					require.NoError(t, f.SetSheetRow("Joints", fmt.Sprint("A", i+3), &row))
				}
			})
			again, rep := shop.Price(t, out)
			require.Len(t, rep.Cars, 21)
			return []string{again}
		}},
	)
}
