package compute

import (
	"maps"
	"math"
	"slices"

	"seamtally/compute/functions"
)

// mostNear bounds the numbers that a slice is kept for.
const mostNear = 4096

// numbered are sums by number, in which SUMIFS finds the very number. Those of numbers that are no row's, or far away,
// are kept apart, so that they take no more room than the lines that bear them.
type numbered struct {
	near []functions.Tally
	far  map[float64]functions.Tally
}

// isNear reports whether a number is one that rows usually have.
func isNear(no float64) bool { return no >= 1 && no <= mostNear && no == math.Trunc(no) }

// add adds to the sum of a number; one that is no number is in no sum.
func (n *numbered) add(no, x float64) {
	switch {
	case isNear(no):
		for len(n.near) < int(no) {
			n.near = append(n.near, functions.Tally{})
		}
		n.near[int(no)-1].Add(x)
	case !math.IsNaN(no):
		if n.far == nil {
			n.far = map[float64]functions.Tally{}
		}
		t := n.far[no]
		t.Add(x)
		n.far[no] = t
	}
}

// at is the sum of a number; ok is false where nothing has it.
func (n *numbered) at(no float64) (x float64, ok bool) {
	if !isNear(no) {
		t, ok := n.far[no]
		return t.Sum(), ok
	}
	if int(no) > len(n.near) {
		return 0, false
	}
	return n.near[int(no)-1].Sum(), true
}

// clone is a copy.
func (n *numbered) clone() numbered { return numbered{slices.Clone(n.near), maps.Clone(n.far)} }

// clear empties the sums, of all numbers.
func (n *numbered) clear() {
	clear(n.near)
	clear(n.far)
}
