package joints_test

import (
	"fmt"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

func TestMain(m *testing.M) { shop.Main(m) }

// fault is a joint row that cannot be priced: what is typed, what the reason
// must say, and the cell that the finding must name.
type fault struct {
	name   string
	spoil  change // of a row of "Joints"
	reason string
	cell   string
	repair change
}

type change func(f *excelize.File, row int)

func typing(col string, v any) change {
	return func(f *excelize.File, row int) { f.SetCellValue("Joints", fmt.Sprint(col, row), v) }
}

// on does a change to one row.
func (c change) on(row int) func(*excelize.File) { return func(f *excelize.File) { c(f, row) } }

// errorValue is a cell that shows an error, as it must be put in by hand.
const errorValue = "error value"

// rowFaults are the ways in which a row can be unreadable or nonsense.
func rowFaults() []fault {
	od, wall := typing(shop.ColOD, 3.0), typing(shop.ColWall, 0.049)
	return []fault{
		{"missing od", typing(shop.ColOD, nil), "outside diameter is missing", shop.ColOD, od},
		{"missing wall", typing(shop.ColWall, nil), "wall is missing", shop.ColWall, wall},
		{"text for od", typing(shop.ColOD, "big"), "big", shop.ColOD, od},
		{"comma for a point", typing(shop.ColWall, "1,2"), "1,2", shop.ColWall, wall},
		{"kind not known", typing(shop.ColKind, "filet"), "fillet", shop.ColKind, typing(shop.ColKind, "butt")},
		{"set-up not known", typing(shop.ColSetup, "trailing shield, on rols"), "trailing shield, on rolls", shop.ColSetup, typing(shop.ColSetup, nil)},
		{"alloy not known", typing(shop.ColAlloy, "grade 22"), "grade 2", shop.ColAlloy, typing(shop.ColAlloy, nil)},
		{errorValue, typing(shop.ColOD, "to be replaced"), "", shop.ColOD, od},
		{"formula without a stored value", func(f *excelize.File, row int) {
			f.SetCellValue("Joints", fmt.Sprint(shop.ColOD, row), nil)
			f.SetCellFormula("Joints", fmt.Sprint(shop.ColOD, row), "1+2")
		}, "without a stored value", shop.ColOD, func(f *excelize.File, row int) {
			f.SetCellFormula("Joints", fmt.Sprint(shop.ColOD, row), "")
			f.SetCellValue("Joints", fmt.Sprint(shop.ColOD, row), 3.0)
		}},
		{"date", func(f *excelize.File, row int) {
			xf, _ := f.NewStyle(&excelize.Style{NumFmt: 14})
			f.SetCellStyle("Joints", fmt.Sprint(shop.ColOD, row), fmt.Sprint(shop.ColOD, row), xf)
			f.SetCellValue("Joints", fmt.Sprint(shop.ColOD, row), 45000.0)
		}, "date", shop.ColOD, func(f *excelize.File, row int) {
			f.SetCellStyle("Joints", fmt.Sprint(shop.ColOD, row), fmt.Sprint(shop.ColOD, row), 0)
			f.SetCellValue("Joints", fmt.Sprint(shop.ColOD, row), 3.0)
		}},
		{"truth value", typing(shop.ColOD, true), "TRUE or FALSE", shop.ColOD, od},
		{"wall not under half the od", typing(shop.ColWall, 1.5), "half the OD", shop.ColWall, wall},
		{"od of 0", typing(shop.ColOD, 0.0), "OD", "", od},
		{"od below 0", typing(shop.ColOD, -3.0), "OD", "", od},
		{"half a joint", typing(shop.ColQty, 1.5), "whole", shop.ColQty, typing(shop.ColQty, 2)},
		{"joints below 0", typing(shop.ColQty, -1), "whole", shop.ColQty, typing(shop.ColQty, 2)},
		{"pie cut without bend", typing(shop.ColKind, "pie cut"), "bend", shop.ColBend, typing(shop.ColKind, "butt")},
		{"bend over a turn", func(f *excelize.File, row int) {
			f.SetCellValue("Joints", fmt.Sprint(shop.ColKind, row), "pie cut")
			f.SetCellValue("Joints", fmt.Sprint(shop.ColBend, row), 400)
		}, "bend", shop.ColBend, func(f *excelize.File, row int) {
			f.SetCellValue("Joints", fmt.Sprint(shop.ColKind, row), "butt")
			f.SetCellValue("Joints", fmt.Sprint(shop.ColBend, row), nil)
		}},
		{"seam without length", typing(shop.ColKind, "seam"), "length", "", typing(shop.ColKind, "butt")},
		{"branch without main", typing(shop.ColKind, "branch"), "main", "", typing(shop.ColKind, "butt")},
		{"tube below 0", typing(shop.ColTube, -10), "below zero", "", typing(shop.ColTube, 10)},
		{"pattern in a car", typing(shop.ColCar, "Demo car*"), "pattern", shop.ColCar, typing(shop.ColCar, "Demo car one")},
	}
}

func TestRowThatCannotBePricedIsLeftOut(t *testing.T) {
	fresh := shop.TwoButts(t)
	_, whole := shop.Price(t, fresh)
	for _, c := range shop.Some(rowFaults(), 3) {
		t.Run(c.name, func(t *testing.T) {
			in := spoiled(t, fresh, 2, c)
			out, rep := shop.Price(t, in)
			assert.Equal(t, []int{2, 1, 1}, []int{rep.Read, rep.Priced, rep.LeftOut}, "%v", rep.Findings)
			assert.False(t, rep.Complete)
			g := sheetstest.Read(t, out)
			leftOut(t, g, 2, c.reason)
			assert.Equal(t, "ok", shop.Figure(t, g, "Joints", "check", 3).Text)
			assert.True(t, shop.HasFinding(rep, "error", "Joints!"+c.cell), "%v", rep.Findings)
			assert.Equal(t, "INCOMPLETE", shop.Master(g))
			assert.Equal(t, 1.0, shop.OnWorkings(t, g, shop.LabelLeft))
			assert.Equal(t, 2.0, shop.OnWorkings(t, g, "Joint rows read"))
			assert.Equal(t, 1.0, shop.OnWorkings(t, g, "Rows priced"))

			again, rep := shop.Price(t, out)
			assert.True(t, shop.Content(t, again) == shop.Content(t, out), "priced again, the workbook changes")
			assert.Equal(t, 1, rep.LeftOut)

			mended, rep := shop.Price(t, shop.Edited(t, out, c.repair.on(2)))
			assert.True(t, rep.Complete, "%v", rep.Findings)
			assert.InDelta(t, whole.Order["order_price"], rep.Order["order_price"], 1e-9)
			assert.Equal(t, "COMPLETE", shop.Master(sheetstest.Read(t, mended)))
		})
	}
}

// LeftOut demands that a row of "Joints" has nothing of ours but the reason.
func leftOut(t *testing.T, g sheetstest.Grid, row int, reason string) {
	t.Helper()
	check := fmt.Sprint(shop.OurColumn(t, g, "Joints", "check"), row)
	for ref, v := range g["Joints"] {
		col, r, err := excelize.SplitCellName(ref)
		require.NoError(t, err)
		n, err := excelize.ColumnNameToNumber(col)
		require.NoError(t, err)
		if r == row && n > len(shop.SmallHead) && ref != check {
			assert.Failf(t, "a figure is left", "%s: %v", ref, v)
		}
	}
	v := g["Joints"][check]
	assert.Empty(t, v.Formula)
	assert.True(t, strings.HasPrefix(v.Text, "left out: "), v.Text)
	assert.Contains(t, v.Text, reason)
}

// spoiled does the faults to rows of "Joints" from the given one on.
func spoiled(t *testing.T, path string, row int, faults ...fault) string {
	t.Helper()
	path = shop.Edited(t, path, func(f *excelize.File) {
		for i, c := range faults {
			c.spoil(f, row+i)
		}
	})
	for i, c := range faults {
		if c.name != errorValue {
			continue
		}
		ref := fmt.Sprint(shop.ColOD, row+i)
		path = shop.Repacked(t, path, "xl/worksheets/sheet1.xml", func(s string) string {
			from := strings.Index(s, `<c r="`+ref+`"`)
			require.GreaterOrEqual(t, from, 0)
			to := from + strings.Index(s[from:], "</c>") + len("</c>")
			return s[:from] + `<c r="` + ref + `" t="e"><f>1/0</f><v>#DIV/0!</v></c>` + s[to:]
		})
	}
	return path
}

// buttsFor has a sound row for each of the faults, and one more.
func buttsFor(t *testing.T, faults []fault) string {
	var rows []shop.Row
	for i := range len(faults) + 1 {
		rows = append(rows, shop.Butt(fmt.Sprint("J-", i)))
	}
	return shop.Small(t, rows...)
}

func TestRowsLeftOutAfterTheyWerePriced(t *testing.T) {
	faults := rowFaults()
	clean, _ := shop.Price(t, buttsFor(t, faults))
	out, rep := shop.Price(t, spoiled(t, clean, 2, faults...))
	assert.Equal(t, []int{1, len(faults)}, []int{rep.Priced, rep.LeftOut}, "%v", rep.Findings)
	g := sheetstest.Read(t, out)
	for i, c := range faults {
		leftOut(t, g, 2+i, c.reason)
	}
	back, _ := shop.Price(t, shop.Edited(t, out, func(f *excelize.File) {
		for i, c := range faults {
			c.repair(f, 2+i)
		}
	}))
	shop.SamePriced(t, clean, back)
}

func TestRowsThatAreNoJoints(t *testing.T) {
	in := shop.Small(t, shop.Butt("J-1"), shop.Row{nil, nil, nil}, shop.Row{"Rear half", nil, nil}, shop.SmallHead, shop.Butt("J-2"), shop.Row{"Total", nil, nil, 4})
	out, rep := shop.Price(t, in)
	assert.Equal(t, []int{2, 2, 0}, []int{rep.Read, rep.Priced, rep.LeftOut}, "%v", rep.Findings)
	g := sheetstest.Read(t, out)
	for row, says := range map[int]string{3: "", 4: "", 5: "no joint: the headings again", 7: "no joint: a total"} {
		assert.Equal(t, says, shop.Figure(t, g, "Joints", "check", row).Text, row)
		assert.Empty(t, shop.Figure(t, g, "Joints", "line_cost", row).Kind, row)
	}
	t.Run("a heading said again does not make the order incomplete", func(t *testing.T) {
		assert.True(t, rep.Complete)
		assert.Equal(t, "COMPLETE", shop.Master(g))
	})
}

func TestTitaniumToSteelIsLeftOut(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	require.NoError(t, f.SetSheetRow("Sheet1", "A1", &shop.Row{"OD (in)", "Wall (in)", "Alloy", "To alloy"}))
	require.NoError(t, f.SetSheetRow("Sheet1", "A2", &shop.Row{3, 0.049, "grade 2", "304L"}))
	require.NoError(t, f.SetSheetRow("Sheet1", "A3", &shop.Row{3, 0.049, "grade 2", "Ti-3Al-2.5V"}))
	_, rep := shop.Price(t, shop.Saved(t, f))
	assert.Equal(t, []int{1, 1}, []int{rep.Priced, rep.LeftOut})
	assert.True(t, shop.HasFinding(rep, "Sheet1!D2", "titanium"), "%v", rep.Findings)
}

func TestLeftOutInLibreOffice(t *testing.T) {
	faults := rowFaults()
	make := func(t *testing.T) []string {
		out, rep := shop.Price(t, spoiled(t, buttsFor(t, faults), 2, faults...))
		require.Equal(t, len(faults), rep.LeftOut)
		return []string{out}
	}
	shop.Play(t,
		shop.Scene{
			Name: "every fault",
			Make: make,
			Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				stored := sheetstest.Read(t, paths[0])
				for ref := range stored["Joints"] { // two of the faults are formulas in cells of the shop's
					if strings.HasPrefix(ref, shop.ColOD) && len(ref) < 4 {
						delete(stored["Joints"], ref)
					}
				}
				n := sheetstest.Compare(t, stored, live[0], 1e-9)
				t.Logf("%d formula cells equal", n)
				assert.Equal(t, "INCOMPLETE", shop.Master(live[0]))
				assert.Equal(t, float64(len(faults)), shop.OnWorkings(t, live[0], shop.LabelLeft))
			},
		},
		shop.Scene{
			Name: "every fault mended, not priced again",
			Make: func(t *testing.T) []string {
				return []string{shop.Edited(t, make(t)[0], func(f *excelize.File) {
					for i, c := range faults {
						c.repair(f, 2+i)
					}
				})}
			},
			Check: func(t *testing.T, _ []string, live []sheetstest.Grid) {
				assert.Equal(t, "INCOMPLETE", shop.Master(live[0]), "the rows have no figures yet")
			},
		},
	)
}

// A row that lacks what the list has no column for is told which to add.
func TestRefusedForWantOfAColumn(t *testing.T) {
	f := excelize.NewFile()
	for i, row := range [][]any{{"Joint", "Ø mm", "t", "type"}, {"J1", 63.5, 1.0, "pie cut"}} {
		require.NoError(t, f.SetSheetRow("Sheet1", fmt.Sprint("A", i+1), &row))
	}
	path := filepath.Join(t.TempDir(), "list.xlsx")
	require.NoError(t, f.SaveAs(path))
	rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: path, DryRun: true})
	require.NoError(t, err)
	require.Equal(t, 1, rep.LeftOut)
	first := rep.Findings[0]
	assert.Equal(t, "Sheet1!B2", first.Cell)
	assert.Equal(t, `type the change of direction of the whole bend (the list has no column for it; head one "Bend angle")`, first.Fix)
}

// withFormula types a formula with a stored value of its own into a cell.
func withFormula(t *testing.T, path, sheet, ref, text, stored string) string {
	path = shop.Edited(t, path, func(f *excelize.File) { require.NoError(t, f.SetCellFormula(sheet, ref, text)) })
	cell := regexp.MustCompile(`(<c r="` + ref + `"[^>]*?)(?: t="[a-z]+")?><f>` + regexp.QuoteMeta(text) + `</f>(?:<v>[^<]*</v>|<v/>)?</c>`)
	for part, was := range shop.Parts(t, path) {
		if cell.MatchString(was) {
			return shop.Repacked(t, path, part, func(s string) string {
				return cell.ReplaceAllString(s, "${1}><f>"+text+"</f><v>"+stored+"</v></c>")
			})
		}
	}
	require.Fail(t, "no such cell", ref)
	return ""
}

// A formula over typed numbers whose stored value is another number leaves its row
// out: a run takes the stored one, the spreadsheet shows the other.
func TestStaleInputIsLeftOut(t *testing.T) {
	in := shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"))
	in = withFormula(t, withFormula(t, in, "Joints", "D3", "1+2", "3"), "Joints", "D2", "1+2", "4")
	_, rep := shop.Price(t, in)
	assert.Equal(t, 1, rep.LeftOut)
	assert.Equal(t, 1, rep.Priced)
	assert.True(t, shop.HasFinding(rep, "Joints!D2", "=1+2, which comes to 3, and the file says 4", "save it once"), "%v", rep.Findings)
	assert.Equal(t, "Joints!D2", rep.Reasons[0].Cell)
}

// So does one on Assumptions, which nothing is priced with.
func TestStaleAssumptionIsRefused(t *testing.T) {
	out, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	ref := fmt.Sprint("C", shop.Assumption(t, sheetstest.Read(t, out), "shop_rate"))
	assert.Contains(t, shop.Refused(t, withFormula(t, out, "Assumptions", ref, "90+10", "110")), "shop_rate is =90+10, which comes to 100, and the file says 110")
	_, rep := shop.Price(t, withFormula(t, out, "Assumptions", ref, "90+20", "110"))
	assert.True(t, rep.Complete)
	line := fmt.Sprint("E", shop.TableRow(t, sheetstest.Read(t, out), "grade 2", 3.0, 0.049))
	assert.Contains(t, shop.Refused(t, withFormula(t, out, "Assumptions", line, "19+1", "21")), "=19+1, which comes to 20, and the file says 21")
}
