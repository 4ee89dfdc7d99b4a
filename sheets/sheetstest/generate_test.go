package sheetstest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func write(t testing.TB, rows int, seed int64, metric bool) string {
	t.Helper()
	data, err := GenerateOrder(rows, seed, metric)
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "order.xlsx")
	require.NoError(t, os.WriteFile(path, data, 0o600))
	return path
}

func TestGenerateOrderIsSetByItsSeed(t *testing.T) {
	one, again, other := Read(t, write(t, 60, 7, false)), Read(t, write(t, 60, 7, false)), Read(t, write(t, 60, 8, false))
	assert.Equal(t, one, again)
	assert.NotEqual(t, one, other)
}

// A mark on every row, and each mark once, in one list or the other.
func TestGenerateOrderHasItsRows(t *testing.T) {
	for _, rows := range []int{1, 19, 20, 300} {
		for _, metric := range []bool{false, true} {
			g := Read(t, write(t, rows, int64(rows), metric))
			seen := map[string]int{}
			for _, sheet := range []string{"Joint list", carAlone} {
				for _, v := range g[sheet] {
					if len(v.Text) == 7 && v.Text[:2] == "J-" {
						seen[v.Text]++
					}
				}
			}
			assert.Len(t, seen, rows)
			for i := 1; i <= rows; i++ {
				assert.Equal(t, 1, seen[fmt.Sprintf("J-%05d", i)], "row %d of %d", i, rows)
			}
			assert.Contains(t, g, "Order")
			if rows >= 20 {
				assert.Contains(t, g, carAlone)
			}
		}
	}
}

// The sizes of things, whatever reads them later: common practice, no source.
func TestGeneratedJointsAreSensible(t *testing.T) {
	for _, metric := range []bool{false, true} {
		g := &generator{rng: rand.New(rand.NewPCG(1, 2)), metric: metric, sizes: tubes(metric), cars: carNames()}
		kinds := map[string]int{}
		for range 5000 {
			j := g.joint()
			number := func(key string) float64 {
				switch v := j[key].(type) {
				case inBook:
					return float64(v)
				case float64:
					return v
				}
				return math.NaN()
			}
			od, wall := number("od"), number("wall")
			require.Greater(t, od/2, wall, j)
			switch {
			case j["bend"] != nil:
				kinds["pie cut"]++
				require.Positive(t, number("bend"), j)
				require.LessOrEqual(t, number("bend"), 190.0, j)
				if j["pie_angle"] != nil {
					require.LessOrEqual(t, number("pie_angle"), 30.0, j)
				}
				if _, text := j["clr"].(string); j["clr"] != nil && !text {
					require.GreaterOrEqual(t, number("clr"), od, j)
				}
			case j["run_od"] != nil:
				kinds["branch"]++
				require.Greater(t, number("run_od"), od, j)
			case j["kind"] == "seam" || j["kind"] == "Seam" || j["kind"] == "long seam":
				kinds["seam"]++
				require.Positive(t, number("weld_length"), j)
			default:
				kinds["other"]++
			}
			if j["sides"] == 2 {
				require.Contains(t, []string{"fillet", "Fillet", "flange", "socket", "boss"}, j["kind"], j)
			}
		}
		require.Len(t, kinds, 4)
		for kind, n := range kinds {
			assert.Greater(t, n, 300, kind)
		}
	}
}

func TestFractions(t *testing.T) {
	for in, want := range map[float64]string{3: "3", 2.5: "2 1/2", 0.75: "3/4", 1.0625: "1 1/16", 0.047: "", 0: ""} {
		assert.Equal(t, want, sixteenths(in))
	}
}

func BenchmarkGenerateOrder50000(b *testing.B) {
	for b.Loop() {
		if _, err := GenerateOrder(50_000, 1, false); err != nil {
			b.Fatal(err)
		}
	}
}
