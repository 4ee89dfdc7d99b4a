package nest

import (
	"cmp"
	"slices"
)

const (
	fewPieces = 10            // up to here all plans are tried
	fullWork  = 50_000_000    // to fill all sticks as far as they go
	fullSteps = 5_000         // for each of them, at most
	fullLeast = 50            // and at least
	packSteps = 20_000        // to lay on what a dive has left
	endSteps  = 1_000_000     // to lay all, at the end
	allWork   = 2_500_000_000 // for the relaxations, in multiplications
	dives     = 24
)

// solve finds the loads, and the bounds on their number.
func (s set) solve() ([]load, Bounds) {
	var b Bounds
	if len(s.size) == 0 {
		b.Fewest = true
		return nil, b
	}
	d := diver{set: s, work: allWork}
	d.best = s.simple()
	d.known.learn(d.best)
	b.Length, b.Halves = s.byLength(), s.byHalves()
	r := s.relax(&d.known, &d.work, count(d.best) == b.Best())
	b.Relaxed = roundUp(r.least)
	b.RelaxedValue, _ = r.least.Float64()
	if pieces(s.want) <= fewPieces {
		b.Fewest = true
		return s.tryAll(), b
	}
	d.bound = b.Best()
	for v := 0; v < dives && d.work > 0 && !d.done(); v++ {
		d.dive(v, r)
	}
	if !d.done() {
		d.end()
	}
	loads := s.gather(d.best)
	b.Fewest = d.none || count(loads) == d.bound
	return loads, b
}

// simple is the best of the plain ways.
func (s set) simple() []load {
	return slices.MinFunc([][]load{s.descending(false), s.descending(true), s.byFullest()},
		func(a, b []load) int { return cmp.Compare(count(a), count(b)) })
}

// byFullest fills stick after stick as far as it goes, each with the longest
// piece that is left.
func (s set) byFullest() []load {
	var loads []load
	rest := s.with(slices.Clone(s.want))
	steps := max(fullLeast, min(fullSteps, fullWork/(len(s.size)*(1+s.byLength()))))
	for i := range rest.want {
		for rest.want[i] > 0 {
			hold := rest.fullest(i, steps)
			n := least(rest.want, hold)
			take(rest.want, hold, n)
			loads = append(loads, load{hold, n})
		}
	}
	return loads
}

// diver rounds the relaxation to whole sticks, again and again.
type diver struct {
	set
	known pool
	work  int // left
	bound int
	best  []load
	none  bool // it is proven that best has the fewest
}

func (d *diver) done() bool { return d.none || count(d.best) <= d.bound }

// dive keeps the whole part of each pattern's times, solves what is left again,
// and so on; where no times is 1 or more, one pattern is cut once all the same:
// that with the greatest times, or, at one place that variant chooses, one of
// the next.
func (d *diver) dive(variant int, r relaxed) {
	place, rank := (variant-1)/2, 1+(variant-1)%2
	rest := d.with(slices.Clone(d.want))
	var fixed []load
	for choice := 0; pieces(rest.want) > 0; {
		sticks := count(fixed)
		if sticks+roundUp(r.least) >= count(d.best) {
			return
		}
		if d.finish(fixed, rest); d.done() {
			return
		}
		if d.work <= 0 {
			return
		}
		whole := fixWhole(&rest, r.used)
		if whole == nil {
			at := 0
			if variant > 0 && choice == place {
				at = rank
			}
			whole = fixOne(&rest, r.used, at)
			choice++
		}
		if whole == nil {
			return // the relaxation's figures were of no use
		}
		fixed = append(fixed, whole...)
		r = rest.relax(&d.known, &d.work, false)
	}
	if count(fixed) < count(d.best) {
		d.best = fixed
	}
}

// finish lays the rest in plain ways and by trying, for a better plan.
func (d *diver) finish(fixed []load, rest set) {
	got := rest.simple()
	need := count(d.best) - 1 - count(fixed)
	if count(got) > need {
		if got, _ = rest.pack(need, packSteps); got == nil {
			return
		}
	}
	d.best = merged(append(slices.Clone(fixed), got...))
}

// end tries all plans with one stick fewer, as long as the steps last.
func (d *diver) end() {
	for !d.done() {
		got, sure := d.pack(count(d.best)-1, endSteps)
		if got == nil {
			d.none = sure
			return
		}
		d.best = got
	}
}

func fixWhole(rest *set, used []part) []load {
	var out []load
	for _, p := range used {
		n := min(int(p.times+1e-6), least(rest.want, p.hold))
		if n > 0 {
			take(rest.want, p.hold, n)
			out = append(out, load{p.hold, n})
		}
	}
	return out
}

// fixOne cuts one pattern once: that at place at when they are sorted by times,
// or the last.
func fixOne(rest *set, used []part, at int) []load {
	used = slices.Clone(used)
	slices.SortStableFunc(used, func(a, b part) int { return cmp.Compare(b.times, a.times) })
	if len(used) == 0 {
		return nil
	}
	p := used[min(at, len(used)-1)]
	if least(rest.want, p.hold) == 0 {
		return nil
	}
	take(rest.want, p.hold, 1)
	return []load{{p.hold, 1}}
}
