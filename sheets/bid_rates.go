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

// mostRates is how many working rows Rates may have: joints times set-ups.
const mostRates = 15_000

// rates is Rates while it is laid out.
type rates struct {
	*bidPlan
	scope    *compute.Scope             // the cars
	moved    map[*compute.Quantity]bool // by the set-up
	kept     []bool                     // joints that keep their own set-up
	tries    []*tried
	cols     map[*compute.Quantity]int // of the working rows
	figures  []*compute.Quantity       // of the line, that they have
	checkCol int
	scenes   []*placedScene
	order    int // first row of the table of the whole order: as listed
	income   amountAt
	joints   page.Rows // rows of what each joint is
	welds    []weldKind
}

// weldKind is one weld that the order has, maybe on several joints.
type weldKind struct {
	first int // the first joint that has it
	count float64
}

// rateFigures are the figures of the line that the table of welds shows.
func rateFigures() []string {
	return []string{"starts", "weld_out", "bench_each", "tack_time", "argon", "line_cost"}
}

// wanted is what the whole order is asked for.
func (b *rates) wanted() []*compute.Quantity {
	out := []*compute.Quantity{b.scope.Quantity("other_cost")}
	for _, key := range rateOrder() {
		out = append(out, b.Model.OrderOf.Quantity(key))
	}
	return out
}

func rateOrder() []string {
	return []string{"order_hours", "order_stops", "order_argon", "bottles", "order_cost", "order_price"}
}

// fillRates lays out Rates: what every weld takes under every set-up, and what
// the whole order comes to under each, wherever it fits. It is live: every
// joint's line is worked out once more for every set-up, below.
func fillRates(f *bidPlan) error {
	b := &rates{bidPlan: f, scope: f.s.SummaryScope("cars"), moved: f.Model.Moved(f.Model.Line.Quantity("setup_no"))}
	p := f.p
	p.Whole = 16
	p.Shell.Widths = []float64{5, 44, 13, 12, 12, 24, 12, 12, 13, 12, 12, 12, 12, 12, 12, 12}
	p.Shell.FreezeRow = bidVerdict
	f.about("What a weld takes under each shielding set-up, and what the whole order would come to under each, wherever it fits; other joints keep theirs.")
	if n := len(f.Joints) * len(b.setups()); n > mostRates {
		f.Note(book.LevelNote, "rates left out", p.Title, fmt.Sprintf("%d joints under %d set-ups would take %d rows, more than %d; it is left empty", len(f.Joints), len(b.setups()), n, mostRates), "split the order, or take set-ups that are not in question out of their table")
		f.checks("Here", "Summary")
		return nil
	}
	for i := range f.Joints {
		b.kept = append(b.kept, b.keeps(f.Joints[i].Line))
	}
	probe, err := compute.NewEngine(b.Values.Clone())
	if err != nil {
		return err
	}
	for _, no := range b.setups() {
		t, err := b.tryOut(no, probe)
		if err != nil {
			return err
		}
		b.tries = append(b.tries, t)
	}
	b.layWork()
	b.findWelds()
	return b.write()
}

// setups are the numbers of the set-ups that have a name of their own and are
// sound.
func (b *rates) setups() []int {
	t := b.Model.Table("setups")
	seen := map[string]bool{"": true}
	var out []int
	for i, f := range b.Values.Rows(t).Frames {
		if name := t.Quantity("name").Text(f); !seen[name] && t.Quantity("setup_wrong").Num(f) == 0 {
			seen[name] = true
			out = append(out, i+1)
		}
	}
	return out
}

func (b *rates) write() error {
	b.order = bidTop + 2
	b.row = b.order + 1 + len(b.tries) + 1
	incomeAt := b.row
	kitAt := incomeAt + 2
	weldsAt := kitAt + 2 + len(b.tries) + 2
	checksAt := weldsAt + 2 + len(b.welds)*len(b.tries) + 1
	b.row = checksAt + checkRows(1)
	last := b.row - 1
	b.jointRows()
	for _, t := range b.tries {
		if err := b.work(t); err != nil {
			return err
		}
	}
	for _, t := range b.tries {
		s, err := b.place(scene{
			title: "Working: the order under " + t.name + ", wherever it fits", values: t.values, wanted: b.wanted(), moved: b.moved,
			sums: func(of *compute.Scope, q *compute.Quantity) (string, error) {
				if b.cols[q] == 0 {
					return "", fmt.Errorf("%s does not rest on the set-up", q.Where())
				}
				return b.column(t, q), nil
			},
		})
		if err != nil {
			return err
		}
		b.scenes = append(b.scenes, s)
	}
	if err := b.incomeCell(incomeAt); err != nil {
		return err
	}
	if err := b.wholeOrder(); err != nil {
		return err
	}
	b.payback(kitAt)
	b.weldTable(weldsAt)
	b.row = checksAt
	b.checks("Here", "Summary")
	b.p.Shell.Print = look.Print{TitleRows: "1:3", Area: "A1:" + part.Ref(last, 16)}
	b.Report.Verdict = b.verdict()
	return nil
}

// tableRow is the row of a set-up in the table of the whole order.
func (b *rates) tableRow(t *tried) int {
	for i, o := range b.tries {
		if o == t {
			return b.order + 1 + i
		}
	}
	return b.order
}

// incomeCell is what the order brings: the bids, and the price of cars without
// one.
func (b *rates) incomeCell(row int) error {
	brings := b.orderAmount(b.Model.Roles.Brings.Key)
	b.income = amountAt{page.Absolute(row, bidData), brings.value}
	b.p.Put(row, page.Text(bidName, look.Label, "What the order brings, bid or price", page.Ours))
	b.p.Put(row, book.Showing(page.Number(bidData, look.Calc, "#,##0.00", brings.value, page.Ours).Live(brings.formula), b.Model.Roles.Brings, 0))
	b.p.Put(row, page.Text(bidData+1, look.Label, b.Currency(), page.Ours))
	return nil
}

// wholeOrder is the order as listed and under each set-up.
func (b *rates) wholeOrder() error {
	p, m := b.p, b.Model
	b.row = bidTop
	b.section("The whole order")
	heads := []string{"No.", "Set-up, wherever it fits", "Joints that it fits"}
	for _, key := range rateOrder() {
		heads = append(heads, b.s.Heading(m.OrderOf.Quantity(key)))
	}
	b.headings(bidNo, summary.HeadingHigh, append(heads, "Hours less than as listed", "Margin at what it brings", "Earned, each hour ("+b.Currency()+")")...)
	qty, err := b.s.UsedColumn(b.scope.Quantity("car_qty"))
	if err != nil {
		return err
	}
	other := b.scope.Quantity("other_cost")
	line := func(row int, at func(q *compute.Quantity) amountAt, otherCol string, v *compute.Values) {
		col := bidData + 1
		for _, key := range rateOrder() {
			q := m.OrderOf.Quantity(key)
			x := at(q)
			p.Put(row, page.Number(col, look.Calc, q.Shown, x.value, page.Ours).Live(x.formula))
			col++
		}
		hours, cost := part.Ref(row, bidData+1), part.Ref(row, bidData+5)
		h, c := at(m.OrderOf.Quantity("order_hours")).value, at(m.OrderOf.Quantity("order_cost")).value
		listed := m.OrderOf.Quantity("order_hours").Num(b.Values.Order)
		p.Put(row, page.Number(col, look.Calc, "#,##0.00", listed-h, page.Ours).Live(page.Absolute(b.order, bidData+1)+"-"+hours))
		p.Put(row, page.Number(col+1, look.Calc, "0.0%", ratio(b.income.value-c, b.income.value), page.Ours).
			Live(fmt.Sprintf("IF(%[1]s=0,0,(%[1]s-%[2]s)/%[1]s)", b.income.formula, cost)))
		spent := 0.0
		for _, f := range v.Rows(b.scope).Frames {
			spent += other.Num(f) * b.scope.Quantity("car_qty").Num(f)
		}
		p.Put(row, page.Number(col+2, look.Calc, "0.00", ratio(b.income.value-spent, h), page.Ours).
			Live(fmt.Sprintf("IF(%s=0,0,(%s-SUMPRODUCT(%s,%s))/%s)", hours, b.income.formula, otherCol, qty, hours)))
	}
	listedOther, err := b.s.UsedColumn(other)
	if err != nil {
		return err
	}
	p.Put(b.order, page.Text(bidName, look.Label, "as listed", page.Ours))
	line(b.order, func(q *compute.Quantity) amountAt { return b.orderAmount(q.Key) }, listedOther, b.Values)
	names := book.ColumnName(b.Names, m.Table("setups"), "name")
	for i, t := range b.tries {
		row, s := b.tableRow(t), b.scenes[i]
		p.Put(row, page.Number(bidNo, look.Calc, "0", float64(t.no), page.Ours))
		p.Put(row, page.Text(bidName, look.CalcText, t.name, page.Ours).Live("INDEX("+names+","+part.Ref(row, bidNo)+`)&""`))
		n := 0.0
		for _, fits := range t.fits {
			if fits {
				n++
			}
		}
		p.Put(row, page.Number(bidData, look.Calc, "0", n, page.Ours).
			Live("SUM("+t.at.Column(workFits)+")"))
		col, err := s.column(other)
		if err != nil {
			return err
		}
		line(row, func(q *compute.Quantity) amountAt { return s.at(q, 0) }, col, t.values)
	}
	return nil
}

// payback says when the kit of a set-up has paid for itself.
func (b *rates) payback(row int) {
	p, m := b.p, b.Model
	b.row = row
	b.section("When a kit has paid for itself, bought for this order, against the order as listed (" + b.Currency() + ")")
	b.headings(bidName, summary.HeadingHigh, "Set-up", "Kit", "Saves, whole order", "Welds under it", "Saves, one weld", "Saves, one car", "Paid for after welds", "Paid for after cars")
	table := m.Table("setups")
	kit := table.Quantity("kit_price")
	cars := b.orderAmount("order_cars")
	for i, t := range b.tries {
		at := row + 2 + i
		k := t.kit(b)
		saves := m.OrderOf.Quantity("order_cost").Num(b.Values.Order) - b.scenes[i].at(m.OrderOf.Quantity("order_cost"), 0).value
		welds := b.weldsUnder(t)
		cell := func(col int) string { return part.Ref(at, col) }
		put := func(col int, format string, x float64, f string) {
			p.Put(at, page.Number(col, look.Calc, format, x, page.Ours).Live(f))
		}
		p.Put(at, page.Text(bidName, look.CalcText, t.name, page.Ours).Live(part.Ref(b.tableRow(t), bidName)+`&""`))
		put(bidData, kit.Shown, k, fmt.Sprintf("INDEX(%s,%s)", book.ColumnName(b.Names, table, "kit_price"), page.Absolute(b.tableRow(t), bidNo)))
		put(bidData+1, "#,##0.00", saves, page.Absolute(b.order, bidData+5)+"-"+page.Absolute(b.tableRow(t), bidData+5))
		put(bidData+2, "#,##0", welds, "SUMPRODUCT("+t.at.Column(workFits)+","+b.joints.Column(jointWelds)+")")
		put(bidData+3, "0.00", ratio(saves, welds), fmt.Sprintf("IF(%[2]s=0,0,%[1]s/%[2]s)", cell(bidData+1), cell(bidData+2)))
		put(bidData+4, "#,##0.00", ratio(saves, cars.value), fmt.Sprintf("IF(%[2]s=0,0,%[1]s/%[2]s)", cell(bidData+1), cars.formula))
		for j, each := range []float64{ratio(saves, welds), ratio(saves, cars.value)} {
			per := cell(bidData + 3 + j)
			c := page.Text(bidData+5+j, look.CalcText, paidNever, page.Ours)
			if each > 0 {
				c = page.Number(bidData+5+j, look.Calc, "#,##0", wholeUpOf(k/each), page.Ours)
			}
			p.Put(at, c.Live(fmt.Sprintf(`IF(%s<=0,"%s",%s)`, per, paidNever, wholeUp(cell(bidData)+"/"+per))))
		}
	}
}

const paidNever = "never"

// kit is the price of a set-up's kit.
func (t *tried) kit(b *rates) float64 {
	table := b.Model.Table("setups")
	return compute.ZeroIfBlank(table.Quantity("kit_price").Num(b.Values.Rows(table).Frames[t.no-1]))
}
