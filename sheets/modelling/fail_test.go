package modelling_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// planted is a fault that is put into a copy of a priced workbook.
type planted struct {
	rule  int
	what  string
	plant func(*planter)
	place string // where it must be found
}

// planter changes a copy of a workbook.
type planter struct {
	*ruleBook
	t *testing.T
}

// onLine is a cell of a figure on the first list, so many rows below its
// headings.
func (p *planter) onLine(key string, below int) (*ruleSheet, int, int) {
	l := p.lists[0]
	for col, k := range l.keys {
		if k == key {
			return p.sheets[l.sheet], col, l.head + below
		}
	}
	require.FailNow(p.t, "no column", key)
	return nil, 0, 0
}

// named is the first cell of a defined name.
func (p *planter) named(name string) (*ruleSheet, int, int) {
	at, ok := p.names[name]
	require.True(p.t, ok, name)
	return p.sheets[at.Sheet], at.Col1, at.Row1
}

// formula writes a formula over a cell. %[1]d in it is the row.
func (p *planter) formula(s *ruleSheet, col, row int, text string) {
	c := s.cells[[2]int{col, row}]
	require.NotNil(p.t, c)
	c.Formula = fmt.Sprintf(text, row)
	var err error
	c.tree, err = shop.ParseExpr(c.Formula)
	require.NoError(p.t, err)
}

// line writes a formula over a figure of the joint rows.
func (p *planter) line(key, text string) {
	for below := 1; below <= 5; below++ {
		s, col, row := p.onLine(key, below)
		p.formula(s, col, row, text)
	}
}

func plantedFaults() []planted {
	return []planted{
		{1, "one row with another formula", func(p *planter) {
			s, col, row := p.onLine("stops", 5)
			p.formula(s, col, row, "A%[1]d-B%[1]d")
		}, "line.stops"},
		{1, "a car's price of its own", func(p *planter) {
			s, col, row := p.named("seamtally.block.cars.results")
			p.formula(s, col+12, row+1, "L%[1]d*C%[1]d+K%[1]d-K%[1]d")
		}, "summary.cars.results.Price, all cars"},
		{2, "an hour's rate in a formula", func(p *planter) { p.line("labour", "ROUND(B%[1]d*95/60,2)") }, "line.labour"},
		{2, "a limit in a criterion", func(p *planter) { p.line("wall_no", `COUNTIF(wall_to,"<0.055")+0*A%[1]d`) }, "line.wall_no"},
		{3, "a heading without its unit", func(p *planter) {
			s, col, row := p.onLine("arc_time", 0)
			s.cells[[2]int{col, row}].Text = "Arc time, each weld"
		}, "line.arc_time"},
		{3, "a heading with another unit", func(p *planter) {
			s, col, row := p.onLine("arc_time", 0)
			s.cells[[2]int{col, row}].Text = "Arc time, each weld (h)"
		}, "line.arc_time"},
		{3, "an assumption whose unit is gone", func(p *planter) {
			s, col, row := p.named("tie_in")
			delete(s.cells, [2]int{col + 1, row})
		}, "assume.Value used"},
		{4, "a long formula", func(p *planter) {
			p.line("floor_time", "welding_out_and_tacking+cleaning_and_mounting+cutting_and_coping+purging_the_tube+A%[1]d")
		}, "line.floor_time"},
		{4, "a formula of nine cells", func(p *planter) {
			p.line("floor_time", "A%[1]d+B%[1]d+C%[1]d+D%[1]d+E%[1]d+F%[1]d+G%[1]d+H%[1]d+I%[1]d")
		}, "line.floor_time"},
		{5, "an IF within an IF", func(p *planter) { p.line("pies", "IF(A%[1]d=0,0,2*(1+IF(B%[1]d=0,1,2)))") }, "line.pies"},
		{6, "one sum in two columns", func(p *planter) {
			p.line("tack_time", "(A%[1]d+B%[1]d+C%[1]d)*D%[1]d")
			p.line("weld_out", "(A%[1]d+B%[1]d+C%[1]d)*D%[1]d+E%[1]d")
		}, "line.weld_out"},
		{7, "two cells made one", func(p *planter) {
			s, col, row := p.onLine("welds", 1)
			s.merged = append(s.merged, shop.Block{Col1: col, Row1: row, Col2: col, Row2: row + 1})
		}, "line.welds"},
		{8, "a hidden column", func(p *planter) {
			s, col, _ := p.onLine("welds", 1)
			s.cols[col] = ruleFold{hidden: true}
		}, "column"},
		{8, "a fold whose button is hidden", func(p *planter) {
			s, col, _ := p.onLine("welds", 1)
			s.cols[col] = ruleFold{hidden: true, level: 0}
			s.cols[col-1] = ruleFold{hidden: true, level: 1}
		}, "column"},
		{8, "a hidden row", func(p *planter) { p.sheets[sheetAssumptions].rows[40] = ruleFold{hidden: true} }, "row"},
		{8, "a hidden sheet", func(p *planter) { p.sheets[sheetAssumptions].hidden = true }, "sheet"},
		{9, "a rate by its address", func(p *planter) {
			_, _, row := p.named("shop_rate")
			p.line("labour", fmt.Sprintf("ROUND(B%%[1]d*Assumptions!$E$%d/60,2)", row))
		}, "line.labour"},
		{10, "a check that nobody asks", func(p *planter) { p.line("finding", "A%[1]d") }, "line.size_wrong"},
		{10, "a master that asks half of them", func(p *planter) {
			at := p.names["seamtally.block.checks"]
			p.formula(p.sheets[sheetSummary], 2, 3, fmt.Sprintf(`IF(COUNTIF(D%d:D%d,"INCOMPLETE")=0+0*%%[1]d,"COMPLETE","INCOMPLETE")`, at.Row1, at.Row1+4))
		}, "assume.In range"},
		{11, "an assumption without a basis", func(p *planter) {
			s, _, row := p.named("kerf")
			s.cells[[2]int{12, row}].Text = " "
		}, "assume.kerf"},
		{11, "a price without a basis", func(p *planter) {
			s, col, row := p.named("stock_basis")
			delete(s.cells, [2]int{col, row})
		}, "table.stock"},
		{12, "a line without its file", func(p *planter) {
			s, col, row := p.named("seamtally.log")
			s.cells[[2]int{col + 6, row}].Text = "order.xlsx"
		}, "assume.log"},
		{12, "an empty log", func(p *planter) {
			s, col, row := p.named("seamtally.log")
			delete(s.cells, [2]int{col, row})
		}, "assume.log"},
		{13, "a price from another file", func(p *planter) { p.line("tube_rate", "[1]Prices!$A$%[1]d") }, "line.tube_rate"},
		{13, "a link in the package", func(p *planter) { p.links = append(p.links, "xl/externalLinks/externalLink1.xml") }, "workbook"},
		{14, "no word about signs", func(p *planter) { p.sheets[sheetAssumptions].cells[[2]int{1, 2}].Text = "Bordered cells are yours." }, "workbook"},
		{14, "a cost below zero", func(p *planter) {
			s, col, row := p.onLine("line_cost", 1)
			s.cells[[2]int{col, row}].Num *= -1
		}, "line.line_cost"},
		{15, "a rounded time", func(p *planter) { p.line("arc_time", "ROUND(A%[1]d/B%[1]d,2)") }, "line.arc_time"},
		{15, "money to the dollar", func(p *planter) { p.line("labour", "ROUND(A%[1]d*B%[1]d,0)") }, "line.labour"},
		{16, "a value that may be anything", func(p *planter) {
			s, _, row := p.named("margin")
			s.valid = slices.DeleteFunc(s.valid, func(b shop.Block) bool { return b.Holds(3, row) })
		}, "assume.Value"},
		{16, "a word that may be any", func(p *planter) {
			s, col, row := p.named("stock_charge")
			s.valid = slices.DeleteFunc(s.valid, func(b shop.Block) bool { return b.Holds(col, row) })
		}, "table.stock_charge"},
		{17, "no area for the printer", func(p *planter) { delete(p.sheets[sheetSummary].print, "Area") }, "sheet"},
		{18, "a rate typed on Workings", func(p *planter) {
			p.sheets[sheetSummary].cells[[2]int{5, 4}] = &ruleCell{Value: sheetstest.Value{Kind: sheetstest.Number, Num: 95}}
		}, "summary"},
		{18, "a formula that looks like an entry", func(p *planter) {
			s, col, row := p.named("purge_changes")
			s.cells[[2]int{col, row}].look = p.looks()["yours"]
		}, "assume.Value used"},
		{18, "an entry that looks worked out", func(p *planter) {
			s, col, row := p.named("stock_price")
			s.cells[[2]int{col, row}].look = p.looks()["worked out"]
		}, "table.stock_price"},
		{18, "a number typed over a figure", func(p *planter) {
			s, col, row := p.onLine("stops", 1)
			s.cells[[2]int{col, row}].tree = nil
		}, "line.stops"},
		{19, "a cell that moves by itself", func(p *planter) { p.line("tube_rate", "OFFSET(A%[1]d,1,0)") }, "line.tube_rate"},
		{19, "today's price", func(p *planter) { p.line("tube_rate", "A%[1]d*TODAY()") }, "line.tube_rate"},
		{20, "an array-entered formula", func(p *planter) {
			s, col, row := p.onLine("branch_edge", 1)
			ref, _ := excelize.CoordinatesToCellName(col, row)
			s.arrays = append(s.arrays, ref)
		}, "line.branch_edge"},
	}
}

// Every rule finds what breaks it, where it is, and finds nothing there before.
func TestModellingRulesCanFail(t *testing.T) {
	shop.Heavy(t)
	book := pricedRuleBook(t, "demo", shop.Unpriced(t, "order.xlsx"))
	tried := map[int]bool{}
	for _, fault := range plantedFaults() {
		t.Run(fmt.Sprintf("%02d %s", fault.rule, fault.what), func(t *testing.T) {
			rule := modelRules()[fault.rule-1]
			require.Equal(t, fault.rule, rule.no)
			tried[fault.rule] = true
			before, _ := rule.measure(book)
			copied := &planter{book.clone(), t}
			fault.plant(copied)
			after, n := rule.measure(copied.ruleBook)
			require.Positive(t, n)
			at := func(found []breach) int {
				return len(slices.DeleteFunc(slices.Clone(found), func(b breach) bool { return b.place != fault.place }))
			}
			assert.Greater(t, at(after), at(before), "%v", after)
		})
	}
	for _, r := range modelRules() {
		assert.True(t, tried[r.no], "rule %d is never seen to fail", r.no)
	}
}
