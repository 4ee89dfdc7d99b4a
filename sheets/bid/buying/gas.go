package buying

import (
	"fmt"
	"strings"

	"seamtally/compute/bottles"
	"seamtally/compute/model"
	"seamtally/sheets/bid/layout"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
)

// gasLine is a line that hangs on bottles of its own.
type gasLine struct {
	bottles.Line
	name    string
	each    []string        // figures of a joint: what it gives for one weld
	argon   *model.Quantity // what it gives in all
	whole   string          // and how many bottles that is
	empties []emptied
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
		{name: "torch", each: []string{"torch_each"}, argon: order("torch_all"), whole: "torch_bottles"},
		{name: "trail", each: []string{"trail_each"}, argon: order("trail_all"), whole: "trail_bottles"},
		{name: "purge", each: []string{"purge_each"}, argon: order("purge_all"), whole: "purge_bottles"},
	}
	if q := b.Model.Singles.Quantity("gas_lines"); strings.EqualFold(q.Text(b.Values.Singles), "apart") {
		return apart
	}
	one := &gasLine{name: "all lines together", argon: b.Scoped("buying_saw").Quantity("argon_together"), whole: "all_bottles"}
	for _, l := range apart {
		one.each = append(one.each, l.each...)
	}
	return []*gasLine{one}
}

// run works car after car and joint after joint.
func (b *buying) run(l *gasLine, full float64) {
	m := b.Model
	cars := m.Table("cars")
	byCar := map[int][]int{}
	for i := range b.Joints {
		no := int(m.Line.Quantity("car_no").Num(&b.Joints[i].Line.Frame))
		byCar[no] = append(byCar[no], i)
	}
	l.Line = bottles.Line{Full: full, Empty: func(at bottles.Place) {
		l.empties = append(l.empties, emptied{b.Joints[at.Joint].Car, b.Joints[at.Joint].Mark, at.Nth})
	}}
	for no := 1; no <= len(b.Values.Rows(cars).Frames); no++ {
		for nth := 1; nth <= int(cars.Quantity("ordered").Num(b.Values.Rows(cars).Frames[no-1])); nth++ {
			for _, i := range byCar[no] {
				each := make([]float64, len(l.each))
				for k, key := range l.each {
					each[k] = b.jointNum(i, key)
				}
				l.Weld(m.Line.Quantity("welds").Num(&b.Joints[i].Line.Frame), each, bottles.Place{Joint: i, Nth: nth})
			}
		}
	}
}

// bottles is the argon to buy, and where each bottle is changed.
func (b *buying) bottles() error {
	p := b.P
	full := b.Scoped("buying_saw").Quantity("bottle_full").Num(b.OnceRow(b.Scoped("buying_saw")).Frame)
	lines, more := b.gasLines(), false
	for _, l := range lines {
		b.run(l, full)
		total, err := b.Amount(l.argon)
		if err != nil {
			return err
		}
		r, whole := b.AddRow("buying_gas", nil, nil), b.OrderAmount(l.whole)
		r.Say("gas_line", l.name, "")
		r.Set("argon_all", total.Value, total.Formula)
		r.Set("bottles_whole", whole.Value, whole.Formula)
		over := l.More(total.Value, whole.Value)
		r.Set("bottles_more", over, "")
		more = more || over > 0
		switch {
		case l.Most > full:
			r.Say("why_more", "one weld takes more than a bottle", "")
		case over > 0:
			r.Say("why_more", "what is left in a bottle is too little for the next weld, and it is changed first", "")
		}
		r.Set("argon_left", l.Left, "")
		r.Set("weld_most", l.Most, "")
	}
	block := b.Table("buying_gas")
	block.Label = look.Label
	if err := b.Under("buying_bottles", block); err != nil {
		return err
	}
	if more {
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
