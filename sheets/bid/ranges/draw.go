package ranges

import (
	"fmt"
	"math"
	"strings"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/bid/layout"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// Rows of Range that stand still, for its charts: the odds, the curve, the
// swings.
const (
	rangeAnswer = layout.RowTop - 1
	rangeOdds   = layout.RowTop + 4 // below when it was worked out
	rangeCurve  = rangeOdds + 24
	curveSteps  = 21                          // 0 % to 100 % in steps of 5
	rangeChart  = rangeCurve + curveSteps + 4 // of the swings
	rangeSwing  = rangeChart + 24
	mostSwings  = 12  // that the chart shows
	swingHigh   = 300 // pixels: curve and swings have room on one page, and the bars of most names are read
)

func (r *ranges) write() error {
	p := r.P
	p.Shell.Widths = []float64{5, 46, 12, 10, 10, 10, 11, 11, 11, 9, 9, 9, 38}
	p.Shell.FreezeRow = layout.RowVerdict
	r.About("How far direct cost and hours may go, if each assumption lies in its range on Assumptions, most likely at its value. Narrow the ranges to what you know of this order. Of set-ups and of the prices of tube and rod a share of the whole column is drawn; other work is taken as it is.")
	how := message.NewPrinter(language.English).Sprintf("%d orders are drawn by chance, beginning from the number %d. In each value lies between its low and its high, most often near its likely one; times go up and down together by %g (0: not at all, 1: fully).", r.trials, int(r.Single("seed")), r.Single("time_correlation"))
	if err := r.Made(how, r.from()...); err != nil {
		return err
	}
	r.odds()
	r.curve()
	r.swings()
	r.left()
	r.Checks("Then", "Now")
	p.Put(rangeAnswer, page.Text(layout.ColName, look.Label, r.answer(), page.Ours))
	return nil
}

// answer is what the sheet comes to, in a sentence: first the chance of a loss, then
// how much there may be to pay, and last what that rests on.
func (r *ranges) answer() string {
	p := message.NewPrinter(language.English)
	lost := int(math.Round(r.came.Lost * float64(r.trials)))
	mine := 0
	for _, x := range r.used {
		if !strings.HasPrefix(x.basis, commonPractice) && !strings.HasPrefix(x.basis, inventedPrices) {
			mine++
		}
	}
	c := r.Currency()
	return p.Sprintf("In %d of %d orders drawn by chance the direct cost is over the %s %.0f that the order brings, in 8 of 10 it is %s %.0f or less, in 1 of 10 over %s %.0f. Ranges of the shop's own: %d of %d.",
		lost, r.trials, c, r.brings(), c, r.came.Cost.At(0.8), c, r.came.Cost.At(0.9), mine, len(r.used))
}

// commonPractice begins the basis of what no record of the shop stands behind.
const commonPractice = "common practice"

// odds says what the bid is worth.
func (r *ranges) odds() {
	p := r.P
	r.Row = rangeOdds
	r.Section("What it may come to")
	r.Heads(layout.ColName, "", "Direct cost ("+r.Currency()+")", "Give or take", "Hours (h)", "Give or take")
	put := func(col int, format string, x float64) {
		p.Put(r.Row, page.Number(col, look.Calc, format, x, page.Ours))
	}
	at := map[float64]string{}
	for _, share := range toldShares() {
		p.Put(r.Row, page.Text(layout.ColName, look.Label, fmt.Sprintf("P%g: %g %% chance that it is no more", share*100, share*100), page.Ours))
		put(layout.ColData, "#,##0.00", r.came.Cost.At(share))
		put(layout.ColData+1, "0.00", r.came.Cost.Error(share))
		put(layout.ColData+2, "#,##0.00", r.came.Hours.At(share))
		put(layout.ColData+3, "0.00", r.came.Hours.Error(share))
		at[share] = page.Absolute(r.Row, layout.ColData)
		r.Row++
	}
	r.Row++
	n := r.OnceRow(r.Scoped("range_need"))
	n.Set("direct_p50", r.came.Cost.At(0.5), at[0.5])
	n.Set("direct_p80", r.came.Cost.At(0.8), at[0.8])
	n.Set("loss_chance", r.came.Lost, "")
	n.Set("lies_direct", r.came.Direct, "")
	n.Set("lies_priced", r.came.Priced, "")
	r.Down("range_need")
	for _, line := range r.said() {
		p.Put(r.Row, page.Text(layout.ColName, look.Note, line, page.Ours))
		r.Row++
	}
}

// said puts in words where the priced cost lies, and why.
func (r *ranges) said() []string {
	if len(r.used) == 0 {
		return nil
	}
	percentile := func(share float64) string { return fmt.Sprintf("P%.0f", 100*share) }
	direct := compute.Direct(r.priced(), r.held())
	out := []string{fmt.Sprintf("The priced cost, with the contingency that is carried, is at %s; the direct cost alone is at %s.", percentile(r.came.Priced), percentile(r.came.Direct))}
	up := 0
	for _, x := range r.used {
		if max(x.costs[0], x.costs[1])-direct > direct-min(x.costs[0], x.costs[1]) {
			up++
		}
	}
	switch middle := r.came.Cost.At(0.5); {
	case middle > direct && 2*up > len(r.used):
		out = append(out, fmt.Sprintf("P50 lies above the direct cost as priced because %d of the %d values that are drawn sit low in their usual ranges, as most of those shipped do: they can make the order dearer by more than they can make it cheaper.", up, len(r.used)))
	case middle > direct:
		out = append(out, fmt.Sprintf("P50 lies above the direct cost as priced though only %d of the %d values that are drawn sit low in their usual ranges: these weigh more than the others.", up, len(r.used)))
	case middle < direct:
		out = append(out, fmt.Sprintf("P50 lies below the direct cost as priced: what is drawn can make the order cheaper by more than dearer; %d of %d values sit low in their usual ranges.", up, len(r.used)))
	}
	return out
}

// curve is the table and chart of how likely a cost is not to be exceeded.
func (r *ranges) curve() {
	p := r.P
	r.Row = rangeCurve
	r.Section("How likely it costs no more")
	r.Heads(layout.ColName, "Chance of no more", "Direct cost ("+r.Currency()+")", "Hours (h)")
	first := r.Row
	for k := range curveSteps {
		share := float64(k) / (curveSteps - 1)
		p.Put(r.Row, page.Number(layout.ColName, look.Calc, "0%", share, page.Ours))
		p.Put(r.Row, page.Number(layout.ColData, look.Calc, "#,##0.00", r.came.Cost.At(share), page.Ours))
		p.Put(r.Row, page.Number(layout.ColData+1, look.Calc, "#,##0.00", r.came.Hours.At(share), page.Ours))
		r.Row++
	}
	cells := func(col int) string {
		return page.RangeRef(p.Title, grid.Range{Row1: first, Col1: col, Row2: first + curveSteps - 1, Col2: col})
	}
	p.Shell.Charts = append(p.Shell.Charts, look.Chart{
		Kind: look.Curve, At: grid.Ref(rangeCurve+1, layout.ColData+3), Title: "How likely the order costs no more",
		Names: cells(layout.ColData), Values: cells(layout.ColName), Unit: "chance of no more", Along: "direct cost of the order, " + r.Currency(), Width: 740, Height: 420,
	})
}

// swings is the table of what each assumption does by itself, and its chart.
func (r *ranges) swings() {
	p := r.P
	r.Row = rangeSwing
	on := func(row, col int) string { return page.CellRef(r.Workings.AssumeOn, row, col) }
	for i, x := range r.used {
		row := r.AddRow("range_swings", nil, nil)
		row.Set("swing_no", float64(i+1), "")
		row.Say("assumption", x.q.Heading, "")
		row.Say("swing_unit", model.UnitName(x.q), "")
		row.Say("range_basis", x.basis, "")
		row.Set("cost_at_low", x.costs[0], "")
		row.Set("cost_at_high", x.costs[1], "")
		row.Set("hours_at_low", x.hours[0], "")
		row.Set("hours_at_high", x.hours[1], "")
		row.Formats = map[*model.Quantity]string{}
		for _, end := range []struct {
			then, now string
			value     float64
			cell      string
		}{{"low_end", "low_now", x.spread.Low, on(x.row, book.AssumeLow)}, {"likely", "likely_now", x.spread.Mode, r.Names.Use(x.q.Key)}, {"high_end", "high_now", x.spread.High, on(x.row, book.AssumeHigh)}} {
			row.Set(end.then, end.value, "")
			row.Set(end.now, end.value, end.cell)
			row.Formats[row.Of().Quantity(end.then)] = x.q.Shown
		}
	}
	b := r.Table("range_swings")
	if len(r.used) == 0 {
		p.Put(r.Row, page.Text(layout.ColName, look.Note, "No assumption has a range that can be used.", page.Ours))
		r.Row++
	}
	col := b.Col
	still := col("still_so")
	p.Shell.Flags = append(p.Shell.Flags, grid.Range{Row1: b.Rows.First, Col1: still, Row2: max(r.Row-1, b.Rows.First), Col2: still}.String())
	cells := func(col int) string {
		return page.RangeRef(p.Title, grid.Range{Row1: b.Rows.First, Col1: col, Row2: b.Rows.First + mostSwings - 1, Col2: col})
	}
	series := func(key string) look.Series {
		return look.Series{Name: r.Cell(rangeSwing+1, col(key)), Values: cells(col(key))}
	}
	r.Row++
	p.Shell.Charts = append(p.Shell.Charts, look.Chart{
		Kind: look.BarStacked, At: grid.Ref(rangeChart, layout.ColName), Title: "What each assumption does to the cost by itself, the largest first",
		Names: cells(layout.ColName), Unit: r.Currency() + " more or less than priced", Format: "#,##0;-#,##0;", Signed: true, Width: 1100, Height: swingHigh,
		Series: []look.Series{series("cost_low"), series("cost_high")},
	})
}

// left is what Range leaves as it is, and why.
func (r *ranges) left() {
	p := r.P
	r.Section("Left as they are")
	for _, x := range r.unused {
		p.Put(r.Row, page.Text(layout.ColName, look.Label, x.q.Heading, page.Ours))
		p.Put(r.Row, page.Text(layout.ColData, look.CalcText, x.why, page.Ours))
		r.Row++
	}
	r.Row++
}
