package weigh

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/compare"
	"seamtally/sheets/sheetstest"
)

// trials are values and lines that a fault may change: each one may be nil.
func trials(a *compute.Order, rng *rand.Rand) (what string, values func(*compute.Values), change func(*compute.Joint, *compute.Line) bool) {
	m, up := a.Model, 0.5+rng.Float64()
	single := func(key string) func(*compute.Values) {
		return func(v *compute.Values) { v.Singles.Num[m.Singles.Quantity(key).Slot] *= up }
	}
	column := func(table, key string, row int) func(*compute.Values) {
		t := m.Table(table)
		return func(v *compute.Values) { v.Rows(t).Frames[row].Num[t.Quantity(key).Slot] *= up }
	}
	hit := &a.Joints[rng.IntN(len(a.Joints))]
	line := func(do func(*compute.Line)) func(*compute.Joint, *compute.Line) bool {
		return func(r *compute.Joint, l *compute.Line) bool {
			if r == hit {
				do(l)
			}
			return true
		}
	}
	summary, fine := m.Summary[rng.IntN(len(m.Summary))], float64(rng.IntN(2))
	var cars *model.Scope
	for _, s := range m.Summary {
		if s.Of.Name == compare.CarsTable {
			cars = s
		}
	}
	all := []struct {
		what   string
		values func(*compute.Values)
		change func(*compute.Joint, *compute.Line) bool
	}{
		{"nothing", nil, nil},
		{"margin", single("margin"), nil},
		{"shop rate", single("shop_rate"), nil},
		{"set-up by default", func(v *compute.Values) {
			v.Singles.Text[m.Singles.Quantity("default_setup").TextSlot] = v.Rows(m.Table("setups")).Frames[1].Text[0]
		}, nil},
		{"travel", column("setups", "travel", rng.IntN(3)), nil},
		{"wall band", column("walls", "to", 1), nil},
		{"wall factor", column("walls", "factor", 1), nil},
		{"stock price", column("stock", "price", rng.IntN(3)), nil},
		{"points of an edge", column("edge", "point", 5), nil},
		{"cars ordered", func(v *compute.Values) {
			t := m.Table(compare.CarsTable)
			v.Rows(t).Frames[0].Num[t.Quantity("ordered").Slot] += 2
		}, nil},
		{"part", column(compare.PartsTable, "quantity", 0), nil},
		{"line of the stock gone", func(v *compute.Values) {
			rows := v.Rows(m.Table("stock"))
			rows.Frames = rows.Frames[1:]
		}, nil},
		{"line of the set-ups called otherwise", func(v *compute.Values) {
			v.Rows(m.Table("setups")).Frames[1].Text[m.Table("setups").Quantity("name").TextSlot] = "Demo"
		}, nil},
		{"held cost of a car", func(v *compute.Values) {
			v.Hold(compute.Place{Figure: cars.Quantity("cost_car"), Row: 1}, 10*up)
		}, nil},
		{"held single figure", func(v *compute.Values) {
			v.Hold(compute.Place{Figure: m.Singles.Quantity("purge_changes")}, 10*up)
		}, nil},
		{"held sum", func(v *compute.Values) {
			v.HoldSum(hit.List, m.Line.Quantity("fine"), m.Line.Quantity(summary.By), 1, fine)
			v.HoldSum(hit.List, m.Line.Quantity("floor_time"), m.Line.Quantity("car_no"), 1, up)
		}, nil},
		{"row away", nil, func(r *compute.Joint, _ *compute.Line) bool { return r != hit }},
		{"figure typed over", nil, line(func(l *compute.Line) { l.Set(m.Line.Quantity("arc_time"), up) })},
		{"input", nil, line(func(l *compute.Line) { l.Set(m.Line.Quantity("wall"), 0.02*(1+up)) })},
		{"input by default", nil, line(func(l *compute.Line) { l.Release(m.Line.Quantity("setup")) })},
		{"row that cannot be", nil, line(func(l *compute.Line) { l.Set(m.Line.Quantity("wall"), 99) })},
		{"both", single("shop_rate"), line(func(l *compute.Line) { l.Set(m.Line.Quantity("qty"), 7) })},
	}
	one := all[rng.IntN(len(all))]
	return one.what, one.values, one.change
}

// What a fault does is weighed without working out what it does not reach, and
// comes to what a new engine comes to, whatever was weighed before.
func TestWeighedAsWorkedOutAfresh(t *testing.T) {
	for i, of := range []*compute.Order{weighedDemo(t), weighedOrder(t)} {
		a, on, rng := of, New(of), rand.New(rand.NewPCG(uint64(i), 9))
		seen := map[string]bool{}
		for range 120 {
			what, values, change := trials(a, rng)
			seen[what] = true
			v := a.Set.Clone()
			if values != nil {
				values(v)
			}
			want, err := on.afresh(v, change, false)
			require.NoError(t, err, what)
			got, err := on.Otherwise(values, nil, change)
			require.NoError(t, err, what)
			assert.InDelta(t, want.Cost, got.Cost, 1e-6, what)
			assert.InDelta(t, want.Price, got.Price, 1e-6, what)
			assert.Equal(t, want.Refused, got.Refused, what)
		}
		assert.Greater(t, len(seen), 18)
	}
}

// A fault of a row costs one row; what no row rests on costs none; what some
// rest on costs those. So no number of faults in rows is too many to weigh.
func TestWeighingCostsWhatAFaultReaches(t *testing.T) {
	a := weighedDemo(t)
	on := New(a)
	m := a.Model
	cost := func(values func(*compute.Values), change func(*compute.Joint, *compute.Line) bool) int {
		before := on.worked
		_, err := on.Otherwise(values, nil, change)
		require.NoError(t, err)
		return on.worked - before
	}
	assert.Zero(t, cost(nil, nil))
	assert.Zero(t, cost(func(v *compute.Values) { v.Singles.Num[m.Singles.Quantity("margin").Slot] = 0.2 }, nil))
	assert.Equal(t, 1, cost(nil, func(r *compute.Joint, _ *compute.Line) bool { return r != &a.Joints[5] }))
	assert.Equal(t, len(a.Joints), cost(func(v *compute.Values) { v.Singles.Num[m.Singles.Quantity("shop_rate").Slot] = 20 }, nil))
	setups, rest := m.Table("setups"), 0
	for i := range a.Set.Rows(setups).Frames {
		n := cost(func(v *compute.Values) { v.Rows(setups).Frames[i].Num[setups.Quantity("travel").Slot] = 1 }, nil)
		assert.Less(t, n, len(a.Joints))
		rest += n
	}
	assert.Equal(t, len(a.Joints), rest, "each row has found one set-up")
}

// weighedDemo is a demo order.
func weighedDemo(t *testing.T) *compute.Order { return weighed(t, "../../testdata/order.xlsx") }

// weighedOrder is a generated one.
func weighedOrder(t *testing.T) *compute.Order {
	t.Helper()
	data, err := sheetstest.GenerateOrder(24, 5, true)
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "order.xlsx")
	require.NoError(t, os.WriteFile(path, data, 0o644))
	return weighed(t, path)
}

func weighed(t *testing.T, path string) *compute.Order {
	t.Helper()
	o, err := sheets.Read(t.Context(), path, "")
	require.NoError(t, err)
	t.Cleanup(o.Close)
	return o.Order
}
