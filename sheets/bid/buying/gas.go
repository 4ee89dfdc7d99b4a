package buying

import (
	"fmt"
	"math"
	"strings"

	"seamtally/compute"
	"seamtally/sheets/bid/layout"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
)

// gasLine is a line that hangs on bottles of its own.
type gasLine struct {
	name    string
	each    []string          // figures of a joint: what it gives for one weld
	argon   *compute.Quantity // what it gives in all
	bottles string            // and how many bottles that is
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
	order := b.Model.OrderOf.Quantity
	apart := []*gasLine{
		{name: "torch", each: []string{"torch_each"}, argon: order("torch_all"), bottles: "torch_bottles"},
		{name: "trail", each: []string{"trail_each"}, argon: order("trail_all"), bottles: "trail_bottles"},
		{name: "purge", each: []string{"purge_each"}, argon: order("purge_all"), bottles: "purge_bottles"},
	}
	if q := b.Model.Singles.Quantity("gas_lines"); strings.EqualFold(q.Text(b.Values.Singles), "apart") {
		return apart
	}
	one := &gasLine{name: "all lines together", argon: b.Scoped("buying_saw").Quantity("argon_together"), bottles: "all_bottles"}
	for _, l := range apart {
		one.each = append(one.each, l.each...)
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
				each := 0.0
				for _, key := range l.each {
					each += b.jointNum(i, key)
				}
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

// bottles is the argon to buy, and where each bottle is changed.
func (b *buying) bottles() error {
	p := b.P
	full := b.Scoped("buying_saw").Quantity("bottle_full").Num(b.OnceRow(b.Scoped("buying_saw")).Frame)
	lines, more := b.gasLines(), 0.0
	for _, l := range lines {
		b.run(l, full)
		total, err := b.Amount(l.argon)
		if err != nil {
			return err
		}
		n := float64(len(l.empties))
		if total.Value > 0 {
			n++
		}
		r, whole := b.AddRow("buying_gas", nil, nil), b.OrderAmount(l.bottles)
		r.Say("gas_line", l.name, "")
		r.Set("argon_all", total.Value, total.Formula)
		r.Set("bottles_whole", whole.Value, whole.Formula)
		r.Set("bottles_more", max(0, n-whole.Value), "")
		more += max(0, n-whole.Value)
		switch {
		case l.weld > full:
			r.Say("why_more", "one weld takes more than a bottle", "")
		case n > whole.Value:
			r.Say("why_more", "what is left in a bottle is too little for the next weld, and it is changed first", "")
		}
		r.Set("argon_left", l.left, "")
		r.Set("weld_most", l.weld, "")
	}
	block := b.Table("buying_gas")
	block.Label = look.Label
	if err := b.Under("buying_bottles", block); err != nil {
		return err
	}
	if more > 0 {
		for _, s := range whyNotRaised() {
			p.Put(b.Row, page.Text(layout.ColName, look.Note, s, page.Ours))
			b.Row++
		}
	}
	b.Row++
	p.Put(b.Row, page.Text(layout.ColName, look.Heading, "Line", page.Ours))
	b.Heads(layout.ColData, "Bottle", "Changed at car", "Of the spec", "Before a weld of")
	for _, l := range lines {
		for i, e := range l.empties {
			if i == mostBottles {
				p.Put(b.Row, page.Text(layout.ColName, look.Note, fmt.Sprintf("and %d more", len(l.empties)-i), page.Ours))
				b.Row++
				break
			}
			p.Put(b.Row, page.Text(layout.ColName, look.Label, l.name, page.Ours))
			p.Put(b.Row, page.Number(layout.ColData, look.Calc, "0", float64(i+1), page.Ours))
			p.Put(b.Row, page.Number(layout.ColData+1, look.Calc, "0", float64(e.nth), page.Ours))
			p.Put(b.Row, page.Text(layout.ColData+2, look.CalcText, e.car, page.Ours))
			p.Put(b.Row, page.Text(layout.ColData+3, look.CalcText, e.joint, page.Ours))
			b.Row++
		}
	}
	b.Row++
	return nil
}

// whyNotRaised says why the bottles to buy are one number, be it that a change
// between welds takes more.
func whyNotRaised() []string {
	return []string{
		"Summary, Rates and the JSON have the same number of bottles to buy, which is not raised by those that it takes more: it is argon over what one bottle gives, and follows every change live.",
		"How many more depends on which joint is welded when, and holds for this list from top to bottom with one bottle on a line. What is left in changed bottles serves shorter welds: have the others at hand, or on call.",
		"No price comes from bottles: argon is charged by what is used.",
	}
}

// mostBottles of a line are listed.
const mostBottles = 200
