package explain

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
)

// The parts of every step add up to the figure, largest first, and their shares to the
// whole; of each joint, car and the order something is answered.
func TestPartsAddUp(t *testing.T) {
	path := demoPriced(t, "order.xlsx")
	run, err := sheets.Read(t.Context(), path, "")
	require.NoError(t, err)
	defer run.Close()
	steps := 0
	for _, mark := range allMarks(run) {
		x, err := explain(run, Options{In: path, Mark: mark})
		require.NoError(t, err)
		require.GreaterOrEqual(t, len(x.Brief.Answers), 7, mark)
		require.NotEmpty(t, x.Brief.Steps, mark)
		for _, s := range x.Brief.Steps {
			if len(s.Parts) == 0 {
				assert.NotEmpty(t, s.From, "%s: %s", mark, s.Of.Key)
				continue
			}
			steps++
			whole := s.Of.Value.(float64)
			sum, shares, last := s.More.Value, 0.0, math.Inf(1)
			for _, p := range s.Parts {
				sum += p.Value
				shares += p.Of
				assert.LessOrEqual(t, math.Abs(p.Value), last, "the largest first")
				last = math.Abs(p.Value)
			}
			if s.More.Count > 0 {
				shares += s.More.Of
			}
			assert.InDelta(t, whole, sum, 1e-6*max(1, math.Abs(whole)), "%s: %s", mark, s.Of.Key)
			assert.InDelta(t, 1, shares, 1e-6, "%s: %s", mark, s.Of.Key)
			assert.LessOrEqual(t, len(s.Parts), mostParts)
		}
	}
	assert.Greater(t, steps, 60, "every joint's cost comes apart")
}
