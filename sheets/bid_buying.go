package sheets

import (
	"fmt"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
	"seamtally/sheets/summary"
)

// buying is Buying while it is laid out.
type buying struct {
	*bidPlan
	perLength float64  // lengths at the joint in one of tube as it is sold
	perGas    float64  // gas as it is sold in one of gas used
	perAngle  float64  // degrees in one of the saw's angle
	lengths   string   // number format of lengths
	sticks    amountAt // the lengths of all sticks in use
}

// fillBuying lays out Buying: tube, how it is cut, argon, filler, coupons and
// parts. How the tube is cut and where a bottle is changed no formula can find:
// they are values, with checks that tell when what they rest on is other.
func fillBuying(f *bidPlan) error {
	m := f.Model
	b := &buying{bidPlan: f, lengths: m.Line.Quantity("tube").Shown}
	var err error
	if b.perLength, err = conversion(m.Table("stock").Quantity("stick").Unit, m.Line.Quantity("tube").Unit); err != nil {
		return err
	}
	if b.perGas, err = conversion(m.Line.Quantity("torch_gas").Unit, m.Singles.Quantity("bottle_size").Unit); err != nil {
		return err
	}
	degrees, err := formula.ParseUnit("°")
	if err != nil {
		return err
	}
	if b.perAngle, err = conversion(m.Line.Quantity("half_turn").Unit, degrees); err != nil {
		return err
	}
	p := f.p
	p.Whole = buyWorth + 1
	p.Shell.Widths = []float64{5, 44, 12, 13, 18, 12, 12, 12, 18, 14, 18, 12, 12, 12, 30}
	p.Shell.FreezeRow = bidVerdict
	f.about("What the order needs, and how its tube is cut. Check sizes, quantities and prices with the supplier before you order.")
	plans := b.plans()
	from := []any{f.single("kerf"), f.single("facing"), f.single("least_drop"), f.single("bottle_size"), f.single("bottle_usable")}
	for _, pl := range plans {
		from = append(from, pl.no, pl.stick, pl.pieces)
	}
	for i := range f.Joints {
		for _, key := range []string{"torch_gas", "trail_gas", "purge_gas"} {
			from = append(from, m.Line.Quantity(key).Num(&f.Joints[i].Line.Frame))
		}
	}
	if err := f.made("Cut to the fewest sticks by linear programming and search (Gilmore and Gomory, 1961), then so that the drops that are left are long.", from...); err != nil {
		return err
	}
	b.tubeTable(plans)
	b.bottles()
	b.rods()
	b.once()
	b.parts()
	f.p.Shell.Print.Breaks = []int{b.row}
	b.cutList(plans)
	b.since()
	return nil
}

// rods is the filler, as the Summary has it.
func (b *buying) rods() {
	p, sc := b.p, b.s.SummaryScope("rods")
	keys := []string{"rod_needed", "rods", "rod_bought", "rod_mass"}
	b.section("Filler rods to buy")
	p.Put(b.row, page.Text(bidName, look.Heading, "Rod", page.Ours))
	for i, key := range keys {
		p.Put(b.row, page.Text(bidData+i, look.Heading, b.s.Heading(sc.Quantity(key)), page.Ours))
	}
	p.Row(b.row).Height = summary.HeadingHigh
	b.row++
	for i, f := range b.Values.Rows(sc).Frames {
		p.Put(b.row, b.s.NameAt(sc, i))
		for k, key := range keys {
			q := sc.Quantity(key)
			p.Put(b.row, book.FigureCell(q, f, bidData+k, look.Calc).Live(b.s.CellAt(q, i)))
		}
		b.row++
	}
	b.row++
}

// once is the coupons.
func (b *buying) once() {
	specs := float64(len(b.Values.Rows(b.s.SummaryScope("cars")).Frames))
	col, err := b.s.UsedColumn(b.s.SummaryScope("cars").Quantity("car_qty"))
	if err != nil {
		return
	}
	b.section("Weld coupons")
	b.p.Put(b.row, page.Text(bidName, look.Label, "Coupons, all car specs", page.Ours))
	b.p.Put(b.row, page.Number(bidData, look.Calc, "0", b.single("coupons")*specs, page.Ours).Live(fmt.Sprintf("%s*COUNT(%s)", b.Names.Use("coupons"), col)))
	b.row += 2
}

// parts is what is bought besides: the lines of other work that cost.
func (b *buying) parts() {
	p, t := b.p, b.Model.Table("parts")
	q := t.Quantity
	b.section("Parts and work bought, from the table of other work")
	b.headings(bidNo, 2*page.StandardHeight, "No.", "Item", "For", "Quantity, all cars", "Cost, each ("+b.Currency()+")", "Cost, all cars ("+b.Currency()+")")
	cars := b.Model.Table("cars")
	order := b.orderAmount("order_cars")
	names := func(key string) string { return book.ColumnName(b.Names, t, key) }
	for i, f := range b.Values.Rows(t).Frames {
		cost := q("cost_each").Num(f)
		if !(cost > 0) {
			continue
		}
		row := b.row
		cell := func(col int) string { return part.Ref(row, col) }
		at := func(key string) string { return "INDEX(" + names(key) + "," + cell(bidNo) + ")" }
		n := order.value
		if car := b.Values.Rows(cars).At(q("car_no").Num(f)); car != nil {
			n = cars.Quantity("ordered").Num(car)
		}
		if strings.EqualFold(q("per").Text(f), "order") {
			n = 1
		}
		p.Put(row, page.Number(bidNo, look.Calc, "0", float64(i+1), page.Ours))
		p.Put(row, page.Text(bidName, look.CalcText, q("item").Text(f), page.Ours).Live(at("item")+`&""`))
		p.Put(row, page.Text(bidData, look.CalcText, q("car").Text(f), page.Ours).Live(at("car")+`&""`))
		amount := compute.ZeroIfBlank(q("quantity").Num(f)) * n
		p.Put(row, page.Number(bidData+1, look.Calc, "#,##0.##", amount, page.Ours).Live(fmt.Sprintf(`%s*IF(%s="order",1,IF(%s=0,%s,SUMIFS(%s,%s,%s)))`,
			at("quantity"), at("per"), at("car_no"), order.formula, book.ColumnName(b.Names, cars, "ordered"), book.ColumnName(b.Names, cars, "name"), cell(bidData))))
		p.Put(row, page.Number(bidData+2, look.Calc, "#,##0.00", cost, page.Ours).Live(at("cost_each")))
		p.Put(row, page.Number(bidData+3, look.Calc, "#,##0.00", amount*cost, page.Ours).Live(cell(bidData+1)+"*"+cell(bidData+2)))
		b.row++
	}
	b.row++
}

// since are the checks that what was worked out still holds.
func (b *buying) since() {
	top := b.row
	b.row += checkRows(len(b.holds) + 6) // those that are added here
	last := b.row - 1
	length, squares, moved := b.jointRows()
	then := func(what string, a amountAt) {
		b.agree(agreement{what + ", then and now", amountAt{"", a.value}, a, 6, "#,##0.00"})
	}
	then("Length of all pieces", length)
	then("Squares of their lengths", squares)
	then("Lengths by the number of their size", moved)
	then("Lengths of the sticks", b.sticks)
	saw := amountAt{
		b.Names.Use("kerf") + "+2*" + b.Names.Use("facing") + "+" + b.Names.Use("least_drop"),
		b.single("kerf") + 2*b.single("facing") + b.single("least_drop"),
	}
	then("Kerf, twice the facing, shortest drop", saw)
	then("Usable argon of a bottle", amountAt{b.Names.Use("bottle_size") + "*" + b.Names.Use("bottle_usable"), b.single("bottle_size") * b.single("bottle_usable")})
	end := b.row
	b.row = top
	b.checks("Then", "Now")
	b.row = end
	b.p.Shell.Print.TitleRows = "1:3"
	b.p.Shell.Print.Area = "A1:" + part.Ref(last, buyWorth+1)
}

// jointRows is what each joint takes off the sticks, live, for the checks.
func (b *buying) jointRows() (length, squares, moved amountAt) {
	p, m := b.p, b.Model
	b.section("Working: what each joint takes")
	short := compute.UnitName(m.Line.Quantity("tube"))
	b.headings(bidNo, 2*page.StandardHeight, "No.", "Joint", "Size, number", "Joints, all cars", "Straight ("+short+")", "Blank ("+short+")", "Length, all ("+short+")", "Squares ("+short+"²)")
	first := b.row
	for i := range b.Joints {
		r := &b.Joints[i]
		num := func(key string) float64 { return m.Line.Quantity(key).Num(&r.Line.Frame) }
		list := func(key string) string { return b.JointCell(r, m.Line.Quantity(key)) }
		row := b.row
		cell := func(col int) string { return part.Ref(row, col) }
		put := func(col int, format string, x float64, f string) {
			p.Put(row, page.Number(col, look.Calc, format, x, page.Ours).Live(f))
		}
		put(bidNo, "0", float64(i+1), "")
		p.Put(row, page.Text(bidName, look.CalcText, r.Mark, page.Ours))
		n := num("qty") * b.ordered(r.Line)
		straight, blank := num("tube"), b.blank(r.Line)
		put(bidData, "0", num("stock_no"), list("stock_no"))
		put(bidData+1, "#,##0", n, list("qty")+"*"+b.orderedCell(r))
		put(bidData+2, b.lengths, straight, list("tube"))
		put(bidData+3, b.lengths, blank, fmt.Sprintf("IF(%s=0,0,%s+%s-%s-%s)", list("bend_length"), list("bend_length"), list("cut_loss"), b.Names.Use("kerf"), b.Names.Use("facing")))
		put(bidData+4, "#,##0.00", n*(straight+blank), fmt.Sprintf("%s*(%s+%s)", cell(bidData+1), cell(bidData+2), cell(bidData+3)))
		put(bidData+5, "#,##0.0", n*(straight*straight+blank*blank), fmt.Sprintf("%s*(%s^2+%s^2)", cell(bidData+1), cell(bidData+2), cell(bidData+3)))
		length.value += n * (straight + blank)
		squares.value += n * (straight*straight + blank*blank)
		moved.value += num("stock_no") * n * (straight + blank)
		b.row++
	}
	column := page.Rows{First: first, Count: len(b.Joints)}.Column
	length.formula = "SUM(" + column(bidData+4) + ")"
	squares.formula = "SUM(" + column(bidData+5) + ")"
	moved.formula = "SUMPRODUCT(" + column(bidData) + "," + column(bidData+4) + ")"
	return length, squares, moved
}
