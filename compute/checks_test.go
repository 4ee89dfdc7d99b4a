package compute_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// turn is what a case changes of the shop before its row is worked out.
type turn func(b *bench)

// cells sets cells of the first line of a table: of the set-ups, the cup.
func cells(table string, set row) turn {
	return func(b *bench) {
		for key := range set {
			b.cell(table, 0, key, set.num(key, 0))
		}
	}
}

// assumes sets single assumptions.
func assumes(set row) turn {
	return func(b *bench) {
		for key := range set {
			b.assume(key, set.num(key, 0))
		}
	}
}

// priced puts a size of tube into stock.
func priced(alloy string, od, wall float64) turn {
	return func(b *bench) {
		s := b.m.Table("stock")
		f := b.v.AddRow(s)
		f.Text[s.Quantity("alloy").TextSlot] = alloy
		for key, x := range map[string]float64{"od": od, "wall": wall, "price": 40} {
			f.Num[s.Quantity(key).Slot] = x
		}
	}
}

// fits names the kinds that the cup fits.
func fits(kinds string) turn {
	return func(b *bench) {
		s := b.m.Table("setups")
		b.v.Rows(s).Frames[0].Text[s.Quantity("fits").TextSlot] = kinds
	}
}

// with is a joint row of 3 in tube that is in stock, changed by some cells.
func with(more row) row {
	r := row{"od": 3, "wall": 0.047}
	for k, x := range more {
		r[k] = x
	}
	return r
}

func pieCut(more row) row {
	r := with(row{"kind": "pie cut", "bend": 90})
	for k, x := range more {
		r[k] = x
	}
	return r
}

func branch(more row) row {
	r := with(row{"kind": "branch", "run_od": 4})
	for k, x := range more {
		r[k] = x
	}
	return r
}

// oddRow raises one check and no other; its neighbour, as near as may be,
// raises none.
type oddRow struct {
	check             string
	raises, neighbour row
	shop, next        turn // what the shop is for either; next is shop where it is nil
	sizeless          bool // without a size other checks have no answer: the first is named
}

// refused are the rows that cannot be worked out.
func refused() []oddRow {
	return []oddRow{
		{check: "size_wrong", raises: row{"wall": 0.047}, neighbour: with(nil), sizeless: true},
		{check: "size_wrong", raises: row{"od": 3}, neighbour: with(nil), sizeless: true},
		{check: "size_wrong", raises: with(row{"wall": 0}), neighbour: with(nil), sizeless: true},
		{check: "size_wrong", raises: row{"od": 0.5, "wall": 0.25, "filler": "no"}, neighbour: row{"od": 0.5, "wall": 0.2499, "filler": "no"}, shop: priced("grade 2", 0.5, 0.25)},
		{check: "count_wrong", raises: with(row{"qty": 1.5}), neighbour: with(row{"qty": 2})},
		{check: "count_wrong", raises: with(row{"qty": -1}), neighbour: with(row{"qty": 1})},
		{check: "count_wrong", raises: with(row{"passes": 0}), neighbour: with(row{"passes": 1})},
		{check: "count_wrong", raises: with(row{"passes": 1.5}), neighbour: with(row{"passes": 2})},
		{check: "sides_wrong", raises: with(row{"sides": 2}), neighbour: with(row{"sides": 2, "kind": "fillet"})},
		{check: "sides_wrong", raises: with(row{"sides": 0, "kind": "fillet"}), neighbour: with(row{"sides": 1, "kind": "fillet"})},
		{check: "sides_wrong", raises: with(row{"sides": 3, "kind": "fillet"}), neighbour: with(row{"sides": 2, "kind": "fillet"})},
		{check: "sides_wrong", raises: with(row{"sides": 1.5, "kind": "fillet"}), neighbour: with(row{"sides": 1, "kind": "fillet"})},
		{check: "amount_wrong", raises: with(row{"gap": -0.001}), neighbour: with(row{"gap": 0})},
		{check: "amount_wrong", raises: with(row{"weld_length": -9.4}), neighbour: with(row{"weld_length": 9.4})},
		{check: "amount_wrong", raises: with(row{"tube": -1}), neighbour: with(row{"tube": 0})},
		{check: "amount_wrong", raises: with(row{"purge_length": -1}), neighbour: with(row{"purge_length": 0})},
		{check: "amount_wrong", raises: with(row{"purge_bore": -1}), neighbour: with(row{"purge_bore": 0})},
		{check: "amount_wrong", raises: with(row{"purges": -0.5}), neighbour: with(row{"purges": 0})},
		{check: "amount_wrong", raises: with(row{"leg": 0, "kind": "fillet"}), neighbour: with(row{"leg": 0.01, "kind": "fillet"})},
		{check: "amount_wrong", raises: with(row{"wire": 0}), neighbour: with(row{"wire": 0.045})},
		{check: "amount_wrong", raises: branch(row{"run_wall": 2.1}), neighbour: branch(row{"run_wall": 1.9})},
		{check: "bend_wrong", raises: with(row{"kind": "pie cut"}), neighbour: pieCut(nil)},
		{check: "bend_wrong", raises: pieCut(row{"bend": -90}), neighbour: pieCut(nil)},
		{check: "bend_wrong", raises: pieCut(row{"bend": 360.5, "purge_length": 40}), neighbour: pieCut(row{"bend": 360, "purge_length": 40})},
		{check: "pie_angle_wrong", raises: pieCut(row{"pie_angle": 0}), neighbour: pieCut(row{"pie_angle": 15})},
		{check: "pie_angle_wrong", raises: pieCut(row{"pie_angle": 90}), neighbour: pieCut(row{"bend": 30, "pie_angle": 30})},
		{check: "pie_angle_wrong", raises: pieCut(row{"pie_angle": 0}), neighbour: with(row{"pie_angle": 0})},
		{check: "pie_angle_wrong", raises: pieCut(row{"bend": 30, "pie_angle": 90}), neighbour: pieCut(row{"bend": 30, "pie_angle": 15})},
		{check: "clr_wrong", raises: pieCut(row{"clr": 1}), neighbour: with(row{"clr": 1})},
		{check: "clr_wrong", raises: pieCut(row{"clr": 1.5, "pie_angle": 30}), neighbour: pieCut(row{"clr": 2.1, "pie_angle": 30})},
		{check: "branch_wrong", raises: branch(row{"run_od": 2.99}), neighbour: branch(row{"run_od": 3})},
		{check: "branch_wrong", raises: with(row{"kind": "branch"}), neighbour: with(row{"kind": "branch", "weld_length": 10})},
		{check: "branch_wrong", raises: branch(row{"run_od": 2.99, "weld_length": 10}), neighbour: branch(row{"run_od": 3, "weld_length": 10})},
		{check: "branch_angle_wrong", raises: branch(row{"branch_angle": 0}), neighbour: branch(row{"branch_angle": 30})},
		{check: "branch_angle_wrong", raises: branch(row{"branch_angle": 90.5}), neighbour: branch(row{"branch_angle": 90})},
		{check: "branch_angle_wrong", raises: branch(row{"branch_angle": 100}), neighbour: with(row{"branch_angle": 100})},
		{check: "seam_wrong", raises: with(row{"kind": "seam"}), neighbour: with(row{"kind": "seam", "weld_length": 12})},
		{check: "family_wrong", raises: with(row{"to_alloy": "304L"}), neighbour: with(row{"to_alloy": "Ti-3Al-2.5V"})},
		{check: "family_wrong", raises: with(row{"alloy": "304L", "to_alloy": "grade 2", "kind": "fillet"}), neighbour: with(row{"alloy": "304L", "to_alloy": "alloy 625", "kind": "fillet"})},
		{check: "setup_wrong", raises: with(nil), neighbour: with(nil), shop: cells("setups", row{"travel": 0}), next: cells("setups", row{"travel": 0.1})},
		{check: "setup_wrong", raises: with(nil), neighbour: with(nil), shop: cells("setups", row{"torch_flow": -1}), next: cells("setups", row{"torch_flow": 0})},
		{check: "setup_wrong", raises: with(nil), neighbour: with(nil), shop: cells("setups", row{"reposition": -1}), next: cells("setups", row{"reposition": 0})},
		{check: "setup_wrong", raises: with(nil), neighbour: with(nil), shop: cells("setups", row{"cup_bore": 0}), next: cells("setups", row{"cup_bore": 0.25})},
		{check: "setup_wrong", raises: with(nil), neighbour: with(nil), shop: cells("kinds", row{"travel_factor": 0}), next: cells("kinds", row{"travel_factor": 0.1})},
		{check: "setup_wrong", raises: with(row{"wall": 0.035}), neighbour: with(row{"wall": 0.035}), shop: cells("walls", row{"factor": 0}), next: cells("walls", row{"factor": 0.1})},
	}
}

// questioned are the rows that are priced, and said to be odd. Cups, post-flow
// and colours are titanium's: common practice, no source.
func questioned() []oddRow {
	steel := row{"alloy": "304L", "kind": "fillet"}
	return []oddRow{
		{check: "price_missing", raises: row{"od": 3.2, "wall": 0.047}, neighbour: row{"od": 3.2, "wall": 0.047}, next: priced("grade 2", 3.2, 0.047)},
		{check: "price_missing", raises: row{"od": 3.2, "wall": 0.047}, neighbour: row{"od": 3.2, "wall": 0.047, "kind": "fillet"}},
		{check: "price_missing", raises: with(row{"wire": 0.04}), neighbour: with(row{"wire": 0.04, "filler": "no"})},
		{check: "none_ordered", raises: with(row{"qty": 0}), neighbour: with(row{"qty": 1})},
		{check: "bright_stops", raises: with(row{"colour": "bright"}), neighbour: with(row{"colour": "straw"})},
		{check: "bright_stops", raises: with(row{"colour": "bright"}), neighbour: with(row{"colour": "bright", "setup": "trailing shield, on rolls"})},
		{check: "bright_stops", raises: with(row{"colour": "bright", "kind": "fillet"}), neighbour: row{"od": 3, "wall": 0.047, "colour": "bright", "kind": "fillet", "alloy": "304L"}},
		{check: "bright_stops", raises: with(row{"colour": "bright"}), neighbour: with(row{"colour": "bright"}),
			shop: cells("setups", row{"bead_share": 0, "longest_run": 9}), next: cells("setups", row{"bead_share": 0, "longest_run": 9.5})}, // one stop; none
		{check: "cover_short", raises: with(nil), neighbour: with(nil), shop: cells("setups", row{"post_flow": 9.9}), next: cells("setups", row{"post_flow": 10})},
		{check: "cover_short", raises: with(nil), neighbour: with(nil), shop: cells("setups", row{"bead_share": 0.51}), next: cells("setups", row{"bead_share": 0.5})},
		{check: "cover_short", raises: with(row{"kind": "fillet"}), neighbour: with(steel), shop: cells("setups", row{"post_flow": 5})},
		{check: "shield_large", raises: with(nil), neighbour: with(nil), shop: cells("setups", row{"od_from": 3.01}), next: cells("setups", row{"od_from": 3})},
		{check: "shield_small", raises: with(nil), neighbour: with(nil), shop: cells("setups", row{"od_to": 2.99}), next: cells("setups", row{"od_to": 3})},
		{check: "shield_kind", raises: with(row{"kind": "fillet", "setup": "trailing shield, on rolls"}), neighbour: with(row{"setup": "trailing shield, on rolls"})},
		{check: "shield_kind", raises: branch(nil), neighbour: branch(nil), shop: fits("butt, pie cut"), next: fits("")},
		{check: "shield_kind", raises: branch(nil), neighbour: branch(nil), shop: fits("butt, pie cut"), next: fits("Butt, Branch")},
		{check: "shield_throat", raises: pieCut(nil), neighbour: pieCut(nil), shop: cells("setups", row{"shield_width": 0.80}), next: cells("setups", row{"shield_width": 0.78})},
		{check: "shield_throat", raises: pieCut(row{"bend": 15}), neighbour: with(nil), shop: cells("setups", row{"shield_width": 0.80})},
		{check: "throat_short", raises: pieCut(row{"clr": 2.44}), neighbour: pieCut(row{"clr": 2.46})},
		{check: "throat_short", raises: pieCut(row{"bend": 15, "clr": 2.44}), neighbour: pieCut(row{"bend": 15, "clr": 2.46})},
		{check: "pie_odd", raises: pieCut(row{"pie_angle": 20}), neighbour: pieCut(row{"pie_angle": 18})},
		{check: "pie_odd", raises: pieCut(row{"bend": 91}), neighbour: pieCut(nil)},
		{check: "pie_odd", raises: pieCut(row{"bend": 10}), neighbour: pieCut(row{"bend": 15})},
		{check: "pie_odd", raises: pieCut(row{"bend": 100, "pie_angle": 14.285716}), neighbour: pieCut(row{"bend": 100, "pie_angle": 14.2857145})}, // a seventh, as typed
		{check: "pie_wide", raises: pieCut(row{"bend": 45, "pie_angle": 45}), neighbour: with(row{"pie_angle": 45})},
		{check: "pie_wide", raises: pieCut(row{"pie_angle": 22.5}), neighbour: pieCut(row{"pie_angle": 22.5}), shop: assumes(row{"most_pie_angle": 20}), next: assumes(row{"most_pie_angle": 22.5})},
		{check: "pie_wide", raises: pieCut(row{"pie_angle": 45}), neighbour: pieCut(row{"pie_angle": 30})},
		{check: "branch_sharp", raises: branch(row{"branch_angle": 29.5}), neighbour: branch(row{"branch_angle": 30})},
		{check: "branch_sharp", raises: branch(row{"branch_angle": 20}), neighbour: with(row{"branch_angle": 20})},
		{check: "branch_sharp", raises: branch(row{"branch_angle": 24}), neighbour: branch(row{"branch_angle": 25}), shop: assumes(row{"least_branch_angle": 25})},
		{check: "gap_wide", raises: with(row{"gap": 0.02}), neighbour: with(row{"gap": 0.02}), shop: assumes(row{"most_gap_per_wall": 0.4}), next: assumes(row{"most_gap_per_wall": 0.45})},
		{check: "gap_wide", raises: with(row{"gap": 0.024}), neighbour: with(row{"gap": 0.0235})},
		{check: "wire_odd", raises: with(row{"wall": 0.035, "wire": 0.0625}), neighbour: with(row{"wall": 0.035, "wire": 0.045})},
		{check: "wire_odd", raises: with(row{"wall": 0.071, "wire": 0.035}), neighbour: with(row{"wall": 0.07, "wire": 0.035}),
			shop: priced("grade 2", 3, 0.071), next: priced("grade 2", 3, 0.07)},
		{check: "wire_odd", raises: with(row{"wall": 0.035, "wire": 0.0625}), neighbour: with(row{"wall": 0.035, "wire": 0.0625, "filler": "no"})},
		{check: "wire_odd", raises: with(row{"wall": 0.049, "wire": 0.0625}), neighbour: row{"od": 2.5, "wall": 0.0625, "wire": 0.0625},
			shop: assumes(row{"most_wire_per_wall": 1}), next: func(b *bench) {
				assumes(row{"most_wire_per_wall": 1})(b)
				priced("grade 2", 2.5, 0.0625)(b)
			}},
		{check: "wire_odd", raises: with(nil), neighbour: with(nil), shop: assumes(row{"least_wire_per_wall": 0.96}), next: assumes(row{"least_wire_per_wall": 0.95})},
		{check: "wall_odd", raises: with(row{"wall": 0.019, "filler": "no"}), neighbour: with(row{"wall": 0.02, "filler": "no"}),
			shop: priced("grade 2", 3, 0.019), next: priced("grade 2", 3, 0.02)},
		{check: "wall_odd", raises: with(row{"wall": 0.251, "filler": "no"}), neighbour: with(row{"wall": 0.25, "filler": "no"}),
			shop: priced("grade 2", 3, 0.251), next: priced("grade 2", 3, 0.25)},
		{check: "od_odd", raises: with(row{"od": 0.37, "wall": 0.035, "qty": 1}), neighbour: with(row{"od": 0.38, "wall": 0.035}),
			shop: priced("grade 2", 0.37, 0.035), next: priced("grade 2", 0.38, 0.035)},
		{check: "od_odd", raises: row{"od": 0.374, "wall": 0.035}, neighbour: row{"od": 0.375, "wall": 0.035},
			shop: priced("grade 2", 0.374, 0.035), next: priced("grade 2", 0.375, 0.035)},
		{check: "od_odd", raises: with(row{"od": 8.1}), neighbour: with(row{"od": 8}),
			shop: priced("grade 2", 8.1, 0.047), next: priced("grade 2", 8, 0.047)},
		{check: "purge_short", raises: pieCut(row{"purge_length": 7.1}), neighbour: pieCut(row{"purge_length": 7.2})},
		{check: "purge_short", raises: pieCut(row{"bend": 15, "purge_length": 1.1}), neighbour: pieCut(row{"bend": 15, "purge_length": 1.2})},
		{check: "length_off", raises: with(row{"weld_length": 11.8}), neighbour: with(row{"weld_length": 11.7})},
		{check: "length_off", raises: with(row{"weld_length": 7}), neighbour: with(row{"weld_length": 7.1})},
	}
}

func (c oddRow) shops() (turn, turn) {
	next := c.next
	if next == nil {
		next = c.shop
	}
	return c.shop, next
}

// workIn works out a row in a shop as shipped, turned.
func workIn(t require.TestingT, change turn, r row) (compute.Outcome, *compute.Line, *bench) {
	b := newBench(t, model.US)
	if change != nil {
		change(b)
	}
	_, out, l := b.work(r)
	return out, l, b
}

// nothingOdd fails where a row raises anything.
func nothingOdd(t require.TestingT, change turn, r row) {
	out, l, b := workIn(t, change, r)
	if out.Refused {
		require.Failf(t, "the neighbour is refused", "by %s: %v", out.Why.Key, r)
	}
	assert.Empty(t, keys(l.Raised), "the neighbour: %v", r)
	assert.Equal(t, "ok", b.m.Line.Quantity("check").Text(&l.Frame))
}

func keys(list []*model.Quantity) []string {
	var out []string
	for _, q := range list {
		out = append(out, q.Key)
	}
	return out
}

// refuses fails unless the row is refused, for the one reason.
func (c oddRow) refuses(t require.TestingT) {
	shop, next := c.shops()
	out, l, b := workIn(t, shop, c.raises)
	require.True(t, out.Refused, "%v", c.raises)
	assert.Equal(t, c.check, out.Why.Key)
	assert.Equal(t, model.LevelRefuse, out.Why.Level)
	for _, q := range b.m.Checks() {
		if q.Level == model.LevelRefuse && q != out.Why && !c.sizeless {
			assert.Zero(t, q.Num(&l.Frame), "%s is raised too, of %v", q.Key, c.raises)
		}
	}
	assert.Empty(t, l.Raised, "a refused row has one reason")
	assert.True(t, formula.IsBlank(b.m.Line.Quantity("line_cost").Num(&l.Frame)), "a refused row has no figures")
	nothingOdd(t, next, c.neighbour)
}

// questions fails unless the row is priced, and the one check raised.
func (c oddRow) questions(t require.TestingT) {
	shop, next := c.shops()
	out, l, b := workIn(t, shop, c.raises)
	if out.Refused {
		require.Failf(t, "refused", "by %s: %v", out.Why.Key, c.raises)
	}
	require.Equal(t, []string{c.check}, keys(l.Raised), "%v", c.raises)
	assert.Equal(t, model.LevelWarn, l.Raised[0].Level)
	assert.Equal(t, l.Raised[0].Heading, b.m.Line.Quantity("check").Text(&l.Frame))
	assert.False(t, formula.IsBlank(b.m.Line.Quantity("line_cost").Num(&l.Frame)), "a questioned row is priced")
	nothingOdd(t, next, c.neighbour)
}

func TestRowsThatAreRefused(t *testing.T) {
	t.Parallel()
	for _, c := range refused() {
		t.Run(c.check, func(t *testing.T) { c.refuses(t) })
	}
}

func TestRowsThatAreQuestioned(t *testing.T) {
	t.Parallel()
	for _, c := range questioned() {
		t.Run(c.check, func(t *testing.T) { c.questions(t) })
	}
}

// verdict is how much a check weighs, and what it says.
type verdict struct {
	level model.Level
	says  string
}

// verdicts are of every check, by its key.
func verdicts() map[string]verdict {
	return map[string]verdict{
		"size_wrong":         {model.LevelRefuse, "the wall is not under half the OD, or one of them is missing"},
		"count_wrong":        {model.LevelRefuse, "joints or passes are not whole numbers"},
		"sides_wrong":        {model.LevelRefuse, "sides welded is 1, or 2 on a fillet"},
		"amount_wrong":       {model.LevelRefuse, "a length, a time or a count is below zero"},
		"bend_wrong":         {model.LevelRefuse, "a pie cut needs its bend, up to 360°"},
		"pie_angle_wrong":    {model.LevelRefuse, "the pie angle is not between 0° and 90°"},
		"clr_wrong":          {model.LevelRefuse, "the centreline radius is not over half the OD: the inside closes up"},
		"branch_wrong":       {model.LevelRefuse, "the branch is wider than its main tube, or the main tube is missing"},
		"branch_angle_wrong": {model.LevelRefuse, "the branch angle is not over 0° and up to 90°"},
		"seam_wrong":         {model.LevelRefuse, "a seam needs its weld length"},
		"family_wrong":       {model.LevelRefuse, "titanium is welded to another family of metal"},
		"setup_wrong":        {model.LevelRefuse, "the set-up's line is wrong: travel over 0, flows and times typed, no number below 0, a bore where there is a share of it"},
		"price_missing":      {model.LevelWarn, "price missing"},
		"none_ordered":       {model.LevelWarn, "no joints on this line"},
		"bright_stops":       {model.LevelWarn, "a bright joint is welded with stops"},
		"cover_short":        {model.LevelWarn, "the gas may leave the hot metal too soon"},
		"shield_large":       {model.LevelWarn, "the shield is too large for this OD"},
		"shield_small":       {model.LevelWarn, "the shield is too small for this OD"},
		"shield_kind":        {model.LevelWarn, "the shield does not fit this kind of joint"},
		"shield_throat":      {model.LevelWarn, "the shield is wider than the inside of a pie"},
		"throat_short":       {model.LevelWarn, "the inside of a pie is very short"},
		"pie_odd":            {model.LevelWarn, "the pie angle does not divide the bend: fewer degrees a weld were used"},
		"pie_wide":           {model.LevelWarn, "the pie angle is wide"},
		"branch_sharp":       {model.LevelWarn, "the branch angle is sharp"},
		"gap_wide":           {model.LevelWarn, "the gap is wide for this wall"},
		"wire_odd":           {model.LevelWarn, "the rod is thin or thick for this wall"},
		"wall_odd":           {model.LevelWarn, "the wall is unusually thin or thick"},
		"od_odd":             {model.LevelWarn, "the OD is unusually small or large"},
		"purge_short":        {model.LevelWarn, "the purged length is shorter than the bend"},
		"length_off":         {model.LevelWarn, "the measured weld length is far off the geometry"},
	}
}

// Every check of the model is raised by a row above, weighs what the method
// gives it, and says what is wrong, what to do and in which cell.
func TestEveryCheckIsTried(t *testing.T) {
	tried := map[string]bool{}
	for _, c := range append(refused(), questioned()...) {
		tried[c.check] = true
	}
	for _, s := range []model.System{model.US, model.Metric} {
		m := load(t, s)
		got := map[string]verdict{}
		last := model.LevelRefuse
		for _, q := range m.Checks() {
			assert.LessOrEqual(t, q.Level, last, "%s stands behind a lighter check", q.Key)
			last = q.Level
			if q.Level == model.LevelOK {
				continue
			}
			got[q.Key] = verdict{q.Level, q.Heading}
			assert.True(t, tried[q.Key], "no row raises %s", q.Key)
			assert.NotEmpty(t, q.Fix, q.Key)
		}
		assert.Equal(t, verdicts(), got)
	}
}
