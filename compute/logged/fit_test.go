package logged_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/logged"
)

// cars have their minutes at the given logarithms over estimates of 100.
func cars(logs ...[logged.Stages]float64) (out []logged.Car) {
	for _, log := range logs {
		c := logged.Car{Clocked: math.NaN(), EstimateClocked: math.NaN(), Hand: [logged.Stages]float64{1, 1, 1}}
		for s, y := range log {
			c.Estimate[s], c.Logged[s] = 100, 100*math.Exp(y)
		}
		out = append(out, c)
	}
	return out
}

// even is a prior of a on its own and b in common.
func even(a, b float64) (p logged.Prior) {
	for s := range p {
		for t := range p {
			p[s][t] = b
		}
		p[s][s] += a
	}
	return p
}

// Three cars by hand. The stages' means are 0.2, 0.2 and 0.4: in common 0.8/3, apart
// -1/15, -1/15, 2/15. In common the prior has 0.03+3*0.02 = 0.09, the cars
// (0.03+3*0.05)/3 = 0.06: of what they have in common 0.6 is believed. Apart it is
// 0.03 against 0.03/3 = 0.01: 0.75. So 0.16-0.05 = 0.11, 0.11 and 0.16+0.1 = 0.26.
// What is left: in common 0.6*0.06 = 0.036, apart 0.75*0.01 = 0.0075; a stage has a
// third of one and two thirds of the other.
func TestThreeCarsByHand(t *testing.T) {
	logs := cars([3]float64{0.1, 0.2, 0.3}, [3]float64{0.3, 0.1, 0.2}, [3]float64{0.2, 0.3, 0.7})
	mean, cov, err := logged.Given(logs, logged.Options{Prior: even(0.03, 0.02)}, false, math.Sqrt(0.05), math.Sqrt(0.03))
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{0.11, 0.11, 0.26}, mean, 1e-12)
	for s := range cov {
		for u := range cov {
			want := 0.036/3 - 0.0075/3
			if s == u {
				want = 0.036/3 + 0.0075*2/3
			}
			assert.InDelta(t, want, cov[s][u], 1e-12)
		}
	}
}

// A car of which the hours alone were clocked moves each stage by what it has in
// common with the whole. Shares of 1/2, 1/4, 1/4: the prior of the whole is
// 0.03*(1/4+1/16+1/16)+0.02 = 0.03125, the car's own 0.05+0.03*0.375 = 0.06125; the
// first stage goes with the whole by 0.03/2+0.02 = 0.035, the others by 0.0275.
func TestClockedMinutesTellOfTheCommonPart(t *testing.T) {
	c := logged.Car{Estimate: [3]float64{200, 100, 100}, EstimateClocked: 520, Clocked: 520 * math.Exp(0.37)}
	for s := range c.Logged {
		c.Logged[s] = math.NaN()
	}
	mean, _, err := logged.Given([]logged.Car{c}, logged.Options{Prior: even(0.03, 0.02)}, false, math.Sqrt(0.05), math.Sqrt(0.03))
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{0.035 * 4, 0.0275 * 4, 0.0275 * 4}, mean, 1e-12) // 0.37/0.0925 = 4
	f, err := logged.Minutes([]logged.Car{c}, logged.Options{Prior: even(0.03, 0.02)})
	require.NoError(t, err)
	for s, r := range f.Stages {
		assert.Equal(t, 1, r.Clocked, s)
		assert.Zero(t, r.Logged)
		assert.Greater(t, r.Value, 1.02)
		assert.Equal(t, logged.TooFew, r.Judge(1))
	}
}

// Without anything thought beforehand the ratios are those of least squares: with
// all stages of all cars logged the plain means, whatever the scatter of cars; with
// some missing and no such scatter too. The normal equations are solved by hand here.
func TestFlatPriorIsLeastSquares(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	s := drawShop(rng, 12, false)
	var sum, n [3]float64
	var some []logged.Car
	for _, c := range s.cars {
		c.Clocked = math.NaN()
		some = append(some, c)
		for k := range c.Logged {
			if !math.IsNaN(c.Logged[k]) {
				sum[k] += math.Log(c.Logged[k] / c.Estimate[k])
				n[k]++
			}
		}
	}
	mean, cov, err := logged.Given(some, logged.Options{Prior: even(1, 0)}, true, 0, 0.2)
	require.NoError(t, err)
	for k := range mean {
		assert.InDelta(t, sum[k]/n[k], mean[k], 1e-12)
		assert.InDelta(t, 0.04/n[k], cov[k][k], 1e-12)
	}
	whole := cars([3]float64{0.1, 0.2, 0.3}, [3]float64{0.3, 0.1, 0.2}, [3]float64{0.2, 0.3, 0.7})
	mean, _, err = logged.Given(whole, logged.Options{Prior: even(1, 0)}, true, 0.5, 0.2)
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{0.2, 0.2, 0.4}, mean, 1e-12)

	for i := range whole {
		whole[i].Logged[1] = math.NaN()
	}
	_, _, err = logged.Given(whole, logged.Options{Prior: even(1, 0)}, true, 0.5, 0.2)
	assert.ErrorContains(t, err, "do not settle", "a stage that nobody logged, with nothing thought of it")
}

// The order of the records is nothing, and the same is said again.
func TestOrderOfRecordsIsNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 2))
	s := drawShop(rng, 20, true)
	first, err := logged.Minutes(s.cars, logged.Options{Prior: prior(), FitSlope: true})
	require.NoError(t, err)
	mixed := append([]logged.Car{}, s.cars...)
	to := rng.Perm(len(mixed))
	for i, j := range to {
		mixed[j] = s.cars[i]
	}
	second, err := logged.Minutes(mixed, logged.Options{Prior: prior(), FitSlope: true})
	require.NoError(t, err)
	for k := range first.Stages {
		assert.InEpsilon(t, first.Stages[k].Value, second.Stages[k].Value, 1e-6)
		assert.InEpsilon(t, first.Stages[k].Low, second.Stages[k].Low, 1e-6)
		assert.Equal(t, first.Stages[k].Count, second.Stages[k].Count)
	}
	assert.InEpsilon(t, first.Slope.Value, second.Slope.Value, 1e-6)
	for i, j := range to {
		assert.InDelta(t, first.Weights[i], second.Weights[j], 1e-5)
	}
}

// A car whose hours were typed as minutes, or twice, is named, and moves the ratio
// little.
func TestOneCarFarOff(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 4))
	var logs [][3]float64
	for range 9 {
		u := 0.08 * rng.NormFloat64()
		logs = append(logs, [3]float64{0.3 + u + 0.08*rng.NormFloat64(), 0.1 + u + 0.08*rng.NormFloat64(), u + 0.08*rng.NormFloat64()})
	}
	sound, err := logged.Minutes(cars(logs...), logged.Options{Prior: prior()})
	require.NoError(t, err)
	assert.Empty(t, sound.Far())
	off := cars(logs...)
	off[4].Logged[2] *= 3
	f, err := logged.Minutes(off, logged.Options{Prior: prior()})
	require.NoError(t, err)
	assert.Equal(t, []int{4}, f.Far())
	assert.Greater(t, f.Residuals[4][2], 0.9)
	assert.InDelta(t, sound.Stages[2].Value, f.Stages[2].Value, 0.05)
	mean := 0.0
	for _, c := range off {
		mean += c.Logged[2] / 900
	}
	assert.Greater(t, mean-sound.Stages[2].Value, 0.15, "the plain mean goes with it")
}

// The ratio is that of the mean: hours of many cars come out right in the sum, where
// the median of what was logged would be low. By a scatter of 40 % that is 8 %.
func TestMeanAndNotMedian(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 4))
	var logs [][3]float64
	sum, logs0 := 0.0, 0.0
	for range 400 {
		y := 0.2 + 0.4*rng.NormFloat64()
		logs = append(logs, [3]float64{y, 0.4 * rng.NormFloat64(), 0.4 * rng.NormFloat64()})
		sum += math.Exp(y) / 400
		logs0 += y / 400
	}
	f, err := logged.Minutes(cars(logs...), logged.Options{Prior: prior()})
	require.NoError(t, err)
	assert.InEpsilon(t, sum, f.Stages[0].Value, 0.03)
	assert.Less(t, math.Exp(logs0), 0.95*f.Stages[0].Value)
	assert.InDelta(t, 0.4/math.Sqrt(3), f.OneCar, 0.05, "three stages, each on its own")
}

// Known ratios come back from 5, 15 and 40 cars, and how far off they may be is as
// told. The shop's scatter is invented: a car 8 %, a stage 8 %, one stage in thirty
// 1.8 times as long. Ratios as shipped, and one ratio for all stages, do worse with a
// new car of another make-up.
func TestKnownRatiosComeBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 4))
	const shops = 60
	newCar := [3]float64{0.1, 0.7, 0.2}
	for _, c := range []struct {
		cars  int
		least float64
	}{{1, 0.11}, {5, 0.06}, {15, 0.04}, {40, 0.03}} {
		var off, shipped, same, told, within, next float64
		for range shops {
			s := drawShop(rng, 0, false)
			var all []logged.Car
			var sumLogged, sumEstimate float64
			for range c.cars {
				car := logged.Car{Clocked: math.NaN()}
				u := 0.08 * rng.NormFloat64()
				for k := range car.Logged {
					car.Estimate[k] = []float64{60, 200, 300}[k] * (0.7 + 0.6*rng.Float64())
					car.Logged[k] = car.Estimate[k] * math.Exp(s.theta[k]+u+0.08*rng.NormFloat64())
					if rng.IntN(30) == 0 {
						car.Logged[k] *= 1.8
					}
					sumLogged, sumEstimate = sumLogged+car.Logged[k], sumEstimate+car.Estimate[k]
				}
				all = append(all, car)
			}
			f, err := logged.Minutes(all, logged.Options{Prior: prior()})
			require.NoError(t, err)
			var is, fitted float64
			for k, w := range newCar {
				is += w * math.Exp(s.theta[k]+0.08*0.08) * (29 + 1.8) / 30
				fitted += w * f.Stages[k].Value
			}
			off += math.Abs(fitted/is-1) / shops
			shipped += math.Abs(1/is-1) / shops
			same += math.Abs(sumLogged/sumEstimate/is-1) / shops
			told += f.Mean / shops
			if math.Abs(math.Log(fitted/is)) < 1.2816*f.Mean {
				within += 1. / shops
			}
			var built float64 // the next car, as it comes out
			u := 0.08 * rng.NormFloat64()
			for k, w := range newCar {
				built += w * math.Exp(s.theta[k]+u+0.08*rng.NormFloat64())
			}
			if math.Abs(math.Log(built/fitted)) < 1.2816*f.OneCar {
				next += 1. / shops
			}
		}
		t.Logf("%2d cars: %.3f off, told %.3f (%.2f within, %.2f of next cars); as shipped %.3f, one ratio %.3f", c.cars, off, told, within, next, shipped, same)
		assert.InDelta(t, 0.8, within, 0.16, "three deviations of sixty")
		assert.Greater(t, next, 0.64, "no more cars are off than is told")
		assert.Less(t, off, c.least)
		assert.Less(t, off, shipped/2)
		if c.cars >= 5 {
			assert.Less(t, off, same)
		}
	}
}

// A run of 16 cars that learns by 90 %: without learning its first car is 22 % low
// and a car after it 20 % high, as the fit of the mean leaves them; with it the first
// car's ratio and the slope come back.
func TestLearningIsFittedBeside(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 4))
	power := math.Log2(0.9)
	var logs [][3]float64
	for k := 1; k <= 16; k++ {
		y := logged.Learned(k, power, 1)
		logs = append(logs, [3]float64{y + 0.03*rng.NormFloat64(), y + 0.03*rng.NormFloat64(), y + 0.03*rng.NormFloat64()})
	}
	run := cars(logs...)
	plain, err := logged.Minutes(run, logged.Options{Prior: prior()})
	require.NoError(t, err)
	for i := range run {
		run[i].Number = i + 1
	}
	f, err := logged.Minutes(run, logged.Options{Prior: prior(), FitSlope: true})
	require.NoError(t, err)
	assert.InDelta(t, 0.9, f.Slope.Value, 0.01)
	assert.Less(t, f.Slope.Low, 0.9)
	assert.Greater(t, f.Slope.High, 0.9)
	assert.Equal(t, 16, f.Slope.Count)
	known, err := logged.Minutes(run, logged.Options{Prior: prior(), Slope: 0.9})
	require.NoError(t, err)
	for s := range f.Stages {
		assert.InDelta(t, 1, f.Stages[s].Value, 0.05)
		assert.InDelta(t, 1, known.Stages[s].Value, 0.02)
		assert.InDelta(t, 0.66, plain.Stages[s].Value, 0.04) // 16^log2(0.9) = 0.656
	}
	assert.Zero(t, plain.Slope.Count)
	// Means to the power of a run's length: 2^power of two, summed from the units.
	sum := 0.0
	for k := 1; k <= 8; k++ {
		sum += math.Exp(logged.Learned(k, power, 1)) / 8
	}
	assert.InDelta(t, 0.9*0.9*0.9, sum, 1e-12)
}

// What cannot be fitted is said.
func TestNothingToFit(t *testing.T) {
	_, err := logged.Minutes(nil, logged.Options{Prior: prior()})
	assert.ErrorIs(t, err, logged.ErrNothing)
	_, err = logged.Minutes([]logged.Car{{Logged: [3]float64{10, 0, 0}}}, logged.Options{Prior: prior()})
	assert.ErrorIs(t, err, logged.ErrNothing, "minutes without an estimate")
	_, err = logged.Minutes(cars([3]float64{}), logged.Options{})
	assert.ErrorContains(t, err, "no covariance")
	_, err = logged.Amounts(nil, 0, 0.3)
	assert.ErrorIs(t, err, logged.ErrNothing)
}

func TestVerdicts(t *testing.T) {
	r := logged.Ratio{Value: 1.1, Spread: 0.1, Count: 5}
	assert.Equal(t, logged.Write, r.Judge(1))
	assert.Equal(t, logged.Keep, r.Judge(1.08))
	r.Count = 4
	assert.Equal(t, logged.TooFew, r.Judge(1))
}

// Gas and rods: with much logged the ratio is that of the sums; a bottle more or less
// counts as much as it may be off.
func TestAmounts(t *testing.T) {
	var many []logged.Amount
	for i := range 40 {
		many = append(many, logged.Amount{Used: 130 + float64(i%3), Estimate: 100, Cars: 1, Ends: 1})
	}
	r, err := logged.Amounts(many, 0, 0.3)
	require.NoError(t, err)
	assert.InDelta(t, 1.31, r.Value, 0.01)
	assert.Equal(t, 40, r.Count)
	assert.True(t, r.Low < r.Value && r.Value < r.High)

	one, err := logged.Amounts([]logged.Amount{{Used: 2, Estimate: 1, Cars: 1, Ends: 3}}, 0, 0.3)
	require.NoError(t, err)
	assert.True(t, one.Value > 1 && one.Value < 1.5, "one car of two bottles tells little: %v", one.Value)
	whole, err := logged.Amounts([]logged.Amount{{Used: 40, Estimate: 20, Cars: 20, Squares: 1. / 20, Ends: 3}}, 0, 0.3)
	require.NoError(t, err)
	assert.Less(t, whole.Spread, one.Spread)
	none, err := logged.Amounts([]logged.Amount{{Used: 0, Estimate: 1}, {Used: 3, Estimate: 3, Cars: 2}}, 0, 0.3)
	require.NoError(t, err)
	assert.Equal(t, 2, none.Count, "of nothing used no ratio can be taken")
}

// A thousand cars in a second.
func BenchmarkThousandCars(b *testing.B) {
	s := drawShop(rand.New(rand.NewPCG(1, 1)), 1000, true)
	for name, learning := range map[string]bool{"plain": false, "with learning": true} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := logged.Minutes(s.cars, logged.Options{Prior: prior(), FitSlope: learning}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
