package chance

import "math"

// Steps of a Curve, from none of the trials to all of them.
const Steps = 20

// Curve is what trials came to, where a Sorted need not be kept: at even shares of
// them, 0, 1/20, 2/20, ... 1, the outcome that the share does not exceed, and its
// standard error.
type Curve struct{ Outcomes, Errors [Steps + 1]float64 }

// Curve is that of the trials.
func (s Sorted) Curve() (c Curve) {
	for k := range c.Outcomes {
		share := float64(k) / Steps
		c.Outcomes[k], c.Errors[k] = s.At(share), s.Error(share)
	}
	return c
}

// At is what [Sorted.At] gives at the step nearest to a share.
func (c Curve) At(share float64) float64 { return c.Outcomes[step(share)] }

// Error is what [Sorted.Error] gives there.
func (c Curve) Error(share float64) float64 { return c.Errors[step(share)] }

func step(share float64) int { return min(max(int(math.Round(share*Steps)), 0), Steps) }
