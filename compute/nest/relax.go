package nest

import (
	"math"
	"math/big"
)

const (
	stickWorth = 1 << 30   // one stick's worth, where prices become whole numbers
	quickSteps = 8_000     // of a search for any pattern that pays
	proofSteps = 2_000_000 // of a search that none does
	stepWork   = 10        // a step of such a search, in multiplications
)

// relaxed is what the linear relaxation came to.
type relaxed struct {
	used  []part
	least *big.Rat // no plan has fewer sticks than this, exactly
}

// part is a pattern and how often it is cut, 0 or more and seldom whole.
type part struct {
	hold  []int
	times float64
}

// value is what the relaxation comes to so far, less what floats may have added.
func value(p *simplex) *big.Rat {
	if r := new(big.Rat).SetFloat64(p.value() - 1e-6); r != nil {
		return r
	}
	return new(big.Rat) // no number: nothing is known of it
}

func roundUp(r *big.Rat) int {
	q, rem := new(big.Int).QuoRem(r.Num(), r.Denom(), new(big.Int))
	if rem.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	return int(q.Int64())
}

// pool are patterns that were of use in a task; those after it are like it.
type pool struct{ patterns [][]entry }

// relax solves the relaxation by column generation. work is how much may be
// done, and is lessened by what was; where it runs out, the bound holds and the
// parts still add up, but neither is as good as could be. A proof that could not
// change the rounded bound is not tried; with boundOnly, no better pattern is
// looked for either.
//
// The bound does not hang on floats. Prices are rounded to whole numbers u;
// where no pattern is worth more than z at them, no plan can have fewer sticks
// than sum(want*u)/z, whatever the prices are (Farley, "A note on bounding a
// class of linear programming problems, including cutting stock problems",
// Operations Research 38, 1990).
func (s set) relax(known *pool, work *int, boundOnly bool) relaxed {
	used, rows := s.wanted()
	best := big.NewRat(s.weight(s.want), s.room)
	if len(rows) == 0 {
		return relaxed{least: best}
	}
	const floor = stickWorth + stickWorth>>26
	p := newSimplex(used)
	m := len(rows)
	for limit := 200 + 40*m; limit > 0 && *work > 0; limit-- {
		*work -= m*m*(2+m/(2*reinvert)) + 8*len(known.patterns)
		pi := p.prices()
		if c, ok := spare(pi); ok {
			if !p.enter(c) {
				break
			}
			continue
		}
		if hold, ok := known.pays(used, rows, len(s.size), pi); ok {
			if !p.enter(pattern(hold)) {
				break
			}
			continue
		}
		u := wholePrices(pi)
		hold, bound, steps := used.fill(u, floor, quickSteps)
		*work -= steps * stepWork
		if hold == nil && bound > floor && roundUp(best) < roundUp(value(p)) {
			hold, bound, steps = used.fill(u, floor, min(proofSteps, max(0, *work)/stepWork))
			*work -= steps * stepWork
		}
		if least := farley(used.want, u, bound); least.Cmp(best) > 0 {
			best = least
		}
		settled := boundOnly && roundUp(best) >= roundUp(value(p))
		if hold == nil || settled || !p.enter(pattern(hold)) {
			break
		}
		known.patterns = append(known.patterns, entries(spread(hold, rows, len(s.size))))
	}
	out := relaxed{least: best}
	for r, c := range p.basis {
		if c.hold != nil && p.x[r] > tinyCost {
			out.used = append(out.used, part{spread(c.hold, rows, len(s.size)), p.x[r]})
		}
	}
	return out
}

// learn takes the patterns of a plan in, for a good start.
func (k *pool) learn(loads []load) {
	for _, l := range loads {
		k.patterns = append(k.patterns, entries(l.hold))
	}
}

// wanted is the set without the sizes of which none is wanted, and where its
// sizes stand in the whole set.
func (s set) wanted() (set, []int) {
	out := set{room: s.room}
	var rows []int
	for i, n := range s.want {
		if n > 0 {
			out.size, out.want = append(out.size, s.size[i]), append(out.want, n)
			rows = append(rows, i)
		}
	}
	return out, rows
}

func spread(hold, rows []int, sizes int) []int {
	out := make([]int, sizes)
	for i, n := range hold {
		out[rows[i]] = n
	}
	return out
}

// spare is the size of which it pays to cut too many, if there is one.
func spare(pi []float64) (column, bool) {
	at := 0
	for i, v := range pi {
		if v < pi[at] {
			at = i
		}
	}
	return column{spare: at}, pi[at] < -tinyCost
}

// wholePrices rounds down: a pattern whose prices come to one stick must not
// seem to pay for the rounding's sake.
func wholePrices(pi []float64) []int64 {
	u := make([]int64, len(pi))
	for i, v := range pi {
		if math.IsNaN(v) {
			continue // no number, no price
		}
		u[i] = int64(min(max(v, 0), 2) * stickWorth)
	}
	return u
}

func farley(want []int, u []int64, bound int64) *big.Rat {
	sum := new(big.Int)
	for i, n := range want {
		sum.Add(sum, new(big.Int).Mul(big.NewInt(int64(n)), big.NewInt(u[i])))
	}
	return new(big.Rat).SetFrac(sum, big.NewInt(bound))
}

// pays is the known pattern that pays most at these prices, if one does that
// asks for no more of a size than is wanted. Sizes that are not wanted at all
// are left out of it.
func (k *pool) pays(s set, rows []int, sizes int, pi []float64) ([]int, bool) {
	row := make([]int, sizes)
	for i := range row {
		row[i] = -1
	}
	for i, r := range rows {
		row[r] = i
	}
	most, at := 1+1e-7, -1
	for j, in := range k.patterns {
		worth := 0.
		for _, e := range in {
			i := row[e.at]
			if i < 0 {
				continue
			}
			if e.n > s.want[i] {
				worth = 0
				break
			}
			worth += float64(pi[i] * float64(e.n))
		}
		if worth > most {
			most, at = worth, j
		}
	}
	if at < 0 {
		return nil, false
	}
	hold := make([]int, len(rows))
	for _, e := range k.patterns[at] {
		if i := row[e.at]; i >= 0 {
			hold[i] = e.n
		}
	}
	return hold, true
}
