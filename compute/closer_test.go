package compute

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/model"
	"seamtally/templates"
)

// closing is an order that a test works out twice: by a closer, step by step,
// and by a new engine.
type closing struct {
	m      *model.Model
	engine *Engine
	closer *Closer
	lines  []*Line // as typed; nil where there is none
	in     []Amounts
}

func newClosing(t *testing.T, figures ...string) *closing {
	m, err := Load(templates.FS, model.US)
	require.NoError(t, err)
	v := Defaults(m)
	for _, name := range []string{"Demo one", "Demo two", "Demo three"} {
		car := v.AddRow(m.Table("cars"))
		car.Text[m.Table("cars").Quantity("name").TextSlot] = name
		car.Num[m.Table("cars").Quantity("ordered").Slot] = 2
	}
	for i, f := range v.Rows(m.Table("stock")).Frames { // some of it is charged by whole sticks
		f.Text[m.Table("stock").Quantity("charge").TextSlot] = []string{"used", "whole sticks"}[i%2]
	}
	c := &closing{m: m, lines: make([]*Line, 12), in: make([]Amounts, 12)}
	c.engine, err = NewEngine(v)
	require.NoError(t, err)
	var of []*model.Quantity
	for _, key := range figures {
		of = append(of, m.OrderOf.Quantity(key))
	}
	c.closer, err = c.engine.Closer(of...)
	require.NoError(t, err)
	return c
}

// afresh is the order as a new engine works it out.
func (c *closing) afresh(t *testing.T) []float64 {
	e, err := NewEngine(c.engine.Values.Clone())
	require.NoError(t, err)
	for at, x := range c.engine.Values.held {
		e.Values.Hold(at, x)
	}
	for i, l := range c.lines {
		if l != nil {
			_, err := e.Work(l.Clone(), i%2)
			require.NoError(t, err)
		}
	}
	_, err = e.Close()
	require.NoError(t, err)
	return e.Values.Order.Num
}

// put puts a line into a place, in which there may be another or none.
func (c *closing) put(t *testing.T, i int, l *Line) {
	if c.in[i] != nil {
		c.closer.Take(c.in[i], i%2)
	}
	c.lines[i], c.in[i] = l, nil
	if l == nil {
		return
	}
	a, err := c.closer.Work(l.Clone())
	require.NoError(t, err)
	if c.in[i] = a; a != nil {
		c.closer.Put(a, i%2)
	}
}

// Whatever comes, goes and changes, in whichever order, the closer gives to the
// last bit but one what a new engine gives.
func TestCloserIsAsNew(t *testing.T) {
	t.Parallel()
	figures := []string{"order_price", "order_cost", "order_hours", "days", "bottles", "money_tube", "order_margin"}
	for seed := range uint64(4) {
		rng := rand.New(rand.NewPCG(seed, 3))
		c := newClosing(t, figures...)
		stock, setups, cars, parts := c.m.Table("stock"), c.m.Table("setups"), c.m.Table("cars"), c.m.Table("parts")
		line := func() *Line {
			l := NewLine(c.m)
			l.Clear()
			l.SetText(c.m.Line.Quantity("car"), []string{"Demo one", "Demo two", "Demo three"}[rng.IntN(3)])
			l.Set(c.m.Line.Quantity("qty"), float64(1+rng.IntN(9)))
			l.Set(c.m.Line.Quantity("tube"), float64(rng.IntN(60)))
			f := c.engine.Values.Rows(stock).Frames[rng.IntN(3)]
			l.Set(c.m.Line.Quantity("od"), stock.Quantity("od").Num(f))
			l.Set(c.m.Line.Quantity("wall"), stock.Quantity("wall").Num(f))
			return l
		}
		anew := func() { // what lines are worked out with has changed
			for i, l := range c.lines {
				c.put(t, i, l)
			}
		}
		for range 60 {
			switch rng.IntN(8) {
			case 0:
				c.put(t, rng.IntN(12), nil)
			case 1:
				c.engine.Values.Singles.Num[c.m.Singles.Quantity("margin").Slot] = 0.1 + 0.3*rng.Float64()
				c.closer.Renew()
			case 2:
				c.engine.Values.Singles.Num[c.m.Singles.Quantity("shop_rate").Slot] = 60 + 60*rng.Float64()
				c.closer.Renew()
				anew()
			case 3:
				no := 1 + rng.IntN(3)
				c.engine.Values.Rows(stock).Frames[no-1].Num[stock.Quantity("price").Slot] = 10 + 20*rng.Float64()
				c.closer.RenewRow(stock, no)
				anew()
			case 4:
				c.engine.Values.Rows(cars).Frames[1].Num[cars.Quantity("ordered").Slot] = float64(1 + rng.IntN(5))
				c.closer.RenewRow(cars, 2)
				anew()
			case 5:
				f := c.engine.Values.Rows(parts).Frames[0]
				f.Num[parts.Quantity("quantity").Slot], f.Num[parts.Quantity("cost_each").Slot] = 1, float64(rng.IntN(90))
				c.closer.RenewRow(parts, 1)
			case 6:
				c.engine.Values.Rows(setups).Frames[0].Num[setups.Quantity("travel").Slot] = 2 + 2*rng.Float64()
				c.closer.RenewRow(setups, 1)
				anew()
			default:
				c.put(t, rng.IntN(12), line())
			}
			c.closer.Close()
			want := c.afresh(t)
			for _, key := range figures {
				q := c.m.OrderOf.Quantity(key)
				x, y := want[q.Slot], q.Num(c.engine.Values.Order)
				if x != x && y != y {
					continue // both blank: no price, no margin
				}
				assert.InEpsilon(t, 1+x, 1+y, 1e-14, key)
			}
		}
	}
}

// A held figure holds in a closer too, and no longer once it is let go.
func TestCloserWithHeldFigures(t *testing.T) {
	c := newClosing(t, "order_price", "order_cost")
	price := c.m.OrderOf.Quantity("order_price")
	look := func() float64 {
		c.closer.Close()
		assert.Equal(t, c.afresh(t)[price.Slot], price.Num(c.engine.Values.Order))
		return price.Num(c.engine.Values.Order)
	}
	l := NewLine(c.m)
	l.Clear()
	l.SetText(c.m.Line.Quantity("car"), "Demo two")
	for key, x := range map[string]float64{"qty": 30, "od": 3, "wall": 0.049} {
		l.Set(c.m.Line.Quantity(key), x)
	}
	c.put(t, 4, l)
	before := look()
	var cars *model.Scope
	for _, s := range c.m.Summary {
		if s.Name == "cars" {
			cars = s
		}
	}
	c.engine.Values.Hold(Place{cars.Quantity("cost_car"), 2}, 10)
	c.closer.Renew()
	assert.Less(t, look(), before)
	c.engine.Values.LetGo()
	c.closer.Renew()
	assert.Equal(t, before, look())
}

// The few lines that an order has are there when the others have gone, to the
// last digit.
func TestCloserForgets(t *testing.T) {
	c := newClosing(t, "order_hours")
	hours := c.m.OrderOf.Quantity("order_hours")
	line := func(qty float64) *Line {
		l := NewLine(c.m)
		l.Clear()
		l.SetText(c.m.Line.Quantity("car"), "Demo two")
		for key, x := range map[string]float64{"qty": qty, "od": 3, "wall": 0.049} {
			l.Set(c.m.Line.Quantity(key), x)
		}
		return l
	}
	c.put(t, 1, line(1))
	c.closer.Close()
	alone := hours.Num(c.engine.Values.Order)
	big := slices.Repeat([]float64{1e5, 3, 7777}, 3)
	for i, qty := range big {
		c.put(t, 2+i, line(qty))
		c.closer.Close()
	}
	for i := range big {
		c.put(t, 2+i, nil)
	}
	c.closer.Close()
	assert.Equal(t, alone, hours.Num(c.engine.Values.Order))
}
