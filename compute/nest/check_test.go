package nest

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const eps = 1e-9

// fits checks a plan against its task from the start, with nothing of the
// solver's: every piece cut as often as wanted, saw and stick kept to, sums
// right, no bound over what was found.
func fits(t require.TestingT, task Task, p Plan) {
	type key struct {
		label  int
		length float64
	}
	want := map[key]int{}
	for _, c := range task.Pieces {
		if c.Count > 0 {
			want[key{c.Label, c.Length}] += c.Count
		}
	}
	got := map[key]int{}
	var sticks int
	var used, kept, longest float64
	for _, pattern := range p.Patterns {
		require.Positive(t, pattern.Times)
		require.NotEmpty(t, pattern.Cuts)
		sticks += pattern.Times
		at := task.Facing
		for i, c := range pattern.Cuts {
			require.InDelta(t, at, c.Start, eps)
			if i > 0 {
				require.LessOrEqual(t, c.Length, pattern.Cuts[i-1].Length, "longest first")
			}
			at = c.Start + c.Length
			require.LessOrEqual(t, at, task.Stick+eps, "a piece ends beyond the stick")
			at += task.Kerf
			got[key{c.Label, c.Length}] += pattern.Times
			used += c.Length * float64(pattern.Times)
		}
		require.InDelta(t, max(0, task.Stick-at), pattern.Drop, eps)
		require.GreaterOrEqual(t, pattern.Drop, longest, "shortest drop first")
		longest = pattern.Drop
		if pattern.Drop >= task.Keep {
			kept += pattern.Drop * float64(pattern.Times)
		}
	}
	require.Equal(t, want, got)
	require.Equal(t, sticks, p.Sticks)
	require.InDelta(t, float64(sticks)*task.Stick, p.Bought, 1e-6)
	require.InDelta(t, used, p.Used, 1e-6)
	require.InDelta(t, kept, p.Kept, 1e-6)
	require.InDelta(t, p.Bought, p.Used+p.Kept+p.Scrap, 1e-6)
	require.GreaterOrEqual(t, p.ScrapShare(), 0.)
	require.Less(t, p.ScrapShare(), 1.)
	b := p.Bounds
	for _, bound := range []int{b.Length, b.Halves, b.Relaxed, b.Best()} {
		require.LessOrEqual(t, bound, p.Sticks)
	}
	require.LessOrEqual(t, b.RelaxedValue, float64(b.Relaxed)+eps)
	require.GreaterOrEqual(t, b.Halves, b.Length, "L2 is never under L1 (Martello and Toth)")
	if p.Sticks == b.Best() {
		require.True(t, b.Fewest)
	}
}

func solved(t *testing.T, task Task) Plan {
	t.Helper()
	p, err := Solve(task)
	require.NoError(t, err)
	fits(t, task, p)
	return p
}

// Worked by hand: 100 less 3 faced leaves 97. Three of 30 and their kerfs of 2
// take 96, and 1 is left. Ends at 33, 65 and 97.
func TestByHand(t *testing.T) {
	p := solved(t, Task{Stick: 100, Kerf: 2, Facing: 3, Pieces: []Piece{{30, 3, 7}}})
	assert.Equal(t, []Pattern{{Times: 1, Drop: 1, Cuts: []Cut{{3, 30, 7}, {35, 30, 7}, {67, 30, 7}}}}, p.Patterns)
	assert.InDelta(t, 1, p.Bounds.RelaxedValue, 1e-6)
	p.Bounds.RelaxedValue = 1
	assert.Equal(t, Bounds{Length: 1, Halves: 1, Relaxed: 1, RelaxedValue: 1, Fewest: true}, p.Bounds)
	assert.InDelta(t, 0.09, p.ScrapShare(), eps) // 3 faced, 6 of kerfs; the drop counts as kept

	p = solved(t, Task{Stick: 100, Kerf: 2, Facing: 3, Keep: 1.5, Pieces: []Piece{{30, 3, 7}}})
	assert.InDelta(t, 0.10, p.ScrapShare(), eps) // too short to keep
}

func TestLastCut(t *testing.T) {
	for _, c := range []struct {
		why    string
		kerf   float64
		sticks int
		drop   float64
	}{
		{"48 + 1 + 48 is 97: the second piece ends with the stick, and is not cut off", 1, 1, 0},
		{"48 + 0.5 + 48 leaves 0.5, which the saw takes", 0.5, 1, 0},
		{"48 + 0.4 + 48 leaves 0.6, of which the saw takes 0.4", 0.4, 1, 0.2},
		{"48 + 1.001 + 48 is over 97", 1.001, 2, 47.999},
	} {
		p := solved(t, Task{Stick: 100, Kerf: c.kerf, Facing: 3, Pieces: []Piece{{48, 2, 0}}})
		assert.Equal(t, c.sticks, p.Sticks, c.why)
		assert.InDelta(t, c.drop, p.Patterns[0].Drop, eps, c.why)
	}
}

// A float sum of ten tenths is under 1, of three it is over 0.3; neither may
// cost or save a stick.
func TestNoFloatDust(t *testing.T) {
	assert.Equal(t, 1, solved(t, Task{Stick: 0.3, Pieces: []Piece{{0.1, 3, 0}}}).Sticks)
	assert.Equal(t, 1, solved(t, Task{Stick: 1, Pieces: []Piece{{0.1, 10, 0}}}).Sticks)
	assert.Equal(t, 2, solved(t, Task{Stick: 0.9999, Pieces: []Piece{{0.1, 10, 0}}}).Sticks)
}

// 6+3 and 5+2 leave 1 and 3; 5+3+2 fills a stick, and 6 leaves 4 in one length.
func TestOneLongDrop(t *testing.T) {
	p := solved(t, Task{Stick: 10, Pieces: []Piece{{6, 1, 1}, {5, 1, 2}, {3, 1, 3}, {2, 1, 4}}})
	require.Equal(t, 2, p.Sticks)
	assert.Equal(t, 4., p.Patterns[1].Drop)
	// Too many to try all plans: 5+3+2 three times, 6+4 three times, and
	// the fourth 6 alone.
	p = solved(t, Task{Stick: 10, Pieces: []Piece{{6, 4, 1}, {5, 3, 2}, {4, 3, 5}, {3, 3, 3}, {2, 3, 4}}})
	require.Equal(t, 7, p.Sticks)
	assert.Equal(t, 4., p.Patterns[len(p.Patterns)-1].Drop, "66 on seven sticks: all of the 4 in one")
}

func TestLabelsOfOneLength(t *testing.T) {
	p := solved(t, Task{Stick: 10, Pieces: []Piece{{4, 2, 11}, {4, 0, 12}, {4, 2, 13}}})
	require.Len(t, p.Patterns, 2, "alike in lengths, not in labels")
	p = solved(t, Task{Stick: 10, Pieces: []Piece{{4, 2, 11}, {4, 2, 11}}})
	require.Len(t, p.Patterns, 1)
	assert.Equal(t, 2, p.Patterns[0].Times)
}

func TestNothingWanted(t *testing.T) {
	p := solved(t, Task{Stick: 10, Pieces: []Piece{{4, 0, 1}}})
	assert.Equal(t, Plan{Bounds: Bounds{Fewest: true}}, p)
	assert.Zero(t, p.ScrapShare())
}

func TestTooLong(t *testing.T) {
	_, err := Solve(Task{Stick: 100, Facing: 1, Kerf: 2, Pieces: []Piece{{99, 1, 4}, {99.5, 2, 5}, {120, 0, 6}, {150, 1, 7}}})
	var long *TooLongError
	require.ErrorAs(t, err, &long)
	assert.Equal(t, []Piece{{99.5, 2, 5}, {150, 1, 7}}, long.Pieces)
	assert.Equal(t, 99., long.Usable)
	assert.EqualError(t, err, "longer than the 99 that a stick gives: label 5 (99.5 long), label 7 (150 long); give a longer stick or split them")
}
