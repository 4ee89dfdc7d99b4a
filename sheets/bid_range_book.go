package sheets

import (
	"fmt"

	"seamtally/compute"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
	"seamtally/sheets/summary"
)

// Rows of Range that stand still, for its charts: the odds, the curve, the
// swings.
const (
	rangeOdds  = bidTop + 4 // below when it was worked out
	rangeCurve = rangeOdds + 12
	curveSteps = 21                          // 0 % to 100 % in steps of 5
	rangeChart = rangeCurve + curveSteps + 4 // of the swings
	rangeSwing = rangeChart + 24
	mostSwings = 12 // that the chart shows
)

// Columns of the table of swings.
const (
	swingUnit = bidData + iota
	swingLow
	swingLikely
	swingHigh
	swingLowCost
	swingHighCost
	swingAll
	swingLowHours
	swingHighHours
	swingStill
	swingBasis
)

func (r *ranges) write() error {
	p := r.p
	p.Whole = swingBasis
	p.Shell.Widths = []float64{5, 54, 12, 12, 12, 12, 14, 14, 13, 12, 12, 12, 44}
	p.Shell.FreezeRow = bidVerdict
	r.about("How far cost and hours may go, if each assumption lies in its range on Assumptions, most likely at its value. Narrow the ranges to what you know of this order. The prices and the tables of set-ups, stock and other work are taken as they are.")
	r.income = r.orderAmount(r.Model.Roles.Brings.Key)
	how := fmt.Sprintf("Where ranges reach further up than down, as most of those shipped do, the middle of the trials lies over the order as priced. %d trials from seed %d; triangular; rank correlation of the times %g", r.trials, int(r.single("seed")), r.single("time_correlation"))
	if err := r.made(how, r.from()...); err != nil {
		return err
	}
	r.odds()
	r.curve()
	r.swings()
	r.left()
	r.agree(agreement{"Cost of the order, then and now", amountAt{"", r.orderAmount("order_cost").value}, r.orderAmount("order_cost"), 2, "#,##0.00"})
	r.agree(agreement{"Hours of the order, then and now", amountAt{"", r.orderAmount("order_hours").value}, r.orderAmount("order_hours"), 6, "#,##0.00"})
	r.agree(agreement{"What the order brings, then and now", amountAt{"", r.income.value}, r.income, 2, "#,##0.00"})
	for _, key := range []string{"trials", "seed", "time_correlation"} {
		q := r.Model.Singles.Quantity(key)
		now := amountAt{r.Names.Use(key), r.single(key)}
		r.agree(agreement{q.Heading + ", then and now", amountAt{"", now.value}, now, 6, q.Shown})
	}
	column := page.Rows{First: rangeSwing + 2, Count: len(r.used)}.Column(swingStill)
	r.agree(agreement{"Ranges that are other than they were", amountAt{fmt.Sprintf(`COUNTIF(%s,"%s")`, column, compute.WordLook), 0}, amountAt{"", 0}, 0, "0"})
	r.checks("Then", "Now")
	p.Shell.Print = look.Print{TitleRows: "1:3", Area: "A1:" + part.Ref(r.row, swingBasis), Breaks: []int{rangeSwing}}
	return nil
}

// odds says what the bid is worth.
func (r *ranges) odds() {
	p := r.p
	r.row = rangeOdds
	r.section("What it may come to")
	r.headings(bidName, 0, "", "Cost ("+r.Currency()+")", "Give or take", "Hours (h)", "Give or take")
	put := func(col int, format string, x float64) {
		p.Put(r.row, page.Number(col, look.Calc, format, x, page.Ours))
	}
	p.Put(r.row, page.Text(bidName, look.Label, "As priced", page.Ours))
	for i, key := range []string{"order_cost", "order_hours"} {
		a := r.orderAmount(key)
		p.Put(r.row, page.Number(bidData+2*i, look.Calc, "#,##0.00", a.value, page.Ours).Live(a.formula))
	}
	r.row++
	for _, share := range []float64{0.1, 0.5, 0.8, 0.9} {
		p.Put(r.row, page.Text(bidName, look.Label, fmt.Sprintf("P%g: with %g %% it is no more", share*100, share*100), page.Ours))
		put(bidData, "#,##0.00", r.cost.At(share))
		put(bidData+1, "0.00", r.cost.Error(share))
		put(bidData+2, "#,##0.00", r.hours.At(share))
		put(bidData+3, "0.00", r.hours.Error(share))
		r.row++
	}
	p.Put(r.row, page.Text(bidName, look.Label, "What the order brings, bid or price", page.Ours))
	p.Put(r.row, book.Showing(page.Number(bidData, look.Calc, "#,##0.00", r.income.value, page.Ours).Live(r.income.formula), r.Model.Roles.Brings, 0))
	r.row++
	p.Put(r.row, page.Text(bidName, look.Label, "Chance that it costs more than it brings", page.Ours))
	put(bidData, "0.0%", r.cost.Over(r.income.value))
	r.row++
	p.Put(r.row, page.Text(bidName, look.Label, "What it has to bring to lose nothing with 80 %", page.Ours))
	put(bidData, "#,##0.00", r.cost.At(0.8))
}

// curve is the table and chart of how likely a cost is not to be exceeded.
func (r *ranges) curve() {
	p := r.p
	r.row = rangeCurve
	r.section("How likely it costs no more")
	r.headings(bidName, 0, "Share of the trials", "Cost ("+r.Currency()+")", "Hours (h)")
	first := r.row
	for k := range curveSteps {
		share := float64(k) / (curveSteps - 1)
		p.Put(r.row, page.Number(bidName, look.Calc, "0%", share, page.Ours))
		p.Put(r.row, page.Number(bidData, look.Calc, "#,##0.00", r.cost.At(share), page.Ours))
		p.Put(r.row, page.Number(bidData+1, look.Calc, "#,##0.00", r.hours.At(share), page.Ours))
		r.row++
	}
	cells := func(col int) string {
		return page.RangeRef(p.Title, part.Range{Row1: first, Col1: col, Row2: first + curveSteps - 1, Col2: col})
	}
	p.Shell.Charts = append(p.Shell.Charts, look.Chart{
		Kind: look.Curve, At: part.Ref(rangeCurve+1, swingHigh), Title: "How likely the order costs no more",
		Names: cells(bidData), Values: cells(bidName), Unit: "share of the trials", Along: "cost of the order, " + r.Currency(), Width: 760, Height: 420,
	})
}

// swings is the table of what each assumption does by itself, and its chart.
func (r *ranges) swings() {
	p := r.p
	r.row = rangeSwing
	r.section("One at a time: cost and hours less those priced, at the low and the high end of each range")
	money := " (" + r.Currency() + ")"
	r.headings(bidNo, summary.HeadingHigh, "No.", "Assumption", "Unit", "Low", "Likely", "High", "Cost at low"+money, "Cost at high"+money, "Swing"+money, "Hours at low (h)", "Hours at high (h)", "As it is now", "Basis")
	cost, hours := r.orderAmount("order_cost").value, r.orderAmount("order_hours").value
	first := r.row
	for i, x := range r.used {
		row := r.row
		cell := func(col int) string { return part.Ref(row, col) }
		put := func(col int, format string, v float64) page.Cell {
			return page.Number(col, look.Calc, format, v, page.Ours)
		}
		p.Put(row, put(bidNo, "0", float64(i+1)))
		p.Put(row, page.Text(bidName, look.CalcText, x.q.Heading, page.Ours))
		p.Put(row, page.Text(swingUnit, look.CalcText, compute.UnitName(x.q), page.Ours))
		p.Put(row, put(swingLow, x.q.Shown, x.spread.Low))
		p.Put(row, put(swingLikely, x.q.Shown, x.spread.Mode))
		p.Put(row, put(swingHigh, x.q.Shown, x.spread.High))
		p.Put(row, put(swingLowCost, look.Signed, x.costs[0]-cost))
		p.Put(row, put(swingHighCost, look.Signed, x.costs[1]-cost))
		p.Put(row, put(swingAll, "#,##0.00", x.swing))
		p.Put(row, put(swingLowHours, look.Signed, x.hours[0]-hours))
		p.Put(row, put(swingHighHours, look.Signed, x.hours[1]-hours))
		p.Put(row, page.Text(swingStill, look.CalcText, compute.WordOK, page.Ours).Live(fmt.Sprintf(`IF(AND(%s=%s,%s=%s,%s=%s),"%s","%s")`,
			cell(swingLow), page.CellRef(r.s.AssumeOn, x.row, book.AssumeLow), cell(swingLikely), r.Names.Use(x.q.Key), cell(swingHigh), page.CellRef(r.s.AssumeOn, x.row, book.AssumeHigh), compute.WordOK, compute.WordLook)))
		p.Put(row, page.Text(swingBasis, look.CalcText, x.basis, page.Ours))
		r.row++
	}
	if len(r.used) == 0 {
		p.Put(r.row, page.Text(bidName, look.Note, "No assumption has a range that can be used.", page.Ours))
		r.row++
	}
	p.Shell.Flags = append(p.Shell.Flags, part.Range{Row1: first, Col1: swingStill, Row2: max(r.row-1, first), Col2: swingStill}.String())
	cells := func(col int) string {
		return page.RangeRef(p.Title, part.Range{Row1: first, Col1: col, Row2: first + mostSwings - 1, Col2: col})
	}
	r.row++
	p.Shell.Charts = append(p.Shell.Charts, look.Chart{
		Kind: look.BarStacked, At: part.Ref(rangeChart, bidName), Title: "What each assumption does to the cost by itself, the largest first",
		Names: cells(bidName), Unit: r.Currency() + " more or less than priced", Format: "#,##0;-#,##0;", Signed: true, Width: 1100, Height: 420,
		Series: []look.Series{
			{Name: r.cell(rangeSwing+1, swingLowCost), Values: cells(swingLowCost)},
			{Name: r.cell(rangeSwing+1, swingHighCost), Values: cells(swingHighCost)},
		},
	})
}

// left is what Range leaves as it is, and why.
func (r *ranges) left() {
	p := r.p
	r.section("Left as they are")
	for _, x := range r.unused {
		p.Put(r.row, page.Text(bidName, look.Label, x.q.Heading, page.Ours))
		p.Put(r.row, page.Text(bidData, look.CalcText, x.why, page.Ours))
		r.row++
	}
	r.row++
}
