package nest

import (
	"cmp"
	"slices"
)

// knapsack looks for the most valuable load of one stick: no more of a size
// than is wanted, no more than the room. Values are whole numbers, so that what
// it proves is proven.
type knapsack struct {
	items []item
	steps int // still allowed
	spent int

	value int64 // of the best so far; only better is looked for
	hold  []int // the best, by the set's sizes; nil where none is better
	open  int64 // no load that was not looked at is worth more
	now   []int // counts chosen, by items
	sizes int   // in the set
}

type item struct {
	at   int // among the set's sizes
	size int64
	each int64
	most int

	smallest int64 // size from this item on
}

// fill looks for a load worth more than floor, in up to steps steps. The load
// is nil where there is none. The bound is never under the greatest value of
// any load that is above floor: it is the load's own where the search ended by
// itself. Worths must be at most 2<<30, sizes below 2^31.
//
// It goes depth first over the sizes, the most worth for its length first, and
// leaves a branch when even with the next piece cut into fractions (Dantzig,
// "Discrete-variable extremum problems", Operations Research 5, 1957) it
// cannot be better.
func (s set) fill(worths []int64, floor int64, steps int) (hold []int, bound int64, spent int) {
	k := knapsack{steps: steps, value: floor, sizes: len(s.size)}
	for i, w := range worths {
		if w > 0 && s.want[i] > 0 {
			k.items = append(k.items, item{at: i, size: s.size[i], each: w, most: s.want[i]})
		}
	}
	slices.SortStableFunc(k.items, func(a, b item) int { return cmp.Compare(b.each*a.size, a.each*b.size) })
	k.now = make([]int, len(k.items))
	for j := len(k.items) - 1; j >= 0; j-- {
		k.items[j].smallest = k.items[j].size
		if j+1 < len(k.items) {
			k.items[j].smallest = min(k.items[j].size, k.items[j+1].smallest)
		}
	}
	k.search(0, s.room, 0)
	return k.hold, max(k.value, k.open), k.spent
}

// search adds pieces from item j on. Each turn of the outer loop is for the
// loads whose next piece is of item j, and takes a step.
func (k *knapsack) search(j int, room, value int64) {
	if value > k.value {
		k.value = value
		k.hold = make([]int, k.sizes)
		for i, n := range k.now {
			k.hold[k.items[i].at] = n
		}
	}
	for ; j < len(k.items) && room >= k.items[j].smallest; j++ {
		it := k.items[j]
		if it.size > room {
			continue
		}
		limit := value + k.limit(j, room)
		if limit <= k.value {
			return
		}
		if k.steps <= 0 {
			k.open = max(k.open, limit)
			return
		}
		k.steps--
		k.spent++
		for n := min(int64(it.most), room/it.size); n > 0; n-- {
			left, got := room-n*it.size, value+n*it.each
			if got+k.limit(j+1, left) <= k.value {
				continue
			}
			k.now[j] = int(n)
			k.search(j+1, left, got)
		}
		k.now[j] = 0
	}
}

// limit is what items from j on can be worth in the room, one of them cut into
// fractions; one that is longer than all of the room does not count.
func (k *knapsack) limit(j int, room int64) int64 {
	all := room
	var sum int64
	for ; j < len(k.items) && room > 0; j++ {
		it := k.items[j]
		if it.size > all {
			continue
		}
		n := room / it.size
		if n < int64(it.most) {
			return sum + n*it.each + (room-n*it.size)*it.each/it.size
		}
		sum += int64(it.most) * it.each
		room -= int64(it.most) * it.size
	}
	return sum
}

// fullest is the load that leaves the least of a stick, with one piece of size
// must at least; the best found in that many steps.
func (s set) fullest(must, steps int) []int {
	rest := s.with(slices.Clone(s.want))
	rest.want[must]--
	rest.room -= s.size[must]
	hold, _, _ := rest.fill(s.size, 0, steps)
	if hold == nil {
		hold = make([]int, len(s.size))
	}
	hold[must]++
	return hold
}
