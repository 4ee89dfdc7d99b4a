package compare

import (
	"cmp"
	"context"
	"hash/fnv"
	"math"
	"slices"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/share"
	"seamtally/sheets/revisions"
)

// bridge is two revisions of an order laid one over the other, so that any of
// the changes between them can be made in the old one without the others. It
// is the same whichever of the two is called the old one.
//
// Every such order can be worked out. A line that a table has in one revision
// only stands in all of them: it does nothing until something names it. A car,
// its joints and its own parts come and go together. A joint that cannot be
// worked out with some of the changes counts there as left out.
type bridge struct {
	model   *model.Model
	figure  *model.Quantity // of the order, whose gap is shared
	scale   float64         // whole parts of the figure
	singles [2]*formula.Frame
	lines   map[*model.Scope][]lineOver
	bands   map[*model.Scope][2][]*formula.Frame // tables that are taken whole
	changes []*change
	joints  []*joint
	needed  []*change         // that joints are worked out with
	comers  []int             // numbers of those that bring or take a car
	idle    []*change         // that cannot move the figure
	sets    map[string]*state // by the cars that are there
	kept    int               // lines in them
	refused map[*joint]bool
	work    float64 // that may be done for exact shares

	ctx   context.Context
	tries int // sets of changes that are worked out
	total int

	buffer []byte // used again and again, as these are
	again  []int
	marked []bool
}

// change is what is made whole or not at all.
type change struct {
	Change
	no      int    // among the changes
	key     string // the same whichever revision is the old one
	patches []patch
	band    *model.Scope // the table that is taken whole, nil for none
	needed  bool         // lines are worked out with it
	car     bool         // it brings or takes a car
	reach   []int        // the joints that are other with it
}

// patch is values that a change puts into a line of a table, or into the single
// assumptions.
type patch struct {
	scope *model.Scope
	row   int
	qs    []*model.Quantity
	from  [2]*formula.Frame
}

// lineOver is a line of a table in both revisions. One that is in the old or
// the new alone is the same in both, unless it goes with a change.
type lineOver struct {
	from [2]*formula.Frame
	in   presence
}

// presence says with which change something is there.
type presence struct {
	change *change // nil: always
	side   int     // the revision that has it
}

func (p presence) is(made share.Set) bool {
	return p.change == nil || made.Has(p.change.no) == (p.side == revisions.New)
}

// joint is a joint row in both revisions, or in one.
type joint struct {
	in     presence
	lines  [2]*compute.Line // what the row says; the same where that does not differ
	inputs *change          // that changes them
	typed  []typedOver

	found  [2]map[*model.Scope][]int // lines of tables that each row finds, from 1
	needed [2][]*change              // that it is worked out with; nil until that is known
}

// typedOver is a figure that somebody has typed over, in both revisions or one.
type typedOver struct {
	q      *model.Quantity
	change *change // nil: it is the same in both
	has    [2]bool
	from   [2]*formula.Frame
}

// What things take, beside working out a joint row, some 15 µs. An order is
// shared out exactly where that takes no more than mostWork.
const (
	closeWork  = 0.3  // what follows from a joint that came or went
	renewWork  = 3.0  // what is worked out once, and all that follows
	moveWork   = 0.05 // a joint worked out before that comes or goes
	mostExact  = 18   // changes
	mostWork   = 250_000
	leastPairs = 8 // of orders, however much work they are
	mostPairs  = 4_000
	sampleWork = 200_000
)

// shared is how the gap is shared out.
type shared struct {
	old, new int64
	all      []share.Share
	whole    []int64
	orders   int // looked at; 0: all of them
}

// share shares out the gap between the two revisions.
func (b *bridge) share() (shared, error) {
	var out shared
	var err error
	b.reaches()
	if out.old, err = b.value(b.each(false)); err != nil {
		return out, err
	}
	if out.new, err = b.value(b.each(true)); err != nil {
		return out, err
	}
	b.narrow()
	b.tries = 0
	n := len(b.changes)
	switch {
	case b.apart():
		b.total = 2*n + 1
		out.all, _, err = share.Sampled(n, 1, b.seed(), b.value)
	case n <= mostExact && b.exactWork() <= b.work:
		b.total = 1 << n
		out.all, err = share.Exact(n, b.value)
	default:
		pairs := b.pairs()
		b.total = pairs * (2*n + 1)
		out.all, pairs, err = share.Sampled(n, pairs, b.seed(), b.value)
		out.orders = 2 * pairs
	}
	if err != nil {
		return out, err
	}
	out.whole = share.Whole(out.all, out.new-out.old)
	return out, nil
}

// each are all changes, or none.
func (b *bridge) each(made bool) share.Set {
	all := share.NoneOf(len(b.changes))
	for i := range b.changes {
		if made {
			all.Flip(i)
		}
	}
	return all
}

// apart reports whether what a change makes depends on one other at the most:
// the figure is a plain sum over the joints, and no change is wider than a
// joint. Then a change makes the same in all orders, but for its place before
// or after that other, and any order with its reverse shows the exact shares.
func (b *bridge) apart() bool {
	for _, p := range b.changes {
		if p.car || p.band != nil || len(p.patches) > 0 {
			return false
		}
	}
	for _, ways := range b.waysOf() {
		if ways > 2 {
			return false
		}
	}
	return b.model.Linear(b.figure)
}

// toMake is the work of making a change, or of taking it back, when all joints
// were worked out before.
func (p *change) toMake() float64 {
	if p.band != nil || len(p.patches) > 0 || p.car {
		return renewWork + moveWork*float64(len(p.reach))
	}
	return closeWork + moveWork*float64(len(p.reach))
}

// waysOf is, of every joint, how many changes it can be worked out with and
// without.
func (b *bridge) waysOf() []int {
	out := make([]int, len(b.joints))
	for _, p := range b.changes {
		for _, k := range p.reach {
			out[k]++
		}
		if p.car { // whose comings and goings have each a state of its own
			for k := range out {
				out[k]++
			}
		}
	}
	return out
}

// exactWork is the work of looking at every set of changes.
func (b *bridge) exactWork() float64 {
	work := 0.0
	for i, p := range b.changes {
		work += p.toMake() * math.Exp2(float64(len(b.changes)-1-i))
	}
	for _, ways := range b.waysOf() {
		work += math.Exp2(float64(ways))
	}
	return work
}

// pairs is how many pairs of orders there is work for.
func (b *bridge) pairs() int {
	once, each, kept := 0.0, 0.0, 0.0
	for _, p := range b.changes {
		each += 2 * p.toMake()
	}
	ways := b.waysOf()
	for _, n := range ways {
		kept += math.Exp2(float64(n))
	}
	if once = kept; kept > mostKept {
		once = 0
		for _, n := range ways {
			each += 2 * float64(n+1)
		}
	}
	return int(min(max((sampleWork-once)/each, leastPairs), mostPairs))
}

// seed is the same for the same changes, whichever revision is the old one.
func (b *bridge) seed() uint64 {
	h := fnv.New64a()
	for _, p := range b.changes {
		h.Write([]byte(p.key + "\x00"))
	}
	return h.Sum64()
}

// sort puts the changes in an order that does not depend on which revision is
// the old one; those that make all lines be worked out anew come last.
func (b *bridge) sort() {
	rank := func(p *change) int {
		switch {
		case p.car:
			return 2
		case p.needed:
			return 1
		}
		return 0
	}
	slices.SortStableFunc(b.changes, func(x, y *change) int {
		return cmp.Or(cmp.Compare(rank(x), rank(y)), cmp.Compare(x.key, y.key))
	})
	b.number()
}

func (b *bridge) number() {
	b.needed, b.comers = nil, nil
	for i, p := range b.changes {
		p.no = i
		if p.car {
			b.comers = append(b.comers, i)
		}
		if p.needed {
			b.needed = append(b.needed, p)
		}
	}
}
