package bid

// buying is Buying while it is laid out.
type buying struct {
	*Laid
	joint []*bidRow // what each joint takes
	tube  []*bidRow // what is bought of each size
	paid  []*bidRow // and what is paid for it
}

// joints' figure is what a joint has on the sheet.
func (b *buying) jointNum(i int, key string) float64 {
	return b.joint[i].Of().Quantity(key).Num(b.joint[i].Frame)
}

// fillBuying lays out Buying: tube, how it is cut, argon, filler, coupons and
// parts. How the tube is cut and where a bottle is changed no formula can find:
// they are values, with checks that tell when what they rest on is other.
func fillBuying(f *Laid) error {
	b := &buying{Laid: f}
	p := f.P
	p.Shell.Widths = []float64{5, 46, 12, 12, 16, 12, 10, 12, 12, 12, 10, 10, 13, 12, 26}
	p.Shell.FreezeRow = bidVerdict
	f.about("What the order needs, and how its tube is cut. Check sizes, quantities and prices with the supplier before you order.")
	b.joint, b.tube, b.paid = f.joints("buying_joints"), f.follow("buying_tube"), f.follow("buying_paid")
	b.parts()
	if err := f.bid.Work(); err != nil {
		return err
	}
	plans := b.plans()
	from := []any{f.single("kerf"), f.single("facing"), f.single("least_drop"), f.single("bottle_size"), f.single("bottle_usable")}
	for _, pl := range plans {
		from = append(from, pl.no, pl.stick, pl.pieces)
	}
	for i := range f.Joints {
		for _, key := range []string{"torch_each", "trail_each", "purge_each"} {
			from = append(from, b.jointNum(i, key))
		}
	}
	if err := f.made("Laid out on as few sticks as could be found, and then so that the drops are long. No cut list takes fewer sticks than stand under Fewest that could do.", from...); err != nil {
		return err
	}
	b.planned(plans)
	if err := f.under("buying_total", f.table("buying_tube")); err != nil {
		return err
	}
	f.row++
	if err := f.under("buying_paid_total", f.table("buying_paid")); err != nil {
		return err
	}
	f.row++
	if err := b.bottles(); err != nil {
		return err
	}
	f.follow("buying_rods")
	f.table("buying_rods")
	f.row++
	f.down("buying_coupons")
	f.row++
	f.table("buying_parts")
	f.row++
	p.Shell.Print.Breaks = append(p.Shell.Print.Breaks, f.row)
	f.row++
	b.cutList(plans)
	p.Shell.Print.Breaks = append(p.Shell.Print.Breaks, f.row)
	f.checks("Then", "Now")
	f.row++
	f.table("buying_joints")
	return nil
}

// parts is what is bought besides: the lines of other work that cost.
func (b *buying) parts() {
	t := b.Model.Table("parts")
	for i, f := range b.Values.Rows(t).Frames {
		if t.Quantity("cost_each").Num(f) > 0 {
			b.add("buying_parts", nil, nil).set("part_no", float64(i+1), "")
		}
	}
}
