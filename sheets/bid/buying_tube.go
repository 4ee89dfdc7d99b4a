package bid

import (
	"errors"
	"fmt"

	"seamtally/compute"
	"seamtally/compute/nest"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
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
	out := map[int][]tubePiece{}
	for i := range b.Joints {
		num := func(key string) float64 { return b.Model.Line.Quantity(key).Num(&b.Joints[i].Line.Frame) }
		no, all := int(num("stock_no")), b.jointNum(i, "joints_all")
		if !(all >= 1) {
			continue
		}
		if l := b.jointNum(i, "straight"); l > 0 {
			out[no] = append(out[no], tubePiece{row: i, length: l, count: int(all)})
		}
		if l := b.jointNum(i, "bend_blank"); l > 0 {
			out[no] = append(out[no], tubePiece{row: i, length: l, count: int(all), pies: int(num("pies")), saw: num("half_turn")})
		}
	}
	return out
}

// plans cuts the tube of every stock line.
func (b *buying) plans() []stockPlan {
	all := b.pieces()
	saw := b.scoped("buying_saw")
	cut := saw.Quantity("cut_width").Num(b.onceRow(saw).Frame)
	var out []stockPlan
	for _, r := range b.tube {
		num := func(key string) float64 { return r.Of().Quantity(key).Num(r.Frame) }
		no := int(num("stock_no"))
		p := stockPlan{no: no, name: r.Of().Quantity("name").Text(r.Frame), pieces: all[no], stick: num("stick_saw")}
		task := nest.Task{Stick: p.stick, Kerf: cut, Keep: b.single("least_drop")}
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

// planned says of each size what the plan comes to, or why there is none.
func (b *buying) planned(plans []stockPlan) {
	for i, pl := range plans {
		r := b.tube[i]
		r.set("piece_count", float64(pl.count), "")
		r.set("piece_length", pl.length, "")
		r.say("why_none", pl.why, "")
		if pl.why == "" {
			r.set("sticks_cut", float64(pl.plan.Sticks), "")
			r.set("sticks_least", float64(pl.plan.Bounds.Best()), "")
			r.set("drop_length", pl.plan.Kept, "")
		}
	}
}

// cutList is what the saw cuts, stick by stick.
func (b *buying) cutList(plans []stockPlan) {
	p := b.P
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
	p, cut := b.P, pat.Cuts[k]
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
	lengths := b.Model.Line.Quantity("tube").Shown
	put(bidData+1, lengths, cut.Start)
	put(bidData+2, lengths, cut.Length)
	put(bidData+3, "0", float64(n))
	if piece.pies > 0 {
		put(bidData+4, "0.00", piece.saw)
		put(bidData+5, "0", float64(piece.pies))
	}
	p.Put(b.row, page.Text(bidData+6, look.CalcText, pieceWords(piece), page.Ours))
	p.Put(b.row, page.Text(bidData+7, look.CalcText, r.Mark, page.Ours))
	p.Put(b.row, page.Text(bidData+8, look.CalcText, r.Car, page.Ours))
	if k+n == len(pat.Cuts) {
		put(bidData+9, lengths, pat.Drop)
	}
	b.row++
}
