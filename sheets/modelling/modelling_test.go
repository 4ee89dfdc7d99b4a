// Package modelling_test holds priced workbooks against rules for spreadsheets that others
// have to trust.
package modelling_test

import (
	"context"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest/shop"
)

func TestMain(m *testing.M) { shop.Main(m) }

// modelRule is a rule that published guides, or common practice, lay down for a
// spreadsheet that others have to trust.
type modelRule struct {
	no     int
	what   string
	source string
	// measure lists what breaks the rule, and how much was looked at.
	measure func(*ruleBook) ([]breach, int)
}

// The guides that are named below:
//   - FAST: the FAST Standard, rules 3.03-01 and 3.03-07, seen.
//   - Code: ICAEW, Financial modelling code, 2018; the headings of its sections,
//     seen in its table of contents.
//   - GAO: the US Government Accountability Office's Cost Estimating and
//     Assessment Guide, its step of documenting the estimate, from memory.
//
// No guide gives a number of letters, of cells or of operators: those are this
// project's own.
func modelRules() []modelRule {
	const practice = "common practice, no source"
	return []modelRule{
		{1, "one formula down a column", "Code: Use consistent formulas", oneFormulaAColumn},
		{2, "no constants but 0, 1, 2, factors of units and places of rounding", "Code: Avoid hardcoding", fewConstants},
		{3, "a unit on every quantity", "Code: Use clear units", unitOnAll},
		{4, "short formulas", "FAST 3.03-01, a formula not longer than a thumb; Code: Minimise calculation complexity", shortFormulas},
		{5, "no IF within an IF", "FAST 3.03-07", oneIfDeep},
		{6, "nothing worked out twice", "Code: Avoid duplication", nothingTwice},
		{7, "no merged cells in data", practice, noMerges},
		{8, "nothing hidden without its button", "Code: Don't hide things", hiddenByButton},
		{9, "single assumptions by name", "Code: Use clear range names where appropriate (FAST, chapter 4.03, would rather have none: from memory)", singlesByName},
		{10, "every check feeds the master check", "Code: Include a master check", checksFeedMaster},
		{11, "a basis beside every assumption", "GAO", basisBeside},
		{12, "a log of versions", practice, versionLog},
		{13, "no links to other files", practice, noLinksOut},
		{14, "a stated sign convention", "Code: Use a clear sign convention", signStated},
		{15, "rounded is money, to the cent, and what is counted", "Code: Avoid unnecessary rounding", roundMoneyOnly},
		{16, "entries limited", "Code: Consider including restrictions", inputsValidated},
		{17, "set up to be printed", practice, printSet},
		{18, "inputs, workings and results apart, and told apart by their looks", "Code: Make inputs easy to find; Use clear formatting", partsApart},
		{19, "no volatile functions", practice, nothingVolatile},
		{20, "no array-entered formulas", practice, noArrays},
	}
}

// ruleException lets one place break one rule.
type ruleException struct {
	rule   int
	place  string
	reason string
}

func ruleExceptions() []ruleException {
	return []ruleException{
		{1, "assume.In place", "each cell asks for the name of its own row"},
		{1, "assume.In range", "of a number it asks for the usual range, of a word whether it is known"},
		{1, "assume.Value used", "where a unit may be chosen the value is converted, else it is taken over; two more are worked out once"},
		{1, "table.car_ordered", "follows the shop's own list of cars, cell by cell"},
		{1, "table.car_bid", "follows the shop's own list of cars, cell by cell"},
		{1, "table.unit_factor", "a table of factors, each with its own"},
		{2, "line.pie_edge", "geometry: Ramanujan's perimeter of an ellipse"},
		{2, "line.butt_area", "geometry: the crown is two thirds of width times height"},
		{2, "line.purge_volume", "geometry: a circle is PI()/4 of its diameter squared"},
		{2, "line.wire_area", "geometry: a circle is PI()/4 of its diameter squared"},
		{2, "summary.rods.Filler, rods bought", "geometry: a circle is PI()/4 of its diameter squared"},
		{2, "line.bend_wrong", "geometry: no bend turns more than 360°"},
		{2, "line.pie_angle_wrong", "geometry: no weld turns as far as 90°, half of which the saw would be set to"},
		{2, "line.branch_angle_wrong", "geometry: two axes cross at 90° at the most"},
		{2, "table.setup_bore", "a cup's number is its bore in sixteenths of an inch"},
		{2, "summary.checks.Lines of other work not settled", "how many letters the words have that a line as shipped begins with"},
		{3, "table.part_quantity", "counts whatever its item says"},
		{3, "summary.checks.Workbook with numbers as shown, by the last run", "a setting: 1 where it is so"},
		{3, "assume.log.Priced", "rows, as the heading left of it says"},
		{3, "assume.log.Left out", "rows, as the heading left of it says"},
		{3, "assume.log.Cost", "in the money of its day: the sign may have been changed since"},
		{3, "assume.log.Price", "in the money of its day: the sign may have been changed since"},
		{3, "summary.checks.Cost of the lines, less that summed by car", "0 in any money"},
		{3, "summary.checks.Tube paid for and not in the price, too much", "0 in any money"},
		{3, "summary.checks.Tube needed of sizes without a stick length", "0 in any unit"},
		{3, "assume.contents", "counts what the link right of it says"},
		{4, "summary.checks.Lines of other work not settled", "three conditions on each line; in steps it would take a column in tables that earlier workbooks have without it"},
		{4, "line.branch_edge", "the mean over 36 points of a curve; in steps it would take 36 columns"},
		{4, "summary.lists.Rows without figures", "numbers and words are counted apart: what counts both at once counts the formula of a prepared row too, which shows nothing"},
		{4, "summary.lists.Cells typed over", "one test of one block of cells, which it has to name three times"},
		{4, "summary.tube.Bought", "in two steps it would take one more column in a table that workbooks priced before have without it"},
		{7, "assume", "the head and the basis are a form to be filled in with sentences, no table: each field goes over several columns"},
		{9, "assume.contents", "counts blank fields of the head, wherever they stand; reads no value"},
		{9, "assume", "counts blank points of the basis, wherever they stand; reads no value"},
		{9, "summary.checks.Basis of the estimate: points not filled in", "counts blank points of the basis, wherever they stand; reads no value"},
		{11, "table.edge", "angles 5° apart, no assumption"},
		{15, "line.stock_no", "a text to find a size by, in thousandths of an inch"},
		{15, "line.rod_no", "a text to find a size by, in thousandths of an inch"},
		{15, "table.stock_key", "a text to find a size by, in thousandths of an inch"},
		{15, "table.rod_key", "a text to find a size by, in thousandths of an inch"},
		{15, "line.wall_no", "compared with a limit, less the dust of a conversion"},
		{15, "line.pie_odd", "compared with 0, less the dust of a division"},
		{15, "summary.checks.Cost of the lines, less that summed by car", "money; its label names no sign"},
		{18, "assume.As shipped", "what the value was when the sheet was made, to compare with"},
		{18, "table.car_ordered", "follows the shop's own list of cars, and may be typed over"},
		{18, "table.car_bid", "follows the shop's own list of cars, and may be typed over"},
		{18, "summary.checks.Joint lists beside another, not read by the last run", "a count that only a run can make"},
		{18, "summary.checks.Sheets not settled by the last run", "a count that only a run can make"},
		{18, "summary.checks.Columns beside joints not settled by the last run", "a count that only a run can make"},
		{18, "summary.checks.Cars not settled by the last run", "a count that only a run can make"},
		{18, "summary.checks.Inputs on joint rows not settled by the last run", "a count that only a run can make"},
		{18, "summary.checks.Workbook with numbers as shown, by the last run", "a setting of the workbook that only a run can see"},
		{18, "summary.checks.Cells of tables on Assumptions not settled by the last run", "a count that only a run can make"},
		{18, "summary.checks.Cells of tables on Assumptions outside what is usual", "a count that only a run can make"},
		{18, "assume.log.No.", "the log keeps what was"},
		{18, "assume.log.Rows read", "the log keeps what was"},
		{18, "assume.log.Priced", "the log keeps what was"},
		{18, "assume.log.Left out", "the log keeps what was"},
		{18, "assume.log.Cost", "the log keeps what was"},
		{18, "assume.log.Price", "the log keeps what was"},
		{18, "summary.cars.results.No.", "the number of a line of a table, by which its formulas find it; set by a run"},
		{18, "summary.tube.No.", "the number of a line of a table, by which its formulas find it; set by a run"},
		{18, "summary.rods.No.", "the number of a line of a table, by which its formulas find it; set by a run"},
		{18, "summary.sums.cars.No.", "the number of a line of a table, by which its formulas find it; set by a run"},
		{18, "summary.sums.tube.No.", "the number of a line of a table, by which its formulas find it; set by a run"},
		{18, "summary.sums.rods.No.", "the number of a line of a table, by which its formulas find it; set by a run"},
	}
}

// ruleBooks are the workbooks that are measured.
func ruleBooks(t testing.TB) []*ruleBook {
	t.Helper()
	var out []*ruleBook
	for _, in := range [][2]string{
		{"demo", shop.Unpriced(t, "order.xlsx")}, {"demo, metric", shop.Unpriced(t, "order-metric.xlsx")}, {"generated", shop.Generated(t, 60, 7, false)},
	} {
		out = append(out, pricedRuleBook(t, in[0], in[1]))
	}
	return out
}

func pricedRuleBook(t testing.TB, name, in string) *ruleBook {
	t.Helper()
	file := filepath.Join(t.TempDir(), "priced.xlsx")
	_, err := sheets.Price(context.Background(), sheets.PriceOptions{In: in, Out: file, Date: "2026-01-31", Version: "test"})
	require.NoError(t, err)
	return readRuleBook(t, name, file)
}

// The priced workbook keeps to the rules, but for the exceptions; and each of
// these is needed.
func TestModellingRules(t *testing.T) {
	shop.Heavy(t)
	books := ruleBooks(t)
	needed := map[[2]string]bool{}
	excused := map[[2]string]bool{}
	for _, e := range ruleExceptions() {
		key := [2]string{fmt.Sprint(e.rule), e.place}
		require.False(t, excused[key], "%v is there twice", key)
		excused[key] = true
		require.NotEmpty(t, e.reason)
	}
	for _, r := range modelRules() {
		t.Run(fmt.Sprintf("%02d %s", r.no, r.what), func(t *testing.T) {
			require.NotEmpty(t, r.source)
			for _, b := range books {
				found, n := r.measure(b)
				require.Positive(t, n, "%s: nothing was measured", b.name)
				bad, excepted := map[string][]string{}, 0
				for _, f := range found {
					key := [2]string{fmt.Sprint(r.no), f.place}
					needed[key] = true
					if excused[key] {
						excepted++
						continue
					}
					bad[f.place] = append(bad[f.place], f.where+": "+f.what)
				}
				t.Logf("%s: %d measured, %d excepted", b.name, n, excepted)
				for _, place := range slices.Sorted(maps.Keys(bad)) {
					t.Errorf("%s: %s breaks the rule %d times, so %s", b.name, place, len(bad[place]), bad[place][0])
				}
			}
		})
	}
	used := map[float64]bool{}
	for _, b := range books {
		for _, s := range b.formulas() {
			for _, e := range s.tree.All(shop.ExprNumber) {
				x, err := strconv.ParseFloat(e.Text, 64)
				require.NoError(t, err)
				used[x] = true
			}
		}
	}
	for x, of := range unitFactors() {
		assert.True(t, used[x], "%v %s is in no formula; take it out", x, of)
	}
	for _, e := range ruleExceptions() {
		assert.True(t, needed[[2]string{fmt.Sprint(e.rule), e.place}], "rule %d: %s keeps to it now; take the exception out", e.rule, e.place)
	}
}
