package revisions

import (
	"maps"
	"slices"
)

// The two revisions, as indexes.
const (
	Old = 0
	New = 1
)

// None is the other place of what is in one revision alone.
const None = -1

// Paired finds which things of the old revision are which of the new: those of
// one key, first the ones that are the same in all, then the others in the
// order in which they stand. What is left has no other.
func Paired(keys, contents [2][]string) [][2]int {
	at := [2]map[string][]int{{}, {}}
	for side := range keys {
		for i, k := range keys[side] {
			at[side][k] = append(at[side][k], i)
		}
	}
	both := maps.Clone(at[Old])
	maps.Copy(both, at[New])
	var out [][2]int
	for _, k := range slices.Sorted(maps.Keys(both)) {
		out = append(out, pairedOfKey(at[Old][k], at[New][k], contents)...)
	}
	return out
}

// pairedOfKey does it for those of one key.
func pairedOfKey(old, now []int, contents [2][]string) [][2]int {
	var out [][2]int
	byContent := map[string][]int{}
	for _, j := range now {
		byContent[contents[New][j]] = append(byContent[contents[New][j]], j)
	}
	used := map[int]bool{}
	var rest []int
	for _, i := range old {
		same := byContent[contents[Old][i]]
		if len(same) == 0 {
			rest = append(rest, i)
			continue
		}
		out = append(out, [2]int{i, same[0]})
		byContent[contents[Old][i]], used[same[0]] = same[1:], true
	}
	for _, j := range now {
		switch {
		case used[j]:
		case len(rest) > 0:
			out = append(out, [2]int{rest[0], j})
			rest = rest[1:]
		default:
			out = append(out, [2]int{None, j})
		}
	}
	for _, i := range rest {
		out = append(out, [2]int{i, None})
	}
	return out
}
