package compare

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/disk"
	"seamtally/sheets/revisions"
)

// Options says what Compare is to do.
type Options struct {
	Old, New string // the two revisions of an order
	Password string // of those that are encrypted
	Of       string // the figure of the order whose gap is shared out; "" = order_price
	Out      string // where a workbook of it goes; "" = none is written
	Force    bool   // an existing output is replaced
	Date     string // the day that is written there, as 2026-11-25; "" = none
}

// Item is one value that changed, as words with their units.
type Item struct{ Name, Old, New string }

// Change is what moved the figure: one assumption, one line of a table, one
// joint, one typed-over figure, one car.
type Change struct {
	Kind  ChangeKind
	Name  string // what changed: "Shop rate", "Coupe J-4"
	Items []Item // its values that changed; none where it was added or removed whole

	Share   float64 // of the gap, in the unit of the figure
	Running float64 // the figure with this change and those before it made
	Error   float64 // standard error of the share; 0 where it is exact
}

// ChangeKind says what kind of thing changed.
type ChangeKind string

// The kinds.
const (
	ChangedAssumption ChangeKind = "assumption"
	ChangedLine       ChangeKind = "table line"
	ChangedJoint      ChangeKind = "joint"
	ChangedTyped      ChangeKind = "typed over"
	ChangedCar        ChangeKind = "car"
)

// Total is a figure of the order in both revisions.
type Total struct {
	Key, Heading, Unit string
	Old, New           float64
}

// Report is what moved a figure of an order from one revision to the
// next. The shares add up to Gap.
type Report struct {
	Old, New  string
	Output    string
	Date      string // for the workbook; "" = none
	Encrypted bool   // the output is, as one of the two was
	System    model.System
	Currency  string
	Total     Total    // the figure that is shared out
	Gap       float64  // its change, without the dust of taking one from the other
	Money     bool     // it is money, shared to the cent
	Others    []Total  // price, cost, hours and argon of the order, for the head
	Changes   []Change // largest share first
	NoEffect  []Change // what changed and moved nothing

	Orders int // in which changes were made; 0: every order there is
	Fell   int // joints that could not be worked out with some of the changes

	LeftOut    [2]int // rows of the old and the new that are not priced
	Incomplete [2]bool
	Models     [2]string // formulas that each was worked out with before; "" for none
}

// moneyScale and figureScale are the whole parts that a figure is shared in.
const (
	moneyScale  = 100 // cents
	figureScale = 1_000_000
)

// Orders reads two revisions of an order and shares out what moved its price,
// or another figure of it. Neither is changed.
func Orders(ctx context.Context, o Options) (*Report, error) {
	var to disk.Output
	if o.Out != "" {
		var err error
		if to, err = disk.Apart(o.Out, o.Force, "the workbook of a comparison is", "the output would replace one of the two that are compared", o.Old, o.New); err != nil {
			return nil, err
		}
	}
	var both [2]*sheets.Run
	for i, path := range []string{o.Old, o.New} {
		t, err := sheets.Read(ctx, path, o.Password)
		if err != nil {
			return nil, err
		}
		defer t.Close()
		both[i] = t
	}
	r, err := compared(ctx, both, o)
	if err != nil {
		return nil, err
	}
	if o.Out != "" {
		if err := writeBridge(to, r, both); err != nil {
			return nil, err
		}
		r.Output = o.Out
	}
	return r, nil
}

// compared lays two orders over one another and shares out the gap.
func compared(ctx context.Context, both [2]*sheets.Run, o Options) (*Report, error) {
	before, after := both[revisions.Old], both[revisions.New]
	if before.Model.System != after.Model.System {
		return nil, fmt.Errorf("%s is in %s units and %s in %s; compare two revisions in the same units",
			o.Old, before.Model.System, o.New, after.Model.System)
	}
	if before.Currency() != after.Currency() {
		return nil, fmt.Errorf("%s is in %s and %s in %s; compare two revisions in the same money",
			o.Old, before.Currency(), o.New, after.Currency())
	}
	figure, err := figureOfOrder(before.Model, o.Of)
	if err != nil {
		return nil, err
	}
	b, idle := overlay(ctx, both)
	b.figure, b.scale = figure, figureScale
	if figure.UnitOf == "$" {
		b.scale = moneyScale
	}
	out, err := b.share()
	if err != nil {
		return nil, err
	}
	r := &Report{
		Old: o.Old, New: o.New, Date: o.Date, System: before.Model.System, Currency: before.Currency(),
		Money: figure.UnitOf == "$", Orders: out.orders, Fell: len(b.refused), NoEffect: idle,
	}
	r.Total = total(both, figure)
	for i, x := range []int64{out.old, out.new} {
		priced := both[i].Report.Order[figure.Key]
		if math.Abs(priced*b.scale-float64(x)) > 0.5+1e-6*math.Abs(priced) {
			return nil, fmt.Errorf("%s: %s comes to %v here and to %v when the order is priced; price both workbooks again",
				[]string{o.Old, o.New}[i], figure.Key, float64(x)/b.scale, priced)
		}
	}
	r.Total.Old, r.Total.New = float64(out.old)/b.scale, float64(out.new)/b.scale
	r.Gap = float64(out.new-out.old) / b.scale
	for _, key := range []string{"order_price", "order_cost", "order_hours", "order_argon"} {
		if q := before.Model.OrderOf.Quantity(key); q != nil {
			r.Others = append(r.Others, total(both, q))
		}
	}
	for i, t := range both {
		r.LeftOut[i], r.Incomplete[i], r.Models[i] = t.Report.LeftOut, !t.Report.Complete, t.Own.Model
	}
	r.list(b, out)
	return r, nil
}

// list puts the changes with their shares in order, largest first.
func (r *Report) list(b *bridge, out shared) {
	type entry struct {
		Change
		whole int64
	}
	for _, p := range b.idle {
		r.NoEffect = append(r.NoEffect, p.Change)
	}
	var moved []entry
	for i, p := range b.changes {
		if !out.all[i].Moved {
			r.NoEffect = append(r.NoEffect, p.Change)
			continue
		}
		c := p.Change
		c.Share, c.Error = float64(out.whole[i])/b.scale, out.all[i].Err/b.scale
		moved = append(moved, entry{c, out.whole[i]})
	}
	size := func(x int64) int64 { return max(x, -x) }
	slices.SortStableFunc(moved, func(x, y entry) int { return int(min(max(size(y.whole)-size(x.whole), -1), 1)) })
	running := out.old
	for _, e := range moved {
		running += e.whole
		e.Running = float64(running) / b.scale
		r.Changes = append(r.Changes, e.Change)
	}
}

func total(both [2]*sheets.Run, q *model.Quantity) Total {
	return Total{
		Key: q.Key, Heading: q.Heading, Unit: both[revisions.Old].Report.Units[q.Key],
		Old: both[revisions.Old].Report.Order[q.Key], New: both[revisions.New].Report.Order[q.Key],
	}
}

// Same reports whether the two say the same.
func (r *Report) Same() bool { return len(r.Changes)+len(r.NoEffect) == 0 }

// LargestError is the largest standard error of the shares.
func (r *Report) LargestError() float64 {
	most := 0.0
	for _, c := range r.Changes {
		most = max(most, c.Error)
	}
	return most
}

// figureOfOrder finds a figure of the order by its name.
func figureOfOrder(m *model.Model, key string) (*model.Quantity, error) {
	if key == "" {
		key = "order_price"
	}
	var names []string
	for _, q := range m.OrderOf.Quantities {
		if q.IsText() || q.Inner() {
			continue
		}
		if q.Key == key {
			return q, nil
		}
		names = append(names, q.Key)
	}
	return nil, fmt.Errorf("%q is no figure of the order; it is one of %s", key, strings.Join(names, ", "))
}
