package sheets

import (
	"cmp"
	"hash/fnv"
	"math"
	"slices"

	"seamtally/compute"
	"seamtally/compute/formula"
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
	model   *compute.Model
	figure  *compute.Quantity // of the order, whose gap is shared
	scale   float64           // whole parts of the figure
	singles [2]*formula.Frame
	lines   map[*compute.Scope][]lineOver
	bands   map[*compute.Scope][2][]*formula.Frame // tables that are taken whole
	players []*player
	joints  []*joint
	needed  []*player         // that joints are worked out with
	idle    []*player         // that cannot move the figure
	sets    map[string]*state // by the cars that are there
	kept    int               // lines in them
	refused map[*joint]bool
	stop    func() error // whether the run is to end
	tries   int
	work    int // joint rows that may be worked out for exact shares
}

// The two revisions, as indexes.
const (
	sideOld = 0
	sideNew = 1
)

// player is a change that is made whole or not at all.
type player struct {
	Change
	no      int    // among the players
	key     string // the same whichever revision is the old one
	patches []patch
	band    *compute.Scope // the table that is taken whole, nil for none
	needed  bool           // lines are worked out with it
	car     bool           // it brings or takes a car
}

// patch is values that a player puts into a line of a table, or into the single
// assumptions.
type patch struct {
	scope *compute.Scope
	row   int
	qs    []*compute.Quantity
	from  [2]*formula.Frame
}

// lineOver is a line of a table in both revisions. One that is in the old or
// the new alone is the same in both, unless it goes with a player.
type lineOver struct {
	from [2]*formula.Frame
	in   presence
}

// presence says with which player something is there.
type presence struct {
	player *player // nil: always
	side   int     // the revision that has it
}

func (p presence) is(made []bool) bool {
	return p.player == nil || made[p.player.no] == (p.side == sideNew)
}

// joint is a joint row in both revisions, or in one.
type joint struct {
	in     presence
	lines  [2]*compute.Line // what the row says; the same where that does not differ
	inputs *player          // that changes them
	typed  []typedOver

	found  [2]map[*compute.Scope][]int // lines of tables that each row finds, from 1
	needed [2][]*player                // that it is worked out with; nil until that is known
}

// typedOver is a figure that somebody has typed over, in both revisions or one.
type typedOver struct {
	q      *compute.Quantity
	player *player // nil: it is the same in both
	has    [2]bool
	from   [2]*formula.Frame
}

// What working out takes, in joint rows worked out: some 15 µs each. An order
// is shared out exactly where that takes no more than mostWork of them.
const (
	closeCost  = 3  // to begin an order anew and to close it
	addCost    = 40 // rows that can be added, worked out before, for one worked out
	mostExact  = 16 // changes
	mostWork   = 250_000
	fewPairs   = 16
	mostPairs  = 500
	sampleWork = 250_000
)

// shared is how the gap is shared out.
type shared struct {
	old, new int64
	all      []share
	whole    []int64
	orders   int // looked at; 0: all of them
}

// share shares out the gap between the two revisions.
func (b *bridge) share() (shared, error) {
	var out shared
	var err error
	if out.old, err = b.value(b.each(false)); err != nil {
		return out, err
	}
	if out.new, err = b.value(b.each(true)); err != nil {
		return out, err
	}
	b.narrow()
	n := len(b.players)
	rows := b.rowsAgain()
	one := closeCost + len(b.joints)/addCost
	exact := float64(one) * math.Exp2(float64(n))
	for _, r := range rows {
		exact += math.Exp2(float64(r))
	}
	if n <= mostExact && exact <= float64(b.work) {
		out.all, err = exactShares(n, b.value)
	} else {
		work := 2 * n * one
		for _, r := range rows {
			work += 2 * (r + 1)
		}
		pairs := min(max(sampleWork/work, fewPairs), mostPairs)
		out.orders = 2 * pairs
		out.all, err = sampledShares(n, pairs, b.seed(), b.value)
	}
	if err != nil {
		return out, err
	}
	out.whole = wholeShares(out.all, out.new-out.old)
	return out, nil
}

func (b *bridge) each(made bool) []bool {
	all := make([]bool, len(b.players))
	for i := range all {
		all[i] = made
	}
	return all
}

// rowsAgain is, of every joint, how many changes make it be worked out anew.
func (b *bridge) rowsAgain() []int {
	var out []int
	for _, j := range b.joints {
		n := len(j.needs(b, sideOld))
		for _, p := range b.players {
			if p.car || p == j.inputs {
				n++
			}
		}
		out = append(out, n+len(j.typed))
	}
	return out
}

// seed is the same for the same changes, whichever revision is the old one.
func (b *bridge) seed() uint64 {
	h := fnv.New64a()
	for _, p := range b.players {
		h.Write([]byte(p.key + "\x00"))
	}
	return h.Sum64()
}

// sort puts the players in an order that does not depend on which revision is
// the old one; those that make all lines be worked out anew come last.
func (b *bridge) sort() {
	rank := func(p *player) int {
		switch {
		case p.car:
			return 2
		case p.needed:
			return 1
		}
		return 0
	}
	slices.SortStableFunc(b.players, func(x, y *player) int {
		return cmp.Or(cmp.Compare(rank(x), rank(y)), cmp.Compare(x.key, y.key))
	})
	b.number()
}

func (b *bridge) number() {
	b.needed = nil
	for i, p := range b.players {
		p.no = i
		if p.needed {
			b.needed = append(b.needed, p)
		}
	}
}
