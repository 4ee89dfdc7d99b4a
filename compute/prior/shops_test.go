package prior

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/chance"
	"seamtally/compute/logged"
	"seamtally/compute/model"
	"seamtally/templates"
)

// joint is one of an invented car.
type joint struct {
	od, wall, bend float64
	qty            float64
}

// drawCar draws one: butt welds and bends of pies, of several sizes, more of the one or
// of the other.
func drawCar(rng *rand.Rand) (out []joint) {
	bends := rng.Float64()
	for range 12 {
		j := joint{od: []float64{2, 2.5, 3, 3.5}[rng.IntN(4)], wall: []float64{0.035, 0.049, 0.065}[rng.IntN(3)], qty: float64(1 + rng.IntN(3))}
		if rng.Float64() < bends {
			j.bend = []float64{30, 45, 90}[rng.IntN(3)]
		}
		out = append(out, j)
	}
	return out
}

// stagesOf are the stages' minutes of a car's joints, each longer or shorter by a
// scatter of rows, one in so many much longer.
func stagesOf(t *testing.T, e *compute.Engine, car []joint, row func() float64) (out [logged.Stages]float64) {
	t.Helper()
	m := e.Model
	wanted, err := spreadOf(m)
	require.NoError(t, err)
	for _, j := range car {
		l := compute.NewLine(m)
		l.Clear()
		l.SetText(m.Line.Quantity("car"), "example")
		l.Set(m.Line.Quantity("od"), j.od)
		l.Set(m.Line.Quantity("wall"), j.wall)
		l.Set(m.Line.Quantity("qty"), j.qty)
		if j.bend > 0 {
			l.SetText(m.Line.Quantity("kind"), "pie cut")
			l.Set(m.Line.Quantity("bend"), j.bend)
		}
		done, err := e.Work(l, 0)
		require.NoError(t, err)
		require.False(t, done.Refused)
		for s := range out {
			out[s] += wanted[s].Num(&l.Frame) * row()
		}
	}
	return out
}

// setupOf is an amount of the usual set-up.
func setupOf(v *compute.Values, q *model.Quantity) float64 {
	m := v.Model
	for _, f := range v.Rows(q.Scope).Frames {
		if q.Scope.Quantity("name").Text(f) == m.Singles.Quantity("default_setup").Text(v.Singles) {
			return q.Num(f)
		}
	}
	return math.NaN()
}

// Shops are drawn from the usual ranges, minutes with their correlation, and log cars
// of joints of every mix. The scatter is invented: a row 25 %, a car 8 %, one row in
// thirty 1.8 times as long. Hours of cars that they have not built yet, as worked out
// with what is shipped, are off by a fifth or so; with what they logged, by much less,
// and by less the more cars there are.
func TestShopsDrawnFromTheRangesAreFound(t *testing.T) {
	m, err := compute.Load(templates.FS, model.US)
	require.NoError(t, err)
	shipped := compute.Defaults(m)
	wanted, err := spreadOf(m)
	require.NoError(t, err)
	all, err := parts(shipped, wanted)
	require.NoError(t, err)
	before, err := Of(m, 0.5)
	require.NoError(t, err)
	const shops = 24
	off, rng := map[int]float64{}, rand.New(rand.NewPCG(7, 7))
	d := chance.Draws{Correlation: 0.5, Seed: 11}
	base := make([]float64, len(all))
	for k, p := range all {
		if p.q.Scope == m.Singles {
			base[k] = p.q.Num(shipped.Singles)
		} else {
			base[k] = setupOf(shipped, p.q)
		}
		d.Of = append(d.Of, chance.Triangle{Low: p.low, Mode: base[k], High: p.high})
		d.Together = append(d.Together, p.slow > 0)
	}
	require.NoError(t, d.Check())
	drawn := make([]float64, len(all))
	even := func() float64 { return 1 }
	asShipped, err := compute.NewEngine(compute.Defaults(m))
	require.NoError(t, err)
	for no := range shops {
		d.Trial(no, drawn)
		shop := compute.Defaults(m)
		for k, p := range all {
			p.set(shop, drawn[k])
		}
		own, err := compute.NewEngine(shop)
		require.NoError(t, err)
		uneven := func() float64 {
			x := math.Exp(0.25*rng.NormFloat64() - 0.25*0.25/2)
			if rng.IntN(30) == 0 {
				x *= 1.8
			}
			return x
		}
		var cars []logged.Car
		for range 15 {
			car := drawCar(rng)
			c := logged.Car{Clocked: math.NaN(), EstimateClocked: math.NaN(), Estimate: stagesOf(t, asShipped, car, even), Hand: before.Hand}
			c.Logged = stagesOf(t, own, car, uneven)
			u := math.Exp(0.08*rng.NormFloat64() - 0.08*0.08/2)
			for s := range c.Logged {
				c.Logged[s] *= u
			}
			cars = append(cars, c)
		}
		var next [][2][logged.Stages]float64
		for range 4 {
			car := drawCar(rng)
			next = append(next, [2][logged.Stages]float64{stagesOf(t, asShipped, car, even), stagesOf(t, own, car, even)})
		}
		for _, n := range []int{0, 1, 5, 15} {
			factors := [logged.Stages]float64{1, 1, 1}
			if n > 0 {
				f, err := logged.Minutes(cars[:n], logged.Options{Prior: before.Stages})
				require.NoError(t, err)
				for s := range factors {
					factors[s] = f.Stages[s].Value
				}
			}
			for _, c := range next {
				var estimate, is float64
				for s := range factors {
					estimate, is = estimate+factors[s]*c[0][s], is+c[1][s]
				}
				off[n] += math.Abs(estimate/is-1) / float64(shops*len(next))
			}
		}
	}
	t.Logf("off by: %.3f as shipped, %.3f of one car, %.3f of five, %.3f of fifteen", off[0], off[1], off[5], off[15])
	assert.Greater(t, off[0], 0.12)
	assert.Less(t, off[1], off[0])
	assert.Less(t, off[5], 0.08)
	assert.Less(t, off[5], off[0]/2)
	assert.Less(t, off[15], 0.06)
	assert.Less(t, off[15], off[5])
}
