package recalculated_test

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// styleOf is the look of a calculated cell.
func styleOf(t *testing.T, path, key string, row int) *excelize.Style {
	t.Helper()
	g := sheetstest.Read(t, path)
	f, err := excelize.OpenFile(path)
	require.NoError(t, err)
	defer f.Close()
	xf, err := f.GetCellStyle("Joints", fmt.Sprint(shop.OurColumn(t, g, "Joints", key), row))
	require.NoError(t, err)
	s, err := f.GetStyle(xf)
	require.NoError(t, err)
	return s
}

func TestNumberTypedOverAFigure(t *testing.T) {
	clean, first := shop.Price(t, shop.TwoButts(t))
	was := sheetstest.Read(t, clean)
	out, rep := shop.Price(t, shop.TypedOver(t, clean, "arc_time", 2, 10.0))
	g := sheetstest.Read(t, out)

	typedCell := shop.Figure(t, g, "Joints", "arc_time", 2)
	assert.Equal(t, sheetstest.Value{Kind: sheetstest.Number, Num: 10}, typedCell)
	tail, regrip := shop.Figure(t, g, "Joints", "flow_tail", 2).Num, shop.Figure(t, g, "Joints", "regrip", 2).Num
	assert.InDelta(t, 10+tail+regrip, shop.Figure(t, g, "Joints", "weld_out", 2).Num, 1e-9)
	assert.InDelta(t, 20, shop.Figure(t, g, "Joints", "line_arc", 2).Num, 1e-9) // two welds
	assert.Equal(t, shop.Figure(t, was, "Joints", "line_arc", 3), shop.Figure(t, g, "Joints", "line_arc", 3))
	assert.Greater(t, rep.Order["order_cost"], first.Order["order_cost"])

	assert.Equal(t, 1.0, shop.OnWorkings(t, g, shop.LabelTyped))
	assert.True(t, shop.HasFinding(rep, "warning", "Joints!", "typed over"), "%v", rep.Findings)
	assert.True(t, rep.Complete)
	assert.NotEqual(t, styleOf(t, clean, "arc_time", 2), styleOf(t, out, "arc_time", 2))
	assert.Equal(t, styleOf(t, out, "arc_time", 3), styleOf(t, clean, "arc_time", 3))

	again, _ := shop.Price(t, out)
	assert.True(t, shop.Content(t, again) == shop.Content(t, out), "priced again, the workbook changes")

	back, rep := refilled(t, out)
	shop.SamePriced(t, clean, back)
	assert.Equal(t, first.Order, rep.Order)
	assert.Equal(t, styleOf(t, clean, "arc_time", 2), styleOf(t, back, "arc_time", 2))
}

func TestNumberTypedOverAnInputAsRead(t *testing.T) {
	clean, first := shop.Price(t, shop.TwoButts(t))
	out, rep := shop.Price(t, shop.TypedOver(t, clean, "wall", 2, 0.047))
	g := sheetstest.Read(t, out)
	assert.Equal(t, sheetstest.Value{Kind: sheetstest.Number, Num: 0.047}, shop.Figure(t, g, "Joints", "wall", 2))
	assert.Equal(t, 0.049, g["Joints"][shop.ColWall+"2"].Num, "the shop's own cell")
	assert.Equal(t, 1.0, shop.OnWorkings(t, g, shop.LabelTyped))
	assert.True(t, shop.HasFinding(rep, "warning", "Wall", "typed over"), "%v", rep.Findings)
	assert.NotEqual(t, first.Order, rep.Order)
	back, _ := refilled(t, out)
	shop.SamePriced(t, clean, back)
}

func TestWordTypedOverAnInputAsRead(t *testing.T) {
	clean, _ := shop.Price(t, shop.TwoButts(t))
	const word = "trailing shield, on rolls"
	out, rep := shop.Price(t, shop.TypedOver(t, clean, "setup", 2, word))
	g := sheetstest.Read(t, out)
	assert.Equal(t, word, shop.Figure(t, g, "Joints", "setup", 2).Text)
	assert.Equal(t, 0.0, shop.Figure(t, g, "Joints", "stops", 2).Num)
	assert.Positive(t, shop.Figure(t, g, "Joints", "stops", 3).Num)
	assert.True(t, shop.HasFinding(rep, "warning", "typed over"), "%v", rep.Findings)
	assert.NotEqual(t, styleOf(t, clean, "setup", 2), styleOf(t, out, "setup", 2))
	t.Run("is counted on Workings", func(t *testing.T) {
		assert.Equal(t, 1.0, shop.OnWorkings(t, g, "Cells typed over calculated ones"))
	})
	back, _ := refilled(t, out)
	shop.SamePriced(t, clean, back)
}

func TestTextTypedOverANumber(t *testing.T) {
	clean, first := shop.Price(t, shop.TwoButts(t))
	out, rep := shop.Price(t, shop.TypedOver(t, clean, "arc_time", 2, "about ten"))
	g := sheetstest.Read(t, out)
	assert.Equal(t, 1, rep.LeftOut)
	assert.False(t, rep.Complete)
	check := shop.Figure(t, g, "Joints", "check", 2).Text
	assert.Contains(t, check, "left out: ")
	assert.Contains(t, check, "about ten")
	assert.Equal(t, "about ten", shop.Figure(t, g, "Joints", "arc_time", 2).Text, "what was typed stays")
	assert.Equal(t, "INCOMPLETE", shop.Master(g))
	back, rep := refilled(t, out)
	shop.SamePriced(t, clean, back)
	assert.Equal(t, first.Order, rep.Order)
}

func TestNegativeNumberTypedOver(t *testing.T) {
	clean, _ := shop.Price(t, shop.TwoButts(t))
	out, rep := shop.Price(t, shop.TypedOver(t, clean, "wall", 2, -0.049))
	assert.Equal(t, 1, rep.LeftOut)
	assert.Equal(t, "INCOMPLETE", shop.Master(sheetstest.Read(t, out)))
}

func TestCheckCellIsAlwaysOurs(t *testing.T) {
	clean, _ := shop.Price(t, shop.TwoButts(t))
	out, rep := shop.Price(t, shop.TypedOver(t, clean, "check", 2, "I say it is fine"))
	require.Zero(t, rep.LeftOut)
	shop.SamePriced(t, clean, out)
}

func TestEmptiedFigureIsFilledAgain(t *testing.T) {
	clean, _ := shop.Price(t, shop.TwoButts(t))
	out, _ := shop.Price(t, shop.TypedOver(t, clean, "arc_time", 2, nil))
	shop.SamePriced(t, clean, out)
}

// otherFormulas are formulas that the shop types over ours: they are not ours
// to keep, and the column must stay one formula.
func TestFormulaTypedOverIsReplaced(t *testing.T) {
	clean, _ := shop.Price(t, shop.TwoButts(t))
	g := sheetstest.Read(t, clean)
	in := shop.Edited(t, clean, func(f *excelize.File) {
		require.NoError(t, f.SetCellFormula("Joints", shop.OurColumn(t, g, "Joints", "arc_time")+"2", "1+1"))
	})
	out, rep := shop.Price(t, in)
	shop.SamePriced(t, clean, out)
	t.Run("and is told", func(t *testing.T) {
		assert.True(t, shop.HasFinding(rep, "formula"), "%v", rep.Findings)
	})
}

func TestHeadingsRewordedAndColumnsFound(t *testing.T) {
	clean, first := shop.Price(t, shop.TwoButts(t))
	out, rep := shop.Price(t, shop.TypedOver(t, clean, "line_cost", 1, "What it costs us"))
	g := sheetstest.Read(t, out)
	assert.Equal(t, "What it costs us", shop.Figure(t, g, "Joints", "line_cost", 1).Text)
	assert.Equal(t, first.Order, rep.Order)
	n := 0
	for ref, v := range g["Joints"] {
		if strings.HasSuffix(ref, "2") && v.Formula != "" {
			n++
		}
	}
	was := 0
	for ref, v := range sheetstest.Read(t, clean)["Joints"] {
		if strings.HasSuffix(ref, "2") && v.Formula != "" {
			was++
		}
	}
	assert.Equal(t, was, n, "columns are doubled")
}

func TestOverridesInLibreOffice(t *testing.T) {
	shop.Play(t,
		shop.Scene{
			Name: "figure, input, word",
			Make: func(t *testing.T) []string {
				clean, _ := shop.Price(t, shop.TwoButts(t))
				in := shop.TypedOver(t, shop.TypedOver(t, shop.TypedOver(t, clean, "arc_time", 2, 10.0), "wall", 3, 0.047), "setup", 3, "trailing shield, by hand")
				out, _ := shop.Price(t, in)
				back, _ := refilled(t, out)
				return []string{out, back}
			},
			Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				for i := range paths {
					shop.Equal(t, paths[i], live[i])
				}
			},
		},
		shop.Scene{
			Name: "typed over and not priced again",
			Make: func(t *testing.T) []string {
				clean, _ := shop.Price(t, shop.TwoButts(t))
				in := shop.TypedOver(t, clean, "arc_time", 2, 10.0)
				out, _ := shop.Price(t, in)
				return []string{clean, in, out}
			},
			Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				assert.Equal(t, 0.0, shop.OnWorkings(t, live[0], shop.LabelTyped))
				assert.Equal(t, 1.0, shop.OnWorkings(t, live[1], shop.LabelTyped))
				assert.Equal(t, shop.OnWorkings(t, live[2], shop.LabelPrice), shop.OnWorkings(t, live[1], shop.LabelPrice))
				assert.InDelta(t, shop.OnWorkings(t, live[2], "Cost"), shop.OnWorkings(t, live[1], "Cost"), 1e-9)
				assert.NotEqual(t, shop.OnWorkings(t, live[0], "Cost"), shop.OnWorkings(t, live[1], "Cost"))
			},
		},
		shop.Scene{
			Name: "text typed over a number",
			Make: func(t *testing.T) []string {
				clean, _ := shop.Price(t, shop.TwoButts(t))
				in := shop.TypedOver(t, clean, "arc_time", 2, "about ten")
				out, _ := shop.Price(t, in)
				return []string{in, out}
			},
			Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				assert.Equal(t, "INCOMPLETE", shop.Master(live[0]), "before pricing again")
				shop.Equal(t, paths[1], live[1])
				assert.Equal(t, "INCOMPLETE", shop.Master(live[1]))
			},
		},
	)
}

// A radius that is given as a multiple of the outside diameter is one of the
// diameter that is typed over what was read, as the formula beside it has it.
func TestMultipleOfATypedDiameter(t *testing.T) {
	in := shop.Edited(t, shop.Small(t, shop.Row{"J-1", "Demo car one", "pie cut", 1, 3, 0.049, nil, 90, 10, nil}), func(f *excelize.File) {
		require.NoError(t, f.SetCellStr("Joints", "K1", "CLR (in)"))
		require.NoError(t, f.SetCellStr("Joints", "K2", "1.5D"))
	})
	clr := func(path string) float64 {
		g := sheetstest.Read(t, path)
		return g["Joints"][fmt.Sprint(shop.OurColumn(t, g, "Joints", "clr"), 2)].Num
	}
	clean, _ := shop.Price(t, in)
	require.Equal(t, 4.5, clr(clean))
	typed := shop.TypedOver(t, clean, "od", 2, 3.25)
	out, _ := shop.Price(t, typed)
	assert.Equal(t, 4.875, clr(out))
	back, _ := refilled(t, typed)
	assert.Equal(t, 4.5, clr(back))
}

// refilled prices a workbook with all calculated cells filled anew.
func refilled(t testing.TB, in string) (string, *sheets.Report) {
	t.Helper()
	out := filepath.Join(t.TempDir(), "refilled.xlsx")
	rep, err := sheets.Price(context.Background(), sheets.PriceOptions{In: in, Out: out, Refill: true})
	require.NoError(t, err)
	return out, rep
}
