package compute

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/model"
	"seamtally/templates"
)

// A held figure keeps its number, and what rests on it follows.
func TestHeldFigures(t *testing.T) {
	m, err := Load(templates.FS, model.US)
	require.NoError(t, err)
	price := func(hold func(*Values)) (cost, price float64) {
		v := Defaults(m)
		car := v.AddRow(m.Table("cars"))
		car.Text[m.Table("cars").Quantity("name").TextSlot] = "Demo car"
		car.Num[m.Table("cars").Quantity("ordered").Slot] = 2
		hold(v)
		e, err := NewEngine(v)
		require.NoError(t, err)
		l := NewLine(m)
		l.Clear()
		l.SetText(m.Line.Quantity("car"), "Demo car")
		l.SetText(m.Line.Quantity("kind"), "butt")
		for key, x := range map[string]float64{"qty": 30, "od": 3, "wall": 0.049} {
			l.Set(m.Line.Quantity(key), x)
		}
		out, err := e.Work(l, 0)
		require.NoError(t, err)
		require.False(t, out.Refused)
		_, err = e.Close()
		require.NoError(t, err)
		return m.OrderOf.Quantity("order_cost").Num(v.Order), m.OrderOf.Quantity("order_price").Num(v.Order)
	}
	var cars *model.Scope
	for _, s := range m.Summary {
		if s.Name == "cars" {
			cars = s
		}
	}
	require.NotNil(t, cars)
	cost, asked := price(func(*Values) {})
	assert.Greater(t, asked, cost)

	held, _ := price(func(v *Values) { v.Hold(Place{m.OrderOf.Quantity("order_cost"), 0}, 12) })
	assert.Equal(t, 12.0, held)

	held, _ = price(func(v *Values) { v.Hold(Place{cars.Quantity("cost_car"), 1}, 100) })
	assert.Equal(t, 200.0, held, "two cars")

	held, _ = price(func(v *Values) { v.Hold(Place{cars.Quantity("cost_car"), 2}, 100) })
	assert.Equal(t, cost, held, "there is no second car")

	_, other := price(func(v *Values) {
		v.HoldSum(0, m.Line.Quantity("floor_time"), m.Line.Quantity("car_no"), 1, 0)
	})
	assert.Less(t, other, asked)
}
