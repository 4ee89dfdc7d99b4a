package oddbooks_test

import (
	"fmt"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/sheets"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// shopEdit is what a shop does to a priced workbook, in words of LibreOffice
// Basic.
type shopEdit struct {
	name string
	// onList is done to the sheet of joints, also to the workbook that was
	// never priced: clearing must lead there.
	onList string
	// onOurs is done to the priced workbook only.
	onOurs string
	// want changes the rows that the result must be priced like; nil for none.
	want func(rows []shop.Row) []shop.Row
	// more are checks of the workbook priced again, of its report, and of the
	// cleared one.
	more func(t *testing.T, g sheetstest.Grid, rep *sheets.Report, cleared sheetstest.Grid)
	// sheet is the sheet of joints afterwards, if it is not "Joints".
	sheet string
	fault string
}

// fourJoints differ in every column that a mix-up of rows or columns would hit.
func fourJoints() []shop.Row {
	return []shop.Row{
		{"J-1", "Demo car one", "butt", 2, 3, 0.049, nil, nil, 10, "grade 2"},
		{"J-2", "Demo car one", "pie cut", 1, 2.5, 0.049, nil, 90, 4, "grade 2"},
		{"J-3", "Demo car two", "butt", 3, 2, 0.035, nil, nil, 7, nil},
		{"J-4", "Demo car two", "fillet", 1, 3, 0.049, nil, nil, nil, nil},
	}
}

const joints = `Dim s As Object
s = doc.Sheets.getByName("Joints")
`

func TestEditsInLibreOffice(t *testing.T) {
	t.Parallel() // most of its time is LibreOffice's, or another program's
	if testing.Short() {
		t.Skip("heavy")
	}
	sheetstest.NeedLibreOffice(t)
	raw := shop.Small(t, fourJoints()...)
	clean, _ := shop.Price(t, raw)
	was := sheetstest.Read(t, clean)
	last := shop.LastColumn(t, was, "Joints")
	beside := grid.ColName(last + 1)
	rate, fit := shop.Assumption(t, was, "shop_rate"), shop.Assumption(t, was, "clean_fit")

	edits := []shopEdit{
		{name: "saved, nothing else"},
		{name: "column inserted", onList: `s.Columns.insertByIndex(2, 1)
s.getCellRangeByName("C1").String = "Drawing"
s.getCellRangeByName("C3").String = "D-7"`},
		{name: "column moved", onList: `s.Columns.insertByIndex(1, 1)
s.moveRange(s.getCellRangeByName("B1").CellAddress, s.getCellRangeByName("J1:J5").RangeAddress)
s.Columns.removeByIndex(9, 1)`},
		{name: "headings renamed", onList: `s.getCellRangeByName("E1").String = "Outside diameter, in"
s.getCellRangeByName("A1").String = "Mark"`},
		{name: "row inserted and filled", onList: `s.Rows.insertByIndex(2, 1)
s.getCellRangeByName("A3").String = "J-5"
s.getCellRangeByName("B3").String = "Demo car one"
s.getCellRangeByName("C3").String = "butt"
s.getCellRangeByName("D3").Value = 1
s.getCellRangeByName("E3").Value = 3
s.getCellRangeByName("F3").Value = 0.049
s.getCellRangeByName("I3").Value = 5`,
			want: func(rows []shop.Row) []shop.Row {
				return append(rows, shop.Row{"J-5", "Demo car one", "butt", 1, 3, 0.049, nil, nil, 5, nil})
			}},
		{name: "rows deleted", onList: `s.Rows.removeByIndex(1, 1)`,
			want: func(rows []shop.Row) []shop.Row { return rows[1:] }},
		{name: "rows inserted above the headings", onList: `s.Rows.insertByIndex(0, 3)
s.getCellRangeByName("A1").String = "Demo order, invented"`},
		{name: "row hidden", onList: `s.Rows.getByIndex(2).IsVisible = False`},
		{name: "rows sorted", onList: fmt.Sprintf(`Dim f(0) As New com.sun.star.table.TableSortField
f(0).Field = 4
f(0).IsAscending = True
Dim d(1) As New com.sun.star.beans.PropertyValue
d(0).Name = "SortFields"
d(0).Value = f()
d(1).Name = "ContainsHeader"
d(1).Value = True
s.getCellRangeByName("A1:%s5").sort(d())`, grid.ColName(last))},
		{name: "sheet renamed", onList: `s.Name = "Demo's list"`, sheet: "Demo's list"},
		{name: "sheet copied", onOurs: `doc.Sheets.copyByName("Joints", "Joints B", 1)`,
			want: func(rows []shop.Row) []shop.Row { return append(rows, rows...) },
			more: func(t *testing.T, g sheetstest.Grid, rep *sheets.Report, cleared sheetstest.Grid) {
				assert.Equal(t, 8, rep.Priced)
				assert.Equal(t, formulas(g["Joints"]), formulas(g["Joints B"]), "columns are doubled in the copy")
				assert.Zero(t, formulas(cleared["Joints B"]))
			}},
		{name: "columns of the shop's right of ours and among them", onOurs: fmt.Sprintf(`s.getCellRangeByName("%s1").String = "Remarks"
s.getCellRangeByName("%s3").String = "ask for the drawing"
s.Columns.insertByIndex(%d, 1)
s.getCellRangeByName("%s4").String = "among them"`, beside, beside, last-3, grid.ColName(last-2)),
			more: func(t *testing.T, g sheetstest.Grid, _ *sheets.Report, cleared sheetstest.Grid) {
				for _, note := range []string{"Remarks", "ask for the drawing", "among them"} {
					assert.True(t, holds(g["Joints"], note), note)
					assert.True(t, holds(cleared["Joints"], note), "cleared: %s", note)
				}
			}},
		{name: "notes on Summary and Assumptions", onOurs: `doc.Sheets.getByName("Workings").getCellRangeByName("Z7").String = "told the customer"
doc.Sheets.getByName("Assumptions").getCellRangeByName("AB5").String = "asked the supplier"`,
			more: func(t *testing.T, g sheetstest.Grid, _ *sheets.Report, _ sheetstest.Grid) {
				assert.True(t, holds(g["Workings"], "told the customer"))
				assert.True(t, holds(g["Assumptions"], "asked the supplier"))
			}},
		{name: "an assumption in another unit", onOurs: fmt.Sprintf(`Dim a As Object
a = doc.Sheets.getByName("Assumptions")
If a.getCellRangeByName("C%[1]d").Value <> 3 Then Error 5
a.getCellRangeByName("C%[1]d").Value = 300
a.getCellRangeByName("D%[1]d").String = "s"`, fit)},
		{name: "an assumption twice as high", onOurs: fmt.Sprintf(`Dim a As Object
a = doc.Sheets.getByName("Assumptions")
a.getCellRangeByName("C%[1]d").Value = 2 * a.getCellRangeByName("C%[1]d").Value`, rate),
			want: func(rows []shop.Row) []shop.Row { return nil },
			more: func(t *testing.T, g sheetstest.Grid, _ *sheets.Report, _ sheetstest.Grid) {
				for row := 2; row <= 5; row++ {
					// To a cent: each is rounded.
					assert.InDelta(t, 2*shop.Figure(t, was, "Joints", "labour", row).Num, shop.Figure(t, g, "Joints", "labour", row).Num, 0.011)
				}
			}},
	}

	edits = shop.Some(edits, 2)
	var office []sheetstest.OfficeEdit
	for _, e := range edits {
		office = append(office,
			sheetstest.OfficeEdit{Path: clean, Basic: joints + e.onList + "\n" + e.onOurs},
			sheetstest.OfficeEdit{Path: raw, Basic: joints + e.onList})
	}
	made := sheetstest.EditAll(t, office...)
	for i, e := range edits {
		t.Run(e.name, func(t *testing.T) {
			if e.fault != "" {
				t.Skip("fault: " + e.fault)
			}
			afterEdit(t, e, made[2*i], made[2*i+1])
		})
	}
}

// afterEdit prices a workbook that a shop has edited, and clears it: unpriced
// is the same edit of the workbook that was never priced.
func afterEdit(t *testing.T, e shopEdit, in, unpriced string) {
	t.Helper()
	sheet := e.sheet
	if sheet == "" {
		sheet = "Joints"
	}
	rows := fourJoints()
	if e.want != nil {
		rows = e.want(rows)
	}
	out, rep := shop.Price(t, in)
	g := sheetstest.Read(t, out)
	if rows != nil {
		fresh, want := shop.Price(t, shop.Small(t, rows...))
		assert.Equal(t, want.Order, rep.Order)
		assert.Equal(t, want.Priced, rep.Priced)
		all := 0
		for _, name := range []string{sheet, "Joints B"} {
			all += formulas(g[name])
		}
		assert.Equal(t, formulas(sheetstest.Read(t, fresh)["Joints"]), all, "columns are doubled or lost")
	}
	again, two := shop.Price(t, out)
	assert.True(t, shop.Content(t, out) == shop.Content(t, again), "priced again, the bytes differ")
	assert.True(t, two.Unchanged)

	back := sheetstest.Read(t, shop.Cleared(t, out))
	assert.Zero(t, formulas(back[sheet]))
	if e.onOurs == "" {
		shop.SameCells(t, sheetstest.Read(t, unpriced)[sheet], back[sheet], sheet)
	}
	if e.more != nil {
		e.more(t, g, rep, back)
	}
}

// formulas counts the formulas of a sheet.
func formulas(cells map[string]sheetstest.Value) (n int) {
	for _, v := range cells {
		if v.Formula != "" {
			n++
		}
	}
	return n
}

// holds says whether a cell of a sheet has this text.
func holds(cells map[string]sheetstest.Value, text string) bool {
	for _, v := range cells {
		if v.Text == text {
			return true
		}
	}
	return false
}

// openpyxl writes a workbook anew from what it knows of it: without stored
// values, without charts.
func TestEditsInOpenpyxl(t *testing.T) {
	sheetstest.NeedOpenpyxl(t)
	clean, _ := shop.Price(t, shop.Small(t, fourJoints()...))
	in := filepath.Join(t.TempDir(), "edited.xlsx")
	sheetstest.Python(t, `
import sys, openpyxl
b = openpyxl.load_workbook(sys.argv[1])
j = b["Joints"]
for col, v in zip("ABCDEFI", ["J-5", "Demo car one", "butt", 1, 3, 0.049, 5]):
    j[col + "6"] = v
j["F4"] = 0.049
b["Workings"]["Z7"] = "told the customer"
b.save(sys.argv[2])
`, clean, in)
	rows := append(fourJoints(), shop.Row{"J-5", "Demo car one", "butt", 1, 3, 0.049, nil, nil, 5, nil})
	rows[2][5] = 0.049
	fresh, want := shop.Price(t, shop.Small(t, rows...))
	out, rep := shop.Price(t, in)
	assert.Equal(t, want.Order, rep.Order)
	g := sheetstest.Read(t, out)
	assert.Equal(t, formulas(sheetstest.Read(t, fresh)["Joints"]), formulas(g["Joints"]), "columns are doubled or lost")
	assert.True(t, holds(g["Workings"], "told the customer"))
	again, _ := shop.Price(t, out)
	assert.True(t, shop.Content(t, out) == shop.Content(t, again), "priced again, the bytes differ")
	shop.SameCells(t, sheetstest.Read(t, shop.Small(t, rows...))["Joints"], sheetstest.Read(t, shop.Cleared(t, out))["Joints"], "Joints")
}

// The cars that the shop has on a sheet of its own are on Assumptions by formulas,
// which openpyxl saves without what they come to.
func TestCarsOfASheetSavedByOpenpyxl(t *testing.T) {
	sheetstest.NeedOpenpyxl(t)
	clean, want := shop.Price(t, shop.Demo("order.xlsx"))
	in := filepath.Join(t.TempDir(), "saved.xlsx")
	sheetstest.Python(t, `
import sys, openpyxl
openpyxl.load_workbook(sys.argv[1]).save(sys.argv[2])
`, clean, in)
	_, rep := shop.Price(t, in)
	assert.Equal(t, want.Order, rep.Order)
	assert.Equal(t, want.Cars, rep.Cars)
}
