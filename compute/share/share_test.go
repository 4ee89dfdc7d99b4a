package share

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// tabled is a valuation from a list: the value of a set of changes stands at
// the sum of 2^i over the changes i in it.
func tabled(v []int64) Valuation {
	return func(made Set) (int64, error) {
		if len(made) == 0 {
			return v[0], nil
		}
		return v[made[0]], nil
	}
}

// means are the shares as fractions.
func means(t require.TestingT, all []Share, err error) []string {
	require.NoError(t, err)
	var out []string
	for _, s := range all {
		out = append(out, s.Mean.RatString())
	}
	return out
}

// Two changes that help one another, worked by hand: alone they make 4 and 1,
// together 10. Made first and made second, the one makes 4 and 9, the other 1
// and 6.
func TestTwoChangesByHand(t *testing.T) {
	got, err := Exact(2, tabled([]int64{10, 14, 11, 20}))
	assert.Equal(t, []string{"13/2", "7/2"}, means(t, got, err))
	assert.Equal(t, []int64{7, 3}, Whole(got, 10), "of equal halves the first in the list gets the whole")
}

// The gloves of the textbooks on cooperative games (from memory): one has a
// left glove, two have a right one, and a pair is worth 1. The shares are 2/3,
// 1/6 and 1/6.
func TestGloves(t *testing.T) {
	v := make([]int64, 8)
	for set := range v {
		if set&1 == 1 && set > 1 {
			v[set] = 1
		}
	}
	got, err := Exact(3, tabled(v))
	assert.Equal(t, []string{"2/3", "1/6", "1/6"}, means(t, got, err))
}

// The runway of S. C. Littlechild and G. Owen, "A simple expression for the
// Shapley value in a special case", 1973 (from memory): planes that need 1, 2
// and 3 lengths share each length among those that need it.
func TestRunway(t *testing.T) {
	v := make([]int64, 8)
	for set := range v {
		for i := range 3 {
			if set>>i&1 == 1 {
				v[set] = int64(i + 1)
			}
		}
	}
	got, err := Exact(3, tabled(v))
	assert.Equal(t, []string{"1/3", "5/6", "11/6"}, means(t, got, err))
}

// byAllOrders is the mean over every order, one after another.
func byAllOrders(n int, v []int64) []string {
	sum, orders := make([]int64, n), int64(0)
	var next func(set int, effects []int64)
	next = func(set int, effects []int64) {
		if set == 1<<n-1 {
			orders++
			for i, d := range effects {
				sum[i] += d
			}
			return
		}
		for i := range n {
			if set>>i&1 == 0 {
				effects[i] = v[set|1<<i] - v[set]
				next(set|1<<i, effects)
			}
		}
	}
	next(0, make([]int64, n))
	out := make([]string, n)
	for i := range out {
		out[i] = big.NewRat(sum[i], orders).RatString()
	}
	return out
}

// worth draws the values of all sets of n changes.
func worth(t *rapid.T, n int) []int64 {
	return rapid.SliceOfN(rapid.Int64Range(-5000, 5000), 1<<n, 1<<n).Draw(t, "values")
}

func TestExactSharesAreThoseOfAllOrders(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy")
	}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "n")
		v := worth(t, n)
		got, err := Exact(n, tabled(v))
		assert.Equal(t, byAllOrders(n, v), means(t, got, err))
		fair(t, n, v, got, func(w []int64) ([]Share, error) { return Exact(n, tabled(w)) })
	})
}

func TestSampledSharesAddUpAndTurnRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "n")
		v, seed := worth(t, n), rapid.Uint64().Draw(t, "seed")
		pairs := rapid.IntRange(1, 9).Draw(t, "pairs")
		sample := func(w []int64) ([]Share, error) {
			all, drawn, err := Sampled(n, pairs, seed, tabled(w))
			assert.Equal(t, pairs, drawn)
			return all, err
		}
		got, err := sample(v)
		require.NoError(t, err)
		fair(t, n, v, got, sample)
	})
}

// fair holds shares to what they must do: add up to the gap, whole or not, and
// take the other sign, and no other size, when old and new change places.
func fair(t *rapid.T, n int, v []int64, got []Share, again func([]int64) ([]Share, error)) {
	gap, sum, whole := v[len(v)-1]-v[0], new(big.Rat), int64(0)
	rounded := Whole(got, gap)
	for i, s := range got {
		sum.Add(sum, s.Mean)
		whole += rounded[i]
		off := new(big.Rat).Sub(s.Mean, big.NewRat(rounded[i], 1))
		assert.Negative(t, off.Abs(off).Cmp(big.NewRat(1, 1)), "rounded by less than one")
	}
	assert.Zero(t, sum.Cmp(big.NewRat(gap, 1)))
	assert.Equal(t, gap, whole)
	back := make([]int64, len(v))
	for set := range v {
		back[len(v)-1-set] = v[set]
	}
	turned, err := again(back)
	require.NoError(t, err)
	for i, x := range Whole(turned, -gap) {
		assert.Equal(t, -rounded[i], x)
		assert.Zero(t, new(big.Rat).Add(got[i].Mean, turned[i].Mean).Sign())
		assert.Equal(t, got[i].Moved, turned[i].Moved)
		assert.InDelta(t, got[i].Err, turned[i].Err, 1e-6)
	}
}

// What a change is called must not matter: the shares go with the changes when
// those change places. A change that never makes anything has no share.
func TestSharesGoWithTheirChanges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 6).Draw(t, "n")
		v := worth(t, n)
		idle := rapid.IntRange(0, n-1).Draw(t, "idle")
		for set := range v {
			v[set] = v[set&^(1<<idle)]
		}
		places := make([]int, n)
		for i := range places {
			places[i] = i
		}
		places = rapid.Permutation(places).Draw(t, "places")
		got, err := Exact(n, tabled(v))
		require.NoError(t, err)
		moved, err := Exact(n, func(made Set) (int64, error) {
			set := 0
			for i, p := range places {
				if made.Has(p) {
					set |= 1 << i
				}
			}
			return v[set], nil
		})
		require.NoError(t, err)
		for i, p := range places {
			assert.Zero(t, got[i].Mean.Cmp(moved[p].Mean))
		}
		assert.Zero(t, got[idle].Mean.Sign())
		assert.False(t, got[idle].Moved)
	})
}

// A sample lies about the exact shares as its standard errors say: of many, no
// share more than five off, and most within two (the normal law has 95 % there;
// the seeds are fixed, so the outcome is too).
func TestSampleLiesWithinItsError(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy")
	}
	const n, pairs = 7, 200
	within, all := 0, 0
	for seed := range uint64(20) {
		chance := rand.New(rand.NewPCG(seed, 7))
		v := make([]int64, 1<<n)
		for set := range v { // smooth, with some chance in it, as prices are
			x := int64(1000)
			for i := range n {
				if set>>i&1 == 1 {
					x += x * int64(i-2) / 40
				}
			}
			v[set] = x/25*25 + int64(chance.IntN(60))
		}
		exact, err := Exact(n, tabled(v))
		require.NoError(t, err)
		sample, _, err := Sampled(n, pairs, seed, tabled(v))
		require.NoError(t, err)
		for i := range exact {
			off, _ := new(big.Rat).Sub(sample[i].Mean, exact[i].Mean).Float64()
			require.Positive(t, sample[i].Err)
			assert.LessOrEqual(t, max(off, -off), 5*sample[i].Err, "seed %d, change %d", seed, i)
			all++
			if max(off, -off) <= 2*sample[i].Err {
				within++
			}
		}
	}
	assert.Greater(t, float64(within)/float64(all), 0.88)
}
