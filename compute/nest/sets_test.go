package nest

import (
	"math/rand/v2"
	"testing"
	"time"
)

// drawn is a made-up order: that many pieces of that many lengths.
func drawn(r *rand.Rand, pieces, lengths int, short, long float64, inches bool) Task {
	t := Task{Stick: 240, Kerf: 0.06, Facing: 0.5, Keep: 12}
	at := map[int]int{}
	for range pieces {
		at[r.IntN(lengths)]++
	}
	for i := range lengths {
		l := t.Stick * (short + (long-short)*r.Float64())
		if inches {
			l = float64(int(l*16)) / 16
		}
		t.Pieces = append(t.Pieces, Piece{Length: l, Count: at[i], Label: i})
	}
	return t
}

func TestProbe(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	spans := [][2]float64{{0.01, 0.1}, {0.05, 0.35}, {0.1, 0.5}, {0.02, 0.7}, {0.2, 0.5}, {0.005, 0.9}, {0.25, 0.5}}
	for _, sp := range spans {
		for _, n := range []int{12, 30, 60, 120, 250, 600, 2000} {
			for _, l := range []int{3, 10, 25, 60} {
				if l > n {
					continue
				}
				eq, one, worse, fewest := 0, 0, 0, 0
				var worst time.Duration
				for k := range 4 {
					task := drawn(r, n, l, sp[0], sp[1], k%2 == 0)
					t0 := time.Now()
					p, err := Solve(task)
					if d := time.Since(t0); d > worst {
						worst = d
					}
					if err != nil {
						t.Fatal(err)
					}
					switch p.Sticks - p.Bounds.Best() {
					case 0:
						eq++
					case 1:
						one++
					default:
						worse++
					}
					if p.Bounds.Fewest {
						fewest++
					}
				}
				if one+worse > 0 || worst > 300*time.Millisecond {
					t.Logf("span %v n %d lengths %d: eq %d one %d worse %d fewest %d worst %v", sp, n, l, eq, one, worse, fewest, worst)
				}
			}
		}
	}
}
