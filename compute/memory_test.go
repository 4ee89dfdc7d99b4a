package compute_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/compute"
)

// A memory gives for every line, first or again, what the engine gives, bit for
// bit: figures, remarks, refusals, lines added to tables, and sums.
func TestMemoryIsTheEngine(t *testing.T) {
	t.Parallel()
	plain, remembering := newFloor(t), newFloor(t)
	memory := remembering.Remember()
	a, b := compute.NewLine(plain.Model), compute.NewLine(remembering.Model)
	d := dice(rand.New(rand.NewPCG(5, 6)).IntN)
	pool := memorable(d)
	again := 0
	for range 3000 {
		r := pool[d(len(pool))]
		list := d(2)
		a.Clear()
		plain.set(a, r)
		b.Clear()
		remembering.set(b, r)
		want, err := plain.Work(a, list)
		require.NoError(t, err)
		got, err := memory.Work(b, list)
		require.NoError(t, err)
		require.Equal(t, want.Refused, got.Refused)
		require.Equal(t, len(want.Added), len(got.Added), "%v", r)
		if want.Refused {
			require.Equal(t, want.Why.Key, got.Why.Key)
			continue
		}
		again++
		require.Len(t, b.Raised, len(a.Raised))
		for i := range a.Raised {
			require.Equal(t, a.Raised[i].Key, b.Raised[i].Key)
		}
		for _, q := range plain.Model.Line.Quantities {
			require.Equal(t, q.Text(&a.Frame), q.Text(&b.Frame), "%s of %v", q.Key, r)
			require.Equal(t, math.Float64bits(a.Frame.Num[q.Slot]), math.Float64bits(b.Frame.Num[q.Slot]), "%s of %v", q.Key, r)
		}
	}
	require.Greater(t, again, 10*len(pool), "most lines came again")
	for list := range 2 {
		require.NotEmpty(t, plain.sums(list))
		require.Equal(t, plain.sums(list), remembering.sums(list))
	}
	require.Equal(t, plain.sizes(), remembering.sizes())
}

// memorable are rows of which some bring lines to tables, some are refused, and
// some differ only in what is typed over or in a letter.
func memorable(d dice) []row {
	var pool []row
	stock := []row{{"alloy": "grade 2", "od": 3, "wall": 0.047}, {"alloy": "grade 2", "od": 2.5, "wall": 0.049}}
	for range 40 {
		r := randomLine(d, d.of("Coupe", "coupe", "Spyder"), stock)
		pool = append(pool, r)
		if d.odds(3) {
			over := row{"travel_used": d.between(2, 6, 40)}
			for k, v := range r {
				over[k] = v
			}
			pool = append(pool, over)
		}
	}
	return append(pool, with(row{"car": "Coupe"}), with(row{"car": "Coupe", "qty": 1.5}), with(row{"car": "Coupe", "od": 2.123}), with(row{"car": "Track"}))
}
