// Package share shares out a difference among the changes that made it: each
// gets the mean of what it makes over the orders in which the changes can be
// made. It knows nothing of joints, money or files.
package share

import (
	"math"
	"math/big"
	"math/bits"
	"math/rand/v2"
	"slices"
)

// Share is what one change has in the gap between two values.
type Share struct {
	Mean  *big.Rat // of what the change makes over the orders in which changes can be made
	Moved bool     // it made something in some order
	Err   float64  // standard error of the mean; 0 where every order was looked at
}

// Valuation gives the value, in whole parts, of the old state with the changes
// that are set made in it.
type Valuation func(made Set) (int64, error)

// Set is a set of changes by their numbers, a bit each.
type Set []uint64

// NoneOf is the empty set, of n changes.
func NoneOf(n int) Set { return make(Set, (n+63)/64) }

// Has reports whether a change is in the set.
func (c Set) Has(i int) bool { return c[i/64]>>(i%64)&1 == 1 }

// Flip makes a change, or takes it back.
func (c Set) Flip(i int) { c[i/64] ^= 1 << (i % 64) }

// Exact gives every change its mean effect over all n! orders in which
// the n changes can be made one after another: the value of L. S. Shapley, "A
// value for n-person games", 1953 (from memory). All orders that make a change
// after the same others count alike, so the 2^n sets of changes suffice:
//
//	share of i = sum over sets S without i of |S|! (n-1-|S|)!/n! (v(S+i) - v(S))
//
// From one set to the next a single change is made or taken back (Gray code),
// those that come first in the list most often.
func Exact(n int, value Valuation) ([]Share, error) {
	v := make([]int64, 1<<n)
	made := NoneOf(n)
	for k := range v {
		if k > 0 {
			made.Flip(bits.TrailingZeros(uint(k)))
		}
		var err error
		if v[k^k>>1], err = value(made); err != nil {
			return nil, err
		}
	}
	size := make([]int, len(v))
	for set := 1; set < len(v); set++ {
		size[set] = size[set&(set-1)] + 1
	}
	out := make([]Share, n)
	for i := range out {
		bySize := make([]*big.Int, n) // sums of the effects, by the size of the set before
		for s := range bySize {
			bySize[s] = new(big.Int)
		}
		for set := range v {
			if set>>i&1 == 1 {
				continue
			}
			if d := v[set|1<<i] - v[set]; d != 0 {
				out[i].Moved = true
				bySize[size[set]].Add(bySize[size[set]], big.NewInt(d))
			}
		}
		out[i].Mean = new(big.Rat)
		for s, sum := range bySize {
			// |S|! (n-1-|S|)!/n! is one over n times the number of such sets.
			sets := new(big.Int).Binomial(int64(n-1), int64(s))
			out[i].Mean.Add(out[i].Mean, new(big.Rat).SetFrac(sum, sets.Mul(sets, big.NewInt(int64(n)))))
		}
	}
	return out, nil
}

// fewPairs of orders are drawn before no more are, as the shares are known well
// enough.
const fewPairs = 16

// Sampled gives the same mean over some of the orders, drawn by chance.
// Each order is taken forth and back, so that what is drawn for a gap, drawn
// for the gap turned round, gives the same shares with other signs; the shares
// of each order add up to the gap, and so do their means. The standard error is
// that of the mean of the pairs. No more are drawn, and the number of those
// that were is given, once no share can be told from its mean in whole parts.
func Sampled(n, most int, seed uint64, value Valuation) (all []Share, pairs int, err error) {
	rng := rand.New(rand.NewPCG(seed, uint64(n)))
	sum := make([]*big.Int, n)
	mean, square := make([]float64, n), make([]float64, n) // running, by Welford's method
	out := make([]Share, n)
	for i := range sum {
		sum[i] = new(big.Int)
	}
	made := NoneOf(n)
	for pairs < most && (pairs < fewPairs || worst(square, pairs) > 0.5) {
		both := make([]int64, n)
		if err := effects(rng.Perm(n), made, both, out, value); err != nil {
			return nil, 0, err
		}
		pairs++
		for i, d := range both {
			sum[i].Add(sum[i], big.NewInt(d))
			x := float64(d) / 2
			step := x - mean[i]
			mean[i] += step / float64(pairs)
			square[i] += step * (x - mean[i])
		}
	}
	for i := range out {
		out[i].Mean = new(big.Rat).SetFrac(sum[i], big.NewInt(2*int64(pairs)))
		if pairs > 1 {
			out[i].Err = errorOf(square[i], pairs)
		}
	}
	return out, pairs, nil
}

// errorOf is the standard error of a mean, from the sum of squares about it.
func errorOf(square float64, of int) float64 {
	return math.Sqrt(square / float64(of-1) / float64(of))
}

// worst is the largest of all.
func worst(squares []float64, of int) float64 { return errorOf(slices.Max(squares), of) }

// effects makes the changes in an order, and adds to each what it makes. Then
// it takes them back, those that were made first before the others: that is the
// order turned round, from its end.
func effects(order []int, made Set, add []int64, out []Share, value Valuation) error {
	before, err := value(made)
	if err != nil {
		return err
	}
	for _, forth := range []bool{true, false} {
		for _, i := range order {
			made.Flip(i)
			after, err := value(made)
			if err != nil {
				return err
			}
			effect := after - before
			if !forth {
				effect = -effect
			}
			add[i] += effect
			out[i].Moved = out[i].Moved || effect != 0
			before = after
		}
	}
	return nil
}

// Whole rounds shares to whole parts that add up to the gap: each is cut
// to a whole, and what is left goes, a part each, to those that lost most.
// Turned round, every share gets the other sign and no other size. Of equal
// ones the first in the list comes first.
func Whole(all []Share, gap int64) []int64 {
	out, left := make([]int64, len(all)), gap
	lost := make([]*big.Rat, len(all))
	for i, s := range all {
		whole := new(big.Int).Quo(s.Mean.Num(), s.Mean.Denom()) // towards zero
		out[i] = whole.Int64()
		left -= out[i]
		lost[i] = new(big.Rat).Sub(s.Mean, new(big.Rat).SetInt(whole))
	}
	step := int64(1)
	if left < 0 {
		step = -1
		for _, r := range lost {
			r.Neg(r)
		}
	}
	next := make([]int, len(all))
	for i := range next {
		next[i] = i
	}
	slices.SortStableFunc(next, func(a, b int) int { return lost[b].Cmp(lost[a]) })
	for k := 0; left != 0 && k < len(next); k++ {
		out[next[k]] += step
		left -= step
	}
	return out
}
