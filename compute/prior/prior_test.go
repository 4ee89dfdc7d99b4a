package prior

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/logged"
	"seamtally/compute/model"
	"seamtally/templates"
)

// What is thought of a shop beforehand comes from the usual ranges. By hand for the
// saw, which is cutting and deburring alone: 4 min, 2 to 10, a triangle of logarithms
// from -0.693 to 0.916 about 0, whose variance is (0.480+0.840+0.635)/18 = 0.1086; and
// 0.01 for what the model leaves out. Of the filler's yield: 85 %, 60 to 95 %.
func TestWhatIsThoughtBeforehand(t *testing.T) {
	var both []*Shop
	for _, sys := range []model.System{model.US, model.Metric} {
		m, err := compute.Load(templates.FS, sys)
		require.NoError(t, err)
		th, err := Of(m, 0.5)
		require.NoError(t, err)
		low, high := math.Log(2./4), math.Log(10./4)
		assert.InDelta(t, (low*low+high*high-low*high)/18+0.01, th.Stages[0][0], 1e-12)
		low, high = math.Log(0.6/0.85), math.Log(0.95/0.85)
		assert.InDelta(t, math.Sqrt((low*low+high*high-low*high)/18), th.Spread, 1e-12)
		assert.InDelta(t, -math.Log(0.85), th.Yield, 1e-12)
		assert.Equal(t, 1.0, th.Hand[0], "a saw is not paced")
		assert.True(t, th.Hand[2] < th.Hand[1] && th.Hand[1] < 1, "welding is paced more than the bench")
		for i := range logged.Stages {
			for j := range logged.Stages {
				r := th.Stages[i][j] / math.Sqrt(th.Stages[i][i]*th.Stages[j][j])
				assert.InDelta(t, th.Stages[i][j], th.Stages[j][i], 1e-12)
				assert.True(t, i == j || r > 0.2 && r < 0.8, "%d %d: %v", i, j, r)
			}
		}
		alone, err := Of(m, 0)
		require.NoError(t, err)
		assert.InDelta(t, 0, alone.Stages[0][2], 1e-12, "nothing of the saw is in welding")
		both = append(both, th)
	}
	for i := range logged.Stages {
		assert.InEpsilon(t, both[0].Stages[i][i], both[1].Stages[i][i], 0.03, "the ranges are the same in both systems, but for round numbers")
	}
}
