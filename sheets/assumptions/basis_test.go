package assumptions_test

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

const labelBlanks = "Basis of the estimate: points not filled in"

// basisRows are the points of the basis, by what their key ends with.
func basisRows(g sheetstest.Grid) map[string]string {
	out := map[string]string{}
	for ref, v := range g["Assumptions"] {
		if row, ok := strings.CutPrefix(ref, "A"); ok && strings.HasPrefix(v.Text, "basis_") && len(row) < 5 && strings.Trim(row, "0123456789") == "" {
			out[strings.TrimPrefix(v.Text, "basis_")] = row
		}
	}
	return out
}

// What a cost estimate states about itself, by the documenting step of the US
// Government Accountability Office's Cost Estimating and Assessment Guide and
// the cost engineers' basis of estimate (both from memory): purpose, scope,
// sources with their date, ground rules and assumptions, exclusions, allowances
// and contingency, risks, who made and who checked it.
func TestBasisAsksForWhatGuidesAskFor(t *testing.T) {
	out, rep := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	g := sheetstest.Read(t, out)
	rows := basisRows(g)
	for _, key := range []string{"purpose", "scope", "documents", "price_date", "allowances", "assumed", "exclusions", "risks", "made_by", "checked_by"} {
		require.Contains(t, rows, key)
		first, _ := shop.NamedRows(t, out, "basis_"+key)
		assert.Equal(t, rows[key], fmt.Sprint(first))
	}
	assert.Equal(t, float64(len(rows)), shop.OnWorkings(t, g, labelBlanks))
	assert.True(t, rep.Complete, "a blank point is told, and stops nothing")
}

func TestBasisIsCountedLive(t *testing.T) {
	shop.Heavy(t)
	shop.Play(t, shop.Scene{
		Name: "two points filled in, one of them moved",
		Make: func(t *testing.T) []string {
			out, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
			rows := basisRows(sheetstest.Read(t, out))
			in := shop.TypeIn(t, out, shop.At("Assumptions", "C"+rows["scope"], "joints and tube of one car"), shop.At("Assumptions", "C"+rows["risks"], "none seen"))
			in = shop.Edited(t, in, func(f *excelize.File) { require.NoError(t, f.InsertRows("Assumptions", 15, 2)) })
			again, _ := shop.Price(t, in)
			return []string{in, again}
		},
		Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
			for i, g := range live {
				assert.Equal(t, 12.0, shop.OnWorkings(t, g, labelBlanks), "book %d", i)
			}
			shop.Equal(t, paths[1], live[1])
			g := sheetstest.Read(t, paths[1])
			first, _ := shop.NamedRows(t, paths[1], "seamtally.blanks")
			assert.Equal(t, 12.0, g["Assumptions"][fmt.Sprint("E", first)].Num)
			assert.Equal(t, "COMPLETE", live[1]["Workings"]["B3"].Text)
		},
	})
}

func TestReliabilityIsTheShops(t *testing.T) {
	out, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	g := sheetstest.Read(t, out)
	row := shop.Assumption(t, g, "clean_fit")
	in := shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("O", row), "measured"), shop.At("Assumptions", fmt.Sprint("P", row), 46350))
	in = shop.Edited(t, in, func(f *excelize.File) { require.NoError(t, f.InsertCols("Assumptions", "O", 1)) })
	out, _ = shop.Price(t, in)
	g = sheetstest.Read(t, out)
	assert.Equal(t, "measured", g["Assumptions"][fmt.Sprint("P", row)].Text)
	assert.Equal(t, 46350.0, g["Assumptions"][fmt.Sprint("Q", row)].Num)
	again, _ := shop.Price(t, out)
	assert.True(t, shop.Content(t, out) == shop.Content(t, again))
}

// A workbook of the version before there was a log, with a shop rate that the
// shop set: everything that is new arrives by itself, once, and what it does to the price is told.
func TestEarlierWorkbookGetsItsNewRows(t *testing.T) {
	shop.Heavy(t)
	old := filepath.Join("testdata", "before-log.xlsx")
	was := sheetstest.Read(t, old)
	out, rep := onDay(t, old, "2026-11-25")
	assert.Equal(t, 1175.0, shop.OnWorkings(t, was, shop.LabelPrice))
	assert.Equal(t, []string{"the log begins; what was set before is not known"}, rep.Logged)
	require.Len(t, rep.Findings, 3)
	assert.Contains(t, rep.Findings[0].What, "purge_rig 3 -> 6 min, clean_fit 3 -> 5 min, utilisation 75 -> 85 %")
	assert.Contains(t, rep.Findings[1].What, "Straightening")
	assert.Contains(t, rep.Findings[2].What, "other than before: bore, stock_no, rod_no, purge_fill, fine, finding, floor_time, argon, check; the price of the order was 1175 and is 1225")
	g := sheetstest.Read(t, out)
	row := shop.Assumption(t, was, "shop_rate")
	assert.Equal(t, row, shop.Assumption(t, g, "shop_rate"))
	assert.Equal(t, 101.0, g["Assumptions"][fmt.Sprint("C", row)].Num)
	assert.Len(t, basisRows(g), 14)
	assert.Equal(t, 14.0, shop.OnWorkings(t, g, labelBlanks))
	assert.Equal(t, "Reliability", g["Assumptions"][fmt.Sprint("O", row-2)].Text)
	_, last := shop.NamedRows(t, out, "seamtally.log")
	assert.Contains(t, shop.Parts(t, out)["xl/workbook.xml"], fmt.Sprintf(`'Assumptions'!$A$1:$AB$%d<`, last+1), "printed with the log")

	again, _ := onDay(t, out, "2026-11-26")
	assert.True(t, shop.Content(t, out) == shop.Content(t, again))
	after, rep := onDay(t, shop.Assume(t, out, shop.Setting{Key: "shop_rate", Value: 102.5}), "2026-11-27")
	assert.Equal(t, []string{"shop_rate 101 -> 102.5 $/h"}, rep.Logged)
	t.Run("recalculated", func(t *testing.T) {
		sheetstest.NeedLibreOffice(t)
		for i, live := range sheetstest.RecalculateAll(t, out, after) {
			shop.Equal(t, []string{out, after}[i], live)
		}
	})
}

// Remarks of the shop's beside the tables at the foot, or right of the
// assumptions, stay where they are.
func TestNewRowsGoRoundTheShopsRemarks(t *testing.T) {
	old := filepath.Join("testdata", "before-log.xlsx")
	first, last := shop.NamedRows(t, old, "seamtally.columns")
	remarks := map[string]string{fmt.Sprint("J", first+3): "ask about this one", fmt.Sprint("H", last): "and this", "O20": "see the blue folder"}
	in := old
	for ref, s := range remarks {
		in = shop.TypeIn(t, in, shop.At("Assumptions", ref, s))
	}
	out, _ := onDay(t, in, "2026-11-25")
	g := sheetstest.Read(t, out)
	for ref, s := range remarks {
		assert.Equal(t, s, g["Assumptions"][ref].Text)
	}
	from, _ := shop.NamedRows(t, out, "seamtally.log")
	assert.Greater(t, from, last, "the log is below all that there was")
	assert.Len(t, shop.LogOf(t, out), 1)
	again, _ := onDay(t, out, "2026-11-26")
	assert.True(t, shop.Content(t, out) == shop.Content(t, again))
}

// An assumption that an earlier version did not have arrives with its shipped
// value; one whose row the shop has deleted does not come back unasked.
func TestMissingAssumptions(t *testing.T) {
	shop.Heavy(t)
	clean, first := onDay(t, shop.Small(t, shop.Butt("J-1")), "2026-11-25")
	row := shop.Assumption(t, sheetstest.Read(t, clean), "kerf")
	without := func(name string) string {
		return shop.Edited(t, clean, func(f *excelize.File) {
			for col := 'A'; col <= 'P'; col++ {
				require.NoError(t, f.SetCellValue("Assumptions", fmt.Sprintf("%c%d", col, row), nil))
			}
			require.NoError(t, f.DeleteDefinedName(&excelize.DefinedName{Name: "kerf"}))
			if name != "" {
				require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: "kerf", RefersTo: name}))
			}
		})
	}
	out, rep := onDay(t, without(""), "2026-11-26")
	g := sheetstest.Read(t, out)
	at, _ := shop.NamedRows(t, out, "kerf")
	assert.Greater(t, at, row)
	assert.Equal(t, "kerf", g["Assumptions"][fmt.Sprint("A", at)].Text)
	assert.Equal(t, "Tube", g["Assumptions"][fmt.Sprint("B", at-1)].Text, "under its section")
	assert.Equal(t, 0.06, g["Assumptions"][fmt.Sprint("C", at)].Num)
	assert.Equal(t, "inside", g["Assumptions"][fmt.Sprint("I", at)].Text)
	assert.Equal(t, first.Order["order_price"], rep.Order["order_price"])
	assert.Zero(t, shop.OnWorkings(t, g, "Assumptions outside their usual range"))
	again, _ := onDay(t, out, "2026-11-27")
	assert.True(t, shop.Content(t, out) == shop.Content(t, again))
	changed, _ := onDay(t, shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("C", at), 0.1)), "2026-11-28")
	assert.Equal(t, []string{"kerf 0.06 -> 0.1 in"}, said(shop.LogOf(t, changed), 2))
	t.Run("recalculated", func(t *testing.T) {
		sheetstest.NeedLibreOffice(t)
		shop.Equal(t, changed, sheetstest.Recalculate(t, changed))
	})

	assert.Contains(t, shop.Refused(t, without("Assumptions!#REF!")), `the row of "kerf" is gone`)
}
