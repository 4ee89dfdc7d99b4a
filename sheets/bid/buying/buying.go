package buying

import (
	"seamtally/sheets/bid/layout"
	"seamtally/sheets/page"
)

// buying is Buying while it is laid out.
type buying struct {
	*layout.Laid
	joint []*layout.Row // what each joint takes
	tube  []*layout.Row // what is bought of each size
	paid  []*layout.Row // and what is paid for it

	from    string    // a digest of what the cut list is laid out from
	stands  page.Rows // where it stands as it would be laid out; count 0: nowhere
	without bool      // a size has no plan that could be found
}

// joints' figure is what a joint has on the sheet.
func (b *buying) jointNum(i int, key string) float64 {
	return b.joint[i].Of().Quantity(key).Num(b.joint[i].Frame)
}

// Fill lays out Buying: tube, how it is cut, argon, filler, coupons and
// parts. How the tube is cut and where a bottle is changed no formula can find:
// they are values, with checks that tell when what they rest on is other.
func Fill(f *layout.Laid) error {
	b := &buying{Laid: f}
	p := f.P
	p.Shell.Widths = []float64{5, 40, 11, 11, 13, 11, 9, 10, 11, 11, 10, 9, 10, 10, 20}
	p.Shell.FreezeRow = layout.RowVerdict
	f.About("What the order needs, and how its tube is cut. Check sizes, quantities and prices with the supplier before you order.")
	b.joint, b.tube, b.paid = f.JointRows("buying_joints"), f.Follow("buying_tube"), f.Follow("buying_paid")
	b.parts()
	if err := f.Bid.Work(); err != nil {
		return err
	}
	plans := b.plans()
	from := []any{f.Single("kerf"), f.Single("facing"), f.Single("least_drop"), f.Single("bottle_size"), f.Single("bottle_usable")}
	for _, pl := range plans {
		from = append(from, pl.no, pl.stick, pl.pieces)
	}
	for i := range f.Joints {
		for _, key := range []string{"torch_each", "trail_each", "purge_each"} {
			from = append(from, b.jointNum(i, key))
		}
	}
	if err := f.Made("Laid out on as few sticks as could be found, and then so that the drops are long. No cut list takes fewer sticks than stand under Fewest that could do.", from...); err != nil {
		return err
	}
	b.planned(plans)
	if err := f.Under("buying_total", f.Table("buying_tube")); err != nil {
		return err
	}
	f.Row++
	if err := f.Under("buying_paid_total", f.Table("buying_paid")); err != nil {
		return err
	}
	f.Row++
	if err := b.bottles(); err != nil {
		return err
	}
	f.Follow("buying_rods")
	f.Table("buying_rods")
	f.Row++
	f.Down("buying_coupons")
	f.Row++
	f.Table("buying_parts")
	f.Row++
	f.Checks("Then", "Now")
	p.Shell.Print.Breaks = append(p.Shell.Print.Breaks, f.Row)
	f.Row++
	b.cutList(plans) // last, as these pages go to the saw
	f.PrintToHere()
	f.Row++
	f.Table("buying_joints")
	return nil
}

// parts is what is bought besides: the lines of other work that cost.
func (b *buying) parts() {
	t := b.Model.Table("parts")
	for i, f := range b.Values.Rows(t).Frames {
		if t.Quantity("cost_each").Num(f) > 0 {
			b.AddRow("buying_parts", nil, nil).Set("part_no", float64(i+1), "")
		}
	}
}
