package nest

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// brute is the least number of sticks, and the longest drop at that number, by
// looking at every subset of the pieces: sizes with their kerf, and the room
// with one kerf more. It shares nothing with the solver.
func brute(sizes []int, room, kerf int) (sticks, drop int) {
	type state struct{ sticks, last int } // the fewest, and then the emptiest last
	all := 1<<len(sizes) - 1
	best := make([]state, all+1)
	weight := make([]int, all+1)
	for m := 1; m <= all; m++ {
		best[m] = state{len(sizes) + 1, 0}
		for i, w := range sizes {
			if m>>i&1 == 0 {
				continue
			}
			b := best[m&^(1<<i)]
			weight[m] = weight[m&^(1<<i)] + w
			if b.sticks == 0 || b.last+w > room {
				b = state{b.sticks + 1, w}
			} else {
				b.last += w
			}
			if b.sticks < best[m].sticks || b.sticks == best[m].sticks && b.last < best[m].last {
				best[m] = b
			}
		}
	}
	for m := 1; m <= all; m++ {
		if weight[m] <= room && best[all&^m].sticks == best[all].sticks-1 {
			drop = max(drop, room-kerf-weight[m])
		}
	}
	return best[all].sticks, drop
}

// few is a made-up order in sixteenths, and what brute wants for it.
func few(r *rand.Rand, pieces int) (task Task, sizes []int, room, kerf int) {
	stick, facing := 100+r.IntN(200), r.IntN(4)
	kerf = r.IntN(3)
	long := []int{stick / 3, stick / 2, stick - facing}[r.IntN(3)]
	task = Task{Stick: float64(stick) / 16, Kerf: float64(kerf) / 16, Facing: float64(facing) / 16}
	for i := range pieces {
		l := 1 + r.IntN(long)
		if i > 0 && r.IntN(3) == 0 {
			l = sizes[i-1] - kerf
		}
		sizes = append(sizes, l+kerf)
		task.Pieces = append(task.Pieces, Piece{float64(l) / 16, 1, i})
	}
	return task, sizes, stick - facing + kerf, kerf
}

func TestFewPiecesAgainstAllSubsets(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy, and nothing in it runs side by side")
	}
	r := rand.New(rand.NewPCG(11, 12))
	for range 1500 {
		task, sizes, room, kerf := few(r, 1+r.IntN(fewPieces))
		p := solved(t, task)
		sticks, drop := brute(sizes, room, kerf)
		require.Equal(t, sticks, p.Sticks, "%+v", task)
		require.InDelta(t, float64(drop)/16, p.Patterns[len(p.Patterns)-1].Drop, eps, "%+v", task)
		require.True(t, p.Bounds.Fewest)
	}
}

// Beyond ten pieces the general way is taken. It must not be told from the best
// in the number of sticks; its drop is by moving pieces, and mostly the best.
func TestGeneralWayAgainstAllSubsets(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy, and nothing in it runs side by side")
	}
	r := rand.New(rand.NewPCG(13, 14))
	const sets = 200
	equal := 0
	for range sets {
		task, sizes, room, kerf := few(r, fewPieces+1+r.IntN(4))
		p := solved(t, task)
		sticks, drop := brute(sizes, room, kerf)
		require.Equal(t, sticks, p.Sticks, "%+v", task)
		require.True(t, p.Bounds.Fewest)
		got := p.Patterns[len(p.Patterns)-1].Drop
		require.LessOrEqual(t, got, float64(drop)/16+eps)
		if got > float64(drop)/16-eps {
			equal++
		}
	}
	t.Logf("longest drop found in %d of %d", equal, sets)
	assert.GreaterOrEqual(t, equal, sets*9/10)
}

// pack finds a plan at the least number of sticks, is sure that there is none
// at one fewer, and is sure of nothing where its steps run out.
func TestPackAgainstAllSubsets(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	for range 400 {
		task, sizes, room, kerf := few(r, 2+r.IntN(10))
		s := newShop(task).set
		least, _ := brute(sizes, room, kerf)
		got, sure := s.pack(least, endSteps)
		require.True(t, sure)
		require.NotNil(t, got, "%+v", task)
		require.LessOrEqual(t, count(got), least)
		want := make([]int, len(s.want))
		for _, l := range got {
			require.GreaterOrEqual(t, s.gap(l.hold), int64(0))
			take(want, l.hold, -l.times)
		}
		require.Equal(t, s.want, want)
		got, sure = s.pack(least-1, endSteps)
		require.Nil(t, got)
		require.True(t, sure)
		if got, sure = s.pack(least, 1); got == nil {
			require.False(t, sure, "out of steps")
		}
	}
}

// The brute force itself, on what can be seen at a glance.
func TestBrute(t *testing.T) {
	sticks, drop := brute([]int{6, 5, 3, 2}, 10, 0)
	assert.Equal(t, []int{2, 4}, []int{sticks, drop})
	sticks, drop = brute([]int{6, 6, 6}, 11, 1)
	assert.Equal(t, []int{3, 4}, []int{sticks, drop})
}
