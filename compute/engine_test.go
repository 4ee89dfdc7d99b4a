package compute_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// floor is an engine and the values under it, with one car ordered.
type floor struct {
	t require.TestingT
	*compute.Engine
}

func newFloor(t require.TestingT) *floor {
	e, err := compute.NewEngine(newBench(t, model.US).v)
	require.NoError(t, err)
	return &floor{t, e}
}

// do works out a row of a list on a line of its own.
func (f *floor) do(list int, r row) (compute.Outcome, *compute.Line) {
	l := compute.NewLine(f.Model)
	l.Clear()
	f.set(l, row{"car": "Coupe"})
	f.set(l, r)
	out, err := f.Work(l, list)
	require.NoError(f.t, err)
	return out, l
}

func (f *floor) set(l *compute.Line, r row) {
	fill(f.t, f.Model, f.Model.Line, r, l.Set, l.SetText)
}

func (f *floor) get(l *compute.Line, key string) float64 {
	return f.Model.Line.Quantity(key).Num(&l.Frame)
}

// sizes are how many lines the tables have that rows may add to.
func (f *floor) sizes() map[string]int {
	out := map[string]int{}
	for _, name := range []string{"cars", "stock", "fillers"} {
		out[name] = len(f.Values.Rows(f.Model.Table(name)).Frames)
	}
	return out
}

// last is the line that a table got last.
func (f *floor) last(name string) (*model.Scope, *formula.Frame) {
	t := f.Model.Table(name)
	frames := f.Values.Rows(t).Frames
	return t, frames[len(frames)-1]
}

// sums are all sums of a list, by figure and number.
func (f *floor) sums(list int) map[string]float64 {
	out := map[string]float64{}
	for _, s := range f.Model.Summary {
		by := f.Model.Line.Quantity(s.By)
		for _, q := range f.Model.Sums(s) {
			for no := 1; no <= 60; no++ {
				if x, ok := f.Values.ListSum(list, q, by, no); ok && x != 0 {
					out[fmt.Sprintf("%s, %s %d", q.Key, s.By, no)] = x
				}
			}
		}
	}
	return out
}

// A row that is refused leaves the tables and the sums as they were, also
// where its car, its tube and its rod are new.
func TestRefusedRowAddsNothing(t *testing.T) {
	for _, c := range refused() {
		if c.shop != nil {
			continue // the floor has the shop as shipped
		}
		f := newFloor(t)
		sound, _ := f.do(0, with(row{"tube": 10}))
		require.False(t, sound.Refused)
		sizes, sums := f.sizes(), f.sums(0)
		require.NotEmpty(t, sums)
		fresh := row{}
		for k, x := range c.raises {
			fresh[k] = x
		}
		fresh["car"] = "Estate"
		if _, set := fresh["wire"]; !set {
			fresh["wire"] = 0.0512
		}
		if fresh["od"] == 3 {
			fresh["od"] = 3.01
		}
		out, l := f.do(0, fresh)
		require.True(t, out.Refused, "%v", fresh)
		assert.Empty(t, out.Added, c.check)
		assert.Equal(t, sizes, f.sizes(), "%s: %v", c.check, fresh)
		assert.Equal(t, sums, f.sums(0), "%s: %v", c.check, fresh)
		assert.True(t, formula.IsBlank(f.get(l, "car_no")), "the car of a refused row is not looked for")
	}
}

// A row with a word that no table knows is refused, and adds nothing either.
func TestUnknownWordsAreRefused(t *testing.T) {
	for _, r := range []row{
		{"kind": "knot"}, {"setup": "by magic"}, {"alloy": "moonstone"}, {"to_alloy": "moonstone"},
		{"alloy": "moonstone", "to_alloy": "moonstone"},
	} {
		f := newFloor(t)
		sizes := f.sizes()
		r["car"] = "Estate"
		out, _ := f.do(0, with(r))
		assert.True(t, out.Refused, "%v", r)
		assert.NotNil(t, out.Why)
		assert.Equal(t, sizes, f.sizes(), "%v", r)
		assert.Empty(t, f.sums(0))
	}
}

// A car, a size of tube and a rod that no table has get one line each, on the
// first row that needs them; after that they are found.
func TestNewStockIsAddedOnce(t *testing.T) { newStockIsAddedOnce(t) }

// fromTheList is the basis of a line that a joint has added: true of it before it
// has a price, and after.
const fromTheList = "size from the joint list; the price is the shop's own"

func newStockIsAddedOnce(t require.TestingT) {
	f := newFloor(t)
	before := f.sizes()
	fresh := row{"car": "Estate", "od": 3.21, "wall": 0.051, "wire": 0.0512, "alloy": "Ti-3Al-2.5V"}
	out, first := f.do(0, fresh)
	require.False(t, out.Refused)
	var added []string
	for _, s := range out.Added {
		added = append(added, s.Name)
	}
	assert.ElementsMatch(t, []string{"cars", "stock", "fillers"}, added)
	want := map[string]int{"cars": before["cars"] + 1, "stock": before["stock"] + 1, "fillers": before["fillers"] + 1}
	assert.Equal(t, want, f.sizes())
	assert.Equal(t, []string{"price_missing"}, keys(first.Raised), "the row is worked out, and its price asked for")

	cars, car := f.last("cars")
	assert.Equal(t, "Estate", cars.Quantity("name").Text(car))
	assert.Equal(t, 1.0, cars.Quantity("ordered").Num(car))
	assert.Equal(t, "default: one; type how many are ordered", cars.Quantity("basis").Text(car))
	stock, tube := f.last("stock")
	assert.Equal(t, "Ti-3Al-2.5V", stock.Quantity("alloy").Text(tube))
	assert.Equal(t, 3.21, stock.Quantity("od").Num(tube))
	assert.Equal(t, 0.051, stock.Quantity("wall").Num(tube))
	assert.True(t, formula.IsBlank(stock.Quantity("price").Num(tube)), "nobody makes up a price")
	assert.Equal(t, fromTheList, stock.Quantity("basis").Text(tube))
	assert.Equal(t, "used", stock.Quantity("charge").Text(tube), "nobody has said that sticks are bought whole")
	assert.Equal(t, "Ti-3Al-2.5V|3210|51", stock.Quantity("key").Text(tube))
	fillers, rod := f.last("fillers")
	assert.Equal(t, 0.0512, fillers.Quantity("wire").Num(rod))
	assert.Equal(t, 0.162, fillers.Quantity("density").Num(rod), "as heavy as the tube")
	assert.True(t, formula.IsBlank(fillers.Quantity("price").Num(rod)))
	assert.Equal(t, fromTheList, fillers.Quantity("basis").Text(rod))

	for range 3 {
		out, again := f.do(0, fresh)
		assert.Empty(t, out.Added)
		assert.Equal(t, want, f.sizes())
		for _, q := range f.Model.Line.Quantities {
			assert.Equal(t, q.Text(&first.Frame), q.Text(&again.Frame), q.Key)
			if x := q.Num(&first.Frame); !formula.IsBlank(x) {
				assert.Equal(t, x, q.Num(&again.Frame), q.Key)
			}
		}
	}
	fresh["car"] = "ESTATE" // a spreadsheet looks names up whatever their case
	out, _ = f.do(0, fresh)
	assert.Empty(t, out.Added)

	for _, c := range []struct {
		more  row
		table string
	}{{row{"car": "Pick-up"}, "cars"}, {row{"wall": 0.052}, "stock"}, {row{"wire": 0.0522}, "fillers"}} {
		r := row{}
		for k, x := range fresh {
			r[k] = x
		}
		for k, x := range c.more {
			r[k] = x
		}
		out, _ := f.do(0, r)
		require.Len(t, out.Added, 1, "%v", c.more)
		assert.Equal(t, c.table, out.Added[0].Name)
	}
}

// Sizes alike to half a thousandth of an inch are one size: 1.2 mm and 0.047 in
// are sold as one (key of the tables).
func TestSizesAlikeAreOne(t *testing.T) {
	f := newFloor(t)
	for _, wall := range []float64{0.047, 1.2 / 25.4, 0.04651, 0.04749} {
		out, _ := f.do(0, row{"od": 76.2 / 25.4, "wall": wall})
		assert.Empty(t, out.Added, "wall %g", wall)
	}
	out, _ := f.do(0, row{"od": 3, "wall": 0.0476})
	assert.Len(t, out.Added, 1)
}

// A refused row is not in the sums of its list, a sound one is in those of its
// own list only, and lists add up.
func TestListsAddUp(t *testing.T) {
	f := newFloor(t)
	_, a := f.do(0, with(row{"qty": 2}))
	_, b := f.do(2, with(nil))
	_, c := f.do(2, with(row{"kind": "fillet"}))
	refusedRow, _ := f.do(2, with(row{"qty": 1.5}))
	require.True(t, refusedRow.Refused)
	q, by := f.Model.Line.Quantity("floor_time"), f.Model.Line.Quantity("car_no")
	x, ok := f.Values.ListSum(0, q, by, 1)
	assert.True(t, ok)
	assert.Equal(t, f.get(a, "floor_time"), x)
	_, ok = f.Values.ListSum(1, q, by, 1)
	assert.False(t, ok, "a list without rows")
	x, ok = f.Values.ListSum(2, q, by, 1)
	assert.True(t, ok)
	assert.InDelta(t, f.get(b, "floor_time")+f.get(c, "floor_time"), x, 1e-12)
	assert.InDelta(t, f.get(a, "floor_time")+x, f.Values.LineSum(q, by, 1), 1e-12)

	cars := (&worked{m: f.Model}).summary("cars")
	assert.True(t, f.Values.HasLines(2, cars, 1))
	assert.False(t, f.Values.HasLines(1, cars, 1))
	assert.False(t, f.Values.HasLines(2, cars, 2))
	_, err := f.Close()
	require.NoError(t, err)
	assert.Equal(t, 3.0, cars.Quantity("rows").Num(f.Values.Rows(cars).Frames[0]), "a refused row is not counted")
}

// A figure that the shop has typed over is what all that follows is worked out
// from, in the row, its car and the order; what does not need it stays.
func TestTypedOverFiguresAreUsed(t *testing.T) {
	base, plain := newFloor(t), row{"od": 3, "wall": 0.047, "tube": 10}
	_, was := base.do(0, plain)
	for _, c := range []struct {
		key     string
		x       float64
		follows map[string]float64 // by how much each is multiplied
		stays   []string
	}{
		{"arc_time", 2 * base.get(was, "arc_time"), map[string]float64{"line_arc": 2}, []string{"seam", "flow_tail", "filler_mass", "travel_used"}},
		{"travel_used", base.get(was, "travel_used") / 4, map[string]float64{"arc_time": 4, "line_arc": 4}, []string{"starts", "corner_factor", "tube_used"}},
		{"corner_factor", base.get(was, "corner_factor") / 2, map[string]float64{"travel_used": 0.5, "arc_time": 2}, []string{"seam", "metal_factor"}},
		{"seam", 2 * base.get(was, "seam"), map[string]float64{"starts": 2, "filler_length": 2, "flow_tail": 2}, []string{"geometry", "tube_used"}},
		{"welds", 3, map[string]float64{"sundries": 3, "line_stops": 3, "line_arc": 3, "torch_gas": 3}, []string{"welds_per_joint", "weld_out", "tube_used"}},
		{"tube_rate", 2 * base.get(was, "tube_rate"), map[string]float64{"tube_cost": 2}, []string{"filler_cost", "tube_used"}},
		{"labour", 100, nil, []string{"floor_time", "argon_cost"}},
	} {
		f := newFloor(t)
		r := with(row{"tube": 10, c.key: c.x})
		out, l := f.do(0, r)
		require.False(t, out.Refused, c.key)
		q := f.Model.Line.Quantity(c.key)
		assert.True(t, l.Given(q), c.key)
		assert.Equal(t, c.x, q.Num(&l.Frame), "%s is left as typed", c.key)
		for key, times := range c.follows {
			slack := 1e-12 * base.get(was, key)
			if f.Model.Line.Quantity(key).UnitOf == "$" {
				slack = 0.011 // each is rounded to the cent
			}
			assert.InDelta(t, times*base.get(was, key), f.get(l, key), slack, "%s over %s", c.key, key)
			assert.False(t, l.Given(f.Model.Line.Quantity(key)))
		}
		for _, key := range c.stays {
			assert.Equal(t, base.get(was, key), f.get(l, key), "%s does not need %s", key, c.key)
		}
		parts := f.get(l, "labour") + f.get(l, "argon_cost") + f.get(l, "filler_cost") + f.get(l, "tube_cost") + f.get(l, "sundries")
		assert.InDelta(t, parts, f.get(l, "line_cost"), 1e-9, c.key)
		got, ok := f.Values.ListSum(0, f.Model.Line.Quantity("line_cost"), f.Model.Line.Quantity("car_no"), 1)
		assert.True(t, ok)
		assert.InDelta(t, parts, got, 1e-9, "the sums have %s as typed", c.key)
		_, err := f.Close()
		require.NoError(t, err)
	}
}

// What was typed over is looked up as typed: the tube of another line is
// bought, and metal of another family refused.
func TestTypedOverLookups(t *testing.T) {
	f := newFloor(t)
	stock := f.Model.Table("stock")
	other := f.Values.Rows(stock).Frames[2]
	out, l := f.do(0, with(row{"stock_no": 3}))
	require.False(t, out.Refused)
	_, found := f.do(0, with(nil))
	require.NotEqual(t, 3.0, f.get(found, "stock_no"))
	assert.Equal(t, stock.Quantity("price").Num(other), f.get(l, "tube_rate"))
	out, _ = f.do(0, with(row{"to_family": "stainless"}))
	require.True(t, out.Refused)
	assert.Equal(t, "family_wrong", out.Why.Key)
}

// A figure typed over in a way that leaves another without a value refuses the
// row, names that figure, and keeps it out of the sums.
func TestTypedOverToNothing(t *testing.T) {
	for key, names := range map[string]string{"travel_used": "arc_time", "bead_limit": "starts", "wire_area": "filler_length"} {
		f := newFloor(t)
		out, _ := f.do(0, with(row{key: 0}))
		require.True(t, out.Refused, key)
		assert.Equal(t, names, out.Why.Key)
		assert.Equal(t, model.Figure, out.Why.Role)
		assert.Empty(t, f.sums(0), key)
	}
}

// A line that is used again remembers nothing of the row before.
func TestLineIsCleared(t *testing.T) {
	f := newFloor(t)
	_, clean := f.do(0, with(nil))
	l := compute.NewLine(f.Model)
	f.set(l, pieCut(row{"car": "Coupe", "colour": "bright", "gap": 0.03, "stock_no": 3, "labour": 1}))
	_, err := f.Work(l, 0)
	require.NoError(t, err)
	require.NotEmpty(t, l.Raised)
	l.Clear()
	assert.Empty(t, l.Raised)
	f.set(l, with(row{"car": "Coupe"}))
	_, err = f.Work(l, 0)
	require.NoError(t, err)
	assert.Empty(t, l.Raised)
	for _, q := range f.Model.Line.Quantities {
		assert.Equal(t, q.Text(&clean.Frame), q.Text(&l.Frame), q.Key)
		if x := q.Num(&clean.Frame); formula.IsBlank(x) {
			assert.True(t, formula.IsBlank(q.Num(&l.Frame)), q.Key)
		} else {
			assert.Equal(t, x, q.Num(&l.Frame), q.Key)
		}
	}
}

// Several checks may be raised on a row; the sheet shows the first.
func TestSeveralChecksOfARow(t *testing.T) { severalChecksOfARow(t) }

func severalChecksOfARow(t require.TestingT) {
	f := newFloor(t)
	_, l := f.do(0, with(row{"colour": "bright", "gap": 0.03}))
	assert.Equal(t, []string{"bright_stops", "gap_wide"}, keys(l.Raised))
	assert.Equal(t, f.Model.Line.Quantity("bright_stops").Heading, f.Model.Line.Quantity("check").Text(&l.Frame))
	finding := int(f.get(l, "finding"))
	assert.Equal(t, "bright_stops", f.Model.Checks()[finding-1].Key)
	_, l = f.do(0, pieCut(row{"bend": 60, "pie_angle": 45}))
	assert.Equal(t, []string{"pie_odd", "pie_wide"}, keys(l.Raised), "wide as typed, though it turns 30° at a weld")
}

// A spare line of a stock table is found by nothing.
func TestSpareStockLines(t *testing.T) { spareStockLines(t) }

func spareStockLines(t require.TestingT) {
	f := newFloor(t)
	for _, name := range []string{"stock", "fillers"} {
		table := f.Model.Table(name)
		spare, err := f.BlankRow(table)
		require.NoError(t, err)
		assert.Empty(t, table.Quantity("key").Text(spare), name)
	}
}
