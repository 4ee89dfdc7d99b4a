package totals

import "math"

// Count is what a total may give of joints.
type Count struct{ Rows, Pieces, Welds float64 }

func (c Count) plus(o Count) Count {
	return Count{c.Rows + o.Rows, c.Pieces + o.Pieces, c.Welds + o.Welds}
}
func (c Count) minus(o Count) Count {
	return Count{c.Rows - o.Rows, c.Pieces - o.Pieces, c.Welds - o.Welds}
}

// is reports whether a number is one of the counts, or so many times the pieces or welds.
func (c Count) is(x, times float64) bool {
	for _, n := range [...]float64{c.Rows, times * c.Pieces, times * c.Welds} {
		if n > 0 && math.Abs(n-x) < 1e-9*math.Max(1, x) {
			return true
		}
	}
	return false
}

// sums are the counts that a typed total may give.
type sums struct {
	now   Count
	at    []Count          // where a total, a title or a break stood
	parts map[string]Count // of what joints have in common, such as their car
}

// mostBreaks bounds how many breaks of a list are kept, mostParts how much that joints
// may have in common.
const mostBreaks, mostParts = 1000, 1000

// Add counts a joint, and for each thing that it shares with others.
func (p *Rows) Add(c Count, shares ...string) {
	s := &p.sums
	s.now = s.now.plus(c)
	if s.parts == nil {
		s.parts = map[string]Count{}
	}
	for _, key := range shares {
		if was, has := s.parts[key]; has || len(s.parts) < mostParts {
			s.parts[key] = was.plus(c)
		}
	}
}

// Break says that something else than a joint stands here, where a total may begin to count.
func (p *Rows) Break() {
	if s := &p.sums; len(s.at) == 0 || s.at[len(s.at)-1] != s.now {
		if len(s.at) == mostBreaks {
			s.at = s.at[1:]
		}
		s.at = append(s.at, s.now)
	}
}

// Above is what all joints above come to.
func (p *Rows) Above() Count { return p.sums.now }

// Gives reports whether a number is what joints above come to, or so many times that: all
// of them, those since something else stood among them, or those that have something in
// common.
func (p *Rows) Gives(x float64, times ...float64) bool {
	s := &p.sums
	for _, n := range append(times, 1) {
		if s.now.is(x, n) {
			return true
		}
		for _, at := range s.at {
			if s.now.minus(at).is(x, n) {
				return true
			}
		}
		for _, part := range s.parts {
			if part.is(x, n) {
				return true
			}
		}
	}
	return false
}
