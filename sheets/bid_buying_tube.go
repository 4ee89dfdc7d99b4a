package sheets

import (
	"errors"
	"fmt"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/nest"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
	"seamtally/sheets/summary"
)

// tubePiece is what the saw cuts off a stick for a joint: a straight tube, or
// the blank of a bend, from which its pies are cut.
type tubePiece struct {
	row    int // of the order's joints
	length float64
	count  int
	pies   int     // 0: a straight tube
	saw    float64 // what the saw is set to for the pies, degrees
}

// stockPlan is how the tube of one stock line is cut.
type stockPlan struct {
	no     int // of the stock's line, from 1
	name   string
	stick  float64 // in the unit of lengths at the joint; 0 = not known
	pieces []tubePiece
	count  int
	length float64
	plan   nest.Plan
	why    string // why there is none
}

// pieces are those of all joints, by stock line.
func (b *buying) pieces() map[int][]tubePiece {
	m := b.Model
	num := func(line *compute.Line, key string) float64 { return m.Line.Quantity(key).Num(&line.Frame) }
	out := map[int][]tubePiece{}
	for i := range b.Joints {
		line := b.Joints[i].Line
		no := int(num(line, "stock_no"))
		n := int(num(line, "qty") * b.ordered(line))
		if n == 0 {
			continue
		}
		if l := num(line, "tube"); l > 0 {
			out[no] = append(out[no], tubePiece{row: i, length: l, count: n})
		}
		if l := b.blank(line); l > 0 {
			out[no] = append(out[no], tubePiece{row: i, length: l, count: n, pies: int(num(line, "pies")), saw: num(line, "half_turn") * b.perAngle})
		}
	}
	return out
}

// blank is the tube of which the pies of one bend are cut: their length, and
// all cuts but the one that parts it from the stick. 0 where there is no bend.
func (b *buying) blank(line *compute.Line) float64 {
	m := b.Model
	num := func(key string) float64 { return m.Line.Quantity(key).Num(&line.Frame) }
	if num("bend_length") == 0 {
		return 0
	}
	return num("bend_length") + num("cut_loss") - b.single("kerf") - b.single("facing")
}

// plans cuts the tube of every stock line.
func (b *buying) plans() []stockPlan {
	tube := b.s.SummaryScope("tube")
	stock := b.Model.Table("stock")
	all := b.pieces()
	var out []stockPlan
	for _, f := range b.Values.Rows(tube).Frames {
		no := int(tube.Quantity(tube.By).Num(f))
		p := stockPlan{no: no, name: b.s.RowName(b.s.Home(tube), 0, float64(no)).Text, pieces: all[no]}
		p.stick = compute.ZeroIfBlank(stock.Quantity("stick").Num(b.Values.Rows(stock).Frames[no-1])) * b.perLength
		task := nest.Task{Stick: p.stick, Kerf: b.single("kerf") + b.single("facing"), Keep: b.single("least_drop")}
		for i, piece := range p.pieces {
			p.count += piece.count
			p.length += float64(piece.count) * piece.length
			task.Pieces = append(task.Pieces, nest.Piece{Length: piece.length, Count: piece.count, Label: i})
		}
		switch {
		case p.count == 0:
			p.why = "no lengths are given for its tubes"
		case p.stick == 0:
			p.why = "its stick has no length on Assumptions"
		default:
			p.why = b.solve(&p, task)
		}
		out = append(out, p)
	}
	return out
}

// solve finds the plan, or says why there is none.
func (b *buying) solve(p *stockPlan, task nest.Task) (why string) {
	plan, err := nest.Solve(task)
	var long *nest.TooLongError
	switch {
	case errors.As(err, &long):
		piece := p.pieces[long.Pieces[0].Label]
		r := &b.Joints[piece.row]
		why = fmt.Sprintf("%s of %s is longer than a stick gives", pieceWords(piece), r.Mark)
		b.Note(book.LevelWarning, "piece too long", b.All[r.List].Ref(r.Row, b.All[r.List].Shop["od"].Col), fmt.Sprintf("a piece of %s is %.4g long, and a stick of %s gives %.4g", r.Mark, piece.length, p.name, long.Usable), "correct the length, give a longer stick on Assumptions, or make it of two joints")
	case err != nil:
		why = err.Error()
	default:
		p.plan = plan
	}
	return why
}

// pieceWords says what a piece is.
func pieceWords(p tubePiece) string {
	if p.pies == 0 {
		return "straight"
	}
	return fmt.Sprintf("blank of %d pies", p.pies)
}

// Columns of the tube table.
const (
	buyPieces = bidData + iota
	buyLength
	buyStick
	buySticks
	buyLeast
	buyPriced
	buyKept
	buyUsed
	buyNet
	buyScrap
	buyAssumed
	buyWorth
)

// tubeTable is what to buy of each stock line, and what the cutting plan makes
// of the scrap that is in the price.
func (b *buying) tubeTable(plans []stockPlan) {
	p, m := b.p, b.Model
	tube, stock := b.s.SummaryScope("tube"), m.Table("stock")
	long := compute.UnitName(m.Table("stock").Quantity("stick"))
	b.section("Tube to buy")
	b.headings(bidNo, summary.HeadingHigh, "No.", "Tube", "Pieces", "Length of the pieces ("+long+")", "Stick ("+long+")", "Sticks to buy", "Fewest that could do", "Sticks, by length alone",
		"Drops to keep ("+long+")", "Used up ("+long+")", "Needed before scrap ("+long+")", "Scrap, as cut", "Scrap in the price", "Price lacks ("+b.Currency()+")", "Note")
	first := b.row
	scrap := b.single("tube_scrap")
	for i, pl := range plans {
		row := b.row
		cell := func(col int) string { return part.Ref(row, col) }
		put := func(col int, format string, x float64, f string) {
			p.Put(row, page.Number(col, look.Calc, format, x, page.Ours).Live(f))
		}
		frame := b.Values.Rows(tube).Frames[i]
		no := tube.Quantity(tube.By)
		p.Put(row, page.Number(bidNo, look.Calc, "0", no.Num(frame), page.Ours).Live(b.s.CellAt(no, i)))
		p.Put(row, b.s.NameAt(tube, i))
		put(buyPieces, "#,##0", float64(pl.count), "")
		put(buyLength, "#,##0.00", pl.length/b.perLength, "")
		stick := pl.stick / b.perLength
		put(buyStick, "0.00", stick, fmt.Sprintf("INDEX(%s,%s)", book.ColumnName(b.Names, stock, "stick"), cell(bidNo)))
		sticks := tube.Quantity("sticks")
		put(buyPriced, "#,##0", sticks.Num(frame), b.s.CellAt(sticks, i))
		needed := tube.Quantity("tube_needed")
		net := needed.Num(frame) / (1 + scrap)
		put(buyNet, "#,##0.00", net, fmt.Sprintf("%s/(1+%s)", b.s.CellAt(needed, i), b.Names.Use("tube_scrap")))
		put(buyAssumed, "0.0%", scrap, b.Names.Use("tube_scrap"))
		if pl.why != "" {
			p.Put(row, page.Text(buyWorth+1, look.CalcText, pl.why, page.Ours))
			b.row++
			continue
		}
		put(buySticks, "#,##0", float64(pl.plan.Sticks), "")
		put(buyLeast, "#,##0", float64(pl.plan.Bounds.Best()), "")
		put(buyKept, "#,##0.00", pl.plan.Kept/b.perLength, "")
		used := float64(pl.plan.Sticks)*stick - pl.plan.Kept/b.perLength
		put(buyUsed, "#,##0.00", used, fmt.Sprintf("%s*%s-%s", cell(buySticks), cell(buyStick), cell(buyKept)))
		put(buyScrap, "0.0%", ratio(used, net)-1, fmt.Sprintf("IF(%[2]s=0,0,%[1]s/%[2]s-1)", cell(buyUsed), cell(buyNet)))
		price := compute.ZeroIfBlank(stock.Quantity("price").Num(b.Values.Rows(stock).Frames[pl.no-1]))
		put(buyWorth, "#,##0.00", formula.Round((used-net*(1+scrap))*price, 2), fmt.Sprintf("ROUND((%s-%s*(1+%s))*INDEX(%s,%s),2)",
			cell(buyUsed), cell(buyNet), cell(buyAssumed), book.ColumnName(b.Names, stock, "price"), cell(bidNo)))
		b.row++
	}
	b.sticks.formula = "SUM(" + page.Rows{First: first, Count: len(plans)}.Column(buyStick) + ")"
	for _, pl := range plans {
		b.sticks.value += pl.stick / b.perLength
	}
	p.Put(b.row, page.Text(bidName, look.TotalText, "All tube", page.Ours))
	for _, c := range []struct {
		col    int
		format string
	}{{buyPieces, "#,##0"}, {buySticks, "#,##0"}, {buyPriced, "#,##0"}, {buyWorth, "#,##0.00"}} {
		x := 0.0
		for row := first; row < b.row; row++ {
			x += p.Cell(row, c.col).Num
		}
		p.Put(b.row, page.Number(c.col, look.Total, c.format, x, page.Ours).Live(fmt.Sprintf("SUM(%s:%s)", part.Ref(first, c.col), part.Ref(max(b.row-1, first), c.col))))
	}
	b.row += 2
}

// cutList is what the saw cuts, stick by stick.
func (b *buying) cutList(plans []stockPlan) {
	p := b.p
	short := compute.UnitName(b.Model.Line.Quantity("tube"))
	b.section("Cut list: each stick from its raw end, " + short + "; saw angles in degrees, half of what a pie turns")
	heads := []string{"No.", "Tube", "Sticks cut so", "From the end", "Length", "Pieces", "Saw angle", "Cuts in it", "What it is", "Joint", "Car", "Drop"}
	for i, h := range heads {
		p.Put(b.row, page.Text(bidNo+i, look.Heading, h, page.Ours))
	}
	p.Row(b.row).Height = 2 * page.StandardHeight
	b.row++
	pattern := 0
	for _, pl := range plans {
		for _, pat := range pl.plan.Patterns {
			pattern++
			for k := 0; k < len(pat.Cuts); {
				n := 1
				for k+n < len(pat.Cuts) && pat.Cuts[k+n].Label == pat.Cuts[k].Label {
					n++
				}
				b.cutRow(pl, pattern, pat, k, n)
				k += n
			}
		}
	}
	b.row++
}

// cutRow is n equal pieces of a stick, one after the other.
func (b *buying) cutRow(pl stockPlan, pattern int, pat nest.Pattern, k, n int) {
	p, cut := b.p, pat.Cuts[k]
	piece := pl.pieces[cut.Label]
	r := &b.Joints[piece.row]
	put := func(col int, format string, x float64) {
		p.Put(b.row, page.Number(col, look.Calc, format, x, page.Ours))
	}
	if k == 0 {
		put(bidNo, "0", float64(pattern))
		p.Put(b.row, page.Text(bidName, look.CalcText, pl.name, page.Ours))
		put(bidData, "0", float64(pat.Times))
	}
	put(bidData+1, b.lengths, cut.Start)
	put(bidData+2, b.lengths, cut.Length)
	put(bidData+3, "0", float64(n))
	if piece.pies > 0 {
		put(bidData+4, "0.00", piece.saw)
		put(bidData+5, "0", float64(piece.pies))
	}
	p.Put(b.row, page.Text(bidData+6, look.CalcText, pieceWords(piece), page.Ours))
	p.Put(b.row, page.Text(bidData+7, look.CalcText, r.Mark, page.Ours))
	p.Put(b.row, page.Text(bidData+8, look.CalcText, r.Car, page.Ours))
	if k+n == len(pat.Cuts) {
		put(bidData+9, b.lengths, pat.Drop)
	}
	b.row++
}
