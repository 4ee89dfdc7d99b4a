package setups

import (
	"fmt"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/bid/layout"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// findWelds finds the welds that the order has.
func (b *rates) findWelds() error {
	b.joint = b.JointRows("rates_joints")
	if err := b.Bid.Work(); err != nil {
		return err
	}
	known := map[string]bool{}
	for i, r := range b.joint {
		key := strings.ToLower(r.Of().Quantity("weld").Text(r.Frame)) // as spreadsheets compare
		if !known[key] {
			known[key] = true
			b.welds = append(b.welds, i)
		}
	}
	return nil
}

// weldRows are what one weld of each kind takes under each set-up. A figure of
// its line stands on the working row of its joint, or on the joint's own if it
// does not rest on the set-up.
func (b *rates) weldRows() {
	line := b.Model.Line.Quantity
	for k, i := range b.welds {
		listed := &b.Joints[i]
		for _, t := range b.tries {
			r := b.AddRow("rates_welds", t.values, &t.lines[i].Frame)
			r.Beside = func(q *model.Quantity) string {
				if col := b.cols[q]; col > 0 {
					return grid.Ref(t.at.First+i, col)
				}
				return b.JointCell(listed, q)
			}
			r.Set("weld_no", float64(k+1), "")
			r.Say("weld_joint", listed.Mark, "")
			r.Say("setup_tried", t.name, page.Absolute(b.tableRow(t), layout.ColName))
			r.Set("line_listed", line("line_cost").Num(&listed.Line.Frame), b.JointCell(listed, line("line_cost")))
			r.Set("tube_listed", line("tube_cost").Num(&listed.Line.Frame), b.JointCell(listed, line("tube_cost")))
		}
	}
}

// found says of each weld whether the set-up fits, and by which cell its like is
// found.
func (b *rates) found(joints *layout.Block) {
	key := b.Scoped("rates_joints").Quantity("weld")
	for n, r := range b.RowsOf("rates_welds") {
		i, t := b.welds[n/len(b.tries)], b.tries[n%len(b.tries)]
		r.Set("weld_fits", truth(t.fits[i]), grid.Ref(t.at.First+i, workFits))
		r.Say("weld_key", key.Text(b.joint[i].Frame), grid.Ref(joints.Rows.First+i, joints.Col(key.Key)))
	}
}

// verdict says in a line which set-up takes the fewest hours, if it is worth
// saying.
func (b *rates) verdict() string {
	hours := b.Model.OrderOf.Quantity("order_hours")
	listed := hours.Num(b.Values.Order)
	best := -1
	for i, s := range b.scenes {
		if best < 0 || s.At(hours, 0).Value < b.scenes[best].At(hours, 0).Value {
			best = i
		}
	}
	if best < 0 || listed == 0 {
		return ""
	}
	t, s := b.tries[best], b.scenes[best]
	less := listed - s.At(hours, 0).Value
	if less < listed/100 {
		return "no set-up, used wherever it fits, takes 1 % fewer hours than the order as listed"
	}
	out := fmt.Sprintf("%s wherever it fits: %s h less on this order", t.name, formula.GeneralText(formula.Round(less, hoursPlaces(less))))
	var fit, all int
	for _, fits := range t.fits {
		all++
		if fits {
			fit++
		}
	}
	if fit < all {
		out += fmt.Sprintf(" (%d of %d joints keep their own)", all-fit, all)
	}
	kits := b.RowsOf("rates_kits")[best]
	num := func(key string) float64 { return kits.Of().Quantity(key).Num(kits.Frame) }
	paid := "the kit has paid for itself"
	if n := num("sizes"); n > 1 {
		paid = fmt.Sprintf("the kits, one for each of %g tube sizes, have paid for themselves", n)
	}
	switch n := num("paid_cars"); {
	case num("kits") == 0:
	case formula.IsBlank(n):
		out += "; it saves no cost"
	case n <= 1:
		out += "; " + paid + " within the first car"
	default:
		out += fmt.Sprintf("; %s after %s cars", paid, formula.GeneralText(n))
	}
	return out
}

// hoursPlaces shows few hours to the tenth.
func hoursPlaces(x float64) int {
	if x < 10 {
		return 1
	}
	return 0
}
