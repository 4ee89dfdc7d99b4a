package nest

import "slices"

// packer tries every way to lay what is wanted on a given number of sticks.
//
// Stick after stick takes the longest piece that is left, and more until no
// other piece fits (Korf, "A new algorithm for optimal bin packing", AAAI 2002,
// calls this bin completion). Sticks come in falling order of what they hold.
// That passes over no number of sticks: among the plans with fewest sticks take
// the one that, sorted so, is the greatest; moving a piece forward in it would
// make a greater one.
type packer struct {
	set
	steps int
	held  [][]int // by stick, as far as filled
	left  []int
}

// pack looks for a plan of target sticks at most. Without one, sure says that
// there is none: the steps did not run out.
func (s set) pack(target, steps int) (loads []load, sure bool) {
	waste := int64(target)*s.room - s.weight(s.want)
	if waste < 0 {
		return nil, true
	}
	p := packer{set: s, steps: steps, left: slices.Clone(s.want)}
	if !p.stick(target, waste) {
		return nil, p.steps > 0
	}
	for _, h := range p.held {
		loads = append(loads, load{h, 1})
	}
	return merged(loads), true
}

// stick fills one more stick, and all after it.
func (p *packer) stick(sticks int, waste int64) bool {
	first := slices.IndexFunc(p.left, func(n int) bool { return n > 0 })
	if first < 0 {
		return true
	}
	if sticks == 0 {
		return false
	}
	hold := make([]int, len(p.size))
	return p.fillUp(first, first, hold, p.room, sticks, waste)
}

// fillUp chooses how many of size i and of those after it the stick takes.
func (p *packer) fillUp(first, i int, hold []int, gap int64, sticks int, waste int64) bool {
	if p.steps--; p.steps <= 0 {
		return false
	}
	for i < len(p.size) && (p.left[i] == 0 || p.size[i] > gap) {
		i++
	}
	if i == len(p.size) {
		return p.close(hold, gap, sticks, waste)
	}
	least := 0
	if i == first {
		least = 1
	}
	for n := min(p.left[i], int(gap/p.size[i])); n >= least && p.steps > 0; n-- {
		hold[i] = n
		if p.fillUp(first, i+1, hold, gap-int64(n)*p.size[i], sticks, waste) {
			return true
		}
	}
	hold[i] = 0
	return false
}

// close takes the stick as it is, unless it wastes too much, has room for a
// piece that is left, or comes out of order.
func (p *packer) close(hold []int, gap int64, sticks int, waste int64) bool {
	if gap > waste {
		return false
	}
	p.steps -= len(p.size) / 50 // what follows goes through all sizes
	for i, n := range p.left {
		if n > hold[i] && p.size[i] <= gap {
			return false
		}
	}
	if n := len(p.held); n > 0 && slices.Compare(hold, p.held[n-1]) > 0 {
		return false
	}
	p.held = append(p.held, slices.Clone(hold))
	take(p.left, hold, 1)
	if p.stick(sticks-1, waste-gap) {
		return true
	}
	take(p.left, hold, -1)
	p.held = p.held[:len(p.held)-1]
	return false
}
