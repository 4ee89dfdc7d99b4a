package audit_test

import (
	"math"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/audit"
	"seamtally/sheets/audit/marked"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// Two faults at once are both found, whatever they are.
func TestTwoFaultsAtOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy")
	}
	bed := bedOf(t, beds(t)["by hand 3"])
	all := seedlings()
	for i := range all {
		one, two := all[i], all[(i+7)%len(all)]
		l1, l2 := bed.lineFor(0), bed.lineFor(3)
		require.NotEqual(t, l1, l2)
		seeded := bed.copy()
		if one.name == "joint twice" || one.name == "joint missing" { // these move or take rows
			one, two = two, one
		}
		cell1 := one.sow(seeded, l1)
		cell2 := two.sow(seeded, l2)
		if cell1 == cell2 {
			continue
		}
		rep := audited(t, seeded.file(), bed.path)
		assert.NotNil(t, faultAt(rep, one.rule, cell1), "%s, with %s: %+v", one.name, two.name, rep.Faults)
		assert.NotNil(t, faultAt(rep, two.rule, cell2), "%s, with %s: %+v", two.name, one.name, rep.Faults)
	}
}

// What moves the price most comes first, whatever its grade; what is worth knowing
// comes last.
func TestFaultsAreSorted(t *testing.T) {
	shop.Heavy(t)
	bed := bedOf(t, beds(t)["by hand 3"])
	seeded := bed.copy()
	for i, s := range seedlings() {
		if s.name == "hidden row" || s.name == "typed over" || s.name == "value used" || s.name == "stale value" {
			s.sow(seeded, bed.lineFor(i))
		}
	}
	rep := audited(t, seeded.file(), "")
	moves := func(f audit.Fault) float64 {
		switch {
		case f.Grade == audit.WorthKnowing:
			return -1
		case math.IsNaN(f.Price):
			return 0
		}
		return math.Max(math.Abs(f.Cost), math.Abs(f.Price))
	}
	for i := 1; i < len(rep.Faults); i++ {
		assert.GreaterOrEqual(t, moves(rep.Faults[i-1]), moves(rep.Faults[i]))
	}
	assert.NotZero(t, rep.Faults[0].Price)
	assert.False(t, rep.Clean())
}

// A total of the shop's own that is short of the list, or counts a subtotal.
func TestTotalsOfTheShop(t *testing.T) {
	shop.Heavy(t)
	list := func(sums map[string]string) string {
		return shop.Edited(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"), shop.Row{"Subtotal"}, shop.Butt("J-3"), shop.Butt("J-4"), shop.Row{"Total"}), func(f *excelize.File) {
			for cell, formula := range sums {
				require.NoError(t, f.SetCellFormula("Joints", cell, formula))
				require.NoError(t, f.SetCellValue("Joints", cell, 4))
				require.NoError(t, f.SetCellFormula("Joints", cell, formula))
			}
		})
	}
	for name, c := range map[string]struct {
		sums map[string]string
		cell string
	}{
		"whole":             {map[string]string{"D4": "SUM(D2:D3)", "D7": "SUM(D5:D6)"}, ""},
		"by SUBTOTAL":       {map[string]string{"D4": "SUBTOTAL(9,D2:D3)", "D7": "SUBTOTAL(9,D2:D6)"}, ""},
		"short":             {map[string]string{"D4": "SUM(D2:D3)", "D7": "SUM(D5:D5)"}, "Joints!D7"},
		"a subtotal counts": {map[string]string{"D4": "SUM(D2:D3)", "D7": "SUM(D2:D6)"}, "Joints!D7"},
	} {
		t.Run(name, func(t *testing.T) {
			out, rep := shop.Price(t, list(c.sums))
			require.Equal(t, 4, rep.Priced)
			found := audited(t, out, "")
			if c.cell == "" {
				assert.True(t, found.Clean(), "%+v", found.Faults)
				return
			}
			f := faultAt(found, "total of the shop's", c.cell)
			require.NotNil(t, f, "%+v", found.Faults)
			assert.Equal(t, audit.Doubtful, f.Grade)
			assert.Zero(t, f.Price, "it is no part of the price")
		})
	}
}

// A joint typed in since the last run is not in the price, and is told with
// what it would add.
func TestJointWithoutFigures(t *testing.T) {
	out, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")))
	in := shop.TypeIn(t, out, shop.At("Joints", "A4", "J-3"), shop.At("Joints", "B4", "Demo car one"), shop.At("Joints", "C4", "butt"),
		shop.At("Joints", "D4", 2), shop.At("Joints", "E4", 3), shop.At("Joints", "F4", 0.049), shop.At("Joints", "I4", 10))
	rep := audited(t, in, "")
	f := faultAt(rep, "row without figures", "Joints!E4")
	require.NotNil(t, f, "%+v", rep.Faults)
	was, now := shop.ReportOf(t, out), shop.ReportOf(t, in)
	assert.InDelta(t, was.Order["order_cost"]-now.Order["order_cost"], f.Cost, 0.0051)
	assert.InDelta(t, was.Order["order_price"]-now.Order["order_price"], f.Price, 0.0051)
	assert.Negative(t, f.Cost)
}

// The sheet of what was found goes into a copy; the rest is as it was.
func TestMarkedCopy(t *testing.T) {
	bed := bedOf(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"), shop.Butt("J-3")))
	seeded := bed.copy()
	ref, v := bed.ofLine(bed.rep.Lines[1], "floor_time")
	cell := seeded.put("Joints", ref, v.Formula+"+1", v.Num+1)
	in := seeded.file()
	rep := audited(t, in, "")
	out := filepath.Join(t.TempDir(), "marked.xlsx")
	require.NoError(t, marked.Copy(rep, out, "", false))
	require.ErrorContains(t, marked.Copy(rep, out, "", false), "is there already")
	f, err := excelize.OpenFile(out)
	require.NoError(t, err)
	defer f.Close()
	got, err := f.GetCellValue("Audit", "B5")
	require.NoError(t, err)
	assert.Equal(t, cell, got)
	was := shop.Parts(t, in)
	for name, text := range shop.Parts(t, out) {
		if was[name] != "" && name != "xl/workbook.xml" && name != "xl/styles.xml" && name != "[Content_Types].xml" && name != "xl/_rels/workbook.xml.rels" {
			assert.True(t, was[name] == text, name)
		}
	}
	again, _ := shop.Price(t, out)
	assert.NotEmpty(t, shop.Parts(t, again))
}

// LibreOffice writes every part anew, and many formulas in other words: nothing
// was changed by that. A program that works nothing out leaves no values.
func TestAuditAfterOtherPrograms(t *testing.T) {
	t.Parallel() // most of its time is LibreOffice's, or another program's
	if testing.Short() {
		t.Skip("heavy")
	}
	sheetstest.NeedLibreOffice(t)
	sheetstest.NeedOpenpyxl(t)
	for i, in := range []string{shop.Unpriced(t, "order.xlsx"), shop.Generated(t, 30, 78, true), shop.Unpriced(t, "order-metric.xlsx"), shop.Generated(t, 30, 77, false)} {
		if i > 1 && !shop.Thorough() {
			break
		}
		out, _ := shop.Price(t, in)
		saved := sheetstest.EditAll(t, sheetstest.OfficeEdit{Path: out})[0]
		rep := audited(t, saved, out)
		assert.True(t, rep.Clean(), "%+v", rep.Faults)

		bare := filepath.Join(t.TempDir(), "bare.xlsx")
		sheetstest.Python(t, "import sys, openpyxl\nopenpyxl.load_workbook(sys.argv[1]).save(sys.argv[2])", out, bare)
		rep = audited(t, bare, "")
		told := 0
		for _, f := range rep.Faults {
			if f.Rule == "no stored value" {
				told++
				assert.Greater(t, f.More, 1000)
			}
			assert.NotEqual(t, "stale value", f.Rule)
		}
		assert.Equal(t, 1, told, "%+v", rep.Faults)
	}
}
