package formula_test

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The time of one weld, worked out for one row.
func BenchmarkRow(b *testing.B) {
	q := having(b, "passes; seam in; closes; closing_overlap in; starts; tie_in in; travel in/min; pause s")
	row := q.row(map[string]any{"passes": 1, "seam": 9.42, "closes": 1, "closing_overlap": 0.25, "starts": 22,
		"tie_in": 0.06, "travel": 3, "pause": 16})
	f := checked(b, "(passes*(seam+closes*closing_overlap)+starts*tie_in)/travel+IF(starts>passes,starts*pause,0)", "min", q)
	code, err := f.Compile()
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		code.Num(row)
	}
}

// A value on a tie, which needs decimals, and one that does not.
func BenchmarkRoundToTheCent(b *testing.B) {
	q := having(b, "cost $")
	code, err := checked(b, "ROUND(cost,2)", "$", q).Compile()
	require.NoError(b, err)
	for name, cost := range map[string]float64{"tie": 12.345, "plain": 12.3467} {
		row := q.row(map[string]any{"cost": cost})
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				code.Num(row)
			}
		})
	}
}
