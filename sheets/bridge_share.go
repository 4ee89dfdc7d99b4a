package sheets

import (
	"math"
	"math/big"
	"math/bits"
	"math/rand/v2"
	"slices"
)

// share is what one change has in the gap between two values.
type share struct {
	mean  *big.Rat // of what the change makes over the orders in which changes can be made
	moved bool     // it made something in some order
	err   float64  // standard error of the mean; 0 where every order was looked at
}

// valuation gives the value, in whole parts, of the old state with the changes
// that are set made in it.
type valuation func(made chosen) (int64, error)

// chosen is a set of changes by their numbers, a bit each.
type chosen []uint64

func noneOf(n int) chosen { return make(chosen, (n+63)/64) }

func (c chosen) has(i int) bool { return c[i/64]>>(i%64)&1 == 1 }

// flip makes a change, or takes it back.
func (c chosen) flip(i int) { c[i/64] ^= 1 << (i % 64) }

// exactShares gives every change its mean effect over all n! orders in which
// the n changes can be made one after another: the value of L. S. Shapley, "A
// value for n-person games", 1953 (from memory). All orders that make a change
// after the same others count alike, so the 2^n sets of changes suffice:
//
//	share of i = sum over sets S without i of |S|! (n-1-|S|)!/n! (v(S+i) - v(S))
//
// From one set to the next a single change is made or taken back (Gray code),
// those that come first in the list most often.
func exactShares(n int, value valuation) ([]share, error) {
	v := make([]int64, 1<<n)
	made := noneOf(n)
	for k := range v {
		if k > 0 {
			made.flip(bits.TrailingZeros(uint(k)))
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
	out := make([]share, n)
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
				out[i].moved = true
				bySize[size[set]].Add(bySize[size[set]], big.NewInt(d))
			}
		}
		out[i].mean = new(big.Rat)
		for s, sum := range bySize {
			// |S|! (n-1-|S|)!/n! is one over n times the number of such sets.
			sets := new(big.Int).Binomial(int64(n-1), int64(s))
			out[i].mean.Add(out[i].mean, new(big.Rat).SetFrac(sum, sets.Mul(sets, big.NewInt(int64(n)))))
		}
	}
	return out, nil
}

// sampledShares gives the same mean over some of the orders, drawn by chance.
// Each order is taken forth and back, so that what is drawn for a gap, drawn
// for the gap turned round, gives the same shares with other signs; the shares
// of each order add up to the gap, and so do their means. The standard error is
// that of the mean of the pairs. No more are drawn, and the number of those
// that were is given, once no share can be told from its mean in whole parts.
func sampledShares(n, most int, seed uint64, value valuation) (all []share, pairs int, err error) {
	rng := rand.New(rand.NewPCG(seed, uint64(n)))
	sum := make([]*big.Int, n)
	mean, square := make([]float64, n), make([]float64, n) // running, by Welford's method
	out := make([]share, n)
	for i := range sum {
		sum[i] = new(big.Int)
	}
	made := noneOf(n)
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
		out[i].mean = new(big.Rat).SetFrac(sum[i], big.NewInt(2*int64(pairs)))
		if pairs > 1 {
			out[i].err = errorOf(square[i], pairs)
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
func effects(order []int, made chosen, add []int64, out []share, value valuation) error {
	before, err := value(made)
	if err != nil {
		return err
	}
	for _, forth := range []bool{true, false} {
		for _, i := range order {
			made.flip(i)
			after, err := value(made)
			if err != nil {
				return err
			}
			effect := after - before
			if !forth {
				effect = -effect
			}
			add[i] += effect
			out[i].moved = out[i].moved || effect != 0
			before = after
		}
	}
	return nil
}

// wholeShares rounds shares to whole parts that add up to the gap: each is cut
// to a whole, and what is left goes, a part each, to those that lost most.
// Turned round, every share gets the other sign and no other size. Of equal
// ones the first in the list comes first.
func wholeShares(all []share, gap int64) []int64 {
	out, left := make([]int64, len(all)), gap
	lost := make([]*big.Rat, len(all))
	for i, s := range all {
		whole := new(big.Int).Quo(s.mean.Num(), s.mean.Denom()) // towards zero
		out[i] = whole.Int64()
		left -= out[i]
		lost[i] = new(big.Rat).Sub(s.mean, new(big.Rat).SetInt(whole))
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
