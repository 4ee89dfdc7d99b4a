package logged_test

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/logged"
)

// prior is as the shipped ranges have it, about.
func prior() logged.Prior {
	sd := [logged.Stages]float64{0.4, 0.25, 0.3}
	var p logged.Prior
	for s := range sd {
		for t := range sd {
			p[s][t] = 0.4 * sd[s] * sd[t]
		}
		p[s][s] = sd[s] * sd[s]
	}
	return p
}

// shop is a shop drawn from the program's own model, with what it logs.
type shop struct {
	theta [logged.Stages]float64
	power float64
	cars  []logged.Car
}

// drawShop draws one: two correlated parts to each stage, scatters, one car now and
// then far off (Student's t), stages that are missing, and cars with clocked minutes.
func drawShop(rng *rand.Rand, n int, learning bool) shop {
	var out shop
	common := rng.NormFloat64() * math.Sqrt(0.4)
	for s, p := 0, prior(); s < logged.Stages; s++ {
		out.theta[s] = math.Sqrt(p[s][s]) * (common + rng.NormFloat64()*math.Sqrt(0.6))
	}
	if learning {
		out.power = rng.NormFloat64() * logged.SlopeSpread
	}
	usual := logged.Scatters()
	car, stage := math.Abs(rng.NormFloat64())*usual[0], math.Abs(rng.NormFloat64())*usual[1]
	for i := range n {
		c := logged.Car{Clocked: math.NaN(), EstimateClocked: math.NaN()}
		gamma := 0.0 // chi-square of as many degrees of freedom, over them
		for range logged.Freedom {
			z := rng.NormFloat64()
			gamma += z * z / logged.Freedom
		}
		far := 1 / math.Sqrt(gamma)
		u := rng.NormFloat64() * car * far
		if learning {
			c.Number = 1 + i%8
		}
		clocked := rng.IntN(8) == 0
		total, mean := 0.0, 0.0
		for s := range logged.Stages {
			c.Estimate[s] = 20 + 300*rng.Float64()
			c.Hand[s] = 0.3 + 0.7*rng.Float64()
			total += c.Estimate[s]
		}
		hand := 0.0
		for s := range logged.Stages {
			e := rng.NormFloat64() * stage * far
			w := c.Estimate[s] / total
			mean += w * (out.theta[s] + e)
			hand += w * c.Hand[s]
			c.Logged[s] = c.Estimate[s] * math.Exp(out.theta[s]+u+e+logged.Learned(c.Number, out.power, c.Hand[s]))
			if clocked || rng.IntN(6) == 0 {
				c.Logged[s] = math.NaN()
			}
		}
		if clocked {
			c.Fixed = total * rng.Float64() // other work, which no ratio moves
			c.EstimateClocked = total*1.3 + c.Fixed
			c.Clocked = c.Fixed + total*1.3*math.Exp(mean+u+logged.Learned(c.Number, out.power, hand))
		}
		out.cars = append(out.cars, c)
	}
	return out
}

// Simulation-based calibration: S. Talts and others, "Validating Bayesian Inference
// Algorithms with Simulation-Based Calibration", 2018 (arXiv:1804.06788). Of ratios
// drawn from what is thought beforehand, and records drawn from those, the place of
// the true ratio within what the fit gives is uniform.
func TestRanksAreUniform(t *testing.T) {
	draws := 150
	if os.Getenv("CI") != "" {
		draws = 1000
	}
	for name, learning := range map[string]bool{"as it is": false, "with learning": true} {
		t.Run(name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(20260101, 8))
			const bins = 10
			var seen [logged.Stages + 1][bins]int
			var inside [logged.Stages + 1]int
			for range draws {
				s := drawShop(rng, []int{3, 5, 8, 15}[rng.IntN(4)], learning)
				f, err := logged.Minutes(s.cars, logged.Options{Prior: prior(), FitSlope: learning})
				require.NoError(t, err)
				truth := append(append([]float64{}, s.theta[:]...), s.power)
				for k := range truth {
					if k == logged.Stages && !learning {
						continue
					}
					rank := f.Rank(k, truth[k])
					seen[k][min(int(rank*bins), bins-1)]++
					if rank > 0.1 && rank < 0.9 {
						inside[k]++
					}
				}
			}
			for k := range seen {
				if k == logged.Stages && !learning {
					continue
				}
				chi, even := 0.0, float64(draws)/bins
				for _, n := range seen[k] {
					chi += (float64(n) - even) * (float64(n) - even) / even
				}
				// 99.9 % of chi-square with 9 degrees of freedom lie under 27.88 (tables).
				assert.Less(t, chi, 27.88, "unknown %d: %v", k, seen[k])
				share := float64(inside[k]) / float64(draws)
				t.Logf("unknown %d: %.3f within, chi-square %.1f, %v", k, share, chi, seen[k])
				room := 0.04
				if draws < 800 {
					room = 0.1 // three standard deviations of so few
				}
				assert.InDelta(t, 0.8, share, room, "unknown %d", k)
			}
		})
	}
}

// The same for amounts: of bottles and rods drawn from the program's own model, with
// whole pieces counted, four ranges of five hold the ratio.
func TestRangesOfAmountsHold(t *testing.T) {
	draws := 400
	if os.Getenv("CI") != "" {
		draws = 2000
	}
	rng := rand.New(rand.NewPCG(20260102, 8))
	inside, under := 0, 0
	for range draws {
		theta := 0.3 * rng.NormFloat64()
		scatter := 0.2 * math.Abs(rng.NormFloat64())
		var all []logged.Amount
		for range 3 + rng.IntN(10) {
			gamma := 0.0
			for range logged.Freedom {
				z := rng.NormFloat64()
				gamma += z * z / logged.Freedom
			}
			a := logged.Amount{Estimate: 10 + 30*rng.Float64(), Cars: 4, Squares: 0.25 + 0.1*rng.Float64(), Ends: 1 + 2*rng.IntN(2)}
			a.Used = a.Estimate * math.Exp(theta+scatter*math.Sqrt(a.Squares/gamma)*rng.NormFloat64())
			for range a.Ends { // begun, and left over
				a.Used += rng.Float64() - rng.Float64()
			}
			all = append(all, a)
		}
		r, err := logged.Amounts(all, 0, 0.3)
		require.NoError(t, err)
		switch is := math.Exp(theta); {
		case is < r.Low:
			under++
		case is <= r.High:
			inside++
		}
	}
	t.Logf("%d of %d within, %d under", inside, draws, under)
	assert.InDelta(t, 0.8, float64(inside)/float64(draws), 0.04+0.02*math.Sqrt(400/float64(draws)))
	assert.InDelta(t, 0.1, float64(under)/float64(draws), 0.05)
}
