package compute_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
)

// counted is an order of two joint lists, with something of everything that is
// counted on them.
type counted struct {
	m *model.Model
	v *compute.Values
}

// countOrder works it out; set changes what the estimator has set.
func countOrder(t require.TestingT, found float64, set func(*model.Model, *compute.Values)) counted {
	m := load(t, model.US)
	v := compute.Defaults(m)
	cars := m.Table("cars")
	for i, name := range []string{"Demo one", "Demo two"} {
		f := v.AddRow(cars)
		f.Text[cars.Quantity("name").TextSlot], f.Num[cars.Quantity("ordered").Slot] = name, float64(2*i+2)
	}
	set(m, v)
	e, err := compute.NewEngine(v)
	require.NoError(t, err)
	e.OpenLists(2)
	work := func(list int, r row) {
		l := compute.NewLine(m)
		l.Clear()
		fill(t, m, m.Line, r, l.Set, l.SetText)
		out, err := e.Work(l, list)
		require.NoError(t, err)
		require.False(t, out.Refused, "%v", out.Why)
	}
	joint := func(more ...any) row {
		r := row{"car": "Demo one", "kind": "butt", "od": 3, "wall": 0.047, "qty": 2}
		for i := 0; i < len(more); i += 2 {
			r[more[i].(string)] = more[i+1]
		}
		return r
	}
	work(0, joint())
	two := joint("car", "Demo two", "qty", 3)
	if found > 0 { // typed over: of a tube and a rod that are not bought
		two["stock_no"], two["rod_no"] = 1.5, 1.5
	}
	work(0, two)
	work(1, joint("od", 3.375)) // in no stock, and so without a price
	if found > 0 {
		work(1, joint("car_no", 1.5, "stock_no", 1.5, "rod_no", 1.5, "qty", 1)) // typed over: of no car either
	}
	refusals, all := 0.0, float64(len(m.Checks()))
	for _, q := range m.Checks() {
		if q.Level == model.LevelRefuse {
			refusals++
		}
	}
	show := func(list int, words string, finding float64, s compute.Shown) {
		l := compute.NewLine(m)
		l.Clear()
		l.SetText(m.Line.Quantity("check"), words)
		if finding > 0 {
			l.Set(m.Line.Quantity("finding"), finding)
		}
		s.Frame = &l.Frame
		e.Show(s, list)
	}
	show(0, "fine", all, compute.Shown{})
	show(1, "fine", all, compute.Shown{})
	if found > 0 {
		show(0, "odd", refusals+1, compute.Shown{Typed: 4})
		show(0, "odd", all-1, compute.Shown{})
		show(0, "left out: no wall", 0, compute.Shown{Typed: 2})
		show(0, "left out: no OD", 0, compute.Shown{Typed: 1, Unread: true})
		show(0, "no joint: a total", 0, compute.Shown{Typed: 1})
		show(1, "left out: no OD", 0, compute.Shown{Typed: 1, Errors: 3})
		show(1, "bad now", refusals, compute.Shown{Errors: 1})
		show(1, "bad now", 1, compute.Shown{})
		show(1, "", 0, compute.Shown{Unanswered: true})
		show(1, "", 0, compute.Shown{Unanswered: true})
	}
	_, err = e.Close()
	require.NoError(t, err)
	r := m.Roles
	for i, q := range []*model.Quantity{r.Beside, r.Outside, r.Changed, r.Moved, r.BelowRoom, r.BlankPoints, r.Disagreeing, r.UnsettledSheets, r.UnsettledColumns, r.UnsettledCars, r.UnsettledInputs, r.UnsettledTables, r.OddTables, r.Rounded} {
		v.Find(q, found*float64(i+2))
	}
	e.Judge()
	return counted{m, v}
}

// emptyBut is what the check of an order without joints says of two lists, the second
// of which has so many.
func emptyBut(t require.TestingT, rows int) float64 {
	m := load(t, model.US)
	v := compute.Defaults(m)
	e, err := compute.NewEngine(v)
	require.NoError(t, err)
	e.OpenLists(2)
	for range rows {
		l := compute.NewLine(m)
		l.Clear()
		l.SetText(m.Line.Quantity("check"), "left out: no wall")
		e.Show(compute.Shown{Frame: &l.Frame}, 1)
	}
	_, err = e.Close()
	require.NoError(t, err)
	e.Judge()
	return m.Ready.Quantity("order_empty").Num(v.Once(m.Ready))
}

func (c counted) list(i int, key string) float64 {
	return c.m.Lists.Quantity(key).Num(c.v.Rows(c.m.Lists).Frames[i])
}

func (c counted) check(key string) float64 { return c.m.Ready.Quantity(key).Num(c.v.Once(c.m.Ready)) }

// listsAndChecks holds every figure of the joint lists, and every check of the
// order, against what was put there.
func listsAndChecks(t require.TestingT) {
	c := countOrder(t, 1, func(m *model.Model, v *compute.Values) {
		parts := m.Table("parts")
		v.AddRow(parts).Text[parts.Quantity("car").TextSlot] = "Nobody"
	})
	cost := func(list int, cars ...int) (sum float64) {
		for _, no := range cars {
			x, _ := c.v.ListSum(list, c.m.Roles.LineCost, c.m.Roles.CarNo, no)
			sum += x
		}
		return sum
	}
	for key, want := range map[string][2]float64{
		"list_read": {5, 4}, "list_left_out": {2, 1}, "list_not_now": {0, 2}, "list_passed": {1, 0}, "list_unanswered": {0, 2},
		"list_errors": {0, 4}, "list_no_size": {1, 0}, "list_odd": {2, 0}, "list_typed": {5, 0}, "list_unpriced": {0, 1},
	} {
		for i := range want {
			assert.Equal(t, want[i], c.list(i, key), "%s of list %d", key, i+1)
		}
	}
	assert.InDelta(t, cost(0, 1, 2), c.list(0, "list_cost"), 1e-9)
	astray := c.list(1, "list_cost") - cost(1, 1, 2)
	require.Greater(t, astray, 10.0)
	for key, want := range map[string]float64{
		"rows_read": 9, "order_empty": 0, "rows_priced": 3, "rows_left_out": 3, "lists_beside": 2, "rows_not_now": 2, "rows_unanswered": 2, "errors_shown": 4,
		"sizes_unread": 1, "rows_unpriced": 1, "cars_without_row": 0, "cars_unpriced": 0, "parts_astray": 1, "names_moved": 5, "lines_below_room": 6,
		"rows_odd": 2, "cells_typed_over": 5, "assumptions_outside": 3, "assumptions_changed": 4, "points_blank": 7, "sheets_disagree": 8,
		"sheets_unsettled": 9, "columns_unsettled": 10, "cars_unsettled": 11, "inputs_unsettled": 12, "tables_unsettled": 13, "tables_odd": 14, "numbers_rounded": 15, "cars_without_joints": 0, "tube_astray": 1, "rod_astray": 1,
	} {
		assert.Equal(t, want, c.check(key), key)
	}
	assert.InDelta(t, astray, c.check("cost_astray"), 0.005)
	assert.False(t, c.v.Complete())
	assert.Equal(t, "INCOMPLETE", c.m.Roles.Verdict.Text(c.v.Once(c.m.Ready)))
	assert.Len(t, c.v.Failing(), 19)

	for rows, want := range []float64{1, 0, 0} {
		assert.Equal(t, want, emptyBut(t, rows), "%d rows", rows)
	}

	whole := countOrder(t, 0, func(*model.Model, *compute.Values) {})
	assert.False(t, whole.v.Complete())
	require.Len(t, whole.v.Failing(), 1)
	assert.Equal(t, "rows_unpriced", whole.v.Failing()[0].Key)
	withStock := func(m *model.Model, v *compute.Values) {
		stock := m.Table("stock")
		f := v.AddRow(stock)
		copy(f.Text, v.Rows(stock).Frames[0].Text)
		copy(f.Num, v.Rows(stock).Frames[0].Num)
		f.Num[stock.Quantity("od").Slot], f.Num[stock.Quantity("wall").Slot], f.Num[stock.Quantity("price").Slot] = 3.375, 0.047, 30
		f.Text[stock.Quantity("alloy").TextSlot] = "grade 2"
	}
	priced := countOrder(t, 0, withStock)
	assert.True(t, priced.v.Complete(), "%v", priced.v.Failing())
	assert.Empty(t, priced.v.Failing())

	below := countOrder(t, 0, func(m *model.Model, v *compute.Values) { v.Singles.Num[m.Singles.Quantity("margin").Slot] = 1.5 })
	assert.Equal(t, 2.0, below.check("cars_unpriced"), "below 0")
	bare := countOrder(t, 0, func(m *model.Model, v *compute.Values) {
		cars := m.Table("cars")
		f := v.AddRow(cars)
		f.Text[cars.Quantity("name").TextSlot], f.Num[cars.Quantity("ordered").Slot] = "Spare", 2
	})
	assert.Equal(t, 1.0, bare.check("cars_without_joints"))

	tubes := whole.m.ClosingScope("tube")
	assert.InDelta(t, tubes.Quantity("tube_needed").Num(whole.v.Rows(tubes).Frames[1]), whole.check("sticks_unknown"), 1e-9, "a size that came with its row has no stick")
	assert.Positive(t, whole.check("sticks_unknown"))
	assert.Zero(t, priced.check("sticks_unknown"))
	least := func(m *model.Model, v *compute.Values) { // one size by whole sticks, one as used, and the least that an order may cost
		withStock(m, v)
		stock := m.Table("stock")
		v.Rows(stock).Frames[11].Text[stock.Quantity("charge").TextSlot] = "whole sticks"
		v.Singles.Num[m.Singles.Quantity("minimum_order").Slot] = 90_000
	}
	held := countOrder(t, 0, least)
	order := func(key string) float64 { return held.m.OrderOf.Quantity(key).Num(held.v.Order) }
	require.Positive(t, order("tube_unpriced"))
	require.Greater(t, order("tube_rack"), order("tube_unpriced"))
	share := order("tube_unpriced") / order("order_price")
	for part, raised := range map[float64]bool{0: true, 0.99: true, 1.01: false, 2: false} { // of what is not in the price
		at := countOrder(t, 0, func(m *model.Model, v *compute.Values) {
			least(m, v)
			v.Singles.Num[m.Singles.Quantity("most_unpriced").Slot] = part * share
		})
		want := 0.0
		if raised {
			want = order("tube_unpriced")
		}
		assert.Equal(t, want, at.check("tube_outside"), "%g", part)
	}
	none := countOrder(t, 0, func(m *model.Model, v *compute.Values) { v.Singles.Num[m.Singles.Quantity("price_step").Slot] = 0 })
	assert.Equal(t, 2.0, none.check("cars_unpriced"), "no numbers")
}

func TestListsAndChecks(t *testing.T) { listsAndChecks(t) }

// Texts and numbers answer as COUNTIF has it: the cases are LibreOffice's answers,
// tried in its cells.
func TestWhatCellsAnswerTo(t *testing.T) {
	m := load(t, model.US)
	for _, c := range []struct {
		criterion, words string
		number           float64
		answers          bool
	}{
		{`"left out: *"`, "left out: no wall", 0, true}, {`"left out: *"`, "Left Out: x", 0, true}, {`"left out: *"`, "was left out: x", 0, false},
		{`"?*"`, "x", 0, true}, {`"?*"`, "", 0, false}, {`"a?c"`, "abc", 0, true}, {`"a?c"`, "ac", 0, false}, {`"a*c"`, "ac", 0, true}, {`"a*c"`, "abcd", 0, false},
		{`"é?"`, "éa", 0, true},
		{`"<3"`, "", 2, true}, {`"<3"`, "", 3, false}, {`"<=3"`, "", 3, true}, {`">3"`, "", 4, true}, {`">=3"`, "", 2, false}, {`"<>3"`, "", 2, true}, {`"3"`, "", 3, true}, {`"=3"`, "", 4, false},
	} {
		column := "check"
		if c.words == "" && c.number > 0 {
			column = "finding"
		}
		files := copyOf(t, "checks.txt", `= count(lines.check, "left out: *")`, fmt.Sprintf("= count(lines.%s, %s)", column, c.criterion))
		m2, err := compute.Load(files, m.System)
		require.NoError(t, err)
		v := compute.Defaults(m2)
		e, err := compute.NewEngine(v)
		require.NoError(t, err)
		l := compute.NewLine(m2)
		l.Clear()
		l.SetText(m2.Line.Quantity("check"), c.words)
		l.Set(m2.Line.Quantity("finding"), c.number)
		e.OpenLists(1)
		e.Show(compute.Shown{Frame: &l.Frame}, 0)
		_, err = e.Close()
		require.NoError(t, err)
		got := m2.Lists.Quantity("list_left_out").Num(v.Rows(m2.Lists).Frames[0])
		assert.Equal(t, c.answers, got == 1, "%s: %q %g", c.criterion, c.words, c.number)
	}
}
