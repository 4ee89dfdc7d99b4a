package nest

import (
	"fmt"
	"math"
	"strings"
)

const (
	grain     = 10_000  // whole numbers inside, to one unit of length outside
	longest   = 100_000 // the longest stick; products in knapsack.go stay in int64
	mostAtAll = 20_000  // pieces in one task
	mostSizes = 1_000   // distinct lengths in one task
)

// Task is what is to be cut, all lengths in one unit.
type Task struct {
	// Stick is the length of a stick as bought, above 0.
	Stick float64
	// Kerf is what the saw takes with every cut, 0 or more. Where every cut end
	// is faced too, add that here.
	Kerf float64
	// Facing is cut off once, at the end of the stick from which cutting starts,
	// its kerf included; 0 or more.
	Facing float64
	// Keep is the shortest remainder that is put back on the rack, 0 or more: a
	// shorter one is scrap. With 0, every remainder counts as kept.
	Keep float64
	// Pieces are the lengths wanted, in any order; one length may come again.
	Pieces []Piece
}

// Piece is a length that is wanted Count times. Label is the caller's own, such
// as an index, and comes back with every cut.
type Piece struct {
	Length float64
	Count  int
	Label  int
}

// Plan says how all pieces are cut. Lengths are in the task's unit.
type Plan struct {
	// Patterns come with the shortest drop first: the longest is the last.
	Patterns []Pattern
	// Sticks is how many are bought: the sum of Times.
	Sticks int
	Bounds Bounds

	// Bought = Used + Kept + Scrap: what is paid for; what goes into pieces; the
	// drops that are long enough to keep; kerfs, facings and short drops.
	Bought, Used, Kept, Scrap float64
}

// Pattern is how a stick is cut, and how many sticks are cut so.
type Pattern struct {
	Times int
	// Cuts are in cutting order, the longest first, so that a mistake early on
	// leaves a remainder from which something can still be cut.
	Cuts []Cut
	// Drop is what is left of the stick after the last cut, 0 or more. Cutting
	// leaves it at the stick's far end.
	Drop float64
}

// Cut is one piece on a stick: from Start, measured from the stick's raw end,
// to Start + Length.
type Cut struct {
	Start, Length float64
	Label         int
}

// Bounds are numbers of sticks below which no plan can be.
type Bounds struct {
	// Length counts the pieces' length alone: L1 of Martello and Toth, "Knapsack
	// Problems", Wiley 1990, section 8.3.
	Length int
	// Halves counts pieces too long to share a stick with each other: their L2.
	Halves int
	// Relaxed is the linear relaxation rounded up. RelaxedValue is it before
	// rounding, or a little less where that could not change Relaxed.
	Relaxed      int
	RelaxedValue float64
	// Fewest says that no plan with fewer sticks exists, by a bound or because
	// all others were tried.
	Fewest bool
}

// Best is the greatest of the bounds.
func (b Bounds) Best() int { return max(b.Length, b.Halves, b.Relaxed) }

// ScrapShare is the part of what is bought that goes into no piece and no drop
// that is kept, 0 to 1; 0 where nothing is bought.
func (p Plan) ScrapShare() float64 {
	if p.Bought == 0 {
		return 0
	}
	return p.Scrap / p.Bought
}

// TooLongError names the pieces that no stick can give.
type TooLongError struct {
	// Usable is a stick's length less its facing, in the task's unit.
	Usable float64
	// Pieces are all that are longer, in the order given.
	Pieces []Piece
}

func (e *TooLongError) Error() string {
	said := make([]string, len(e.Pieces))
	for i, p := range e.Pieces {
		said[i] = fmt.Sprintf("label %d (%g long)", p.Label, p.Length)
	}
	return fmt.Sprintf("longer than the %g that a stick gives: %s; give a longer stick or split them",
		e.Usable, strings.Join(said, ", "))
}

// Solve lays the pieces on the fewest sticks that it finds; the package says
// how. No pieces give a plan of no sticks. A length that is no number, not above
// 0 (or under 0 where 0 is allowed) or too great is an error, and so is a count
// under 0, over 20,000 pieces in all or over 1,000 different lengths; pieces that are too long for a stick
// are a *TooLongError.
func Solve(t Task) (Plan, error) {
	if err := t.check(); err != nil {
		return Plan{}, err
	}
	s := newShop(t)
	loads, bounds := s.set.solve()
	return s.plan(loads, bounds), nil
}

func (t Task) check() error {
	for _, l := range []struct {
		name  string
		value float64
		least float64
	}{
		{"stick", t.Stick, 1. / grain}, {"kerf", t.Kerf, 0}, {"facing", t.Facing, 0}, {"shortest drop kept", t.Keep, 0},
	} {
		if !(l.value >= l.least && l.value <= longest) {
			return fmt.Errorf("%s is %g; give %g to %d", l.name, l.value, l.least, longest)
		}
	}
	total := 0
	sizes := map[int64]bool{}
	var over []Piece
	for i, p := range t.Pieces {
		// Not by what is left in whole numbers alone: an infinite length has none.
		switch {
		case !(p.Length >= 1./grain) || math.IsInf(p.Length, 0):
			return fmt.Errorf("piece %d (label %d) is %g long; give a length of %g or more", i+1, p.Label, p.Length, 1./grain)
		case p.Count < 0 || p.Count > mostAtAll:
			return fmt.Errorf("piece %d (label %d) is wanted %d times; give 0 to %d", i+1, p.Label, p.Count, mostAtAll)
		case p.Count == 0:
		case p.Length > longest || whole(p.Length) > whole(t.Stick)-whole(t.Facing):
			over = append(over, p)
		}
		if total += p.Count; p.Count > 0 {
			sizes[whole(p.Length)] = true
		}
		if total > mostAtAll || len(sizes) > mostSizes {
			return fmt.Errorf("over %d pieces or %d different lengths are wanted; cut them in several lots", mostAtAll, mostSizes)
		}
	}
	if over != nil {
		return &TooLongError{Usable: unit(max(0, whole(t.Stick)-whole(t.Facing))), Pieces: over}
	}
	return nil
}

func whole(l float64) int64 { return int64(math.Round(l * grain)) }

func unit(l int64) float64 { return float64(l) / grain }
