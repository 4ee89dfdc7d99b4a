package nest

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawSmall draws up to that many lengths, in sixteenths, none of them equal.
func drawSmall(t *rapid.T, lengths, most int) Task {
	stick := rapid.IntRange(16, 400).Draw(t, "stick")
	facing := rapid.IntRange(0, 8).Draw(t, "facing")
	task := Task{
		Stick:  float64(stick) / 16,
		Kerf:   float64(rapid.IntRange(0, 4).Draw(t, "kerf")) / 16,
		Facing: float64(facing) / 16,
		Keep:   float64(rapid.IntRange(0, stick).Draw(t, "keep")) / 16,
	}
	shortest := 1 + stick/rapid.SampledFrom([]int{4, 10, 40}).Draw(t, "shortest")
	ls := rapid.SliceOfNDistinct(rapid.IntRange(min(shortest, stick-facing), stick-facing), 1, lengths, rapid.ID[int]).Draw(t, "lengths")
	for i, l := range ls {
		task.Pieces = append(task.Pieces, Piece{float64(l) / 16, rapid.IntRange(1, most).Draw(t, "count"), i})
	}
	return task
}

func TestPlansFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		task := drawSmall(t, 8, 20)
		p, err := Solve(task)
		require.NoError(t, err)
		fits(t, task, p)
		require.LessOrEqual(t, p.Sticks, p.Bounds.Best()+1)

		again, err := Solve(task)
		require.NoError(t, err)
		require.Equal(t, p, again, "equal tasks, equal plans")

		metric := Task{Stick: task.Stick * 25.4, Kerf: task.Kerf * 25.4, Facing: task.Facing * 25.4, Keep: task.Keep * 25.4}
		for _, c := range task.Pieces {
			metric.Pieces = append(metric.Pieces, Piece{c.Length * 25.4, c.Count, c.Label})
		}
		mm, err := Solve(metric)
		require.NoError(t, err)
		require.Equal(t, p.Sticks, mm.Sticks, "a sixteenth of an inch is 1.5875 mm exactly")
		require.InDelta(t, p.Used*25.4, mm.Used, 1e-6)

		rand.New(rand.NewPCG(1, 2)).Shuffle(len(task.Pieces), func(i, j int) {
			task.Pieces[i], task.Pieces[j] = task.Pieces[j], task.Pieces[i]
		})
		mixed, err := Solve(task)
		require.NoError(t, err)
		require.Equal(t, p, mixed, "the order in which lengths are given is of no account")
	})
}

// fill against every load there is, also when its steps run out.
func TestFill(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := newShop(drawSmall(t, 5, 4)).set
		worths := make([]int64, len(s.size))
		for i := range worths {
			worths[i] = rapid.Int64Range(0, stickWorth).Draw(t, "worth")
		}
		floor := rapid.Int64Range(0, stickWorth).Draw(t, "floor")
		steps := rapid.SampledFrom([]int{0, 1, 5, 1e6}).Draw(t, "steps")
		var best int64
		var all func(i int, value, gap int64)
		all = func(i int, value, gap int64) {
			if i == len(s.size) {
				best = max(best, value)
				return
			}
			for n := int64(0); n <= int64(s.want[i]) && n*s.size[i] <= gap; n++ {
				all(i+1, value+n*worths[i], gap-n*s.size[i])
			}
		}
		all(0, 0, s.room)

		hold, bound, spent := s.fill(worths, floor, steps)
		require.GreaterOrEqual(t, max(bound, floor), best)
		require.LessOrEqual(t, spent, steps)
		if hold == nil {
			if steps == 1e6 {
				require.LessOrEqual(t, best, floor)
			}
			return
		}
		var value int64
		for i, n := range hold {
			require.LessOrEqual(t, n, s.want[i])
			value += int64(n) * worths[i]
		}
		require.GreaterOrEqual(t, s.gap(hold), int64(0))
		require.Greater(t, value, floor)
		if steps == 1e6 {
			require.Equal(t, best, value)
			require.Equal(t, best, bound)
		}
	})
}

// Whatever bytes come: a plan that fits, or an error.
func FuzzSolve(f *testing.F) {
	f.Add(uint16(100), uint8(2), uint8(3), []byte{30, 30, 30})
	f.Add(uint16(97), uint8(1), uint8(0), []byte{48, 48})
	f.Add(uint16(132), uint8(0), uint8(0), []byte{44, 44, 33, 33, 33, 12, 12, 12, 12, 12, 12})
	f.Add(uint16(1), uint8(255), uint8(255), []byte{0, 1, 255})
	f.Add(uint16(255), uint8(0), uint8(0), []byte{254, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 2})
	f.Fuzz(func(t *testing.T, stick uint16, kerf, facing uint8, lengths []byte) {
		if len(lengths) > 24 {
			lengths = lengths[:24]
		}
		task := Task{Stick: float64(stick) / 8, Kerf: float64(kerf) / 16, Facing: float64(facing) / 16}
		for i, l := range lengths {
			task.Pieces = append(task.Pieces, Piece{float64(l) / 8, 1, i})
		}
		p, err := Solve(task)
		if err != nil {
			return
		}
		fits(t, task, p)
		assert.LessOrEqual(t, p.Sticks, p.Bounds.Best()+1)
	})
}
