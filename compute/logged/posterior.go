package logged

import "math"

// steps of the grid along each scatter, and how far below the best a point may lie
// that still counts.
const (
	coarse, fine = 8, 9
	depth        = 7
)

// span is a range of logarithms.
type span struct{ low, high float64 }

func (s span) steps(n int) []float64 {
	if s.high == s.low {
		return []float64{s.low}
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = s.low + (s.high-s.low)*float64(i)/float64(n-1)
	}
	return out
}

// posterior sums over the scatters: first coarsely over all that they may be, then
// finely where they can.
func (p *problem) posterior() ([]*point, error) {
	w := p.work()
	start := make([]float64, p.size)
	cars, within := span{math.Log(0.004), math.Log(3.5 * p.usual[0])}, span{math.Log(0.004), math.Log(3.5 * p.usual[1])}
	if p.usual[0] == 0 {
		cars = span{math.Inf(-1), math.Inf(-1)}
	}
	grid := func(n int, cars, within span) ([]*point, error) {
		var all []*point
		for _, c := range cars.steps(n) {
			for _, s := range within.steps(n) {
				at, err := p.at(w, math.Exp(c), math.Exp(s), start)
				if err != nil {
					return nil, err
				}
				start = at.mean
				all = append(all, at)
			}
		}
		return all, nil
	}
	all, err := grid(coarse, cars, within)
	if err != nil {
		return nil, err
	}
	best := all[0].log
	for _, at := range all {
		best = max(best, at.log)
	}
	narrow := func(s span, of func(*point) float64) span {
		if s.high == s.low {
			return s
		}
		step := (s.high - s.low) / (coarse - 1)
		out := span{math.Inf(1), math.Inf(-1)}
		for _, at := range all {
			if at.log > best-depth {
				x := math.Log(of(at))
				out.low, out.high = min(out.low, x-step), max(out.high, x+step)
			}
		}
		return span{max(out.low, s.low), min(out.high, s.high)}
	}
	cars = narrow(cars, func(at *point) float64 { return at.car })
	within = narrow(within, func(at *point) float64 { return at.within })
	if all, err = grid(fine, cars, within); err != nil {
		return nil, err
	}
	best, sum := math.Inf(-1), 0.0
	for _, at := range all {
		best = max(best, at.log)
	}
	for _, at := range all {
		at.log = math.Exp(at.log - best)
		sum += at.log
	}
	for _, at := range all {
		at.log /= sum // now a share
	}
	return all, nil
}
