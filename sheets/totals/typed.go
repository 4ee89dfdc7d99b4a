package totals

import (
	"math"
	"slices"
)

// Count is what a total may give of joints.
type Count struct{ Rows, Pieces, Welds float64 }

func (c Count) plus(o Count) Count {
	return Count{c.Rows + o.Rows, c.Pieces + o.Pieces, c.Welds + o.Welds}
}
func (c Count) minus(o Count) Count {
	return Count{c.Rows - o.Rows, c.Pieces - o.Pieces, c.Welds - o.Welds}
}

// isAll reports whether a number is that of pieces, or of rows: a joint that was lost makes
// a total greater than the pieces that are left, and there are never more rows than these.
func (c Count) isAll(x float64) bool { return c.Rows > 0 && (near(x, c.Pieces) || x == c.Rows) }

// is reports whether a number is one of the counts, or so many times pieces or welds.
func (c Count) is(x float64, times []float64) bool {
	if c.Rows == x || near(x, c.Pieces) || near(x, c.Welds) {
		return c.Rows > 0
	}
	return slices.ContainsFunc(times, func(n float64) bool { return n > 0 && (near(x, n*c.Pieces) || near(x, n*c.Welds)) })
}

func near(x, y float64) bool { return math.Abs(x-y) < 1e-9*math.Max(1, x) }

// sums are the counts that a typed total may give.
type sums struct {
	now   Count
	at    []Count // where a total, a title or a break stood
	parts map[share]Count
}

// share is what joints have in common: their car, or something else.
type share struct {
	of  string
	car bool
}

// mostBreaks bounds how many breaks of a list are kept, mostParts how much that joints
// may have in common.
const mostBreaks, mostParts = 1000, 1000

// Add counts a joint, for its car, and for each other thing that it shares with joints.
func (p *Rows) Add(c Count, car string, shares ...string) {
	s := &p.sums
	s.now = s.now.plus(c)
	if s.parts == nil {
		s.parts = map[share]Count{}
	}
	of := []share{{car, true}}
	for _, text := range shares {
		of = append(of, share{text, false})
	}
	for _, key := range of {
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

// Gives reports whether a number is that of the pieces or rows above: of all, of those since
// something else stood among them, or of a car.
func (p *Rows) Gives(x float64) bool {
	return p.any(func(c Count, key share) bool { return (key.of == "" || key.car) && c.isAll(x) })
}

// GivesSome reports whether it may be another number of them: of welds, for so many
// cars, or of joints that have anything in common. That is a total where words say so.
func (p *Rows) GivesSome(x float64, times ...float64) bool {
	return p.Gives(x) || p.any(func(c Count, _ share) bool { return c.is(x, times) })
}

// any looks for a count among those that a total may give.
func (p *Rows) any(is func(Count, share) bool) bool {
	s := &p.sums
	if is(s.now, share{}) {
		return true
	}
	for _, at := range s.at {
		if is(s.now.minus(at), share{}) {
			return true
		}
	}
	for key, part := range s.parts {
		if is(part, key) {
			return true
		}
	}
	return false
}
