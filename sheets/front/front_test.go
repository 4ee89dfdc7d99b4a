package front_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

const sheet = "Summary"

// tile is the figure in the strip at the head of the page that is called so.
func tile(t *testing.T, g sheetstest.Grid, words string) float64 {
	t.Helper()
	for col := 1; col <= 11; col++ {
		if g[sheet][grid.Ref(5, col)].Text == words {
			return g[sheet][grid.Ref(6, col)].Num
		}
	}
	require.FailNow(t, "not on the page", words)
	return 0
}

// The page says what the run has found, and says it live: LibreOffice works it out
// again to the same, also after a rate has moved.
func TestThePageAnswersFirst(t *testing.T) {
	out, rep := shop.Price(t, shop.Demo("order.xlsx"))
	g := sheetstest.Read(t, out)
	assert.Equal(t, "COMPLETE", g[sheet]["A3"].Text)
	for words, key := range map[string]string{
		"Price of the order": "order_price", "The order brings": "order_brings", "Cost": "order_cost", "Margin made": "order_margin",
		"Hours": "order_hours", "Working days": "days", "Stops": "order_stops", "Bottles to buy": "bottles",
	} {
		assert.Equal(t, rep.Order[key], tile(t, g, words), words)
	}
	assert.NotContains(t, texts(g), "To be settled, or looked at")

	moved := shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("C", shop.Assumption(t, g, "shop_rate")), 140.0))
	live := sheetstest.Recalculate(t, moved)
	again, rep2 := shop.Price(t, moved)
	require.NotEqual(t, rep.Order["order_price"], rep2.Order["order_price"])
	assert.InDelta(t, rep2.Order["order_price"], tile(t, live, "Price of the order"), 1e-6)
	assert.Equal(t, rep2.Order["order_price"], tile(t, sheetstest.Read(t, again), "Price of the order"))
}

func texts(g sheetstest.Grid) (out []string) {
	for _, v := range g[sheet] {
		out = append(out, v.Text)
	}
	return out
}

// What is to be settled stands there with a link to its cell, and what to do.
func TestWhatIsToBeSettledHasALink(t *testing.T) {
	in := shop.TypeIn(t, shop.Demo("order.xlsx"), shop.At("Joints", "G8", "thin"))
	out, rep := shop.Price(t, in)
	require.False(t, rep.Complete)
	g := sheetstest.Read(t, out)
	assert.Equal(t, "INCOMPLETE", g[sheet]["A3"].Text)
	assert.Contains(t, g[sheet]["B3"].Text, "Lay no price before a customer")
	row := 0
	for ref, v := range g[sheet] {
		if v.Text == "Joints!G8" {
			assert.Equal(t, `HYPERLINK("#'Joints'!G8","Joints!G8")`, strings.ReplaceAll(v.Formula, "#Joints!", "#'Joints'!"))
			at, err := grid.ParseRange(ref)
			require.NoError(t, err)
			row = at.Row1
		}
	}
	require.Positive(t, row)
	assert.Contains(t, g[sheet][fmt.Sprint("A", row)].Text, "thin")
	assert.NotEmpty(t, g[sheet][fmt.Sprint("A", row+1)].Text, "what to do")
	live := sheetstest.Recalculate(t, out)
	assert.Equal(t, "Joints!G8", live[sheet][fmt.Sprint("G", row)].Text)
}

// In print the demo's page is one.
func TestOnePage(t *testing.T) {
	for _, name := range []string{"order.xlsx", "order-metric.xlsx"} {
		out, _ := shop.Price(t, shop.Demo(name))
		alone := shop.Edited(t, out, func(f *excelize.File) {
			for _, title := range f.GetSheetList() {
				if title != sheet {
					for _, d := range f.GetDefinedName() {
						if d.Scope == title && strings.HasPrefix(d.Name, "_xlnm.Print_") {
							require.NoError(t, f.DeleteDefinedName(&d))
						}
					}
				}
			}
			at, err := f.GetSheetIndex(sheet)
			require.NoError(t, err)
			f.SetActiveSheet(at)
			for _, title := range f.GetSheetList() {
				require.NoError(t, f.SetSheetVisible(title, title == sheet))
			}
		})
		assert.Len(t, sheetstest.ToPNG(t, alone, t.TempDir()), 1, name)
	}
}

// Amounts fit their columns: a digit is about as wide as a character of the width, and
// large digits are not many.
func TestAmountsFitTheirColumns(t *testing.T) {
	out, _ := shop.Price(t, shop.Demo("order.xlsx"))
	f, err := excelize.OpenFile(out)
	require.NoError(t, err)
	defer f.Close()
	rows, err := f.GetRows(sheet)
	require.NoError(t, err)
	for i, row := range rows {
		for k, shown := range row {
			name, err := excelize.ColumnNumberToName(k + 1)
			require.NoError(t, err)
			kind, err := f.GetCellType(sheet, fmt.Sprint(name, i+1))
			require.NoError(t, err)
			if kind != excelize.CellTypeUnset && kind != excelize.CellTypeNumber {
				continue
			}
			width, err := f.GetColWidth(sheet, name)
			require.NoError(t, err)
			assert.LessOrEqual(t, float64(len(shown)), math.Ceil(width), "%s%d: %s", name, i+1, shown)
		}
	}
}

// A row that shows an error is named on the page as soon as a recalculation finds it,
// also behind rows that want a look only, and on a list that is not the first.
func TestThePageNamesTheFirstRowWithAnError(t *testing.T) {
	in := shop.Edited(t, shop.Demo("order.xlsx"), func(f *excelize.File) {
		_, err := f.NewSheet("More")
		require.NoError(t, err)
		for i, row := range []shop.Row{{"Joint no", "OD", "Wall"}, {"M1", 3.0, 0.047}, {"M2", 3.0, 0.2}, {"M3", `3"`, 0.047}, {"M4", `3"`, 0.047}} {
			cells := []any(row)
			require.NoError(t, f.SetSheetRow("More", fmt.Sprint("A", i+1), &cells))
		}
	})
	out, _ := shop.Price(t, in)
	named := func(path string) string { return sheetstest.Recalculate(t, path)[sheet]["B4"].Text }
	assert.NotContains(t, named(out), "an error")
	assert.NotContains(t, sheetstest.Read(t, out)[sheet]["B4"].Text, "an error")

	check := "" // the column of the words of the checks
	g := sheetstest.Read(t, out)
	for ref, v := range g["More"] {
		if v.Text == "Check" {
			check = strings.TrimRight(ref, "0123456789")
		}
	}
	require.NotEmpty(t, check)
	broken := shop.TypeIn(t, out, shop.At("More", "B5", `3 "`)) // no longer the text that was read
	assert.Equal(t, "Cells show an error; the first such row: More!"+check+"5", named(broken))
	broken = shop.TypeIn(t, broken, shop.At("More", "B4", `3 "`))
	assert.Equal(t, "Cells show an error; the first such row: More!"+check+"4", named(broken))
}
