package sheets

import (
	"fmt"
	"math"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/summary"
)

// gasLine is a line that hangs on bottles of its own.
type gasLine struct {
	name    string
	figures []string // of the joint line, that it gives
	order   []string // of the order, that say what it gives in all
	bottles string   // and how many bottles that is
	empties []emptied
	left    float64 // what stays in bottles that are changed, as sold
	weld    float64 // the most that one weld takes
}

// emptied is where a bottle is changed: before the weld that it could not
// finish.
type emptied struct {
	car, joint string
	nth        int // car of its spec
}

func (b *buying) gasLines() []*gasLine {
	apart := []*gasLine{
		{name: "torch", figures: []string{"torch_gas"}, order: []string{"torch_all"}, bottles: "torch_bottles"},
		{name: "trail", figures: []string{"trail_gas"}, order: []string{"trail_all"}, bottles: "trail_bottles"},
		{name: "purge", figures: []string{"purge_gas"}, order: []string{"purge_all"}, bottles: "purge_bottles"},
	}
	if q := b.Model.Singles.Quantity("gas_lines"); strings.EqualFold(q.Text(b.Values.Singles), "apart") {
		return apart
	}
	one := &gasLine{name: "all lines together", bottles: "all_bottles"}
	for _, l := range apart {
		one.figures, one.order = append(one.figures, l.figures...), append(one.order, l.order...)
	}
	return []*gasLine{one}
}

// run works car after car and joint after joint, and changes the bottle before
// a weld that it cannot finish. A weld that takes more than a whole bottle
// takes what it needs of the next.
func (b *buying) run(l *gasLine, full float64) {
	m := b.Model
	cars := m.Table("cars")
	byCar := map[int][]int{}
	for i := range b.Joints {
		no := int(m.Line.Quantity("car_no").Num(&b.Joints[i].Line.Frame))
		byCar[no] = append(byCar[no], i)
	}
	left, opened := 0.0, false
	change := func(r *compute.Joint, nth int) {
		if opened {
			l.left += left
			l.empties = append(l.empties, emptied{r.Car, r.Mark, nth})
		}
		left, opened = full, true
	}
	for no := 1; no <= len(b.Values.Rows(cars).Frames); no++ {
		for nth := 1; nth <= int(cars.Quantity("ordered").Num(b.Values.Rows(cars).Frames[no-1])); nth++ {
			for _, i := range byCar[no] {
				r := &b.Joints[i]
				welds := m.Line.Quantity("welds").Num(&r.Line.Frame)
				each := ratio(b.gasOf(l, r.Line), welds)
				l.weld = max(l.weld, each)
				for done := 0.0; done < welds && each > 0; {
					if can := math.Floor(left/each + 1e-9); can >= 1 {
						n := min(can, welds-done)
						left, done = left-n*each, done+n
						continue
					}
					change(r, nth)
					if each > full {
						need := each
						for need > left {
							need -= left
							left = 0
							change(r, nth)
						}
						left -= need
						done++
					}
				}
			}
		}
	}
}

// gasOf is what a line gives for a joint line, of one car, as gas is sold.
func (b *buying) gasOf(l *gasLine, line *compute.Line) (x float64) {
	for _, key := range l.figures {
		x += b.Model.Line.Quantity(key).Num(&line.Frame)
	}
	return x * (1 + b.single("argon_loss")) * b.perGas
}

// bottles is the argon to buy, and where each bottle is changed.
func (b *buying) bottles() {
	p, m := b.p, b.Model
	full := b.single("bottle_size") * b.single("bottle_usable")
	unit := compute.UnitName(m.Singles.Quantity("bottle_size"))
	lines := b.gasLines()
	b.section("Argon: car after car as on Assumptions, joint after joint; no weld is begun that the bottle cannot finish")
	b.headings(bidName, summary.HeadingHigh+page.StandardHeight, "Line", "Argon, with losses ("+unit+")", "Bottles, by the whole", "Bottles, weld by weld", "Left in bottles that are changed ("+unit+")", "Most in one weld ("+unit+")", "In a full bottle, usable ("+unit+")")
	for _, l := range lines {
		b.run(l, full)
		f, total := "", 0.0
		for _, key := range l.order {
			x := b.orderAmount(key)
			if f != "" {
				f += "+"
			}
			f, total = f+x.formula, total+x.value
		}
		whole := b.orderAmount(l.bottles)
		n := float64(len(l.empties))
		if total > 0 {
			n++
		}
		p.Put(b.row, page.Text(bidName, look.Label, l.name, page.Ours))
		p.Put(b.row, page.Number(bidData, look.Calc, "#,##0.0", total, page.Ours).Live(f))
		p.Put(b.row, page.Number(bidData+1, look.Calc, "0", whole.value, page.Ours).Live(whole.formula))
		p.Put(b.row, page.Number(bidData+2, look.Calc, "0", n, page.Ours))
		p.Put(b.row, page.Number(bidData+3, look.Calc, "#,##0.0", l.left, page.Ours))
		p.Put(b.row, page.Number(bidData+4, look.Calc, "#,##0.00", l.weld, page.Ours))
		p.Put(b.row, page.Number(bidData+5, look.Calc, "#,##0.0", full, page.Ours).Live(b.Names.Use("bottle_size")+"*"+b.Names.Use("bottle_usable")))
		if l.weld > full {
			p.Put(b.row, page.Text(bidData+6, look.CalcText, "one weld takes more than a bottle", page.Ours))
		}
		b.agree(agreement{"Argon of the " + l.name + " line, then and now", amountAt{"", total}, amountAt{f, total}, 6, "#,##0.00"})
		b.row++
	}
	b.row++
	p.Put(b.row, page.Text(bidName, look.Heading, "Line", page.Ours))
	b.headings(bidData, 0, "Bottle", "Changed at car", "Of the spec", "Before a weld of")
	for _, l := range lines {
		for i, e := range l.empties {
			if i == mostBottles {
				p.Put(b.row, page.Text(bidName, look.Note, fmt.Sprintf("and %d more", len(l.empties)-i), page.Ours))
				b.row++
				break
			}
			p.Put(b.row, page.Text(bidName, look.Label, l.name, page.Ours))
			p.Put(b.row, page.Number(bidData, look.Calc, "0", float64(i+1), page.Ours))
			p.Put(b.row, page.Number(bidData+1, look.Calc, "0", float64(e.nth), page.Ours))
			p.Put(b.row, page.Text(bidData+2, look.CalcText, e.car, page.Ours))
			p.Put(b.row, page.Text(bidData+3, look.CalcText, e.joint, page.Ours))
			b.row++
		}
	}
	b.row++
}

// mostBottles of a line are listed.
const mostBottles = 200

// conversion is how many of one unit are in another.
func conversion(from, to formula.Unit) (float64, error) {
	f, err := formula.Conversion(from, to)
	if err != nil {
		return 0, err
	}
	return f.Apply(1), nil
}
