package audit_test

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/audit"
	"seamtally/sheets/audit/marked"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// withParts is an order with two lines of hangers that are called alike, and
// where they stand.
func withParts(t *testing.T) (path string, first, second int) {
	t.Helper()
	path, _ = shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")))
	first = shop.TableRow(t, sheetstest.Read(t, path), "Hangers")
	second = first + 17 // below the last that is shipped
	path, _ = shop.Price(t, shop.TypeIn(t, path, partLine(first, "Hangers", 2, 10)...))
	path, _ = shop.Price(t, shop.TypeIn(t, path, partLine(second, "Hangers", 1, 30)...))
	return path, first, second
}

// partLine is a line of other work as it is typed; nothing in it, to take one out.
func partLine(row int, item, quantity, cost any) []shop.Cell {
	at := func(col string) string { return fmt.Sprint(col, row) }
	all := any("all")
	per, learns := any("car"), any("no")
	hours := any(0)
	if item == nil {
		all, per, learns, hours = nil, nil, nil, nil
	}
	return []shop.Cell{
		shop.At("Assumptions", at("B"), item), shop.At("Assumptions", at("C"), all), shop.At("Assumptions", at("D"), quantity), shop.At("Assumptions", at("E"), hours),
		shop.At("Assumptions", at("F"), cost), shop.At("Assumptions", at("G"), per), shop.At("Assumptions", at("H"), learns),
	}
}

// told asks for one fault of a rule, that of the cell, with what it does to cost
// and price found by pricing the workbook with and without.
func told(t *testing.T, rep *audit.Report, rule, cell, before, after string) *audit.Fault {
	t.Helper()
	n := 0
	for _, f := range rep.Faults {
		if f.Rule == rule {
			n++
		}
	}
	require.Equal(t, 1, n, "%+v", rep.Faults)
	f := faultAt(rep, rule, cell)
	require.NotNil(t, f, "%+v", rep.Faults)
	was, now := shop.ReportOf(t, before), shop.ReportOf(t, after)
	assert.InDelta(t, now.Order["order_cost"]-was.Order["order_cost"], f.Cost, 0.0051)
	assert.InDelta(t, now.Order["order_price"]-was.Order["order_price"], f.Price, 0.0051)
	return f
}

// Of two lines that are called alike the right one is named, whichever is
// changed, taken out or added.
func TestLinesOfTablesSinceTheLastRun(t *testing.T) {
	base, first, second := withParts(t)
	cell := func(col string, row int) string { return fmt.Sprint("Assumptions!", col, row) }
	for name, c := range map[string]struct {
		cells       []shop.Cell
		rule, cell  string
		found, want string
	}{
		"first changed":  {[]shop.Cell{shop.At("Assumptions", fmt.Sprint("F", first), 17)}, audit.RuleNotLogged, cell("F", first), "17 $", "10 $"},
		"second changed": {[]shop.Cell{shop.At("Assumptions", fmt.Sprint("F", second), 37)}, audit.RuleNotLogged, cell("F", second), "37 $", "30 $"},
		"second gone":    {partLine(second, nil, nil, nil), audit.RuleLineGone, "Assumptions!B", "no line", "cost_each 30"},
		"first gone":     {partLine(first, nil, nil, nil), audit.RuleLineGone, "Assumptions!B", "no line", "cost_each 10"},
		"third added":    {partLine(second+1, "Hangers", 3, 5), audit.RuleLineAdded, cell("B", second+1), "cost_each 5", "no line"},
	} {
		t.Run(name, func(t *testing.T) {
			changed := shop.TypeIn(t, base, c.cells...)
			rep := audited(t, changed, "")
			at := c.cell
			if !strings.ContainsAny(at, "0123456789") { // the first line of the table
				at = cell("B", shop.TableRow(t, sheetstest.Read(t, base), "Flanges"))
			}
			f := told(t, rep, c.rule, at, base, changed)
			assert.Contains(t, f.Found, c.found)
			assert.Contains(t, f.Expected, c.want)
			for _, f := range rep.Faults {
				may := []string{c.rule, audit.RuleStale, audit.RuleNoBasis}
				if c.rule != audit.RuleNotLogged { // lines that are called alike are counted by a run
					may = append(may, audit.RuleOtherRows)
				}
				assert.Contains(t, may, f.Rule, "%+v", f)
			}
		})
	}
}

// What differs from another workbook is told once, with what the log says.
func TestTablesAgainstAnotherWorkbook(t *testing.T) {
	base, first, _ := withParts(t)
	g := sheetstest.Read(t, base)
	stock := shop.TableRow(t, g, "grade 2", 3.0, 0.049)
	car := shop.TableRow(t, g, "Demo car one")
	for name, c := range map[string]struct {
		cell  shop.Cell
		grown float64
	}{
		"price of tube": {shop.At("Assumptions", fmt.Sprint("E", stock), 99.5), 1},
		"cars ordered":  {shop.At("Assumptions", fmt.Sprint("C", car), 4), 1},
		"a part":        {shop.At("Assumptions", fmt.Sprint("F", first), 22), 1},
	} {
		t.Run(name, func(t *testing.T) {
			changed := shop.TypeIn(t, base, c.cell)
			f := told(t, audited(t, changed, base), audit.RuleNotLogged, "Assumptions!"+c.cell.Ref, base, changed)
			assert.Contains(t, f.What, "it is as it was")
			logged, _ := shop.Price(t, changed)
			told(t, audited(t, logged, base), audit.RuleChanged, "Assumptions!"+c.cell.Ref, base, logged)
			assert.True(t, audited(t, logged, "").Clean())
		})
	}
}

// A row that cannot be priced any more is told with what Summary still has of
// it, and of Summary only what is really stale.
func TestRowLeftOutIsWeighed(t *testing.T) {
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"), shop.Butt("J-3")))
	bad := shop.TypeIn(t, base, shop.At("Joints", "E3", "wide"))
	rep := audited(t, bad, "")
	f := faultAt(rep, audit.RuleLeftOut, "Joints!E3")
	require.NotNil(t, f, "%+v", rep.Faults)
	with, without := shop.ReportOf(t, base), shop.ReportOf(t, bad)
	assert.InDelta(t, with.Order["order_cost"]-without.Order["order_cost"], f.Cost, 0.0051)
	assert.InDelta(t, with.Order["order_price"]-without.Order["order_price"], f.Price, 0.0051)
	assert.Positive(t, f.Cost)
	for _, f := range rep.Faults {
		assert.Contains(t, []string{audit.RuleLeftOut, audit.RuleJointsChanged}, f.Rule, "%+v", f)
	}
	seeded := bedOf(t, base).copy()
	seeded.cell("Joints", "E3", func(string) string { return `<c r="E3" t="inlineStr"><is><t>wide</t></is></c>` })
	at := seeded.onWorkings(labelCost)
	seeded.put("Workings", at, seeded.formulaAt("Workings", at), 123.45)
	rep = audited(t, seeded.file(), "")
	assert.NotNil(t, faultAt(rep, audit.RuleStale, "Workings!"+at), "%+v", rep.Faults)
}

// A size that is not in stock brings a line to the table at the next run; what
// else is stale is seen all the same.
func TestStaleBesideANewSize(t *testing.T) {
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"), shop.Butt("J-3")))
	rep := audited(t, shop.TypeIn(t, base, shop.At("Joints", "E3", 3.1)), "")
	assert.NotNil(t, faultAt(rep, audit.RuleNotInTable, "Joints!E3"), "%+v", rep.Faults)
	for _, f := range rep.Faults {
		assert.False(t, f.Rule == audit.RuleStale && strings.HasPrefix(f.Cell, "Workings!"), "%+v", f)
	}
	seeded := bedOf(t, base).copy()
	seeded.cell("Joints", "E3", func(string) string { return `<c r="E3"><v>3.1</v></c>` })
	at := seeded.onWorkings(labelCost)
	seeded.put("Workings", at, seeded.formulaAt("Workings", at), 123.45)
	rep = audited(t, seeded.file(), "")
	assert.NotNil(t, faultAt(rep, audit.RuleStale, "Workings!"+at), "%+v", rep.Faults)
}

// A calculated column that was taken out is told once, and so is one that was
// only emptied, heading and all; one whose heading is worded otherwise is not.
func TestCalculatedColumnTakenOut(t *testing.T) {
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"), shop.Butt("J-3")))
	col := shop.OurColumn(t, sheetstest.Read(t, base), "Joints", "arc_time")
	for name, change := range map[string]func(f *excelize.File){
		"taken out": func(f *excelize.File) { require.NoError(t, f.RemoveCol("Joints", col)) },
		"emptied": func(f *excelize.File) {
			for row := range 4 {
				require.NoError(t, f.SetCellFormula("Joints", fmt.Sprint(col, row+1), ""))
				require.NoError(t, f.SetCellValue("Joints", fmt.Sprint(col, row+1), nil))
			}
		},
	} {
		rep := audited(t, shop.Edited(t, base, change), "")
		require.Len(t, rep.Faults, 1, "%s: %+v", name, rep.Faults)
		assert.Equal(t, audit.RuleColumnGone, rep.Faults[0].Rule)
		assert.Equal(t, audit.Wrong, rep.Faults[0].Grade)
	}
	renamed := shop.TypeIn(t, base, shop.At("Joints", col+"1", "Minutes at the arc"))
	assert.True(t, audited(t, renamed, "").Clean())
}

// The sheet of an audit is ours: a second audit writes it anew, and clear takes
// it out.
func TestSheetOfAnAudit(t *testing.T) {
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")))
	mark := func(in string) string {
		out := filepath.Join(t.TempDir(), "marked.xlsx")
		require.NoError(t, marked.Copy(audited(t, in, ""), out, "", false))
		return out
	}
	many := mark(shop.Assume(t, base, shop.Setting{Key: "shop_rate", Value: 111}))
	g := sheetstest.Read(t, many)
	rows := len(audited(t, many, "").Faults)
	require.Greater(t, rows, 1)
	assert.NotEmpty(t, g["Audit"][fmt.Sprint("A", 4+rows)].Text)
	one := mark(shop.TypeIn(t, shop.Assume(t, many, shop.Setting{Key: "shop_rate", Value: 95}), shop.At("Audit", "L3", "seen")))
	g = sheetstest.Read(t, one)
	assert.NotContains(t, g, "Audit 2")
	assert.Equal(t, "Nothing found.", g["Audit"]["A5"].Text)
	assert.Empty(t, g["Audit"]["D5"].Text)
	assert.Equal(t, "seen", g["Audit"]["L3"].Text, "right of what it fills it is the shop's")
	assert.NotContains(t, sheetstest.Read(t, shop.Cleared(t, one)), "Audit")
}
