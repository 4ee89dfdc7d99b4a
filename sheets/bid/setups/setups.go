package setups

import (
	"fmt"
	"slices"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/bid/layout"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// mostRates is how many working rows Rates may have: joints times set-ups.
const mostRates = 15_000

// rates is Rates while it is laid out.
type rates struct {
	*layout.Laid
	scope    *model.Scope             // the cars
	moved    map[*model.Quantity]bool // by the set-up
	kept     []bool                   // joints that keep their own set-up
	tries    []*tried
	cols     map[*model.Quantity]int // of the working rows
	figures  []*model.Quantity       // of the line, that they have
	checkCol int
	scenes   []*layout.Placed
	listed   *layout.Block // the whole order: as listed, then under each set-up
	joint    []*layout.Row // which weld each joint is
	welds    []int         // of each kind of weld that the order has, the first joint that has it
}

// wanted is what the whole order is asked for.
func (b *rates) wanted() []*model.Quantity {
	return append(b.Asked(b.scope, "rates_order"), b.Asked(b.Model.OrderOf, "rates_order", "rates_kits")...)
}

// Fill lays out Rates: what every weld takes under every set-up, and what
// the whole order comes to under each, wherever it fits. It is live: every
// joint's line is worked out once more for every set-up, below.
func Fill(f *layout.Laid) error {
	b := &rates{Laid: f, scope: f.Workings.ScopeOf("cars"), moved: f.Model.Moved(f.Model.Line.Quantity("setup_no"))}
	p := f.P
	p.Whole = 16 // also where it is left empty
	p.Shell.Widths = []float64{5, 30, 11, 10, 10, 20, 9, 12, 12, 9, 9, 10, 9, 9, 8, 9, 9}
	p.Shell.FreezeRow = layout.RowVerdict
	f.About("Shielding set-ups compared: what a weld takes under each, and what the whole order would come to under each, wherever it fits; other joints keep theirs.")
	if n := len(f.Joints) * len(b.setups()); n > mostRates {
		f.Note(book.LevelNote, "rates left out", p.Title, fmt.Sprintf("%d joints under %d set-ups would take %d rows, more than %d; it is left empty", len(f.Joints), len(b.setups()), n, mostRates), "split the order, or take set-ups that are not in question out of their table")
		f.Checks("Here", book.WorkingsTitle)
		return nil
	}
	for i := range f.Joints {
		b.kept = append(b.kept, b.keeps(f.Joints[i].Line))
	}
	probe, err := compute.NewEngine(b.Values.Clone())
	if err != nil {
		return err
	}
	for _, no := range b.setups() {
		t, err := b.tryOut(no, probe)
		if err != nil {
			return err
		}
		b.tries = append(b.tries, t)
	}
	b.layWork()
	if err := b.findWelds(); err != nil {
		return err
	}
	return b.write()
}

// setups are the numbers of the set-ups that have a name of their own and are
// sound.
func (b *rates) setups() []int {
	t := b.Model.Table("setups")
	seen := map[string]bool{"": true}
	var out []int
	for i, f := range b.Values.Rows(t).Frames {
		if name := t.Quantity("name").Text(f); !seen[name] && t.Quantity("setup_wrong").Num(f) == 0 {
			seen[name] = true
			out = append(out, i+1)
		}
	}
	return out
}

func (b *rates) write() error {
	b.listedRows()
	b.listed = b.Table("rates_order")
	b.P.Put(b.listed.Rows.First, page.Text(layout.ColName, look.Label, "as listed", page.Ours))
	b.compared()
	b.Row++
	b.Down("rates_income")
	b.Row++
	b.Table("rates_kits")
	b.Row += 2
	b.weldRows()
	b.Table("rates_welds")
	b.Row++
	b.AddRow("rates_checks", nil, nil)
	b.Checks("Here", book.WorkingsTitle)
	b.Row++
	joints := b.Table("rates_joints")
	b.Row++
	for _, t := range b.tries {
		if err := b.work(t); err != nil {
			return err
		}
	}
	b.found(joints)
	for _, s := range b.scenes {
		if err := s.Place(); err != nil {
			return err
		}
	}
	b.Notes = append(b.Notes, func() { b.Told = b.verdict() })
	return nil
}

// tableRow is the row of a set-up in the table of the whole order.
func (b *rates) tableRow(t *tried) int {
	return b.listed.Rows.First + 1 + slices.Index(b.tries, t)
}

// tableNo is the cell there of its number.
func (b *rates) tableNo(t *tried) string { return page.Absolute(b.tableRow(t), layout.ColNo) }

// listedRows are the order as listed and under each set-up.
func (b *rates) listedRows() {
	b.AddRow("rates_order", nil, nil)
	for _, t := range b.tries {
		s := b.Scene(layout.Scene{
			Title: "Working: the order under " + t.name + ", wherever it fits", Values: t.values, Wanted: b.wanted(), Moved: b.moved,
			Sums: func(of *model.Scope, q *model.Quantity) (string, error) {
				if b.cols[q] == 0 {
					return "", fmt.Errorf("%s does not rest on the set-up", q.Where())
				}
				return b.column(t, q), nil
			},
		})
		b.scenes = append(b.scenes, s)
		for i, fits := range t.fits {
			r := b.AddRow("rates_work", t.values, nil)
			r.Set("fits", truth(fits), "")
			r.Set("size", b.size(t, i), "")
		}
		r := b.AddRow("rates_order", t.values, nil)
		r.Set("setup_no", float64(t.no), "")
		r.Scene, r.Columns = s, t.column
	}
}

// column is the column of a figure that every set-up has on its own working rows.
func (t *tried) column(q *model.Quantity) string {
	if q.Key == "size" {
		return t.at.Column(workSize)
	}
	return t.at.Column(workFits)
}

// compared says of each set-up where the order as listed stands, and adds its row to
// the table of kits.
func (b *rates) compared() {
	rows := b.RowsOf("rates_order")
	cell := func(i int, key string) string {
		return page.Absolute(b.listed.Rows.First+i, b.listed.Col(key))
	}
	hours, cost := b.OrderAmount("order_hours"), b.Model.OrderOf.Quantity("order_cost")
	for _, r := range rows {
		r.Set("hours_listed", hours.Value, cell(0, "rate_hours"))
	}
	for i, t := range b.tries {
		r := b.AddRow("rates_kits", t.values, nil)
		r.Scene, r.Columns = b.scenes[i], t.column
		r.Set("setup_no", float64(t.no), b.tableNo(t))
		r.Say("setup_tried", t.name, grid.Ref(b.tableRow(t), layout.ColName))
		r.Set("cost_listed", cost.Num(b.Values.Order), cell(0, "rate_cost"))
		r.Set("cost_tried", cost.Num(t.values.Order), cell(i+1, "rate_cost"))
	}
}
