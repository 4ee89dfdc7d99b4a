package nest

import (
	"cmp"
	"slices"
)

const (
	gatherFrom  = 3          // sticks that are tried as the one with the drop
	gatherSteps = 2_000      // to fill one stick again
	gatherTurns = 20         // through all sticks
	gatherWork  = 50_000_000 // in all, in sizes looked at

	spareSticks = 40    // where the others are laid anew, at most
	sparePieces = 4     // on the last of them
	spareLasts  = 5_000 // that are compared
	spareTries  = 100   // that are tried
	spareSteps  = 3_000 // for each
)

// gather moves pieces between sticks so that one of them keeps as long a drop as
// is found. In turn every other stick is filled again, as far as it goes, from
// its own pieces and those of the one.
func (s set) gather(loads []load) []load {
	order := make([]int, len(loads))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(s.gap(loads[b].hold), s.gap(loads[a].hold))
	})
	best, drop := loads, int64(-1)
	work := gatherWork
	for _, at := range order[:min(gatherFrom, len(order))] {
		got, gap := s.gatherAt(loads, at, &work)
		if gap > drop {
			best, drop = got, gap
		}
	}
	if drop == s.room {
		return s.gather(best) // a stick is saved: the drop is now on another
	}
	return s.spareOne(best, drop)
}

// spareOne looks for a last stick that holds less than the plan's, a few pieces
// at most, such that all the others go on one stick fewer. Least first.
func (s set) spareOne(loads []load, gap int64) []load {
	sticks := count(loads)
	if sticks > spareSticks {
		return loads
	}
	lasts := s.lasts(s.weight(s.want)-int64(sticks-1)*s.room, s.room-gap)
	for _, last := range lasts[:min(spareTries, len(lasts))] {
		rest := s.with(slices.Clone(s.want))
		take(rest.want, last, 1)
		if got, _ := rest.pack(sticks-1, spareSteps); got != nil {
			return append(got, load{last, 1})
		}
	}
	return loads
}

// lasts are loads of up to sparePieces pieces that weigh from least to below
// most, the lightest first.
func (s set) lasts(least, most int64) [][]int {
	var out [][]int
	hold := make([]int, len(s.size))
	var add func(i, n int, weight int64)
	add = func(i, n int, weight int64) {
		if n > 0 && weight >= least {
			out = append(out, slices.Clone(hold))
		}
		if n == sparePieces {
			return
		}
		for ; i < len(s.size) && len(out) < spareLasts; i++ {
			if hold[i] < s.want[i] && weight+s.size[i] < most {
				hold[i]++
				add(i, n+1, weight+s.size[i])
				hold[i]--
			}
		}
	}
	add(0, 0, 0)
	slices.SortStableFunc(out, func(a, b []int) int { return cmp.Compare(s.weight(a), s.weight(b)) })
	return out
}

// gatherAt gathers the drop on a stick of loads[at]; it says how long it is, the
// whole room where the stick is not needed any more.
func (s set) gatherAt(loads []load, at int, work *int) ([]load, int64) {
	last := slices.Clone(loads[at].hold)
	rest := slices.Clone(loads)
	rest[at].times--
	for turn, moved := 0, true; moved && turn < gatherTurns; turn++ {
		moved = false
		for j := 0; j < len(rest) && *work > 0; j++ {
			if rest[j].times == 0 || s.gap(rest[j].hold) == 0 {
				continue
			}
			both := slices.Clone(last)
			take(both, rest[j].hold, -1)
			hold, _, spent := s.with(both).fill(s.size, s.weight(rest[j].hold), gatherSteps)
			*work -= (10 + spent) * len(s.size)
			if hold == nil {
				continue
			}
			moved = true
			take(both, hold, 1)
			last = both
			rest[j].times--
			rest = append(rest, load{hold, 1})
		}
	}
	if pieces(last) > 0 {
		rest = append(rest, load{last, 1})
	}
	rest = slices.DeleteFunc(rest, func(l load) bool { return l.times == 0 })
	return merged(rest), s.gap(last)
}
