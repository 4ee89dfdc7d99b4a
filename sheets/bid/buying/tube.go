package buying

import (
	"errors"
	"fmt"

	"seamtally/compute/nest"
	"seamtally/sheets/book"
	"seamtally/sheets/progress"
)

// tubePiece is what the saw cuts off a stick for a joint: a straight tube, with or
// without halves of bends on it; the blank of a bend, from which its pies are cut;
// or a half that no straight of the list takes.
type tubePiece struct {
	row    int     // of the order's joints
	length float64 // that it takes of the stick, from point to point
	axis   float64 // that stays in the joint, along the middle
	count  int
	pies   int    // of a blank
	ends   [2]int // the bends of which a straight carries a half, as straights have them
	loose  bool   // a half on no straight
}

// stockPlan is how the tube of one stock line is cut.
type stockPlan struct {
	no     int // of the stock's line, from 1
	name   string
	stick  float64 // in the unit of lengths at the joint; 0 = not known
	pieces []tubePiece
	sum    nest.Sum
	loose  int // halves on no straight
	plan   nest.Plan
	sticks []sawStick
	why    string // why there is none
}

// pieces are those of all joints, by stock line.
func (b *buying) pieces() map[int][]tubePiece {
	out := map[int][]tubePiece{}
	laid, loose := b.layHalves()
	b.tellLoose(loose)
	for i := range b.Joints {
		no, all := int(b.Model.Line.Quantity("stock_no").Num(&b.Joints[i].Line.Frame)), b.jointNum(i, "joints_all")
		if !(all >= 1) {
			continue
		}
		add := func(p tubePiece) {
			p.row = i
			out[no] = append(out[no], p)
		}
		for _, s := range laid[i] {
			tube := nest.Tube{Middle: b.jointNum(i, "straight")}
			for _, bend := range s.ends {
				if bend > 0 {
					tube = tube.And(b.half(bend - 1))
				}
			}
			add(tubePiece{count: s.count, ends: s.ends, axis: tube.Middle, length: tube.Long()})
		}
		if l, pies := b.jointNum(i, "bend_blank"), b.jointNum(i, "blank_pies"); l > 0 {
			add(tubePiece{length: l, axis: b.pie(i).Times(pies), count: int(all), pies: int(pies)})
		}
		if n := loose[i]; n > 0 {
			half := b.half(i)
			add(tubePiece{length: half.Long(), axis: half.Middle, count: n, loose: true})
		}
	}
	return out
}

// half is half a bend of a joint; pie is a pie of it.
func (b *buying) half(i int) nest.Tube {
	return nest.Tube{Middle: b.jointNum(i, "half_long"), Reach: b.jointNum(i, "reach")}
}

func (b *buying) pie(i int) nest.Tube {
	one := nest.Tube{Reach: b.jointNum(i, "reach")}
	return nest.Tube{Middle: b.jointNum(i, "pie_long"), Reach: one.And(one).Reach}
}

// plans are those of every stock line, as they were found, or to be found.
func (b *buying) plans() []stockPlan {
	all := b.pieces()
	var out []stockPlan
	for _, r := range b.tube {
		num := func(key string) float64 { return r.Of().Quantity(key).Num(r.Frame) }
		no := int(num("stock_no"))
		p := stockPlan{no: no, name: r.Of().Quantity("name").Text(r.Frame), pieces: all[no], stick: num("stick_saw")}
		for _, piece := range p.pieces {
			p.sum.Add(piece.count, piece.length, piece.axis)
			if piece.loose {
				p.loose += piece.count
			}
		}
		switch {
		case p.sum.Count == 0:
			p.why = "its tubes have no lengths"
		case p.stick == 0:
			p.why = "its stick has no length"
		}
		out = append(out, p)
	}
	if b.from = b.cutFrom(out); !b.recall(out) {
		b.solve(out)
	}
	return out
}

// cut is what a cut of the saw takes.
func (b *buying) cut() float64 {
	saw := b.Scoped("buying_saw")
	return saw.Quantity("cut_width").Num(b.OnceRow(saw).Frame)
}

// solve finds the plans, or says why there is none.
func (b *buying) solve(plans []stockPlan) {
	for i := range plans {
		progress.Of(b.By.Ctx, "sizes of the cutting plan", i, len(plans))
		if p := &plans[i]; p.why == "" {
			p.why = b.cutTube(p)
		}
	}
}

// cutTube finds the plan of a stock line, or says why there is none.
func (b *buying) cutTube(p *stockPlan) (why string) {
	task := nest.Task{Stick: p.stick, Kerf: b.cut(), Keep: b.Single("least_drop")}
	for i, piece := range p.pieces {
		task.Pieces = append(task.Pieces, nest.Piece{Length: piece.length, Count: piece.count, Label: i})
	}
	plan, err := nest.Solve(task)
	var long *nest.TooLongError
	switch {
	case errors.As(err, &long):
		piece := p.pieces[long.Pieces[0].Label]
		r := &b.Joints[piece.row]
		why = fmt.Sprintf("a piece of %s is too long", r.Mark)
		b.Note(book.LevelWarning, "piece too long", b.All[r.List].Ref(r.Row, b.All[r.List].Shop["od"].Col), fmt.Sprintf("a piece of %s is %.4g long, and a stick of %s gives %.4g", r.Mark, piece.length, p.name, long.Usable), "correct the length, give a longer stick on Assumptions, or make it of two joints")
	case err != nil:
		why = err.Error()
	default:
		p.plan, p.sticks = plan, sticksOf(plan)
	}
	b.without = b.without || why != ""
	return why
}

// planned says of each size what the plan comes to, or why there is none.
func (b *buying) planned(plans []stockPlan) {
	tube := b.Model.ClosingScope("tube")
	for i, pl := range plans {
		r, needed := b.tube[i], b.Values.Rows(tube).Frames[i]
		r.Set("piece_count", float64(pl.sum.Count), "")
		r.Set("piece_length", pl.sum.Length, "")
		r.Set("piece_axis", pl.sum.Stay, "")
		r.Set("halves_loose", float64(pl.loose), "")
		r.Set("unplanned", 0, "")
		r.Say("why_none", pl.why, "")
		switch {
		case pl.why == "":
			r.Set("sticks_cut", float64(pl.plan.Sticks), "")
			r.Set("sticks_least", float64(pl.plan.Bounds.Best()), "")
			r.Set("drop_length", pl.plan.Kept, "")
			b.paid[i].Set("sticks_more", pl.plan.More(tube.Quantity("sticks").Num(needed)), "")
		case tube.Quantity("tube_needed").Num(needed) > 0:
			r.Set("unplanned", 1, "")
		}
	}
}
