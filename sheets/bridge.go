package sheets

import (
	"cmp"
	"fmt"
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
	sets    map[string]*state // by the cars that are there
	refused map[*joint]bool
	stop    func() error // whether the run is to end
	tries   int
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
	lines  [2]*compute.Line // inputs; the same where they do not differ
	inputs *player          // that changes them
	typed  []typedOver
}

// typedOver is a figure that somebody has typed over, in both revisions or one.
type typedOver struct {
	q      *compute.Quantity
	player *player // nil: it is the same in both
	has    [2]bool
	from   [2]*formula.Frame
}

// state is the order as it is being worked out, for one set of cars.
type state struct {
	engine *compute.Engine
	frames map[*compute.Scope][]*formula.Frame // by line of the bridge; nil where a car is away
	had    map[*compute.Scope]int              // lines of each table at first
	key    string                              // of the changes that lines need
	worked []map[string]*compute.Line          // by joint and how it is; nil where it is refused
}

// value is the figure of the order with some of the changes made, in whole
// parts.
func (b *bridge) value(made []bool) (int64, error) {
	if b.tries++; b.tries%stopEvery == 1 && b.stop != nil {
		if err := b.stop(); err != nil {
			return 0, err
		}
	}
	s, err := b.stateOf(made)
	if err != nil {
		return 0, err
	}
	b.apply(s, made)
	for i, j := range b.joints {
		if err := b.joint(s, i, j, made); err != nil {
			return 0, err
		}
	}
	if _, err := s.engine.Close(); err != nil {
		return 0, err
	}
	x := b.figure.Num(s.engine.Values.Order)
	if math.IsNaN(x) || math.Abs(x*b.scale) > 1<<50 {
		return 0, fmt.Errorf("%s has no value in an order between the two; choose another figure", b.figure.Key)
	}
	return int64(math.Round(x * b.scale)), nil
}

// mostStates is how many sets of cars are kept ready.
const mostStates = 32

// stateOf is the state that has the cars which are there. A state whose tables
// got lines from joints is not used again for other values: such a line is made
// from them.
func (b *bridge) stateOf(made []bool) (*state, error) {
	var cars, needed []byte
	for i, p := range b.players {
		if p.car {
			cars = append(cars, bit(made[i]))
		}
		if p.needed {
			needed = append(needed, bit(made[i]))
		}
	}
	s := b.sets[string(cars)]
	if s != nil && s.key != string(needed) && s.grown() {
		s = nil
	}
	if s == nil {
		var err error
		if s, err = b.newState(made); err != nil {
			return nil, err
		}
		if len(b.sets) >= mostStates {
			clear(b.sets)
		}
		b.sets[string(cars)] = s
	}
	if s.worked == nil || s.key != string(needed) {
		s.key, s.worked = string(needed), make([]map[string]*compute.Line, len(b.joints))
	}
	return s, nil
}

// grown reports whether joints have brought lines to the tables.
func (s *state) grown() bool {
	for t, n := range s.had {
		if len(s.engine.Values.Rows(t).Frames) != n {
			return true
		}
	}
	return false
}

// newState makes ready to work out the order with the cars that are there.
func (b *bridge) newState(made []bool) (*state, error) {
	s := &state{frames: map[*compute.Scope][]*formula.Frame{}, had: map[*compute.Scope]int{}}
	v := b.model.Empty()
	for _, t := range b.model.Tables {
		s.frames[t] = make([]*formula.Frame, len(b.lines[t]))
		for i, l := range b.lines[t] {
			if t.Name == carsTable && !l.in.is(made) {
				continue
			}
			f := v.AddRow(t)
			s.frames[t][i] = f
			if from := l.from[l.in.side]; l.in.player == nil || t.Name == carsTable {
				copyInto(f, from, t.Quantities)
			}
		}
		if whole, ok := b.bands[t]; ok {
			v.Rows(t).Frames = whole[sideOld]
			continue
		}
		s.had[t] = len(v.Rows(t).Frames)
	}
	copyInto(v.Singles, b.singles[sideOld], b.model.Singles.Quantities)
	var err error
	s.engine, err = compute.NewEngine(v)
	return s, err
}

// copyInto copies what the estimator has set.
func copyInto(to, from *formula.Frame, qs []*compute.Quantity) {
	for _, q := range qs {
		if q.Role == compute.Assumption || q.Role == compute.Column {
			to.Num[q.Slot], to.Text[q.Slot] = from.Num[q.Slot], from.Text[q.Slot]
		}
	}
}

// apply makes the changes of the values, and begins the sums anew.
func (b *bridge) apply(s *state, made []bool) {
	for i, p := range b.players {
		side := sideOld
		if made[i] {
			side = sideNew
		}
		for _, c := range p.patches {
			switch to := s.frame(c); {
			case to == nil: // of a car that is away
			case c.from[side] == nil:
				blank(to, c.qs)
			default:
				copyInto(to, c.from[side], c.qs)
			}
		}
		if p.band != nil {
			s.engine.Values.Rows(p.band).Frames = b.bands[p.band][side]
		}
	}
	s.engine.Again()
}

func bit(set bool) byte {
	if set {
		return '1'
	}
	return '0'
}

func (s *state) frame(c patch) *formula.Frame {
	if lines := s.frames[c.scope]; lines != nil {
		return lines[c.row]
	}
	return s.engine.Values.Singles
}

// blank empties a line: a part that is blank costs nothing.
func blank(f *formula.Frame, qs []*compute.Quantity) {
	for _, q := range qs {
		f.Num[q.Slot], f.Text[q.Slot] = formula.Blank(), ""
	}
}

// joint adds a joint to the sums, if it is there.
func (b *bridge) joint(s *state, i int, j *joint, made []bool) error {
	if !j.in.is(made) {
		return nil
	}
	how := make([]byte, 0, 1+len(j.typed))
	how = append(how, bit(j.inputs != nil && made[j.inputs.no]))
	for _, o := range j.typed {
		how = append(how, bit(o.player != nil && made[o.player.no]))
	}
	if s.worked[i] == nil {
		s.worked[i] = map[string]*compute.Line{}
	}
	if line, known := s.worked[i][string(how)]; known {
		if line != nil {
			s.engine.Add(line, 0)
		}
		return nil
	}
	line := j.line(how)
	out, err := s.engine.Work(line, 0)
	if err != nil {
		return err
	}
	if out.Refused {
		b.refused[j] = true
		line = nil
	}
	s.worked[i][string(how)] = line
	return nil
}

// line is the row as it is to be worked out.
func (j *joint) line(how []byte) *compute.Line {
	line := j.lines[how[0]-'0'].Clone()
	for i, o := range j.typed {
		side := how[1+i] - '0'
		switch {
		case !o.has[side]:
		case o.q.IsText():
			line.SetText(o.q, o.q.Text(o.from[side]))
		default:
			line.Set(o.q, o.q.Num(o.from[side]))
		}
	}
	return line
}

// Costs of working out, in joint rows: a row takes some 15 µs, closing an order
// about as long as six of them. An order is shared out exactly where that takes
// no more than mostWork rows.
const (
	closeCost  = 6
	mostWork   = 400_000
	mostExact  = 16
	fewPairs   = 16
	mostPairs  = 400
	sampleWork = 2 * mostWork
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
	n := len(b.players)
	if out.old, err = b.value(make([]bool, n)); err != nil {
		return out, err
	}
	all := make([]bool, n)
	seed := fnv.New64a()
	needed := 0
	for i, p := range b.players {
		all[i] = true
		seed.Write([]byte(p.key + "\x00"))
		if p.needed || p.car {
			needed++
		}
	}
	if out.new, err = b.value(all); err != nil {
		return out, err
	}
	rows := len(b.joints) + 1
	if n <= mostExact && rows<<needed+(closeCost+rows/20)<<n <= mostWork {
		out.all, err = exactShares(n, b.value)
	} else {
		work := 2 * (needed*rows + n*(closeCost+rows/20))
		pairs := min(max(sampleWork/work, fewPairs), mostPairs)
		out.orders = 2 * pairs
		out.all, err = sampledShares(n, pairs, seed.Sum64(), b.value)
	}
	if err != nil {
		return out, err
	}
	out.whole = wholeShares(out.all, out.new-out.old)
	return out, nil
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
	for i, p := range b.players {
		p.no = i
	}
}
