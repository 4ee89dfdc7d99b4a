package compare

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"seamtally/sheets/revisions"
)

// pairedByHand is paired as its comment says it: slowly, by looking through all.
func pairedByHand(keys, contents [2][]string) [][2]int {
	var out [][2]int
	var done [2]map[int]bool
	for side := range done {
		done[side] = map[int]bool{}
	}
	for _, same := range []bool{true, false} {
		for i, k := range keys[revisions.Old] {
			for j, other := range keys[revisions.New] {
				if k == other && !done[revisions.Old][i] && !done[revisions.New][j] && (!same || contents[revisions.Old][i] == contents[revisions.New][j]) {
					done[revisions.Old][i], done[revisions.New][j] = true, true
					out = append(out, [2]int{i, j})
				}
			}
		}
	}
	for i := range keys[revisions.Old] {
		if !done[revisions.Old][i] {
			out = append(out, [2]int{i, revisions.None})
		}
	}
	for j := range keys[revisions.New] {
		if !done[revisions.New][j] {
			out = append(out, [2]int{revisions.None, j})
		}
	}
	return out
}

func TestPaired(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var keys, contents [2][]string
		for side := range keys {
			for range rapid.IntRange(0, 9).Draw(t, "things") {
				keys[side] = append(keys[side], rapid.SampledFrom([]string{"", "a", "b"}).Draw(t, "key"))
				contents[side] = append(contents[side], rapid.SampledFrom([]string{"1", "2", "3", "4"}).Draw(t, "content"))
			}
		}
		assert.ElementsMatch(t, pairedByHand(keys, contents), revisions.Paired(keys, contents))
	})
}

// What has no mark is matched by what it says: in 200,000 looks, not in a
// thousand million. (Looking through all would outlast the time that tests have.)
func TestPairedOfManyWithoutMark(t *testing.T) {
	const n = 200_000
	var keys, contents [2][]string
	for i := range n {
		for side := range keys {
			keys[side] = append(keys[side], "")
			contents[side] = append(contents[side], fmt.Sprint(i))
		}
	}
	slices.Reverse(contents[revisions.New])
	for i, pair := range revisions.Paired(keys, contents) {
		if pair[0] != i || pair[1] != n-1-i {
			t.Fatal(pair)
		}
	}
}

func BenchmarkPaired(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 50_000} {
		var keys, contents [2][]string
		for i := range n {
			for side := range keys {
				keys[side] = append(keys[side], "")
				contents[side] = append(contents[side], fmt.Sprint(i*(side*2-1)+side*n))
			}
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				revisions.Paired(keys, contents)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/thing")
		})
	}
}
