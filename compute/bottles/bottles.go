// Package bottles follows gas bottles through work: where one is changed before a weld
// that it could not finish, and what cars took by the bottles that were changed. It
// knows nothing of cells, files or money.
package bottles

import "math"

// Line is a gas line that hangs on bottles of its own.
type Line struct {
	Full  float64        // gas of a whole bottle
	Empty func(at Place) // is told of each bottle that is changed
	Left  float64        // what stays in bottles that are changed
	Most  float64        // the most that one weld takes

	in      float64 // the bottle that hangs there
	opened  bool
	changed int
}

// Place is the weld before which a bottle is changed: a joint, and which car of its spec.
type Place struct{ Joint, Nth int }

// Weld makes some welds of a joint, one after another, of which each takes such gas on
// each line that hangs here. It changes the bottle before a weld that it cannot finish.
// A weld that takes more than a whole bottle takes what it needs of the next.
func (l *Line) Weld(count float64, gas []float64, at Place) {
	each := 0.0
	for _, x := range gas {
		each += x
	}
	l.Most = max(l.Most, each)
	for done := 0.0; done < count && each > 0; {
		if can := math.Floor(l.in/each + 1e-9); can >= 1 {
			n := min(can, count-done)
			l.in, done = l.in-n*each, done+n
			continue
		}
		l.change(at)
		if each > l.Full {
			need := each
			for need > l.in {
				need -= l.in
				l.in = 0
				l.change(at)
			}
			l.in -= need
			done++
		}
	}
}

func (l *Line) change(at Place) {
	if l.opened {
		l.Left += l.in
		l.changed++
		l.Empty(at)
	}
	l.in, l.opened = l.Full, true
}

// More is how many bottles it takes over a whole number that is reckoned with, for so
// much gas in all.
func (l *Line) More(gas, whole float64) float64 {
	n := float64(l.changed)
	if gas > 0 {
		n++
	}
	return max(0, n-whole)
}
