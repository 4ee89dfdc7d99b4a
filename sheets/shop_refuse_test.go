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

// fault is a joint row that cannot be priced: what is typed, what the reason
// must say, and the cell that the finding must name.
type fault struct {
	name   string
	spoil  func(f *excelize.File) // on row 2 of "Joints"
	reason string
	cell   string
	repair func(f *excelize.File)
}

func typing(col string, v any) func(*excelize.File) {
	return func(f *excelize.File) { f.SetCellValue("Joints", col+"2", v) }
}

// rowFaults are the ways in which a row can be unreadable or nonsense.
func rowFaults() []fault {
	od, wall := typing(colOD, 3.0), typing(colWall, 0.049)
	return []fault{
		{"missing od", typing(colOD, nil), "outside diameter is missing", colOD, od},
		{"missing wall", typing(colWall, nil), "wall is missing", colWall, wall},
		{"text for od", typing(colOD, "big"), "big", colOD, od},
		{"comma for a point", typing(colWall, "1,2"), "1,2", colWall, wall},
		{"kind not known", typing(colKind, "filet"), "fillet", colKind, typing(colKind, "butt")},
		{"set-up not known", typing(colSetup, "trailing shield, on rols"), "trailing shield, on rolls", colSetup, typing(colSetup, nil)},
		{"alloy not known", typing(colAlloy, "grade 22"), "grade 2", colAlloy, typing(colAlloy, nil)},
		{"error value", func(f *excelize.File) { f.SetCellDefault("Joints", colOD+"2", "#DIV/0!") }, "", colOD, od},
		{"formula without a stored value", func(f *excelize.File) {
			f.SetCellValue("Joints", colOD+"2", nil)
			f.SetCellFormula("Joints", colOD+"2", "1+2")
		}, "without a stored value", colOD, func(f *excelize.File) {
			f.SetCellFormula("Joints", colOD+"2", "")
			f.SetCellValue("Joints", colOD+"2", 3.0)
		}},
		{"date", func(f *excelize.File) {
			xf, _ := f.NewStyle(&excelize.Style{NumFmt: 14})
			f.SetCellStyle("Joints", colOD+"2", colOD+"2", xf)
			f.SetCellValue("Joints", colOD+"2", 45000.0)
		}, "date", colOD, func(f *excelize.File) {
			f.SetCellStyle("Joints", colOD+"2", colOD+"2", 0)
			f.SetCellValue("Joints", colOD+"2", 3.0)
		}},
		{"truth value", typing(colOD, true), "TRUE or FALSE", colOD, od},
		{"wall not under half the od", typing(colWall, 1.5), "half the OD", colWall, wall},
		{"od of 0", typing(colOD, 0.0), "OD", "", od},
		{"od below 0", typing(colOD, -3.0), "OD", "", od},
		{"half a joint", typing(colQty, 1.5), "whole", colQty, typing(colQty, 2)},
		{"joints below 0", typing(colQty, -1), "whole", colQty, typing(colQty, 2)},
		{"pie cut without bend", typing(colKind, "pie cut"), "bend", colBend, typing(colKind, "butt")},
		{"bend over a turn", func(f *excelize.File) {
			f.SetCellValue("Joints", colKind+"2", "pie cut")
			f.SetCellValue("Joints", colBend+"2", 400)
		}, "bend", colBend, typing(colKind, "butt")},
		{"seam without length", typing(colKind, "seam"), "length", "", typing(colKind, "butt")},
		{"branch without main", typing(colKind, "branch"), "main", "", typing(colKind, "butt")},
		{"tube below 0", typing(colTube, -10), "below zero", "", typing(colTube, 10)},
		{"pattern in a car", typing(colCar, "Demo car*"), "pattern", colCar, typing(colCar, "Demo car one")},
	}
}

func TestRowThatCannotBePricedIsLeftOut(t *testing.T) {
	fresh := twoButts(t)
	_, whole := price(t, fresh)
	for _, c := range rowFaults() {
		t.Run(c.name, func(t *testing.T) {
			in := edited(t, fresh, c.spoil)
			if c.name == "error value" {
				in = errorCell(t, in)
			}
			out, rep := price(t, in)
			assert.Equal(t, []int{2, 1, 1}, []int{rep.Read, rep.Priced, rep.LeftOut}, "%v", rep.Findings)
			assert.False(t, rep.Complete)
			g := sheetstest.Read(t, out)
			leftOut(t, g, 2, c.reason)
			assert.Equal(t, "ok", figure(t, g, "Joints", "check", 3).Text)
			assert.True(t, hasFinding(rep, "error", "Joints!"+c.cell), "%v", rep.Findings)
			assert.Equal(t, "INCOMPLETE", master(g))
			assert.Equal(t, 1.0, onSummary(t, g, labelLeft))
			assert.Equal(t, 2.0, onSummary(t, g, "Joint rows read"))
			assert.Equal(t, 1.0, onSummary(t, g, "Rows priced"))

			again, rep := price(t, out)
			assert.True(t, content(t, again) == content(t, out), "priced again, the workbook changes")
			assert.Equal(t, 1, rep.LeftOut)

			mended, rep := price(t, edited(t, out, c.repair))
			assert.True(t, rep.Complete, "%v", rep.Findings)
			assert.InDelta(t, whole.Order["order_price"], rep.Order["order_price"], 1e-9)
			assert.Equal(t, "COMPLETE", master(sheetstest.Read(t, mended)))
		})
	}
}

// leftOut demands that a row of "Joints" has nothing of ours but the reason.
func leftOut(t *testing.T, g sheetstest.Grid, row int, reason string) {
	t.Helper()
	check := fmt.Sprint(ourColumn(t, g, "Joints", "check"), row)
	for ref, v := range g["Joints"] {
		col, r, err := excelize.SplitCellName(ref)
		require.NoError(t, err)
		n, err := excelize.ColumnNameToNumber(col)
		require.NoError(t, err)
		if r == row && n > len(smallHead) && ref != check {
			assert.Failf(t, "a figure is left", "%s: %v", ref, v)
		}
	}
	v := g["Joints"][check]
	assert.Empty(t, v.Formula)
	assert.True(t, strings.HasPrefix(v.Text, "left out: "), v.Text)
	assert.Contains(t, v.Text, reason)
}

// errorCell makes the cell of the od on row 2 one that shows an error.
func errorCell(t *testing.T, path string) string {
	t.Helper()
	return repacked(t, path, "xl/worksheets/sheet1.xml", func(s string) string {
		i := strings.Index(s, `<c r="`+colOD+`2"`)
		require.GreaterOrEqual(t, i, 0)
		j := i + strings.Index(s[i:], "</c>") + len("</c>")
		return s[:i] + `<c r="` + colOD + `2" t="e"><f>1/0</f><v>#DIV/0!</v></c>` + s[j:]
	})
}

func TestRowLeftOutAfterItWasPriced(t *testing.T) {
	clean, _ := price(t, twoButts(t))
	for _, c := range rowFaults() {
		t.Run(c.name, func(t *testing.T) {
			in := edited(t, clean, c.spoil)
			if c.name == "error value" {
				in = errorCell(t, in)
			}
			out, rep := price(t, in)
			assert.Equal(t, 1, rep.LeftOut)
			leftOut(t, sheetstest.Read(t, out), 2, c.reason)
			back, _ := price(t, edited(t, out, c.repair))
			samePriced(t, clean, back)
		})
	}
}

func TestRowsThatAreNoJoints(t *testing.T) {
	in := small(t, butt("J-1"), listRow{nil, nil, nil}, listRow{"Rear half", nil, nil}, smallHead, butt("J-2"), listRow{"Total", nil, nil, 4})
	out, rep := price(t, in)
	assert.Equal(t, []int{2, 2, 0}, []int{rep.Read, rep.Priced, rep.LeftOut}, "%v", rep.Findings)
	g := sheetstest.Read(t, out)
	for _, row := range []int{3, 4, 5, 7} {
		assert.Empty(t, figure(t, g, "Joints", "check", row).Text, row)
	}
	t.Run("a heading said again does not make the order incomplete", func(t *testing.T) {
		assert.True(t, rep.Complete)
		assert.Equal(t, "COMPLETE", master(g))
	})
}

func TestTitaniumToSteelIsLeftOut(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	require.NoError(t, f.SetSheetRow("Sheet1", "A1", &listRow{"OD (in)", "Wall (in)", "Alloy", "To alloy"}))
	require.NoError(t, f.SetSheetRow("Sheet1", "A2", &listRow{3, 0.049, "grade 2", "304L"}))
	require.NoError(t, f.SetSheetRow("Sheet1", "A3", &listRow{3, 0.049, "grade 2", "Ti-3Al-2.5V"}))
	_, rep := price(t, saved(t, f))
	assert.Equal(t, []int{1, 1}, []int{rep.Priced, rep.LeftOut})
	assert.True(t, hasFinding(rep, "Sheet1!D2", "titanium"), "%v", rep.Findings)
}

func TestLeftOutInLibreOffice(t *testing.T) {
	var scenes []scene
	for _, c := range rowFaults() {
		scenes = append(scenes, scene{
			name:  c.name,
			heavy: true,
			make: func(t *testing.T) []string {
				in := edited(t, twoButts(t), c.spoil)
				if c.name == "error value" {
					in = errorCell(t, in)
				}
				out, _ := price(t, in)
				return []string{out}
			},
			check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				if c.name == "formula without a stored value" {
					// The recalculation gives the cell its value; the row stays
					// left out until the workbook is priced again.
					assert.Equal(t, "INCOMPLETE", master(live[0]))
					return
				}
				equal(t, paths[0], live[0])
				assert.Equal(t, "INCOMPLETE", master(live[0]))
			},
		})
	}
	play(t, scenes...)
}
