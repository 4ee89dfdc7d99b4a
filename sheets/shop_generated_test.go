package sheets_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
)

// whole is a scene of a workbook that prices completely and recalculates equal
// in every cell.
func whole(name string, rows int, heavy bool, in func(t *testing.T) string) scene {
	return scene{
		name:  name,
		heavy: heavy,
		make: func(t *testing.T) []string {
			out, rep := price(t, in(t))
			require.Zero(t, rep.LeftOut, "%v", rep.Findings)
			require.True(t, rep.Complete, "%v", rep.Findings)
			if rows > 0 {
				require.Equal(t, rows, rep.Priced)
			}
			return []string{out}
		},
		check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
			equal(t, paths[0], live[0])
			stored := sheetstest.Read(t, paths[0])
			assert.Equal(t, master(stored), master(live[0]))
			assert.Equal(t, onSummary(t, stored, labelPrice), onSummary(t, live[0], labelPrice), "to the cent")
		},
	}
}

func TestOrdersRecalculateEqual(t *testing.T) {
	play(t,
		whole("starter", 0, false, func(t *testing.T) string { return starter(t, false) }),
		whole("starter, metric", 0, false, func(t *testing.T) string { return starter(t, true) }),
		whole("300 rows", 300, true, func(t *testing.T) string { return stocked(t, generated(t, 300, 11, false)) }),
		whole("300 rows, metric", 300, true, func(t *testing.T) string { return stocked(t, generated(t, 300, 12, true)) }),
	)
}

// stocked is a priced workbook with a price typed for every size of tube and
// rod that had none.
func stocked(t *testing.T, in string) string {
	t.Helper()
	out, rep := price(t, in)
	require.False(t, rep.Complete, "the seed must bring sizes that are not in stock")
	a := sheetstest.Read(t, out)["Assumptions"]
	var cells []typed
	for ref, v := range a {
		if v.Text != "price missing" {
			continue
		}
		_, row, err := excelize.SplitCellName(ref)
		require.NoError(t, err)
		at := fmt.Sprint("D", row) // of a rod; of a tube, its wall stands there
		if a[at].Kind == sheetstest.Number {
			at = fmt.Sprint("E", row)
		}
		cells = append(cells, typed{"Assumptions", at, 40.0 + float64(row)/8})
	}
	return typeIn(t, out, cells...)
}

func TestStartersPriceAsTheyStand(t *testing.T) {
	for _, metric := range []bool{false, true} {
		out, rep := price(t, starter(t, metric))
		assert.True(t, rep.Complete, "%v", rep.Findings)
		assert.Equal(t, "COMPLETE", master(sheetstest.Read(t, out)))
		assert.Positive(t, rep.Order["order_price"])
	}
}

func TestGeneratedOrdersOfManySeeds(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy")
	}
	for seed := range int64(12) {
		in := generated(t, 25, 100+seed, seed%2 == 0)
		out, rep := price(t, in)
		require.Zero(t, rep.LeftOut, "seed %d: %v", seed, rep.Findings)
		again, _ := price(t, out)
		require.True(t, content(t, out) == content(t, again), "seed %d: priced again, the workbook changes", seed)
		want, got := sheetstest.Read(t, in), sheetstest.Read(t, cleared(t, out))
		for sheet := range want {
			sameCells(t, want[sheet], got[sheet], sheet)
		}
	}
}
