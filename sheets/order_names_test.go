package sheets_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
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
		price, cost, cars := onSummary(t, g, "Price of the order"), onSummary(t, g, "Cost"), onSummary(t, g, "Cars")
		assert.Equal(t, price, g["Our sums"]["B1"].Num)
		assert.InDelta(t, cost/cars, g["Our sums"]["B2"].Num, 0.01)
		assert.Equal(t, onSummary(t, g, "Bottles to buy"), g["Our sums"]["B3"].Num)
	}
	var grown []listRow
	for i := range 20 { // more than the first Summary has room for
		r := butt(fmt.Sprint("J-", i+3))
		r[1] = fmt.Sprint("Demo car ", i+3)
		grown = append(grown, r)
	}
	play(t,
		scene{name: "as it is", check: check, make: func(t *testing.T) []string {
			out, _ := price(t, small(t, butt("J-1")))
			return []string{edited(t, out, ours)}
		}},
		scene{name: "grown", check: check, make: func(t *testing.T) []string {
			out, _ := price(t, small(t, butt("J-1")))
			out = edited(t, edited(t, out, ours), func(f *excelize.File) {
				for i, r := range grown {
					row := []any(r)
					require.NoError(t, f.SetSheetRow("Joints", fmt.Sprint("A", i+3), &row))
				}
			})
			again, rep := price(t, out)
			require.Len(t, rep.Cars, 21)
			return []string{again}
		}},
	)
}
