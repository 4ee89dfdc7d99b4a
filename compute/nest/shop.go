package nest

import (
	"cmp"
	"slices"
)

// shop keeps, beside the set in whole numbers, what a plan needs to speak of
// the caller's pieces again.
type shop struct {
	stick, kerf, facing, keep int64
	labels                    [][]int // of each size, one for each piece wanted
	set                       set
}

func newShop(t Task) shop {
	s := shop{stick: whole(t.Stick), kerf: whole(t.Kerf), facing: whole(t.Facing), keep: whole(t.Keep)}
	of := map[int64][]int{}
	for _, p := range t.Pieces {
		for range p.Count {
			l := whole(p.Length)
			of[l] = append(of[l], p.Label)
		}
	}
	s.set.room = s.stick - s.facing + s.kerf
	for l := range of {
		s.set.size = append(s.set.size, l+s.kerf)
	}
	slices.SortFunc(s.set.size, func(a, b int64) int { return cmp.Compare(b, a) })
	for _, w := range s.set.size {
		labels := of[w-s.kerf]
		s.labels = append(s.labels, labels)
		s.set.want = append(s.set.want, len(labels))
	}
	return s
}

// plan turns loads into patterns with the caller's labels. Sticks of one load
// stay one pattern only as long as their labels agree too.
func (s shop) plan(loads []load, bounds Bounds) Plan {
	slices.SortStableFunc(loads, func(a, b load) int {
		return cmp.Or(cmp.Compare(s.set.gap(a.hold), s.set.gap(b.hold)), -slices.Compare(a.hold, b.hold))
	})
	p := Plan{Bounds: bounds}
	given := make([]int, len(s.labels))
	var used, kept int64
	for _, l := range loads {
		for range l.times {
			drop := max(0, s.set.gap(l.hold)-s.kerf)
			cuts := make([]Cut, 0, 8)
			at := s.facing
			for i, n := range l.hold {
				length := s.set.size[i] - s.kerf
				for range n {
					cuts = append(cuts, Cut{Start: unit(at), Length: unit(length), Label: s.labels[i][given[i]]})
					given[i]++
					at += length + s.kerf
					used += length
				}
			}
			if drop >= s.keep {
				kept += drop
			}
			p.Sticks++
			if n := len(p.Patterns); n > 0 && slices.Equal(p.Patterns[n-1].Cuts, cuts) {
				p.Patterns[n-1].Times++
				continue
			}
			p.Patterns = append(p.Patterns, Pattern{Times: 1, Cuts: cuts, Drop: unit(drop)})
		}
	}
	bought := int64(p.Sticks) * s.stick
	p.Bought, p.Used, p.Kept, p.Scrap = unit(bought), unit(used), unit(kept), unit(bought-used-kept)
	return p
}
