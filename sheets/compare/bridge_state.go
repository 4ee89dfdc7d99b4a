package compare

import (
	"fmt"
	"math"
	"math/bits"
	"slices"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/share"
	"seamtally/sheets"
	"seamtally/sheets/progress"
	"seamtally/sheets/revisions"
)

// state is the order as it is being worked out, for one set of cars. From one
// set of changes to the next only what differs is worked out anew.
type state struct {
	values *compute.Values
	closer *compute.Closer
	frames map[*model.Scope][]*formula.Frame // by line of the bridge; nil where a car is away
	at     map[*model.Scope][]int            // and the number that it has, from 1
	had    map[*model.Scope]int              // lines of each table at first
	lookUp map[*model.Quantity]*model.Scope
	worked []map[string]compute.Amounts // by joint and what made it; nil where it is refused

	made  share.Set         // the changes that are made in it; nil: none is looked at yet
	in    []compute.Amounts // of each joint, as the sums have them; nil where it is away
	moves int               // since the sums were begun
	grown bool              // joints have brought lines to the tables
}

// value is the figure of the order with some of the changes made, in whole
// parts.
func (b *bridge) value(made share.Set) (int64, error) {
	if b.tries++; b.tries%sheets.StopEvery == 1 {
		if err := b.ctx.Err(); err != nil {
			return 0, err
		}
		if b.total > 0 {
			progress.Of(b.ctx, "sets of changes", min(b.tries, b.total), b.total)
		}
	}
	s, err := b.stateOf(made)
	if err != nil {
		return 0, err
	}
	if err := b.move(s, made); err != nil {
		return 0, err
	}
	s.closer.Close()
	x := b.figure.Num(s.values.Order)
	if math.IsNaN(x) || math.Abs(x*b.scale) > 1<<50 {
		return 0, fmt.Errorf("%s has no value in an order between the two; choose another figure", b.figure.Key)
	}
	return int64(math.Round(x * b.scale)), nil
}

// mostStates is how many sets of cars are kept ready.
const mostStates = 32

// stateOf is the state that has the cars which are there. A state whose tables
// got lines from joints is not used again: such a line is made from values that
// may have changed.
func (b *bridge) stateOf(made share.Set) (*state, error) {
	b.buffer = b.buffer[:0]
	for _, i := range b.comers {
		b.buffer = append(b.buffer, bit(made.Has(i)))
	}
	s := b.sets[string(b.buffer)]
	if s != nil && !s.grown {
		return s, nil
	}
	cars := string(b.buffer)
	s, err := b.newState(made)
	if err != nil {
		return nil, err
	}
	if len(b.sets) >= mostStates {
		clear(b.sets)
	}
	b.sets[cars] = s
	return s, nil
}

// grew notes whether joints have brought lines to the tables.
func (s *state) grew() {
	for t, n := range s.had {
		if len(s.values.Rows(t).Frames) != n {
			s.grown = true
		}
	}
}

// newState makes ready to work out the order with the cars that are there.
func (b *bridge) newState(made share.Set) (*state, error) {
	v := compute.Empty(b.model)
	s := &state{
		values: v, frames: map[*model.Scope][]*formula.Frame{}, at: map[*model.Scope][]int{}, had: map[*model.Scope]int{},
		lookUp: b.model.LookUps(), worked: make([]map[string]compute.Amounts, len(b.joints)), in: make([]compute.Amounts, len(b.joints)),
	}
	for _, t := range b.model.Tables {
		s.frames[t], s.at[t] = make([]*formula.Frame, len(b.lines[t])), make([]int, len(b.lines[t]))
		for i, l := range b.lines[t] {
			if t.Name == CarsTable && !l.in.is(made) {
				continue
			}
			f := v.AddRow(t)
			s.frames[t][i], s.at[t][i] = f, len(v.Rows(t).Frames)
			if from := l.from[l.in.side]; l.in.change == nil || t.Name == CarsTable {
				compute.CopySet(f, from, t.Quantities)
			}
		}
		if whole, ok := b.bands[t]; ok {
			v.Rows(t).Frames = whole[revisions.Old]
			continue
		}
		s.had[t] = len(v.Rows(t).Frames)
	}
	compute.CopySet(v.Singles, b.singles[revisions.Old], b.model.Singles.Quantities)
	engine, err := compute.NewEngine(v)
	if err != nil {
		return nil, err
	}
	s.closer, err = engine.Closer(b.figure)
	return s, err
}

// move makes the changes that are to be made, and takes back those that are
// not. What no change reaches stays as it is.
func (b *bridge) move(s *state, made share.Set) error {
	b.again = b.again[:0]
	renew := s.made == nil
	if renew {
		s.made = slices.Clone(made)
		for _, p := range b.changes {
			b.patch(s, p, made.Has(p.no), true)
		}
		for k := range b.joints {
			b.again = append(b.again, k)
		}
	}
	for w := range made {
		for left := made[w] ^ s.made[w]; left != 0; left &= left - 1 {
			p := b.changes[64*w+bits.TrailingZeros64(left)]
			renew = b.patch(s, p, made.Has(p.no), renew) || renew
			for _, k := range p.reach {
				if !b.marked[k] {
					b.marked[k] = true
					b.again = append(b.again, k)
				}
			}
		}
		s.made[w] = made[w]
	}
	if renew {
		s.closer.Renew()
	}
	for _, k := range b.again {
		b.marked[k] = false
		if err := b.joint(s, k, made); err != nil {
			return err
		}
	}
	if s.moves += len(b.again); s.moves > mostMoves {
		s.moves = 0
		s.closer.Clear()
		for _, a := range s.in {
			if a != nil {
				s.closer.Put(a, 0)
			}
		}
	}
	return nil
}

// mostMoves is after how many comings and goings of joints the sums are begun
// anew, so that dust cannot gather in them.
const mostMoves = 1 << 16

// patch puts the values of a change in, or takes them back. It reports whether
// more than lines of tables must be made ready anew; with late it is to be done
// in any case.
func (b *bridge) patch(s *state, p *change, made, late bool) (renew bool) {
	side := revisions.Old
	if made {
		side = revisions.New
	}
	for _, c := range p.patches {
		to := s.values.Singles
		if lines := s.frames[c.scope]; lines != nil {
			to = lines[c.row]
		} else {
			renew = true
		}
		switch {
		case to == nil: // of a car that is away
			continue
		case c.from[side] == nil:
			blank(to, c.qs)
		default:
			compute.CopySet(to, c.from[side], c.qs)
		}
		if !renew && !late {
			s.closer.RenewRow(c.scope, s.at[c.scope][c.row])
		}
	}
	if p.band != nil {
		s.values.Rows(p.band).Frames = b.bands[p.band][side]
		renew = true
	}
	return renew
}

func bit(set bool) byte {
	if set {
		return '1'
	}
	return '0'
}

// blank empties a line: a part that is blank costs nothing.
func blank(f *formula.Frame, qs []*model.Quantity) {
	for _, q := range qs {
		q.Blank(f)
	}
}

// mostKept is how many joints are kept as they were worked out, for use again:
// some 200 bytes each.
const mostKept = 400_000

// joint puts a joint into the sums as it is with the changes that are made, and
// takes out of them what they have of it.
func (b *bridge) joint(s *state, k int, made share.Set) error {
	var now compute.Amounts
	j := b.joints[k]
	if j.in.is(made) {
		var err error
		if now, err = b.amounts(s, k, made); err != nil {
			return err
		}
	}
	if was := s.in[k]; was != nil {
		s.closer.Take(was, 0)
	}
	if now != nil {
		s.closer.Put(now, 0)
	}
	s.in[k] = now
	return nil
}

// amounts are those of a joint with the changes that are made.
func (b *bridge) amounts(s *state, k int, made share.Set) (compute.Amounts, error) {
	j := b.joints[k]
	key := append(b.buffer[:0], bit(j.inputs != nil && made.Has(j.inputs.no)))
	for _, o := range j.typed {
		key = append(key, bit(o.change != nil && made.Has(o.change.no)))
	}
	side := int(key[0] - '0')
	how := key
	for _, p := range j.needs(b, side) {
		key = append(key, bit(made.Has(p.no)))
	}
	b.buffer = key
	if a, known := s.worked[k][string(key)]; known {
		return a, nil
	}
	line := j.line(how)
	a, err := s.closer.Work(line)
	if err != nil {
		return nil, err
	}
	s.grew()
	if a == nil {
		b.refused[j] = true
	} else {
		j.find(s, side, line)
	}
	if b.kept++; b.kept > mostKept {
		for _, s := range b.sets {
			clear(s.worked)
		}
		b.kept = 0
	}
	if s.worked[k] == nil {
		s.worked[k] = map[string]compute.Amounts{}
	}
	s.worked[k][string(key)] = a
	return a, nil
}

// find notes the lines of tables that the row has found.
func (j *joint) find(s *state, side int, line *compute.Line) {
	if j.found[side] != nil {
		return
	}
	j.found[side] = map[*model.Scope][]int{}
	for q, t := range s.lookUp {
		if x := q.Num(&line.Frame); x >= 1 {
			j.found[side][t] = append(j.found[side][t], int(x))
		}
	}
}

// needs are the changes that the row is worked out with.
func (j *joint) needs(b *bridge, side int) []*change {
	if j.needed[side] != nil {
		return j.needed[side]
	}
	return b.needed
}

// narrow finds out, once both revisions have been worked out, which changes
// each joint is worked out with: a line of a table counts for those that find
// it. What counts for none can move nothing.
func (b *bridge) narrow() {
	if b.astray() {
		return
	}
	users := map[*change]bool{}
	for _, j := range b.joints {
		for side := range j.needed {
			if j.found[side] == nil { // the row of the other revision alone
				j.found[side] = j.found[1-side]
			}
			j.needed[side] = []*change{}
			for _, p := range b.changes {
				if !p.concerns(j.found[side]) {
					continue
				}
				users[p] = true
				if p.needed {
					j.needed[side] = append(j.needed[side], p)
				}
			}
		}
	}
	var left []*change
	for _, p := range b.changes {
		if p.tableLine() != nil && !p.car && !users[p] {
			b.idle = append(b.idle, p)
			continue
		}
		left = append(left, p)
	}
	b.changes = left
	b.number()
	b.reaches()
	clear(b.sets)
}

// reaches finds the joints that every change reaches.
func (b *bridge) reaches() {
	for _, p := range b.changes {
		p.reach = nil
	}
	b.marked = make([]bool, len(b.joints))
	for k, j := range b.joints {
		seen := map[*change]bool{nil: true}
		reach := func(p *change) {
			if !seen[p] {
				seen[p] = true
				p.reach = append(p.reach, k)
			}
		}
		reach(j.in.change)
		reach(j.inputs)
		for _, o := range j.typed {
			reach(o.change)
		}
		for side := range j.needed {
			for _, p := range j.needs(b, side) {
				reach(p)
			}
		}
	}
}

// tableLine is the one patch of a change that changes a line of a table which
// joints find, nil for other changes.
func (p *change) tableLine() *patch {
	if len(p.patches) != 1 || p.band != nil {
		return nil
	}
	switch c := &p.patches[0]; c.scope.Name {
	case CarsTable, PartsTable, singlesScope:
		return nil
	default:
		return c
	}
}

// concerns reports whether a row that has found these lines is worked out with
// what the change changes.
func (p *change) concerns(found map[*model.Scope][]int) bool {
	c := p.tableLine()
	return c == nil || slices.Contains(found[c.scope], c.row+1)
}

// astray reports whether the changes themselves decide which lines of tables a
// row finds, beyond what the row says.
func (b *bridge) astray() bool {
	var figures []*model.Quantity
	for q := range b.model.LookUps() {
		figures = append(figures, q)
	}
	decide := b.model.NeededBy(figures)
	for _, p := range b.changes {
		for _, c := range p.patches {
			for _, q := range c.qs {
				if decide[q] && !p.car {
					return true
				}
			}
		}
	}
	for _, j := range b.joints {
		for _, o := range j.typed {
			if o.q.IsText() || o.q.Inner() {
				return true
			}
		}
	}
	return false
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
