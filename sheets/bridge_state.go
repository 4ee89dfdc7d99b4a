package sheets

import (
	"fmt"
	"math"
	"slices"

	"seamtally/compute"
	"seamtally/compute/formula"
)

// state is the order as it is being worked out, for one set of cars.
type state struct {
	engine *compute.Engine
	frames map[*compute.Scope][]*formula.Frame // by line of the bridge; nil where a car is away
	had    map[*compute.Scope]int              // lines of each table at first
	lookUp map[*compute.Quantity]*compute.Scope
	worked []map[string]*compute.Line // by joint and what made it; nil where it is refused
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
// got lines from joints is not used again: such a line is made from values that
// may have changed.
func (b *bridge) stateOf(made []bool) (*state, error) {
	var cars []byte
	for i, p := range b.players {
		if p.car {
			cars = append(cars, bit(made[i]))
		}
	}
	s := b.sets[string(cars)]
	if s != nil && !s.grown() {
		return s, nil
	}
	s, err := b.newState(made)
	if err != nil {
		return nil, err
	}
	if len(b.sets) >= mostStates {
		clear(b.sets)
	}
	b.sets[string(cars)] = s
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
	s := &state{
		frames: map[*compute.Scope][]*formula.Frame{}, had: map[*compute.Scope]int{},
		lookUp: b.model.LookUps(), worked: make([]map[string]*compute.Line, len(b.joints)),
	}
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

// mostKept is how many lines are kept for use again, some 2 KB each.
const mostKept = 40_000

// joint adds a joint to the sums, if it is there.
func (b *bridge) joint(s *state, i int, j *joint, made []bool) error {
	if !j.in.is(made) {
		return nil
	}
	how := make([]byte, 0, 1+len(j.typed)+len(b.needed))
	how = append(how, bit(j.inputs != nil && made[j.inputs.no]))
	for _, o := range j.typed {
		how = append(how, bit(o.player != nil && made[o.player.no]))
	}
	side := int(how[0] - '0')
	key := how
	for _, p := range j.needs(b, side) {
		key = append(key, bit(made[p.no]))
	}
	if line, known := s.worked[i][string(key)]; known {
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
	} else {
		j.find(s, side, line)
		line.Frame.Text = nil // sums are of numbers
	}
	if b.kept++; b.kept > mostKept {
		for _, s := range b.sets {
			clear(s.worked)
		}
		b.kept = 0
	}
	if s.worked[i] == nil {
		s.worked[i] = map[string]*compute.Line{}
	}
	s.worked[i][string(key)] = line
	return nil
}

// find notes the lines of tables that the row has found.
func (j *joint) find(s *state, side int, line *compute.Line) {
	if j.found[side] != nil {
		return
	}
	j.found[side] = map[*compute.Scope][]int{}
	for q, t := range s.lookUp {
		if x := q.Num(&line.Frame); x >= 1 {
			j.found[side][t] = append(j.found[side][t], int(x))
		}
	}
}

// needs are the players that the row is worked out with.
func (j *joint) needs(b *bridge, side int) []*player {
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
	users := map[*player]bool{}
	for _, j := range b.joints {
		for side := range j.needed {
			if j.found[side] == nil { // the row of the other revision alone
				j.found[side] = j.found[1-side]
			}
			j.needed[side] = []*player{}
			for _, p := range b.players {
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
	var left []*player
	for _, p := range b.players {
		if p.tableLine() != nil && !p.car && !users[p] {
			b.idle = append(b.idle, p)
			continue
		}
		left = append(left, p)
	}
	b.players = left
	b.number()
	clear(b.sets)
}

// tableLine is the one patch of a player that changes a line of a table which
// joints find, nil for other players.
func (p *player) tableLine() *patch {
	if len(p.patches) != 1 || p.band != nil {
		return nil
	}
	switch c := &p.patches[0]; c.scope.Name {
	case carsTable, partsTable, singlesScope:
		return nil
	default:
		return c
	}
}

// concerns reports whether a row that has found these lines is worked out with
// what the player changes.
func (p *player) concerns(found map[*compute.Scope][]int) bool {
	c := p.tableLine()
	return c == nil || slices.Contains(found[c.scope], c.row+1)
}

// astray reports whether the changes themselves decide which lines of tables a
// row finds, beyond what the row says.
func (b *bridge) astray() bool {
	var figures []*compute.Quantity
	for q := range b.model.LookUps() {
		figures = append(figures, q)
	}
	decide := b.model.NeededBy(figures)
	for _, p := range b.players {
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
