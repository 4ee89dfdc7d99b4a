package recalculated_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// calculated counts the formulas on a row of "Joints".
func calculated(g sheetstest.Grid, row int) (n int) {
	for ref, v := range g["Joints"] {
		_, r, err := excelize.SplitCellName(ref)
		if err == nil && r == row && v.Formula != "" {
			n++
		}
	}
	return n
}

func TestRowsAddedAndDeleted(t *testing.T) {
	other, more := shop.Butt("J-2"), shop.Butt("J-3")
	other[4], other[8] = 2.5, 4
	more[4], more[8] = 2.0, 7
	clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), other))
	in := shop.Edited(t, clean, func(f *excelize.File) { require.NoError(t, f.SetSheetRow("Joints", "A4", &more)) })
	out, rep := shop.Price(t, in)
	_, want := shop.Price(t, shop.Small(t, shop.Butt("J-1"), other, more))
	assert.Equal(t, 3, rep.Priced)
	assert.True(t, rep.Complete, "%v", rep.Findings)
	assert.Equal(t, want.Order, rep.Order)
	g := sheetstest.Read(t, out)
	assert.Equal(t, calculated(g, 2), calculated(g, 4))

	in = shop.Edited(t, out, func(f *excelize.File) { require.NoError(t, f.RemoveRow("Joints", 2)) })
	_, rep = shop.Price(t, in)
	_, want = shop.Price(t, shop.Small(t, other, more))
	assert.Equal(t, want.Order, rep.Order)
	assert.Empty(t, rep.Findings)
}

func TestColumnsOfOursDeleted(t *testing.T) {
	clean, first := shop.Price(t, shop.TwoButts(t))
	for _, key := range []string{"arc_time", "wall", "check", "size_wrong"} {
		t.Run(key, func(t *testing.T) {
			g := sheetstest.Read(t, clean)
			col := shop.OurColumn(t, g, "Joints", key)
			in := shop.Edited(t, clean, func(f *excelize.File) {
				require.NoError(t, f.RemoveCol("Joints", col))
				for ref, v := range g["Assumptions"] { // as a spreadsheet writes what pointed at it
					if v.Formula == "'Joints'!$"+col+"$1" {
						require.NoError(t, f.SetCellFormula("Assumptions", ref, "'Joints'!#REF!"))
					}
				}
			})
			out, rep := shop.Price(t, in)
			assert.Equal(t, first.Order, rep.Order)
			was := calculated(g, 2)
			g = sheetstest.Read(t, out)
			assert.Equal(t, was, calculated(g, 2))
			for sheet, cells := range g {
				for ref, v := range cells {
					assert.NotContains(t, v.Formula, "#REF!", "%s!%s", sheet, ref)
				}
			}
		})
	}
}

func TestColumnInsertedAmongTheShops(t *testing.T) {
	clean, first := shop.Price(t, shop.TwoButts(t))
	in := shop.Edited(t, clean, func(f *excelize.File) {
		require.NoError(t, f.InsertCols("Joints", "C", 1))
		require.NoError(t, f.SetCellValue("Joints", "C1", "Drawing"))
		require.NoError(t, f.SetCellValue("Joints", "C2", "D-7"))
	})
	out, rep := shop.Price(t, in)
	assert.Equal(t, first.Order, rep.Order)
	assert.True(t, rep.Complete, "%v", rep.Findings)
	was, is := sheetstest.Read(t, clean), sheetstest.Read(t, out)
	assert.Equal(t, calculated(was, 2), calculated(is, 2), "columns are doubled")
	assert.Equal(t, "D-7", is["Joints"]["C2"].Text)
	want, got := sheetstest.Read(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")))["Joints"], sheetstest.Read(t, shop.Cleared(t, out))["Joints"]
	assert.Equal(t, len(want)+2, len(got))
}

func TestColumnOfTheShopsRightOfOurs(t *testing.T) {
	clean, first := shop.Price(t, shop.TwoButts(t))
	g := sheetstest.Read(t, clean)
	n, err := excelize.ColumnNameToNumber(shop.OurColumn(t, g, "Joints", "finding"))
	require.NoError(t, err)
	col, err := excelize.ColumnNumberToName(n + 1)
	require.NoError(t, err)
	in := shop.TypeIn(t, clean, shop.At("Joints", col+"1", "Remarks"), shop.At("Joints", col+"2", "late"))
	out, rep := shop.Price(t, in)
	assert.Equal(t, first.Order, rep.Order)
	assert.Equal(t, "late", sheetstest.Read(t, out)["Joints"][col+"2"].Text)
	back := sheetstest.Read(t, shop.Cleared(t, out))["Joints"]
	kept := false
	for _, v := range back {
		kept = kept || v.Text == "late"
		assert.Empty(t, v.Formula)
	}
	assert.True(t, kept)
}

func TestLinesInsertedOnAssumptions(t *testing.T) {
	clean, first := shop.Price(t, shop.TwoButts(t))
	row := shop.TableRow(t, sheetstest.Read(t, clean), "trailing shield, by hand")
	in := shop.Edited(t, clean, func(f *excelize.File) { require.NoError(t, f.InsertRows("Assumptions", row, 1)) })
	out, rep := shop.Price(t, in)
	assert.Equal(t, first.Order, rep.Order)
	assert.Equal(t, row+1, shop.TableRow(t, sheetstest.Read(t, out), "trailing shield, by hand"))
}

func TestListSheetRenamed(t *testing.T) {
	clean, first := shop.Price(t, shop.TwoButts(t))
	const title = "Joints, rev B's <new>"
	out, rep := shop.Price(t, shop.SheetRenamed(t, clean, title))
	assert.Equal(t, first.Order, rep.Order)
	was, is := sheetstest.Read(t, clean), sheetstest.Read(t, out)
	n := 0
	for _, v := range is[title] {
		if v.Formula != "" {
			n++
		}
	}
	assert.Equal(t, calculated(was, 2)+calculated(was, 3), n, "columns are doubled")
	assert.Equal(t, title, is["Workings"][fmt.Sprint("B", summaryRow(t, is, title))].Text)
}

func summaryRow(t *testing.T, g sheetstest.Grid, label string) int {
	t.Helper()
	for row := 1; row < 300; row++ {
		if g["Workings"][fmt.Sprint("B", row)].Text == label {
			return row
		}
	}
	require.FailNow(t, "not on Workings", label)
	return 0
}

func TestSecondListAddedLater(t *testing.T) {
	clean, first := shop.Price(t, shop.TwoButts(t))
	in := shop.Edited(t, clean, func(f *excelize.File) {
		_, err := f.NewSheet("Demo car two")
		require.NoError(t, err)
		require.NoError(t, f.SetSheetRow("Demo car two", "B4", &shop.Row{"OD mm", "Wall (mm)", "Kind"}))
		require.NoError(t, f.SetSheetRow("Demo car two", "B5", &shop.Row{76.2, 1.2446, "butt"}))
	})
	out, rep := shop.Price(t, in)
	require.Zero(t, rep.LeftOut, "%v", rep.Findings)
	assert.Equal(t, 3, rep.Priced)
	assert.Equal(t, first.Cars[0].Figures["price_car"], carReport(t, rep, "Demo car one").Figures["price_car"])
	g := sheetstest.Read(t, out)
	assert.InDelta(t, 3.0, shop.Figure(t, g, "Demo car two", "od", 5).Num, 1e-12) // 76.2 mm is 3 in exactly
	assert.Contains(t, shop.Figure(t, g, "Demo car two", "od", 5).Formula, "/25.4")
	assert.Equal(t, 1.0, carReport(t, rep, "Demo car two").Ordered)
}

func TestListDeletedLater(t *testing.T) {
	clean, _ := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	in := shop.Edited(t, clean, func(f *excelize.File) { require.NoError(t, f.DeleteSheet("Track Demo-C")) })
	out, err := shop.PriceOrNot(t, in)
	require.NoError(t, err)
	g := sheetstest.Read(t, out)
	for ref, v := range g["Workings"] {
		assert.False(t, strings.Contains(v.Formula, "Track Demo-C") || v.Text == "#REF!", "%s: %v =%s", ref, v, v.Formula)
	}
	assert.Equal(t, 46.0, shop.OnWorkings(t, g, "Joint rows read"))
}

func TestMovesInLibreOffice(t *testing.T) {
	shop.Play(t,
		shop.Scene{
			Name: "second list in millimetres, a sheet renamed",
			Make: func(t *testing.T) []string {
				clean, _ := shop.Price(t, shop.TwoButts(t))
				in := shop.Edited(t, shop.SheetRenamed(t, clean, "Joints, rev B's <new>"), func(f *excelize.File) {
					_, err := f.NewSheet("O'Demo & co")
					require.NoError(t, err)
					for i, row := range []shop.Row{{"OD mm", "Wall (mm)", "Kind", "Bend"}, {76.2, 1.2446, "butt"}, {63.5, 1.2446, "pie cut", "90°"}} {
						require.NoError(t, f.SetSheetRow("O'Demo & co", fmt.Sprint("B", 4+i), &row))
					}
				})
				out, rep := shop.Price(t, in)
				require.Zero(t, rep.LeftOut, "%v", rep.Findings)
				return []string{out}
			},
			Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				shop.Equal(t, paths[0], live[0])
				assert.Equal(t, "INCOMPLETE", shop.Master(live[0]))
			},
		},
		shop.Scene{
			Name: "a list deleted and priced again",
			Make: func(t *testing.T) []string {
				clean, _ := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
				out, _ := shop.Price(t, shop.Edited(t, clean, func(f *excelize.File) { require.NoError(t, f.DeleteSheet("Track Demo-C")) }))
				return []string{out}
			},
			Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				shop.Equal(t, paths[0], live[0])
			},
		},
	)
}
