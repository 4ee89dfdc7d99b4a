package audit

import (
	"context"
	"maps"
	"math"
	"regexp"
	"strings"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/compute/weigh"
	"seamtally/sheets"
	"seamtally/sheets/joints"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// auditFault is a fault with what the workbook does otherwise because of it.
type auditFault struct {
	Fault
	shown map[weigh.Row]map[*model.Quantity]float64 // figures of lines as their cells show them
	freed map[weigh.Row][]*model.Quantity           // figures that were typed over
	gone  map[weigh.Row]bool                        // rows that the workbook does not count
	held  []func(*compute.Values)                   // other figures as their cells show them
	still bool                                      // no figure rests on the cell

	counted bool // the price as it should be has it in it
}

// auditor is one audit.
type auditor struct {
	*sheets.Run
	o      Options
	cells  int
	found  []*auditFault
	byKey  map[string]*auditFault
	scales *weigh.Scales
	sums   []shopSum
	refs   map[string]*regexp.Regexp // cells of a column that is gone, by its letters
	unseen []unseenTyped             // cells typed over that bear no run's mark
	label  label                     // of the cell that was looked at last
	valued bool                      // a calculated cell of a sheet of ours has a value
	last   map[int]int               // the last joint of each list; nil until it is asked for
	stales
	unpriced
	ofEarlier
	onBidSheets
	placed placed
}

// label is what a cell is called: by its words, and for a message.
type label struct{ words, says string }

// stales are cells whose formula is right and whose value is not.
type stales struct {
	differ map[cellAt]*differing
	order  []cellAt
}

// unpriced are rows that the workbook may count otherwise than a run does.
type unpriced struct {
	leftOut   []compute.Joint    // that cannot be priced, as far as they were read
	unread    map[weigh.Row]bool // that are no joints, which no run has seen
	standIns  []standIn          // as their cells have them
	stoodIn   bool               // they stand in now
	brought   int                // lines that joints have brought to tables
	rowErrors bool               // a joint row shows an error, and so what rests on it
	unjudged  bool               // rows show errors: what rests on them cannot be judged
}

// ofEarlier are the cells of a workbook of an earlier version.
type ofEarlier struct {
	alike  map[string]*alikeCells // by sheet and formula
	alikes []*alikeCells          // the same in their order
}

// onBidSheets are cells of the sheets for the bid, and numbers that no formula holds.
type onBidSheets struct {
	aside  map[string]*bidCells // by title
	judged bool                 // they are judged
	kept   []seenCell           // numbers of Workings that no formula holds
}

// CellAt is a cell of the workbook.
type cellAt struct {
	sheet    string
	row, col int
}

func (c cellAt) String() string { return c.sheet + "!" + grid.Ref(c.row, c.col) }

// differing is a calculated cell whose stored value is not what its formula
// comes to.
type differing struct {
	have, want worksheet.Cell
	what       string
	formula    string
	line       weigh.Row
	q          *model.Quantity // of a line
	holds      func(*compute.Values, float64)
}

// add notes a fault; one of the same key is the same fault in one cell more.
func (a *auditor) add(key string, f Fault) *auditFault {
	if was := a.byKey[key]; was != nil {
		was.More++
		return was
	}
	f.Cost, f.Price = math.NaN(), math.NaN()
	fault := &auditFault{
		Fault: f, shown: map[weigh.Row]map[*model.Quantity]float64{},
		freed: map[weigh.Row][]*model.Quantity{}, gone: map[weigh.Row]bool{},
	}
	a.byKey[key] = fault
	a.found = append(a.found, fault)
	return fault
}

func (f *auditFault) show(at weigh.Row, q *model.Quantity, x float64) {
	if f.shown[at] == nil {
		f.shown[at] = map[*model.Quantity]float64{}
	}
	f.shown[at][q] = x
}

// priced works the workbook out from its inputs, and compares every calculated
// cell.
func (a *auditor) priced(ctx context.Context) error {
	a.byKey, a.differ, a.refs = map[string]*auditFault{}, map[cellAt]*differing{}, map[string]*regexp.Regexp{}
	a.alike, a.aside, a.unread = map[string]*alikeCells{}, map[string]*bidCells{}, map[weigh.Row]bool{}
	t, err := sheets.Watch(ctx, a.o.In, a.o.Password, firstLook{auditor: a}, true)
	if err != nil {
		return err
	}
	a.Run = t
	switch {
	case t.Own.Assumptions == "" || t.Own.Workings == "":
		t.Close()
		return notPriced(a.o.In)
	}
	a.scales = weigh.New(t.Order)
	a.unusableFaults()
	if len(a.standIns) == 0 || a.unjudged {
		a.judgeAside()
	}
	a.judgeTyped()
	a.nameFaults()
	if err := a.tellEarlier(); err != nil {
		t.Close()
		return err
	}
	return nil
}

// asItStands works the workbook out once more with every changed figure at the
// number that its cell shows: what follows from a changed figure is not stale.
func (a *auditor) asItStands(ctx context.Context) error {
	if s := a.standing(); len(a.differ) > 0 && !s.same() || len(a.standIns) > 0 && !a.unjudged {
		t, err := sheets.Watch(ctx, a.o.In, a.o.Password, &secondLook{auditor: a, as: s}, true)
		if err != nil {
			return err
		}
		t.Close()
	}
	if !a.judged {
		a.judgeAside()
	}
	if err := a.passFollowing(); err != nil {
		return err
	}
	a.stale()
	a.fold()
	return nil
}

// standing is what the workbook does otherwise because of all its faults.
type standing struct {
	shown map[weigh.Row]map[*model.Quantity]float64
	gone  map[weigh.Row]bool
	held  bool // other figures are held
}

func (s standing) same() bool { return len(s.shown)+len(s.gone) == 0 && !s.held }

func (a *auditor) standing() standing {
	s := standing{map[weigh.Row]map[*model.Quantity]float64{}, maps.Clone(a.unread), false}
	for _, f := range a.found {
		maps.Copy(s.gone, f.gone)
		for at, figures := range f.shown {
			if s.shown[at] == nil {
				s.shown[at] = map[*model.Quantity]float64{}
			}
			maps.Copy(s.shown[at], figures)
		}
		s.held = s.held || len(f.held) > 0
	}
	return s
}

// hold gives values what the cells of a fault show outside the lines.
func (f *auditFault) hold(v *compute.Values) {
	for _, hold := range f.held {
		hold(v)
	}
}

// settle takes a cell that follows from a changed figure off the list.
func (a *auditor) settle(at cellAt, n worksheet.NewCell) {
	if d := a.differ[at]; d != nil && asStored(&d.have, n) {
		delete(a.differ, at)
	}
}

// firstLook compares a workbook with what its inputs come to.
type firstLook struct {
	sheets.Unwatched
	auditor *auditor
}

func (l firstLook) Opens(r *sheets.Run) {
	l.auditor.Run = r
	callAsBefore(r)
}

// callAsBefore keeps the joints without a car those of the car that their sheet was
// called after at the last run: the workbook still counts them so.
func callAsBefore(r *sheets.Run) {
	renamed := r.Renamed()
	for _, l := range r.All {
		l.Called = renamed[strings.ToLower(strings.TrimSpace(l.Title))]
	}
}

func (l firstLook) Row(ed *joints.Editor, r *worksheet.Row, cells []worksheet.NewCell) {
	l.auditor.seeRow(ed, r, cells)
}

func (l firstLook) Looks() bool { return true }

func (l firstLook) Own(title string, r *worksheet.Row, have *worksheet.Cell, c page.Cell, n worksheet.NewCell) {
	l.auditor.seePlan(title, r, have, c, n)
}

// secondLook has every changed figure at the number that its cell shows, and takes
// off the list what follows from one.
type secondLook struct {
	sheets.Unwatched
	auditor *auditor
	as      standing
	model   *model.Model // of the second run
}

func (l *secondLook) Opens(r *sheets.Run) {
	l.model = r.Model
	callAsBefore(r)
	for _, f := range l.auditor.found {
		f.hold(r.Values)
	}
}

func (l *secondLook) Passes(of *joints.List, row int) bool {
	at := weigh.Row{List: of.No, Row: row}
	return l.as.gone[at] || l.auditor.standsIn(at)
}

func (l *secondLook) Reads(of *joints.List, row int, line *compute.Line) {
	for q, x := range l.as.shown[weigh.Row{List: of.No, Row: row}] {
		line.Set(l.model.Line.Quantity(q.Key), x)
	}
}

func (l *secondLook) Row(ed *joints.Editor, r *worksheet.Row, cells []worksheet.NewCell) {
	for _, n := range cells {
		l.auditor.settle(cellAt{ed.L.Title, r.Num, n.Col}, n)
	}
}

func (l *secondLook) Closes(r *sheets.Run) {
	for check, n := range r.Unsettled { // what is asked only because rows were passed over is not asked
		r.Unsettled[check] = min(n, l.auditor.Run.Unsettled[check])
	}
	l.auditor.standInFor(r)
	l.auditor.stoodIn = true
}

func (l *secondLook) Looks() bool { return true }

func (l *secondLook) Own(title string, r *worksheet.Row, have *worksheet.Cell, c page.Cell, n worksheet.NewCell) {
	if len(l.auditor.standIns) > 0 {
		l.auditor.seePlan(title, r, have, c, n)
	}
	l.auditor.settle(cellAt{title, r.Num, n.Col}, n)
}
