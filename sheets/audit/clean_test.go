package audit_test

import (
	"fmt"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/audit"
	"seamtally/sheets/bid"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// everySheet is an order with every sheet for the bid, and with figures typed over
// that a run has seen; rows are its joints.
func everySheet(t *testing.T, rows ...shop.Row) (path string, g sheetstest.Grid) {
	t.Helper()
	path = shop.Put(t, nil)
	price := func(in string) {
		_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: path, Force: true, With: bid.Sheets()})
		require.NoError(t, err)
	}
	price(shop.Small(t, rows...))
	g = sheetstest.Read(t, path)
	typed := shop.OurColumn(t, g, "Joints", "floor_time")
	price(shop.TypeIn(t, path, shop.At("Joints", typed+"3", 77.0), shop.At("Joints", typed+"6", 7.0)))
	return path, sheetstest.Read(t, path)
}

// mixedJoints differ in all that groups and sorts them.
func mixedJoints() []shop.Row {
	return []shop.Row{
		{"J-1", "Demo car one", "butt", 2, 3, 0.049, nil, nil, 10, "grade 2"},
		{"J-2", "Demo car one", "pie cut", 1, 2.5, 0.049, nil, 90, 4, "grade 2"},
		{"J-3", "Demo car two", "butt", 3, 2, 0.035, nil, nil, 7, nil},
		{"J-4", "Demo car two", "fillet", 1, 3, 0.049, nil, nil, nil, nil},
		{"J-5", "Demo car one", "butt", 4, 2.5, 0.035, nil, nil, 12, nil},
		{"J-6", "Demo car two", "pie cut", 2, 3, 0.035, nil, 45, 3, "grade 2"},
		{"J-7", "Demo car two", "butt", 1, 1.75, 0.035, nil, nil, 9, nil},
	}
}

const onJoints = `Dim s As Object
s = doc.Sheets.getByName("Joints")
`

// sortedBy sorts the joints with all their cells, as a shop does, down from the
// largest of a column.
func sortedBy(field int, to string) string {
	return onJoints + fmt.Sprintf(`Dim f(0) As New com.sun.star.table.TableSortField
f(0).Field = %d
f(0).IsAscending = False
Dim d(1) As New com.sun.star.beans.PropertyValue
d(0).Name = "SortFields"
d(0).Value = f()
d(1).Name = "ContainsHeader"
d(1).Value = False
s.getCellRangeByName("A2:%s").sort(d())`, field, to)
}

// What a shop does every day is no fault: every such edit leaves a clean workbook,
// with every sheet for the bid in it.
func TestCleanBooksAreQuiet(t *testing.T) {
	t.Parallel() // most of its time is LibreOffice's, or another program's
	if testing.Short() {
		t.Skip("heavy")
	}
	sheetstest.NeedLibreOffice(t)
	sheetstest.NeedOpenpyxl(t)
	path, g := everySheet(t, mixedJoints()...)
	assert.True(t, audited(t, path, "").Clean())
	check := shop.OurColumn(t, g, "Joints", "check")
	edits := []struct{ name, basic string }{
		{"saved", ""},
		{"sorted", sortedBy(4, check+"8")},
		{"filtered", onJoints + fmt.Sprintf(`Dim f(0) As New com.sun.star.sheet.TableFilterField
f(0).Field = 1
f(0).Operator = com.sun.star.sheet.FilterOperator.EQUAL
f(0).IsNumeric = False
f(0).StringValue = "Demo car one"
Dim d As Object
d = s.getCellRangeByName("A1:%s8").createFilterDescriptor(True)
d.ContainsHeader = True
d.FilterFields = f()
s.getCellRangeByName("A1:%[1]s8").filter(d)`, check)},
		{"widened, coloured, notes", onJoints + `s.Columns.getByIndex(3).Width = 6000
s.getCellRangeByName("A2:AA4").CellBackColor = RGB(255, 255, 0)
s.getCellRangeByName("A2:AA4").CharColor = RGB(200, 0, 0)
s.Annotations.insertNew(s.getCellRangeByName("E3").CellAddress, "look again")
s.getCellRangeByName("A20").String = "a note"
Dim i As Integer
Dim ours()
ours = Array("Workings", "Assumptions", "Set-ups", "Breaks", "Buying", "Range", "Schedule")
For i = 0 To 6
s = doc.Sheets.getByName(ours(i))
s.Columns.getByIndex(1).Width = 9000
s.getCellRangeByName("A2:F12").CellBackColor = RGB(0, 255, 0)
s.getCellRangeByName("A2:F12").CharColor = RGB(0, 0, 120)
s.getCellRangeByName("BA3").String = "a note"
Next i`},
		{"list renamed", onJoints + `s.Name = "Welds, rev B"`},
		{"ours renamed", `doc.Sheets.getByName("Workings").Name = "Sums"
doc.Sheets.getByName("Assumptions").Name = "What we took"
doc.Sheets.getByName("Set-ups").Name = "Shields"
doc.Sheets.getByName("Buying").Name = "To buy"`},
		{"total below", onJoints + `s.getCellRangeByName("A10").String = "Total"
s.getCellRangeByName("D10").Formula = "=SUM(D2:D8)"`},
		{"row inserted", onJoints + `s.Rows.insertByIndex(4, 1)`},
	}
	var office []sheetstest.OfficeEdit
	for _, e := range edits {
		office = append(office, sheetstest.OfficeEdit{Path: path, Basic: e.basic})
	}
	for i, saved := range sheetstest.EditAll(t, office...) {
		rep := audited(t, saved, "")
		assert.True(t, rep.Clean(), "%s: %+v", edits[i].name, rep.Faults)
		if edits[i].name == "list renamed" {
			assert.Empty(t, shop.ReportOf(t, saved).Logged, "a list is not gone and another new when its sheet is renamed")
		}
	}

	bare := filepath.Join(t.TempDir(), "bare.xlsx")
	for name, do := range map[string]string{
		"saved": "",
		"coloured, noted": `
from openpyxl.styles import PatternFill
from openpyxl.comments import Comment
for s in b.worksheets:
    s.column_dimensions["B"].width = 40
    s["B3"].fill = PatternFill("solid", fgColor="FFFF00")
    if s.title != "Joints":
        s["BA3"] = "a note"
b["Joints"]["E3"].comment = Comment("look again", "the shop")
`,
	} {
		sheetstest.Python(t, "import sys, openpyxl\nb = openpyxl.load_workbook(sys.argv[1])\n"+do+"\nb.save(sys.argv[2])", path, bare)
		rep := audited(t, bare, "")
		assert.True(t, rep.Clean(), "%s: %+v", name, rep.Faults)
		assert.Equal(t, 1, ofRule(rep, audit.RuleNotStored), "openpyxl keeps no values")
	}
}

// ofRule counts the faults of a kind.
func ofRule(rep *audit.Report, rule string) (n int) {
	for _, f := range rep.Faults {
		if f.Rule == rule {
			n++
		}
	}
	return n
}

// One cause is told once, whatever rests on it, and what it does comes first.
func TestOneCauseIsToldOnce(t *testing.T) {
	t.Parallel() // most of its time is LibreOffice's, or another program's
	if testing.Short() {
		t.Skip("heavy")
	}
	sheetstest.NeedLibreOffice(t)
	path, g := everySheet(t, mixedJoints()...)
	var noCar []shop.Row
	for _, r := range mixedJoints() {
		r[1] = nil
		noCar = append(noCar, r)
	}
	bare, _ := everySheet(t, noCar...)
	rate := fmt.Sprint("C", shop.Assumption(t, g, "shop_rate"))
	saved := sheetstest.EditAll(t,
		sheetstest.OfficeEdit{Path: path, Basic: onJoints + "s.Rows.removeByIndex(3, 1)"},
		sheetstest.OfficeEdit{Path: path, Basic: sortedBy(4, shop.OurColumn(t, g, "Joints", "finding")+"8")},
		sheetstest.OfficeEdit{Path: path, Basic: fmt.Sprintf(`doc.Sheets.getByName("Assumptions").getCellRangeByName("%s").Value = 300`, rate)},
		sheetstest.OfficeEdit{Path: bare, Basic: onJoints + `s.Name = "Demo car two"`},
	)

	deleted := audited(t, saved[0], "")
	assert.Equal(t, 1, ofRule(deleted, audit.RuleJointsChanged), "%+v", deleted.Faults)
	for _, f := range deleted.Faults {
		if f.Rule != audit.RuleJointsChanged {
			assert.Contains(t, []string{audit.RuleOtherRows, audit.RuleOverrideSeen, audit.RuleOverride}, f.Rule, "%+v", f)
		}
	}
	assert.Positive(t, ofRule(deleted, audit.RuleOtherRows))
	assert.LessOrEqual(t, ofRule(deleted, audit.RuleOtherRows), len(bid.Sheets())+1, "one for each sheet that belongs to other rows, Summary among them")

	sorted := audited(t, saved[1], "")
	assert.Positive(t, ofRule(sorted, audit.RuleOtherRows), "%+v", sorted.Faults)
	assert.LessOrEqual(t, ofRule(sorted, audit.RuleOtherRows), len(bid.Sheets()))

	dearer := audited(t, saved[2], "")
	require.NotEmpty(t, dearer.Faults)
	assert.Equal(t, "Assumptions!"+rate, dearer.Faults[0].Cell, "%+v", dearer.Faults)
	assert.Equal(t, audit.RuleNotLogged, dearer.Faults[0].Rule)
	assert.Positive(t, dearer.Faults[0].Price)

	otherCar := audited(t, saved[3], "")
	f := faultAt(otherCar, audit.RuleSheetRenamed, "Demo car two!"+shop.OurColumn(t, g, "Joints", "car")+"2")
	require.NotNil(t, f, "%+v", otherCar.Faults)
	assert.Equal(t, 6, f.More)
	for _, o := range otherCar.Faults {
		assert.True(t, o.Rule == audit.RuleSheetRenamed || o.Grade == audit.WorthKnowing, "%+v", o)
	}
}
