package terms_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/compute/terms"
)

// amount is a random expression, as terms and as what it comes to.
type amount struct {
	terms.Value
	at func(in []float64) float64
}

// grow makes an expression of some depth over five inputs; fn is MAX.
func grow(s *terms.Split, fn int, rng *rand.Rand, deep int) amount {
	if deep == 0 {
		if k := rng.IntN(7); k < 5 {
			return amount{s.Input(k), func(in []float64) float64 { return in[k] }}
		}
		x := 1 + rng.Float64()
		return amount{terms.Known(x, rng.IntN(2) == 0), func([]float64) float64 { return x }}
	}
	a, b := grow(s, fn, rng, deep-1), grow(s, fn, rng, deep-1)
	switch rng.IntN(5) {
	case 0:
		return amount{s.Call(fn, []terms.Value{a.Value, b.Value}), func(in []float64) float64 { return max(a.at(in), b.at(in)) }}
	case 1:
		return amount{s.Over(a.Value, b.Value), func(in []float64) float64 { return a.at(in) / b.at(in) }}
	case 2:
		return amount{s.Times(a.Value, b.Value), func(in []float64) float64 { return a.at(in) * b.at(in) }}
	case 3:
		return amount{a.Scale(func(x float64) float64 { return 2 * x }), func(in []float64) float64 { return 2 * a.at(in) }}
	}
	return amount{s.Add(a.Value, b.Value), func(in []float64) float64 { return a.at(in) + b.at(in) }}
}

func greatest() func([]float64) float64 {
	return func(of []float64) float64 { return max(of[0], of[1]) }
}

// Sums of many random amounts come to what these come to one by one.
func TestSumsOfAmounts(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		s := terms.NewSplit()
		fn := s.Func(greatest)
		var sums []*terms.Sum
		var of [][]amount
		for k := range 4 {
			sums, of = append(sums, &terms.Sum{}), append(of, nil)
			for range 5 {
				a := grow(s, fn, rng, 1+rng.IntN(4))
				if k > 0 && rng.IntN(2) == 0 {
					a = of[k-1][rng.IntN(5)]
				}
				sums[k].Add(a.Value, 3)
				of[k] = append(of[k], a)
			}
		}
		run := s.Compile(sums).Runner()
		out := make([]float64, len(sums))
		for range 5 {
			in := make([]float64, 5)
			for i := range in {
				in[i] = 0.5 + rng.Float64()
			}
			run.Run(in, out)
			for k, x := range out {
				want := 0.0
				for _, a := range of[k] {
					want += 3 * a.at(in)
				}
				assert.InEpsilon(t, want, x, 1e-11)
			}
		}
	}
}

// What is no number goes through, whatever it meets; nothing is divided by 0.
func TestNoNumbers(t *testing.T) {
	s := terms.NewSplit()
	fn := s.Func(greatest)
	sums := []*terms.Sum{{}, {}, {}, {}}
	sums[0].Add(s.Over(terms.Known(1, false), s.Input(0)), 1)
	sums[1].Add(s.Call(fn, []terms.Value{s.Over(terms.Known(-1, false), s.Input(0)), s.Input(1)}), 1)
	sums[2].Add(s.Over(s.Input(1), terms.Known(0, false)), 1)
	sums[3].Add(s.Times(s.Times(s.Input(1), s.Input(1)), s.Input(1)), 1)
	out := make([]float64, 4)
	run := s.Compile(sums).Runner()
	run.Run([]float64{0, 1e200}, out)
	for i, x := range out {
		assert.True(t, math.IsNaN(x), "sum %d is %v", i, x)
	}
	run.Run([]float64{2, 3}, out)
	assert.Equal(t, []float64{0.5, 3, 27}, []float64{out[0], out[1], out[3]})
}

// Rows are added up once for all sums that have them in one proportion: another such
// sum costs a few steps, however many rows there are.
func TestRowsInProportion(t *testing.T) {
	places := func(sums int) int {
		s := terms.NewSplit()
		fn := s.Func(greatest)
		var out []*terms.Sum
		for k := range sums {
			sum := &terms.Sum{}
			for i := range 50 {
				most := s.Call(fn, []terms.Value{s.Times(terms.Known(float64(i), false), s.Input(0)), s.Input(1)})
				sum.Add(s.Times(s.Times(most, s.Input(2+k)), terms.Known(0.1*float64(i+1)*float64(k+1)/3, false)), 1)
			}
			out = append(out, sum)
		}
		return s.Compile(out).Steps()
	}
	assert.Less(t, places(5), places(1)+10)
}
