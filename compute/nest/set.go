package nest

import (
	"cmp"
	"encoding/binary"
	"slices"
)

// set is a task in whole numbers: sizes with their kerf, the greatest first and
// each once; how often each is wanted; the room of a stick, one kerf more than
// it has.
type set struct {
	room int64
	size []int64
	want []int
}

// load is what one stick holds, a count for each size, and how many sticks hold
// just that.
type load struct {
	hold  []int
	times int
}

func (s set) weight(hold []int) int64 {
	var sum int64
	for i, n := range hold {
		sum += int64(n) * s.size[i]
	}
	return sum
}

func (s set) gap(hold []int) int64 { return s.room - s.weight(hold) }

// with is the same sticks and sizes, other counts wanted.
func (s set) with(want []int) set { return set{s.room, s.size, want} }

func count(loads []load) int {
	n := 0
	for _, l := range loads {
		n += l.times
	}
	return n
}

func pieces(hold []int) int {
	n := 0
	for _, c := range hold {
		n += c
	}
	return n
}

// least is how often hold can be taken out of want, 0 or more.
func least(want, hold []int) int {
	n := -1
	for i, c := range hold {
		if c > 0 && (n < 0 || want[i]/c < n) {
			n = want[i] / c
		}
	}
	return max(n, 0)
}

func take(want, hold []int, times int) {
	for i, c := range hold {
		want[i] -= c * times
	}
}

// byLength is L1 of Martello and Toth: the sum of all sizes over the room,
// rounded up.
func (s set) byLength() int { return int(up(s.weight(s.want), s.room)) }

// byHalves is L2 of Martello and Toth (Knapsack Problems, 1990, section 8.3.2).
// For every k up to half the room: pieces over room-k share with none of k or
// more; those over half share with none of each other; and the others of k or
// more fill what room the second kind leaves, then sticks of their own.
func (s set) byHalves() int {
	best := 0
	half := s.room / 2
	for at := len(s.size) - 1; at >= -1; at-- {
		var k int64 // also 0, which counts every piece
		if at >= 0 {
			k = s.size[at]
		}
		if k > half {
			continue
		}
		var long, mid, rest int64
		free := int64(0)
		for i, w := range s.size {
			n := int64(s.want[i])
			switch {
			case w > s.room-k:
				long += n
			case w > half:
				mid += n
				free += n * (s.room - w)
			case w >= k:
				rest += n * w
			}
		}
		best = max(best, int(long+mid+max(0, up(rest-free, s.room))))
	}
	return best
}

// up is a/b rounded up; b above 0.
func up(a, b int64) int64 {
	if a <= 0 {
		return 0
	}
	return (a-1)/b + 1
}

// descending lays the pieces the longest first, each on a stick already begun
// with room for it or else on a new one: the first such stick, or the fullest.
// Pieces of one size follow each other, so a stick takes all of them that fit
// before the next is looked at.
func (s set) descending(fullest bool) []load {
	type stick struct {
		hold []int
		gap  int64
	}
	var sticks []stick
	for i, w := range s.size {
		if fullest {
			slices.SortStableFunc(sticks, func(a, b stick) int { return cmp.Compare(a.gap, b.gap) })
		}
		left := s.want[i]
		for j := 0; left > 0; j++ {
			if j == len(sticks) {
				sticks = append(sticks, stick{make([]int, len(s.size)), s.room})
			}
			n := min(left, int(sticks[j].gap/w))
			sticks[j].hold[i] += n
			sticks[j].gap -= int64(n) * w
			left -= n
		}
	}
	loads := make([]load, len(sticks))
	for j, k := range sticks {
		loads[j] = load{k.hold, 1}
	}
	return merged(loads)
}

// merged puts equal loads together, in the order of their first.
func merged(loads []load) []load {
	var out []load
	at := map[string]int{}
	var key []byte
	for _, l := range loads {
		key = key[:0]
		for i, n := range l.hold {
			if n != 0 {
				key = binary.AppendUvarint(binary.AppendUvarint(key, uint64(i)), uint64(n))
			}
		}
		if i, known := at[string(key)]; known {
			out[i].times += l.times
			continue
		}
		at[string(key)] = len(out)
		out = append(out, load{l.hold, l.times})
	}
	return out
}
