package compute

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/templates"
)

// An engine that is used again gives what a new one does.
func TestAgainIsAsNew(t *testing.T) {
	m, err := Load(templates.FS, US)
	require.NoError(t, err)
	rate, travel := m.Singles.Quantity("shop_rate"), m.Table("setups").Quantity("travel")
	line := func() *Line {
		l := m.NewLine()
		l.Clear()
		l.SetText(m.Line.Quantity("car"), "Demo car")
		for key, x := range map[string]float64{"qty": 30, "od": 3, "wall": 0.049} {
			l.Set(m.Line.Quantity(key), x)
		}
		return l
	}
	values := func(dearer float64, slower float64) *Values {
		v := m.Defaults()
		car := v.AddRow(m.Table("cars"))
		car.Text[m.Table("cars").Quantity("name").Slot] = "Demo car"
		car.Num[m.Table("cars").Quantity("ordered").Slot] = 2
		v.Singles.Num[rate.Slot] *= dearer
		v.Rows(m.Table("setups")).Frames[0].Num[travel.Slot] /= slower
		return v
	}
	fresh := func(v *Values) (*Engine, *Line) {
		e, err := NewEngine(v)
		require.NoError(t, err)
		l := line()
		out, err := e.Work(l, 0)
		require.NoError(t, err)
		require.False(t, out.Refused)
		_, err = e.Close()
		require.NoError(t, err)
		return e, l
	}
	e, worked := fresh(values(1, 1))
	first := slices.Clone(e.Values.Order.Num)

	other, _ := fresh(values(2, 3))
	e.Values.Singles.Num[rate.Slot] *= 2
	e.Values.Rows(m.Table("setups")).Frames[0].Num[travel.Slot] /= 3
	e.Again()
	_, err = e.Work(line(), 0)
	require.NoError(t, err)
	_, err = e.Close()
	require.NoError(t, err)
	assert.Equal(t, other.Values.Order.Num, e.Values.Order.Num)

	again, _ := fresh(values(1, 1))
	again.Again()
	again.Add(worked, 0)
	_, err = again.Close()
	require.NoError(t, err)
	assert.Equal(t, first, again.Values.Order.Num)
}

// What lines do not need leaves every figure of a line as it was, and of what
// they need nothing is forgotten that a look at the formulas shows.
func TestNeededBy(t *testing.T) {
	m, err := Load(templates.FS, US)
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
		q := m.quantityNamed(t, key)
		assert.Equal(t, want, need[q], key)
	}

	found := m.NeededBy([]*Quantity{m.Line.Quantity("setup_no"), m.Line.Quantity("stock_no")})
	for key, want := range map[string]bool{"default_setup": true, "default_alloy": true, "default_wire": false, "shop_rate": false} {
		assert.Equal(t, want, found[m.Singles.Quantity(key)], key)
	}
	assert.Equal(t, m.Table("alloys"), m.LookUps()[m.Line.Quantity("to_no")])
	assert.Len(t, m.LookUps(), 8)

	work := func(v *Values) []float64 {
		e, err := NewEngine(v)
		require.NoError(t, err)
		l := m.NewLine()
		l.Clear()
		l.SetText(m.Line.Quantity("car"), "Demo car")
		for key, x := range map[string]float64{"qty": 30, "od": 3, "wall": 0.049, "tube": 12} {
			l.Set(m.Line.Quantity(key), x)
		}
		_, err = e.Work(l, 0)
		require.NoError(t, err)
		return l.Frame.Num
	}
	want := work(m.Defaults())
	v := m.Defaults()
	for _, q := range m.Singles.Quantities {
		if q.Role == Assumption && !q.IsText() && !need[q] {
			v.Singles.Num[q.Slot] *= 1.5
		}
	}
	for _, table := range m.Tables {
		for _, q := range table.Quantities {
			for _, f := range v.Rows(table).Frames {
				if q.Role == Column && !q.IsText() && !need[q] {
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

func (m *Model) quantityNamed(t *testing.T, name string) *Quantity {
	t.Helper()
	for _, s := range m.Tables {
		for _, q := range s.Quantities {
			if s.Name+"."+q.Key == name {
				return q
			}
		}
	}
	t.Fatalf("no %s", name)
	return nil
}
