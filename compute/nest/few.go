package nest

import "slices"

// all tries every way to share few pieces among sticks.
type all struct {
	set
	pieces []int // each piece's size, by its place among the sizes
	sticks []load
	gaps   []int64

	best []load
	drop int64 // the greatest gap of best
}

// tryAll is the plan with the fewest sticks and, among those, the longest drop.
func (s set) tryAll() []load {
	a := all{set: s}
	for i, n := range s.want {
		for range n {
			a.pieces = append(a.pieces, i)
		}
	}
	a.place(0)
	return merged(a.best)
}

func (a *all) place(at int) {
	if a.best != nil && len(a.gaps) > len(a.best) {
		return
	}
	if at == len(a.pieces) {
		drop := slices.Max(a.gaps)
		if a.best == nil || len(a.gaps) < len(a.best) || drop > a.drop {
			a.drop, a.best = drop, nil
			for _, l := range a.sticks {
				a.best = append(a.best, load{slices.Clone(l.hold), 1})
			}
		}
		return
	}
	i := a.pieces[at]
	w := a.size[i]
	for j := range a.gaps {
		if a.gaps[j] < w {
			continue
		}
		a.gaps[j] -= w
		a.sticks[j].hold[i]++
		a.place(at + 1)
		a.gaps[j] += w
		a.sticks[j].hold[i]--
	}
	a.gaps = append(a.gaps, a.room-w)
	a.sticks = append(a.sticks, load{make([]int, len(a.size)), 1})
	a.sticks[len(a.sticks)-1].hold[i]++
	a.place(at + 1)
	a.gaps = a.gaps[:len(a.gaps)-1]
	a.sticks = a.sticks[:len(a.sticks)-1]
}
