package compare

import (
	"context"
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/share"
	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
)

// revision is an order that a test changes by hand.
type revision struct {
	m    *model.Model
	set  *compute.Values
	rows []compute.Joint
}

func (r *revision) single(key string) *float64 {
	return &r.set.Singles.Num[r.m.Singles.Quantity(key).Slot]
}

// cell is a number of the line of a table whose first text is that.
func (r *revision) cell(table, line, key string) *float64 {
	t := r.m.Table(table)
	for _, f := range r.set.Rows(t).Frames {
		if f.Text[0] == line {
			return &f.Num[t.Quantity(key).Slot]
		}
	}
	panic("no line " + line)
}

func (r *revision) give(row int, key string, x float64) {
	r.rows[row].Line.Set(r.m.Line.Quantity(key), x)
}

// revised is an order worked out anew after a change, by an engine of its own
// and not by the bridge.
func revised(t require.TestingT, from *sheets.Run, change func(*revision)) *sheets.Run {
	order, report := *from.Order, *from.Report
	order.Joints = nil
	book, lists, ledger, sheet, run := *from.Book, *from.Lists, *from.Ledger, *from.Sheet, *from
	book.Order, lists.Book, ledger.Lists, sheet.Ledger, run.Sheet, run.Report = &order, &book, &lists, &ledger, &sheet, &report
	out := &run
	r := &revision{m: from.Model, set: from.Set.Clone()}
	for _, row := range from.Joints {
		row.Line = row.Line.Clone()
		r.rows = append(r.rows, row)
	}
	change(r)
	out.Set, out.Values = r.set, r.set.Clone()
	engine, err := compute.NewEngine(out.Values)
	require.NoError(t, err)
	for _, row := range r.rows {
		row.Car = out.Model.Line.Quantity("car").Text(&row.Line.Frame)
		done, err := engine.Work(row.Line, row.List)
		require.NoError(t, err)
		if done.Refused {
			report.LeftOut++
			continue
		}
		out.Joints = append(out.Joints, row)
	}
	_, err = engine.Close()
	require.NoError(t, err)
	report.Order = out.Model.OrderOf.Figures(out.Values.Order)
	return out
}

// bridged compares two orders.
func bridged(t require.TestingT, was, now *sheets.Run, of string) *Report {
	r, err := compared(context.Background(), [2]*sheets.Run{was, now}, Options{Old: "old", New: "new", Of: of})
	require.NoError(t, err)
	return r
}

func takenDemo(t *testing.T) *sheets.Run {
	t.Helper()
	o, err := sheets.Read(t.Context(), "../../testdata/order.xlsx", "")
	require.NoError(t, err)
	t.Cleanup(o.Close)
	return o
}

// takenOrder is a generated order.
func takenOrder(t *testing.T, rows int, metric bool) *sheets.Run {
	t.Helper()
	data, err := sheetstest.GenerateOrder(rows, 5, metric)
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "order.xlsx")
	require.NoError(t, os.WriteFile(path, data, 0o644))
	o, err := sheets.Read(t.Context(), path, "")
	require.NoError(t, err)
	t.Cleanup(o.Close)
	return o
}

// sharesOf are the shares by what changed, in cents.
func sharesOf(r *Report) map[string]int64 {
	out := map[string]int64{}
	for _, c := range r.Changes {
		name := string(c.Kind) + " " + c.Name
		for _, i := range c.Items {
			name += " " + i.Name
		}
		out[name] += int64(math.Round(c.Share * 100))
	}
	return out
}

// inCents are the shares, with one sign or the other, in order.
func inCents(r *Report, sign float64) []int64 {
	var out []int64
	for _, c := range r.Changes {
		out = append(out, int64(math.Round(sign*c.Share*100)))
	}
	slices.Sort(out)
	return out
}

// Sundries are welds times a price, so two changes of them can be shared by
// hand: from 2 cars of 10 welds at 1.20 to 2 cars of 15 at 1.50 it is 24.00 to
// 45.00. The welds make 12.00 at the old price and 15.00 at the new, the price
// 6.00 with the old welds and 9.00 with the new.
func TestSharesOfSundriesByHand(t *testing.T) {
	demo := takenDemo(t)
	one := func(welds float64, price float64) *sheets.Run {
		return revised(t, demo, func(r *revision) {
			r.rows = r.rows[2:3] // a butt joint
			car := r.rows[0].Car
			*r.cell(CarsTable, car, "ordered") = 2
			cars := r.set.Rows(r.m.Table(CarsTable))
			cars.Frames = slices.DeleteFunc(cars.Frames, func(f *formula.Frame) bool { return f.Text[0] != car })
			r.give(0, "qty", welds)
			*r.single("sundries_per_weld") = price
		})
	}
	r := bridged(t, one(10, 1.2), one(15, 1.5), "money_sundries")
	require.Equal(t, 24.0, r.Total.Old)
	require.Equal(t, 45.0, r.Total.New)
	require.Len(t, r.Changes, 2)
	assert.Equal(t, 13.5, r.Changes[0].Share)
	assert.Equal(t, 37.5, r.Changes[0].Running)
	assert.Equal(t, []Item{{"joints on one car", "10", "15"}}, r.Changes[0].Items)
	assert.Equal(t, 7.5, r.Changes[1].Share)
	assert.Equal(t, 45.0, r.Changes[1].Running)
	assert.Equal(t, []Item{{"", "1.2 $", "1.5 $"}}, r.Changes[1].Items)
}

// edit is one thing that an estimator may do between two revisions. Edits of
// one name touch the same things, so a test takes each name once.
type edit struct {
	name string
	do   func(r *revision)
}

// edits are things done to an order by chance.
func edits(of *sheets.Run, rng *rand.Rand) []edit {
	row := func(r *revision) int { return rng.IntN(len(r.rows)) }
	car := func(r *revision) string { return r.rows[row(r)].Car }
	setup := func() string {
		t := of.Model.Table("setups")
		lines := of.Set.Rows(t).Frames
		return lines[rng.IntN(len(lines))].Text[0]
	}
	up := 0.7 + 0.6*rng.Float64()
	return []edit{
		{"rate", func(r *revision) { *r.single("shop_rate") *= up }},
		{"margin", func(r *revision) { *r.single("margin") *= up }},
		{"learning", func(r *revision) { *r.single("learning_slope") = 0.8 + 0.2*rng.Float64() }},
		{"minimum", func(r *revision) { *r.single("minimum_order") = float64(rng.IntN(100_000)) }},
		{"travel", func(r *revision) { *r.cell("setups", setup(), "travel") *= up }},
		{"share", func(r *revision) { *r.cell("setups", setup(), "bead_share") *= up }},
		{"walls", func(r *revision) {
			t := r.m.Table("walls")
			rows := r.set.Rows(t)
			rows.Frames = slices.Delete(rows.Frames, 1, 2)
		}},
		{"bands", func(r *revision) { r.set.Rows(r.m.Table("walls")).Frames[1].Num[1] *= up }},
		{"tube", func(r *revision) {
			t := r.m.Table("stock")
			for _, f := range r.set.Rows(t).Frames {
				f.Num[t.Quantity("price").Slot] *= up
			}
		}},
		{"ordered", func(r *revision) { *r.cell(CarsTable, car(r), "ordered") = float64(1 + rng.IntN(20)) }},
		{"part", func(r *revision) {
			t := r.m.Table(PartsTable)
			f := r.set.AddRow(t)
			f.Text[t.Quantity("item").TextSlot], f.Text[t.Quantity("car").TextSlot] = "Demo bracket", []string{"all", car(r)}[rng.IntN(2)]
			f.Text[t.Quantity("per").TextSlot] = []string{"car", "order"}[rng.IntN(2)]
			f.Num[t.Quantity("quantity").Slot], f.Num[t.Quantity("cost_each").Slot] = 2, 40*up
			f.Num[t.Quantity("hours_each").Slot] = 1
		}},
		{"leak test", func(r *revision) {
			t := r.m.Table(PartsTable)
			for _, f := range r.set.Rows(t).Frames {
				if f.Text[0] == "Leak test" {
					f.Num[t.Quantity("hours_each").Slot] = up
				}
			}
		}},
		{"wall", func(r *revision) { r.give(row(r), "wall", 0.035*(1+up)) }},
		{"kind", func(r *revision) {
			i := row(r)
			r.rows[i].Line.SetText(r.m.Line.Quantity("setup"), setup())
			r.give(i, "qty", float64(rng.IntN(9)))
		}},
		{"gone", func(r *revision) { i := row(r); r.rows = slices.Delete(r.rows, i, i+1) }},
		{"new", func(r *revision) {
			i := row(r)
			again := r.rows[i]
			again.Line, again.Mark = again.Line.Clone(), "new"
			r.rows = slices.Insert(r.rows, row(r), again)
		}},
		{"typed", func(r *revision) { r.give(row(r), "arc_time", 3*up) }},
		{"car gone", func(r *revision) {
			name := car(r)
			r.rows = slices.DeleteFunc(r.rows, func(row compute.Joint) bool { return row.Car == name })
			cars := r.set.Rows(r.m.Table(CarsTable))
			cars.Frames = slices.DeleteFunc(cars.Frames, func(f *formula.Frame) bool { return f.Text[0] == name })
		}},
		{"car new", func(r *revision) {
			name := car(r)
			for _, row := range slices.Clone(r.rows) {
				if row.Car == name {
					row.Line = row.Line.Clone()
					row.Line.SetText(r.m.Line.Quantity("car"), "Demo new")
					row.Car = "Demo new"
					r.rows = append(r.rows, row)
				}
			}
			t := r.m.Table(CarsTable)
			f := r.set.AddRow(t)
			f.Text[0], f.Num[t.Quantity("ordered").Slot] = "Demo new", float64(1+rng.IntN(4))
		}},
		{"stock gone", func(r *revision) { // what used it gets a line without a price
			rows := r.set.Rows(r.m.Table("stock"))
			i := rng.IntN(len(rows.Frames))
			rows.Frames = slices.Delete(rows.Frames, i, i+1)
		}},
		{"rod gone", func(r *revision) {
			rows := r.set.Rows(r.m.Table("fillers"))
			i := rng.IntN(len(rows.Frames))
			rows.Frames = slices.Delete(rows.Frames, i, i+1)
		}},
		{"set-up new", func(r *revision) { // and a joint that asks for it
			rows := r.set.Rows(r.m.Table("setups"))
			f := r.set.AddRow(r.m.Table("setups"))
			copy(f.Num, rows.Frames[0].Num)
			copy(f.Text, rows.Frames[0].Text)
			f.Text[0] = "Demo chamber"
			f.Num[r.m.Table("setups").Quantity("travel").Slot] *= up
			r.rows[row(r)].Line.SetText(r.m.Line.Quantity("setup"), "Demo chamber")
		}},
		{"by default", func(r *revision) {
			r.set.Singles.Text[r.m.Singles.Quantity("default_setup").TextSlot] = setup()
		}},
		{"density", func(r *revision) {
			r.set.Rows(r.m.Table("alloys")).Frames[0].Num[r.m.Table("alloys").Quantity("density").Slot] *= up
		}},
		{"set-up wrong", func(r *revision) { *r.cell("setups", setup(), "travel") = 0 }},
	}
}

// Whatever is changed, the shares add up to the gap between the two prices as
// they are worked out without the bridge; sorting the rows is no change; and
// with old and new turned round every share has the other sign.
func TestSharesOfAnyEdits(t *testing.T) {
	checks := 9
	if testing.Short() {
		checks = 3
	}
	orders := []*sheets.Run{takenDemo(t), takenOrder(t, 24, false), takenOrder(t, 24, true)}
	for k := range checks {
		demo := orders[k%len(orders)]
		t.Run(fmt.Sprint(k), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(uint64(k), 1))
			of := []string{"order_price", "order_cost", "order_hours"}[rng.IntN(3)]
			some := func() func(r *revision) {
				all := edits(demo, rng)
				rng.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
				return func(r *revision) {
					for _, e := range all[:1+rng.IntN(3)] {
						if len(r.rows) > 0 {
							e.do(r)
						}
					}
				}
			}
			was, now := revised(t, demo, some()), revised(t, demo, some())
			r := bridged(t, was, now, of)
			sum := 0.0
			for _, c := range r.Changes {
				sum += c.Share
			}
			gap := now.Report.Order[of] - was.Report.Order[of]
			assert.InDelta(t, gap, sum, 1e-5, of)
			if r.Money {
				assert.Equal(t, math.Round(gap*100), math.Round(sum*100))
			}
			if n := len(r.Changes); n > 0 {
				assert.Equal(t, r.Total.New, r.Changes[n-1].Running)
			}
			sorted := revised(t, now, func(r *revision) {
				rng.Shuffle(len(r.rows), func(i, j int) { r.rows[i], r.rows[j] = r.rows[j], r.rows[i] })
				parts := r.set.Rows(r.m.Table(PartsTable)).Frames
				slices.Reverse(parts)
			})
			assert.Equal(t, r.Changes, bridged(t, was, sorted, of).Changes)
			back := bridged(t, now, was, of)
			assert.Equal(t, inCents(r, 1), inCents(back, -1))
			assert.Len(t, back.Changes, len(r.Changes))
		})
	}
}

// Of a figure that is a plain sum over the joints, each change makes what it
// makes alone: however many there are, the shares are exact.
func TestSharesOfAPlainSum(t *testing.T) {
	demo := takenDemo(t)
	change := func(r *revision, i int) {
		r.give(i, "qty", float64(7+i%5))
		if i%3 == 0 {
			r.give(i, "weld_length", 5)
		}
	}
	const n = 25
	r := bridged(t, demo, revised(t, demo, func(r *revision) {
		for i := range n {
			change(r, i)
		}
	}), "order_hours")
	assert.Zero(t, r.Orders)
	assert.Zero(t, r.LargestError())
	alone := map[string]float64{}
	for i := range n {
		one := bridged(t, demo, revised(t, demo, func(r *revision) { change(r, i) }), "order_hours")
		for _, c := range one.Changes {
			alone[c.Name] += c.Share
		}
	}
	require.Greater(t, len(r.Changes), 15)
	sum := 0.0
	for _, c := range r.Changes {
		assert.InDelta(t, alone[c.Name], c.Share, 2e-6, c.Name)
		sum += c.Share
	}
	assert.InDelta(t, r.Gap, sum, 1e-9)

	typed := func(r *revision) { // two changes of one joint do depend on one another
		change(r, 4)
		r.give(4, "arc_time", 9)
	}
	both := bridged(t, demo, revised(t, demo, typed), "order_hours")
	b, _ := overlay(t.Context(), [2]*sheets.Run{demo, revised(t, demo, typed)})
	b.figure, b.scale = b.model.OrderOf.Quantity("order_hours"), figureScale
	b.reaches()
	require.True(t, b.apart())
	want, err := share.Exact(len(b.changes), b.value)
	require.NoError(t, err)
	require.Len(t, both.Changes, 2)
	for _, c := range both.Changes {
		for i, p := range b.changes {
			if p.Kind == c.Kind {
				x, _ := want[i].Mean.Float64()
				assert.InDelta(t, x/figureScale, c.Share, 1e-6)
			}
		}
	}
}

// With more changes than can be looked at in every order, some orders are drawn:
// the shares still add up and turn round to the cent, and where both can be
// done, they lie about the exact ones as far as their errors say.
func TestSharesDrawnByChance(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy")
	}
	demo := takenDemo(t)
	now := revised(t, demo, func(r *revision) {
		for i := range 20 {
			r.give(3*i, "tube", 30+float64(i))
		}
		*r.single("shop_rate") *= 1.1
		*r.cell("setups", "trailing shield, on rolls", "travel") *= 0.8
	})
	r, back := bridged(t, demo, now, ""), bridged(t, now, demo, "")
	assert.Positive(t, r.Orders)
	assert.Positive(t, r.LargestError())
	sum, turned := int64(0), sharesOf(back)
	for name, x := range sharesOf(r) {
		sum += x
		assert.Equal(t, -x, turned[name], name)
	}
	assert.Equal(t, int64(math.Round(100*(r.Total.New-r.Total.Old))), sum)

	few := revised(t, demo, func(r *revision) {
		for i := range 5 {
			r.give(9*i, "tube", 60+float64(i))
		}
		*r.single("shop_rate") *= 1.1
		*r.cell("setups", "trailing shield, on rolls", "travel") *= 0.8
	})
	shares := func(work float64) shared {
		b, _ := overlay(t.Context(), [2]*sheets.Run{demo, few})
		b.figure, b.scale, b.work = b.model.OrderOf.Quantity("order_price"), moneyScale, work
		out, err := b.share()
		require.NoError(t, err)
		return out
	}
	exact, drawn := shares(mostWork), shares(0)
	require.Zero(t, exact.orders)
	require.Positive(t, drawn.orders)
	for i, s := range drawn.all {
		off, _ := new(big.Rat).Sub(s.Mean, exact.all[i].Mean).Float64()
		assert.LessOrEqual(t, math.Abs(off), 4*s.Err+1e-9, i)
	}
}
