// Package recalculated_test tries what a workbook shows once it is priced and then changed:
// LibreOffice works it out anew and must find what the program stores.
package recalculated_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/book"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

func TestMain(m *testing.M) { shop.Main(m) }

// whole is a scene of a workbook that prices completely and recalculates equal
// in every cell.
func whole(name string, rows int, heavy bool, in func(t *testing.T) string) shop.Scene {
	return shop.Scene{
		Name:  name,
		Heavy: heavy,
		Make: func(t *testing.T) []string {
			out, rep := shop.Price(t, in(t))
			require.Zero(t, rep.LeftOut, "%v", rep.Findings)
			for _, reason := range rep.Reasons { // inputs that move nothing, and cars that are called alike, are asked about
				require.Contains(t, []string{book.CheckInputs, book.CheckCars}, reason.Check, "%v", rep.Findings)
			}
			if rows > 0 {
				require.Equal(t, rows, rep.Priced)
			}
			return []string{out}
		},
		Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
			shop.Equal(t, paths[0], live[0])
			stored := sheetstest.Read(t, paths[0])
			assert.Equal(t, shop.Master(stored), shop.Master(live[0]))
			assert.Equal(t, shop.OnWorkings(t, stored, shop.LabelPrice), shop.OnWorkings(t, live[0], shop.LabelPrice), "to the cent")
		},
	}
}

func TestOrdersRecalculateEqual(t *testing.T) {
	shop.Play(t,
		whole("starter", 0, false, func(t *testing.T) string { return shop.Starter(t, false) }),
		whole("starter, metric", 0, false, func(t *testing.T) string { return shop.Starter(t, true) }),
		whole("300 rows", 300, true, func(t *testing.T) string { return stocked(t, shop.Generated(t, 300, 11, false)) }),
		whole("300 rows, metric", 300, true, func(t *testing.T) string { return stocked(t, shop.Generated(t, 300, 12, true)) }),
	)
}

// stocked is a priced workbook with a price typed for every size of tube and
// rod that had none.
func stocked(t *testing.T, in string) string {
	t.Helper()
	out, rep := shop.Price(t, in)
	require.False(t, rep.Complete, "the seed must bring sizes that are not in stock")
	a := sheetstest.Read(t, out)["Assumptions"]
	var cells []shop.Cell
	for ref, v := range a {
		if v.Text != "size from the joint list; the price is the shop's own" {
			continue
		}
		_, row, err := excelize.SplitCellName(ref)
		require.NoError(t, err)
		at := fmt.Sprint("D", row) // of a rod; of a tube, its wall stands there
		if a[at].Kind == sheetstest.Number {
			at = fmt.Sprint("E", row)
		}
		cells = append(cells, shop.At("Assumptions", at, 40.0+float64(row)/8))
	}
	return shop.TypeIn(t, out, cells...)
}

func TestStartersPriceAsTheyStand(t *testing.T) {
	for _, metric := range []bool{false, true} {
		out, rep := shop.Price(t, shop.Starter(t, metric))
		assert.True(t, rep.Complete, "%v", rep.Findings)
		assert.Equal(t, "COMPLETE", shop.Master(sheetstest.Read(t, out)))
		assert.Positive(t, rep.Order["order_price"])
	}
}

func TestGeneratedOrdersOfManySeeds(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy")
	}
	for seed := range int64(12) {
		in := shop.Generated(t, 25, 100+seed, seed%2 == 0)
		out, rep := shop.Price(t, in)
		require.Zero(t, rep.LeftOut, "seed %d: %v", seed, rep.Findings)
		again, _ := shop.Price(t, out)
		require.True(t, shop.Content(t, out) == shop.Content(t, again), "seed %d: priced again, the workbook changes", seed)
		want, got := sheetstest.Read(t, in), sheetstest.Read(t, shop.Cleared(t, out))
		for sheet := range want {
			shop.SameCells(t, want[sheet], got[sheet], sheet)
		}
	}
}
