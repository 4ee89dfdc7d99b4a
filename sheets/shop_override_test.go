package sheets_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
)

// over types a value over a calculated cell of "Joints" in a priced workbook.
func over(t *testing.T, path, key string, row int, value any) string {
	t.Helper()
	g := sheetstest.Read(t, path)
	return typeIn(t, path, typed{"Joints", fmt.Sprint(ourColumn(t, g, "Joints", key), row), value})
}

// styleOf is the look of a calculated cell.
func styleOf(t *testing.T, path, key string, row int) *excelize.Style {
	t.Helper()
	g := sheetstest.Read(t, path)
	f, err := excelize.OpenFile(path)
	require.NoError(t, err)
	defer f.Close()
	xf, err := f.GetCellStyle("Joints", fmt.Sprint(ourColumn(t, g, "Joints", key), row))
	require.NoError(t, err)
	s, err := f.GetStyle(xf)
	require.NoError(t, err)
	return s
}

// samePriced demands that two priced workbooks hold the same cells, but for the
// lines of the log, which keeps what was done and undone.
func samePriced(t *testing.T, want, got string) {
	t.Helper()
	a, b := sheetstest.Read(t, want), sheetstest.Read(t, got)
	require.Len(t, b, len(a))
	for path, g := range map[string]sheetstest.Grid{want: a, got: b} {
		for _, e := range logOf(t, path) {
			for col := 'A'; col <= 'M'; col++ {
				delete(g["Assumptions"], fmt.Sprintf("%c%d", col, e.row))
			}
		}
	}
	for sheet := range a {
		sameCells(t, a[sheet], b[sheet], sheet)
	}
}

func twoButts(t *testing.T) string { return small(t, butt("J-1"), butt("J-2")) }

func TestNumberTypedOverAFigure(t *testing.T) {
	clean, first := price(t, twoButts(t))
	was := sheetstest.Read(t, clean)
	out, rep := price(t, over(t, clean, "arc_time", 2, 10.0))
	g := sheetstest.Read(t, out)

	typedCell := figure(t, g, "Joints", "arc_time", 2)
	assert.Equal(t, sheetstest.Value{Kind: sheetstest.Number, Num: 10}, typedCell)
	tail, regrip := figure(t, g, "Joints", "flow_tail", 2).Num, figure(t, g, "Joints", "regrip", 2).Num
	assert.InDelta(t, 10+tail+regrip, figure(t, g, "Joints", "weld_out", 2).Num, 1e-9)
	assert.InDelta(t, 20, figure(t, g, "Joints", "line_arc", 2).Num, 1e-9) // two welds
	assert.Equal(t, figure(t, was, "Joints", "line_arc", 3), figure(t, g, "Joints", "line_arc", 3))
	assert.Greater(t, rep.Order["order_cost"], first.Order["order_cost"])

	assert.Equal(t, 1.0, onSummary(t, g, labelTyped))
	assert.True(t, hasFinding(rep, "warning", "Joints!", "typed over"), "%v", rep.Findings)
	assert.True(t, rep.Complete)
	assert.NotEqual(t, styleOf(t, clean, "arc_time", 2), styleOf(t, out, "arc_time", 2))
	assert.Equal(t, styleOf(t, out, "arc_time", 3), styleOf(t, clean, "arc_time", 3))

	again, _ := price(t, out)
	assert.True(t, content(t, again) == content(t, out), "priced again, the workbook changes")

	back, rep := refilled(t, out)
	samePriced(t, clean, back)
	assert.Equal(t, first.Order, rep.Order)
	assert.Equal(t, styleOf(t, clean, "arc_time", 2), styleOf(t, back, "arc_time", 2))
}

func TestNumberTypedOverAnInputAsRead(t *testing.T) {
	clean, first := price(t, twoButts(t))
	out, rep := price(t, over(t, clean, "wall", 2, 0.047))
	g := sheetstest.Read(t, out)
	assert.Equal(t, sheetstest.Value{Kind: sheetstest.Number, Num: 0.047}, figure(t, g, "Joints", "wall", 2))
	assert.Equal(t, "grade 2|3000|47", figure(t, g, "Joints", "tube_key", 2).Text)
	assert.Equal(t, 0.049, g["Joints"][colWall+"2"].Num, "the shop's own cell")
	assert.Equal(t, 1.0, onSummary(t, g, labelTyped))
	assert.True(t, hasFinding(rep, "warning", "Wall", "typed over"), "%v", rep.Findings)
	assert.NotEqual(t, first.Order, rep.Order)
	back, _ := refilled(t, out)
	samePriced(t, clean, back)
}

func TestWordTypedOverAnInputAsRead(t *testing.T) {
	clean, _ := price(t, twoButts(t))
	const word = "trailing shield, on rolls"
	out, rep := price(t, over(t, clean, "setup", 2, word))
	g := sheetstest.Read(t, out)
	assert.Equal(t, word, figure(t, g, "Joints", "setup", 2).Text)
	assert.Equal(t, 0.0, figure(t, g, "Joints", "stops", 2).Num)
	assert.Positive(t, figure(t, g, "Joints", "stops", 3).Num)
	assert.True(t, hasFinding(rep, "warning", "typed over"), "%v", rep.Findings)
	assert.NotEqual(t, styleOf(t, clean, "setup", 2), styleOf(t, out, "setup", 2))
	t.Run("is counted on the Summary", func(t *testing.T) {
		assert.Equal(t, 1.0, onSummary(t, g, "Cells typed over calculated ones"))
	})
	back, _ := refilled(t, out)
	samePriced(t, clean, back)
}

func TestTextTypedOverANumber(t *testing.T) {
	clean, first := price(t, twoButts(t))
	out, rep := price(t, over(t, clean, "arc_time", 2, "about ten"))
	g := sheetstest.Read(t, out)
	assert.Equal(t, 1, rep.LeftOut)
	assert.False(t, rep.Complete)
	check := figure(t, g, "Joints", "check", 2).Text
	assert.Contains(t, check, "left out: ")
	assert.Contains(t, check, "about ten")
	assert.Equal(t, "about ten", figure(t, g, "Joints", "arc_time", 2).Text, "what was typed stays")
	assert.Equal(t, "INCOMPLETE", master(g))
	back, rep := refilled(t, out)
	samePriced(t, clean, back)
	assert.Equal(t, first.Order, rep.Order)
}

func TestNegativeNumberTypedOver(t *testing.T) {
	clean, _ := price(t, twoButts(t))
	out, rep := price(t, over(t, clean, "wall", 2, -0.049))
	assert.Equal(t, 1, rep.LeftOut)
	assert.Equal(t, "INCOMPLETE", master(sheetstest.Read(t, out)))
}

func TestCheckCellIsAlwaysOurs(t *testing.T) {
	clean, _ := price(t, twoButts(t))
	out, rep := price(t, over(t, clean, "check", 2, "I say it is fine"))
	require.Zero(t, rep.LeftOut)
	samePriced(t, clean, out)
}

func TestEmptiedFigureIsFilledAgain(t *testing.T) {
	clean, _ := price(t, twoButts(t))
	out, _ := price(t, over(t, clean, "arc_time", 2, nil))
	samePriced(t, clean, out)
}

// otherFormulas are formulas that the shop types over ours: they are not ours
// to keep, and the column must stay one formula.
func TestFormulaTypedOverIsReplaced(t *testing.T) {
	clean, _ := price(t, twoButts(t))
	g := sheetstest.Read(t, clean)
	in := edited(t, clean, func(f *excelize.File) {
		require.NoError(t, f.SetCellFormula("Joints", ourColumn(t, g, "Joints", "arc_time")+"2", "1+1"))
	})
	out, rep := price(t, in)
	samePriced(t, clean, out)
	t.Run("and is told", func(t *testing.T) {
		assert.True(t, hasFinding(rep, "formula"), "%v", rep.Findings)
	})
}

func TestHeadingsRewordedAndColumnsFound(t *testing.T) {
	clean, first := price(t, twoButts(t))
	out, rep := price(t, over(t, clean, "line_cost", 1, "What it costs us"))
	g := sheetstest.Read(t, out)
	assert.Equal(t, "What it costs us", figure(t, g, "Joints", "line_cost", 1).Text)
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
	play(t,
		scene{
			name: "figure, input, word",
			make: func(t *testing.T) []string {
				clean, _ := price(t, twoButts(t))
				in := over(t, over(t, over(t, clean, "arc_time", 2, 10.0), "wall", 3, 0.047), "setup", 3, "trailing shield, by hand")
				out, _ := price(t, in)
				back, _ := refilled(t, out)
				return []string{out, back}
			},
			check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				for i := range paths {
					equal(t, paths[i], live[i])
				}
			},
		},
		scene{
			name: "typed over and not priced again",
			make: func(t *testing.T) []string {
				clean, _ := price(t, twoButts(t))
				in := over(t, clean, "arc_time", 2, 10.0)
				out, _ := price(t, in)
				return []string{clean, in, out}
			},
			check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				assert.Equal(t, 0.0, onSummary(t, live[0], labelTyped))
				assert.Equal(t, 1.0, onSummary(t, live[1], labelTyped))
				assert.Equal(t, onSummary(t, live[2], labelPrice), onSummary(t, live[1], labelPrice))
				assert.InDelta(t, onSummary(t, live[2], "Cost"), onSummary(t, live[1], "Cost"), 1e-9)
				assert.NotEqual(t, onSummary(t, live[0], "Cost"), onSummary(t, live[1], "Cost"))
			},
		},
		scene{
			name: "text typed over a number",
			make: func(t *testing.T) []string {
				clean, _ := price(t, twoButts(t))
				in := over(t, clean, "arc_time", 2, "about ten")
				out, _ := price(t, in)
				return []string{in, out}
			},
			check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				assert.Equal(t, "INCOMPLETE", master(live[0]), "before pricing again")
				equal(t, paths[1], live[1])
				assert.Equal(t, "INCOMPLETE", master(live[1]))
			},
		},
	)
}

// A radius that is given as a multiple of the outside diameter is one of the
// diameter that is typed over what was read, as the formula beside it has it.
func TestMultipleOfATypedDiameter(t *testing.T) {
	in := edited(t, small(t, listRow{"J-1", "Demo car one", "pie cut", 1, 3, 0.049, nil, 90, 10, nil}), func(f *excelize.File) {
		require.NoError(t, f.SetCellStr("Joints", "K1", "CLR (in)"))
		require.NoError(t, f.SetCellStr("Joints", "K2", "1.5D"))
	})
	clr := func(path string) float64 {
		g := sheetstest.Read(t, path)
		return g["Joints"][fmt.Sprint(ourColumn(t, g, "Joints", "clr"), 2)].Num
	}
	clean, _ := price(t, in)
	require.Equal(t, 4.5, clr(clean))
	typed := over(t, clean, "od", 2, 3.25)
	out, _ := price(t, typed)
	assert.Equal(t, 4.875, clr(out))
	back, _ := refilled(t, typed)
	assert.Equal(t, 4.5, clr(back))
}
