package model_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/templates"
)

// What lines do not need leaves every figure of a line as it was, and of what
// they need nothing is forgotten that a look at the formulas shows.
func TestNeededBy(t *testing.T) {
	m, err := compute.Load(templates.FS, model.US)
	require.NoError(t, err)
	need := m.NeededBy(m.Line.Quantities)
	for _, key := range []string{"shop_rate", "argon_price", "default_setup", "clr_per_od", "restart_clean"} {
		assert.True(t, need[m.Singles.Quantity(key)], key)
	}
	for _, key := range []string{"margin", "rush", "overhead", "price_step", "coupons"} {
		require.NotNil(t, m.Singles.Quantity(key), key)
		assert.False(t, need[m.Singles.Quantity(key)], key)
	}
	for key, want := range map[string]bool{"setups.travel": true, "stock.price": true, "stock.stick": false, "setups.kit_price": false, "walls.factor": true, "walls.to": true, "cars.name": true, "parts.quantity": false, "cars.bid": false, "alloys.density": true, "edge.point": true} {
		table, column, _ := strings.Cut(key, ".")
		assert.Equal(t, want, need[m.Table(table).Quantity(column)], key)
	}

	found := m.NeededBy([]*model.Quantity{m.Line.Quantity("setup_no"), m.Line.Quantity("stock_no")})
	for key, want := range map[string]bool{"default_setup": true, "default_alloy": true, "default_wire": false, "shop_rate": false} {
		assert.Equal(t, want, found[m.Singles.Quantity(key)], key)
	}
	assert.Equal(t, m.Table("alloys"), m.LookUps()[m.Line.Quantity("to_no")])
	assert.Len(t, m.LookUps(), 8)

	work := func(v *compute.Values) []float64 {
		e, err := compute.NewEngine(v)
		require.NoError(t, err)
		l := compute.NewLine(m)
		l.Clear()
		l.SetText(m.Line.Quantity("car"), "Demo car")
		for key, x := range map[string]float64{"qty": 30, "od": 3, "wall": 0.049, "tube": 12} {
			l.Set(m.Line.Quantity(key), x)
		}
		_, err = e.Work(l, 0)
		require.NoError(t, err)
		return l.Frame.Num
	}
	want := work(compute.Defaults(m))
	v := compute.Defaults(m)
	for _, q := range m.Singles.Quantities {
		if q.Role == model.Assumption && !q.IsText() && !need[q] {
			v.Singles.Num[q.Slot] *= 1.5
		}
	}
	for _, table := range m.Tables {
		for _, q := range table.Quantities {
			for _, f := range v.Rows(table).Frames {
				if q.Role == model.Column && !q.IsText() && !need[q] {
					f.Num[q.Slot] *= 1.5
				}
			}
		}
	}
	got := work(v)
	for i := range want {
		assert.InDelta(t, want[i], got[i], 0, m.Line.Quantities[i].Key)
	}
}
