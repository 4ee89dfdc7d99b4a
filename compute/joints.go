package compute

import (
	"fmt"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// Order is an order as a whole: what the shop has set, its joints as their rows
// say them, and what comes of both. It knows of no file, and is worked out again
// with something otherwise as often as anybody likes. It is for one goroutine.
type Order struct {
	Model  *model.Model
	Values *Values // what the shop has set, and what has come of it
	// Set is what the shop has set, as it was before the joints were worked out: a
	// joint whose tube is not in stock adds a line to Stock when it is. Nil if the
	// joints are not kept.
	Set    *Values
	Joints []Joint // the priced ones, in the order of their lists; none if they are not kept

	engine *Engine
	memory *Memory // of the lines that were worked out
	idle   *idler
}

// Joint is a priced row of a joint list. Of its line, what the row itself says is
// given (a typed-over figure too); the rest was worked out.
type Joint struct {
	List  int    // the number of its list, from 0
	Sheet string // where it stands
	Row   int
	Mark  string // the sheet and row where it has none
	Car   string
	Line  *Line
}

// Where is the row as a person names it: Coupe!14.
func (j *Joint) Where() string { return fmt.Sprintf("%s!%d", j.Sheet, j.Row) }

// Unmarked is what the joint on a row without a mark is called.
func Unmarked(sheet string, row int) string { return fmt.Sprintf("%s %d", sheet, row) }

// Marked is the mark that the joint's row has, "" where it has none.
func (j *Joint) Marked() string {
	if j.Mark == Unmarked(j.Sheet, j.Row) {
		return ""
	}
	return j.Mark
}

// Name is what the joint is called: car and mark, or where it stands.
func (j *Joint) Name() string {
	if j.Marked() == "" {
		return fmt.Sprintf("%s, row %d of %s", j.Car, j.Row, j.Sheet)
	}
	return j.Car + " " + j.Mark
}

// Key is what the joint is known by in every revision of its order.
func (j *Joint) Key() string { return strings.ToLower(j.Car) + "\x00" + j.Marked() }

// Said is what the joint's row itself says, for comparing.
func (j *Joint) Said(m *model.Model) string {
	var b strings.Builder
	for _, q := range m.Line.Quantities {
		if j.Line.Given(q) {
			fmt.Fprintf(&b, "%s=%s\x00", q.Key, q.Digits(&j.Line.Frame))
		}
	}
	return b.String()
}

// Open makes ready to work joints out, once Values has what the shop has set.
// Where they are kept, the order can be worked out again.
func (o *Order) Open(keep bool) error {
	if keep {
		o.Set = o.Values.Clone()
	}
	var err error
	if o.engine, err = NewEngine(o.Values); err != nil {
		return err
	}
	o.memory = o.engine.Remember()
	return nil
}

// Work works a joint's line out and, unless it is refused, adds it to the sums of
// the list of that number, from 0.
func (o *Order) Work(l *Line, list int) (Outcome, error) { return o.memory.Work(l, list) }

// Keep keeps a joint that was worked out, where joints are kept; its line may be
// used again.
func (o *Order) Keep(j Joint) {
	if o.Set == nil {
		return
	}
	if j.Mark == "" {
		j.Mark = Unmarked(j.Sheet, j.Row)
	}
	j.Car = o.Model.Line.Quantity("car").Text(&j.Line.Frame)
	j.Line = j.Line.Clone()
	o.Joints = append(o.Joints, j)
}

// Add adds a line that was worked out elsewhere to the sums of a list.
func (o *Order) Add(l *Line, list int) { o.engine.Add(l, list) }

// Show counts a row as its sheet shows it, see [Engine.Show].
func (o *Order) Show(s Shown, list int) { o.engine.Show(s, list) }

// Finish works out what comes after the joints of so many lists: the cars and the
// order, but for its checks.
func (o *Order) Finish(lists int) ([]Fault, error) {
	o.engine.OpenLists(lists)
	return o.engine.Close()
}

// Judge works out the checks of the order, see [Engine.Judge].
func (o *Order) Judge() { o.engine.Judge() }

// BlankRow is an empty line of a table, see [Engine.BlankRow].
func (o *Order) BlankRow(t *model.Scope) (*formula.Frame, error) { return o.engine.BlankRow(t) }

// Again works the joints that were kept out anew with other values, which it fills
// in. change, unless it is nil, may change a joint's line, or by false leave it
// out. Joints that cannot be worked out so are named. The order itself stays as
// it is.
func (o *Order) Again(v *Values, change func(*Joint, *Line) bool) (refused []*Joint, err error) {
	return o.again(v, change, false)
}

// AgainAsShown does the same as the workbook's formulas do: a joint that a check refuses
// counts on until the next run leaves its row out.
func (o *Order) AgainAsShown(v *Values, change func(*Joint, *Line) bool) (refused []*Joint, err error) {
	return o.again(v, change, true)
}

func (o *Order) again(v *Values, change func(*Joint, *Line) bool, asShown bool) (refused []*Joint, err error) {
	engine, err := NewEngine(v)
	if err != nil {
		return nil, err
	}
	engine.counts = asShown
	for i := range o.Joints {
		j := &o.Joints[i]
		line := j.Line.Clone()
		if change != nil && !change(j, line) {
			continue
		}
		out, err := engine.Work(line, j.List)
		if err != nil {
			return nil, err
		}
		if out.Refused {
			refused = append(refused, j)
		}
	}
	_, err = engine.Close()
	return refused, err
}
