package audit_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/audit"
	"seamtally/sheets/book"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// cellOf is the first cell of a sheet, down and to the right, of which is says so.
func cellOf(t *testing.T, g sheetstest.Grid, sheet string, is func(sheetstest.Value) bool) string {
	t.Helper()
	for row := 1; row < 700; row++ {
		for col := 1; col < 30; col++ {
			ref, err := excelize.CoordinatesToCellName(col, row)
			require.NoError(t, err)
			if v, ok := g[sheet][ref]; ok && is(v) {
				return ref
			}
		}
	}
	t.Fatalf("no such cell on %s", sheet)
	return ""
}

// What was touched since the last run is told at its cell, though no formula holds it.
func TestTouchedSinceTheLastRun(t *testing.T) {
	shop.Heavy(t)
	path, g := everySheet(t, mixedJoints()...)
	words := func(sheet, text string) string {
		return cellOf(t, g, sheet, func(v sheetstest.Value) bool { return v.Formula == "" && v.Text == text })
	}
	kept := func(sheet string, least float64) string {
		return cellOf(t, g, sheet, func(v sheetstest.Value) bool {
			return v.Formula == "" && v.Kind == sheetstest.Number && v.Num >= least
		})
	}
	rate := shop.Assumption(t, g, "shop_rate")
	currency := words("Assumptions", "head_currency")
	var log int
	_, err := fmt.Sscanf(words("Assumptions", "Log"), "A%d", &log)
	require.NoError(t, err)
	first := fmt.Sprint(log + 3)
	cost := words("Workings", "Cost")
	price := words("Workings", "Price of the order")
	set := func(sheet string, cells map[string]any) func(*excelize.File) {
		return func(f *excelize.File) {
			for ref, v := range cells {
				require.NoError(t, f.SetCellValue(sheet, ref, v))
			}
		}
	}
	style := func(sheet, ref string, s *excelize.Style) func(*excelize.File) {
		return func(f *excelize.File) {
			id, err := f.NewStyle(s)
			require.NoError(t, err)
			require.NoError(t, f.SetCellStyle(sheet, ref, ref, id))
		}
	}
	literal, nothing, euro := `"1,000.00"`, ";;;", `[$EUR] #,##0.00`
	sealed := "C" + words("Assumptions", "As written")[1:]
	total := "C" + price[1:]
	for _, c := range []struct {
		name  string
		do    func(*excelize.File)
		rule  string
		cell  string
		grade audit.Grade
	}{
		{"cut plan", set("Buying", map[string]any{kept("Buying", 5): 4.0}), audit.RuleKeptChanged, "Buying!" + kept("Buying", 5), audit.Wrong},
		{"chance of a loss", set("Range", map[string]any{kept("Range", 100): 1.0}), audit.RuleKeptChanged, "Range!" + kept("Range", 100), audit.Wrong},
		{"line of the log changed", set("Assumptions", map[string]any{"J" + first: 1.0}), audit.RuleTouched, "Assumptions!A" + first, audit.Doubtful},
		{"line of the log cleared", func(f *excelize.File) {
			for _, col := range "ABCDEFGHIJKLM" {
				require.NoError(t, f.SetCellValue("Assumptions", string(col)+first, nil))
			}
		}, audit.RuleTouched, "Assumptions!A" + first, audit.Doubtful},
		{"range widened", set("Assumptions", map[string]any{fmt.Sprint("H", rate): 900.0}), audit.RuleTouched, fmt.Sprint("Assumptions!G", rate), audit.Doubtful},
		{"sign of money", set("Assumptions", map[string]any{"C" + currency[1:]: "EUR"}), audit.RuleTouched, "Assumptions!C" + currency[1:], audit.Doubtful},
		{"basis reworded", set("Assumptions", map[string]any{fmt.Sprint("L", rate): "somebody said so"}), audit.RuleTouched, fmt.Sprint("Assumptions!L", rate), audit.WorthKnowing},
		{"label reworded", set("Workings", map[string]any{cost: "Price"}), audit.RuleTouched, "Workings!" + cost, audit.Doubtful},
		{"labels exchanged", set("Workings", map[string]any{cost: "Price of the order", price: "Cost"}), audit.RuleTouched, "Workings!" + cost, audit.Doubtful},
		{"label of an assumption", set("Assumptions", map[string]any{fmt.Sprint("B", rate): "Rate of the machine"}), audit.RuleTouched, fmt.Sprint("Assumptions!B", rate), audit.Doubtful},
		{"price by a format", style("Workings", total, &excelize.Style{CustomNumFmt: &literal}), audit.RuleDisguised, "Workings!" + total, audit.Doubtful},
		{"check hidden by a format", style("Joints", shop.OurColumn(t, g, "Joints", "check")+"2", &excelize.Style{CustomNumFmt: &nothing}), audit.RuleDisguised, "Joints!" + shop.OurColumn(t, g, "Joints", "check") + "2", audit.Doubtful},
		{"white on white", style("Workings", total, &excelize.Style{Font: &excelize.Font{Color: "FFFFFF"}}), audit.RuleDisguised, "Workings!" + total, audit.Doubtful},
		{"row of a car hidden", func(f *excelize.File) { require.NoError(t, f.SetRowVisible("Workings", 9, false)) }, audit.RuleHidden, "Workings!A9", audit.Doubtful},
		{"row without height", func(f *excelize.File) { require.NoError(t, f.SetRowHeight("Workings", 9, 0.5)) }, audit.RuleHidden, "Workings!A9", audit.Doubtful},
		{"column without width", func(f *excelize.File) { require.NoError(t, f.SetColWidth("Workings", "K", "K", 0.1)) }, audit.RuleHidden, "Workings!K1", audit.Doubtful},
		{"row of a sheet for the bid hidden", func(f *excelize.File) { require.NoError(t, f.SetRowVisible("Buying", 10, false)) }, audit.RuleHidden, "Buying!A10", audit.Doubtful},
		{"sheet hidden", func(f *excelize.File) { require.NoError(t, f.SetSheetVisible("Summary", false)) }, audit.RuleHidden, "Summary", audit.Doubtful},
		{"share by a format", style("Workings", total, &excelize.Style{NumFmt: 10}), audit.RuleDisguised, "Workings!" + total, audit.Doubtful},
		{"day by a format", style("Workings", total, &excelize.Style{NumFmt: 14}), audit.RuleDisguised, "Workings!" + total, audit.Doubtful},
		{"other money by a format", style("Workings", total, &excelize.Style{CustomNumFmt: &euro}), audit.RuleDisguised, "Workings!" + total, audit.Doubtful},
		{"small letters", style("Workings", total, &excelize.Style{Font: &excelize.Font{Size: 1}}), audit.RuleDisguised, "Workings!" + total, audit.Doubtful},
		{"seal cleared", set("Assumptions", map[string]any{sealed: nil}), audit.RuleTouched, "Assumptions", audit.Doubtful},
		{"column hidden", func(f *excelize.File) { require.NoError(t, f.SetColVisible("Workings", "K", false)) }, audit.RuleHidden, "Workings!K1", audit.Doubtful},
		{"precision", func(f *excelize.File) {
			no := false
			require.NoError(t, f.SetCalcProps(&excelize.CalcPropsOptions{FullPrecision: &no}))
		}, book.FindAsDisplayed, "the workbook", audit.Doubtful},
		{"iteration", func(f *excelize.File) {
			yes := true
			require.NoError(t, f.SetCalcProps(&excelize.CalcPropsOptions{Iterate: &yes}))
		}, audit.RuleIterates, "the workbook", audit.Doubtful},
		{"choices", func(f *excelize.File) { require.NoError(t, f.DeleteDataValidation("Assumptions")) }, audit.RuleTouched, "", audit.Doubtful},
	} {
		t.Run(c.name, func(t *testing.T) {
			rep := audited(t, shop.Edited(t, path, c.do), "")
			var told *audit.Fault
			for i, f := range rep.Faults {
				if f.Rule == c.rule && (f.Cell == c.cell || c.cell == "") {
					told = &rep.Faults[i]
				}
				stale := f.Rule == audit.RuleStale && c.name == "sign of money" // nothing has worked it out anew
				// The last run found it otherwise, and so the verdict is none of now.
				verdict := c.name == "precision" && (f.Rule == audit.RuleStale || f.Rule == audit.RuleKeptChanged) &&
					(f.Expected == `"INCOMPLETE"` || f.Expected == "1")
				// At the top of Assumptions is counted, live, which bases say that a value is not
				// set; nothing has counted anew.
				stale = stale || f.Rule == audit.RuleStale && c.name == "basis reworded" && strings.HasPrefix(f.Cell, "Assumptions!K")
				goesBy := f.Rule == audit.RuleOtherRows && (c.name == "basis reworded" || c.name == "range widened")
				assert.True(t, f.Rule == c.rule || f.Grade == audit.WorthKnowing || stale || verdict || goesBy, "beside it: %+v", f)
			}
			require.NotNil(t, told, "%+v", rep.Faults)
			assert.Equal(t, c.grade, told.Grade)
		})
	}
}

// An amount typed where the price does not come from it is told by an audit too.
func TestAmountThatPaysNothingIsAudited(t *testing.T) {
	path, _ := shop.Price(t, shop.Small(t, mixedJoints()...))
	cell := fmt.Sprint("Joints!", shop.OurColumn(t, sheetstest.Read(t, path), "Joints", "line_cost"), 2)
	priced, _ := shop.Price(t, shop.TypedOver(t, path, "line_cost", 2, 500.0))
	for _, p := range []string{shop.TypedOver(t, path, "line_cost", 2, 500.0), priced} {
		rep := audited(t, p, "")
		assert.NotNil(t, faultAt(rep, audit.RuleUnsettled, cell), "%+v", rep.Faults)
		assert.False(t, rep.Verdict.Complete)
	}
	rep := audited(t, shop.TypedOver(t, path, "floor_time", 2, 500.0), "")
	for _, f := range rep.Faults {
		assert.NotEqual(t, audit.RuleUnsettled, f.Rule, "%+v", f)
	}
}

// A line of the log that was changed stays told after the next run, which has a line
// of its own to add; who and why are the shop's to write.
func TestChangedLogStaysTold(t *testing.T) {
	shop.Heavy(t)
	path, _ := shop.Price(t, shop.Small(t, mixedJoints()...))
	g := sheetstest.Read(t, path)
	head := cellOf(t, g, "Assumptions", func(v sheetstest.Value) bool { return v.Text == "What changed" })
	var row int
	_, err := fmt.Sscanf(head, "B%d", &row)
	require.NoError(t, err)
	next, _ := shop.Price(t, shop.TypeIn(t, path, shop.At("Assumptions", fmt.Sprint("K", row+1), "the estimator"), shop.At("Assumptions", fmt.Sprint("L", row+1), "first look")))
	assert.True(t, audited(t, next, "").Clean())
	touched := shop.TypeIn(t, next, shop.At("Assumptions", fmt.Sprint("J", row+1), 5.0), shop.At("Assumptions", fmt.Sprint("C", shop.Assumption(t, g, "shop_rate")), 111.0))
	again, rep := shop.Price(t, touched)
	require.NotEmpty(t, rep.Logged)
	f := faultAt(audited(t, again, ""), audit.RuleTouched, fmt.Sprint("Assumptions!A", row+1))
	assert.NotNil(t, f)
}

// What the shop words anew is its own once a run has seen it; what an earlier version
// has written bears no seal, and nothing is said of it.
func TestOwnWordsAreQuietOnceSeen(t *testing.T) {
	shop.Heavy(t)
	path, _ := shop.Price(t, shop.Small(t, mixedJoints()...))
	rate := fmt.Sprint("B", shop.Assumption(t, sheetstest.Read(t, path), "shop_rate"))
	touched := shop.TypeIn(t, path, shop.At("Assumptions", rate, "What an hour is sold for"))
	assert.NotNil(t, faultAt(audited(t, touched, ""), audit.RuleTouched, "Assumptions!"+rate))
	seen, _ := shop.Price(t, touched)
	rep := audited(t, seen, "")
	assert.Nil(t, faultAt(rep, audit.RuleTouched, "Assumptions!"+rate), "%+v", rep.Faults)
	assert.True(t, rep.Clean())
}

// A percentage typed as a number is told at the value, and a name that leads to another
// assumption with what that does.
func TestPlaceAndEffect(t *testing.T) {
	shop.Heavy(t)
	bed := bedOf(t, shop.Small(t, mixedJoints()...))
	allowance := fmt.Sprint("C", shop.Assumption(t, bed.grid, "allowance"))
	seeded := bed.copy()
	seeded.put("Assumptions", allowance, "", 100*bed.grid["Assumptions"][allowance].Num)
	rep := audited(t, seeded.file(), "")
	assert.NotNil(t, faultAt(rep, audit.RuleNotLogged, "Assumptions!"+allowance), "%+v", rep.Faults)

	other := shop.Assumption(t, bed.grid, "cut_deburr")
	dearer, renamed := bed.copy(), bed.copy()
	dearer.put("Assumptions", fmt.Sprint("C", shop.Assumption(t, bed.grid, "shop_rate")), "", bed.grid["Assumptions"][fmt.Sprint("E", other)].Num)
	renamed.workbook(`(<definedName name="shop_rate"[^>]*>)[^<]*<`, fmt.Sprintf("${1}'Assumptions'!$$E$$%d<", other))
	cost, price := bed.totals(dearer.file())
	f := faultAt(audited(t, renamed.file(), ""), audit.RuleBrokenName, "shop_rate")
	require.NotNil(t, f)
	assert.InDelta(t, cost-bed.rep.Order["order_cost"], f.Cost, 0.0051)
	assert.InDelta(t, price-bed.rep.Order["order_price"], f.Price, 0.0051)
	assert.NotZero(t, f.Price)
}
