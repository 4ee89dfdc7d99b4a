// Package model reads the model of the job from its texts, under templates/, and
// checks it: which quantities there are, in which units, what each is worked out
// from, what a joint row may say, what is usual. It knows nothing of amounts that
// are worked out, of the functions that formulas may call, or of cells and sheets.
//
// Every quantity belongs to a scope: the single assumptions, a table that the
// estimator keeps, the joint line, a table of the summary, or the order. A
// formula sees the quantities of its own scope, the single assumptions, the
// line of a table that its row has found (setup.travel), and sums over another
// scope.
//
// What the unit check cannot catch: two quantities of one unit put in each
// other's place, such as a torch flow for a trail flow.
package model

import (
	"fmt"
	"io/fs"
	"math"
	"strings"
	"time"

	"seamtally/compute/formula"
	"seamtally/compute/units"
)

// System is the unit system of a book.
type System uint8

// The two systems.
const (
	US System = iota
	Metric
)

func (s System) String() string {
	if s == Metric {
		return "metric"
	}
	return "US"
}

// Role says what a quantity is in its scope.
type Role uint8

// The roles.
const (
	Assumption Role = iota // a single value that the estimator sets
	Column                 // a column of a table that the estimator keeps
	Input                  // what a joint row may hold
	Figure                 // worked out
	Check                  // worked out: anything but 0 says that something is wrong or odd
	Number                 // the number of a row of a table that is added up
	Given                  // what only a run can know
)

// Level is how much a raised check weighs.
type Level uint8

// The levels.
const (
	LevelOK     Level = iota // nothing to say
	LevelWarn                // priced, and said so
	LevelRefuse              // not priced
)

// Quantity is one named quantity of the model.
type Quantity struct {
	Key     string
	Heading string
	Kind    formula.Kind
	Unit    units.Unit
	UnitOf  string   // the purpose or plain unit that the model file names
	Choices []string // the words that a text may be; nil if free
	Role    Role
	Group   string
	Shown   string // number format
	Why     string
	Source  string
	Needed  bool // an input without a default
	Slot    int  // its place in its scope, and among the numbers of the frames of that
	Scope   *Scope
	// TextSlot is the place of a text among the texts of such frames, -1 for a number:
	// of a joint line's quantities, of which many are kept, few are texts.
	TextSlot int
	Usual
	Told
	Settable

	// ChoicesOf names the column whose entries are the choices ("kinds.name").
	ChoicesOf string

	Guard *Guard     // of a column
	Adds  []Addition // cells of the line that a look-up adds to its table

	src     formula.Source
	node    formula.Node
	formula *formula.Formula
	reaches []Target
}

// Usual is between what an assumption, an input or a column is as a rule, in its unit.
type Usual struct {
	Low, High float64
	HasRange  bool
	Times     *Multiple // an input is usual as a multiple of another too; nil: none
	Counts    *Counting // an input may be taken for a number of parts; nil: it is not
}

// Told is what there is to a check: what its words are about, and what it holds against
// what.
type Told struct {
	Level  Level
	Kept   bool // its cell keeps what it came to in the run, and has no formula
	Fix    string
	Cells  []string  // the inputs that it may be about, the usual one first; of an order's, the columns whose blanks it counts
	Chosen *Quantity // of a check of a row: the assumption for a blank cell, which then wants a basis of the shop's own

	Here, There *Quantity // on a sheet for the bid: the two amounts that have to be equal
}

// Settable is what there is to an assumption, in its unit.
type Settable struct {
	Value     float64
	TextValue string
	MoreThan  float64 // below 0 where 0 is allowed
	LessThan  float64
	Section   string
	Decided   bool        // a decision of the shop's, and no estimate of what may happen
	Anew      bool        // each order settles it for itself
	Spreads   []*Quantity // columns of tables of which it is the share that Range draws
	Under     *Quantity   // the assumption that is drawn instead, once it rests on logged work
}

// IsText reports whether the quantity holds text.
func (q *Quantity) IsText() bool { return q.Kind == formula.KindText }

// Inner reports whether the quantity serves the workings alone: a flag, a row's
// number, the number of a line that was found.
func (q *Quantity) Inner() bool {
	return q.Role == Check || q.Role == Number || strings.HasSuffix(q.Key, "_no") || q.Key == "finding"
}

// Fault says why a number cannot be the value of an assumption, "" if it can.
func (q *Quantity) Fault(x float64) string {
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return "is no number; type one"
	case x < 0:
		return "must not be below 0"
	case x <= q.MoreThan:
		return fmt.Sprintf("must be more than %s", formula.GeneralText(q.MoreThan))
	case x >= q.LessThan && q.Unit.String() == "%":
		return fmt.Sprintf("must be less than %s %%", formula.GeneralText(q.LessThan*100))
	case x >= q.LessThan:
		return fmt.Sprintf("must be less than %s", formula.GeneralText(q.LessThan))
	}
	return ""
}

// Formula is the checked formula of a figure or check, or the default of an
// input; nil for what the estimator types.
func (q *Quantity) Formula() *formula.Formula { return q.formula }

// FormulaText is the formula as the model file has it.
func (q *Quantity) FormulaText() string { return q.src.Text }

// Where says where the formula stands, as file:line.
func (q *Quantity) Where() string { return fmt.Sprintf("%s:%d", q.src.File, q.src.Line) }

// Scope is a set of quantities with one value each on every row of it.
type Scope struct {
	Name       string
	Title      string
	Quantities []*Quantity
	Groups     []Group // of the joint line, in the order of its columns
	Table
	Closing
	OnSheet

	where string // it is described, as file:line
	byKey map[string]*Quantity
	order []*Quantity // figures, each after all that it needs
	texts int         // how many quantities are texts
}

// Table is what there is to a table that the estimator keeps.
type Table struct {
	Prefix string
	Alias  string
	About  string
	Room   int
	Closed bool // the shop changes values but adds no lines
	Later  bool // a workbook that was priced before it was there gets it
	Rows   []TableRow
}

// Closing is what there is to a table that is worked out after the joint lines. One that
// follows a table names it, and the line figure that says which of its lines a joint row
// belongs to; PerList has a row for each joint list. A table with neither is one row.
type Closing struct {
	Of      *Scope
	By      string
	PerList bool
	once    bool
}

// OnSheet is what there is to what stands on a sheet for the bid: the sheet; the table
// whose rows it follows, nil for none; Apart has rows of their own in every scene.
type OnSheet struct {
	Sheet  string
	Beside *Scope
	Apart  bool
}

// Group is a run of columns of the joint list. Its columns fold, but for the
// Headline, a figure's key; a group without one folds into the next.
type Group struct{ Key, Title, Headline string }

// TableRow is a line of a table as shipped; blank cells are NaN, or "".
type TableRow struct {
	Num  []float64
	Text []string
}

// Once reports whether the scope is one row.
func (s *Scope) Once() bool { return s.once }

// Quantity returns the quantity of that key, or nil.
func (s *Scope) Quantity(key string) *Quantity { return s.byKey[key] }

// Order lists the figures of the scope, each after all that it needs.
func (s *Scope) Order() []*Quantity { return s.order }

func (s *Scope) add(q *Quantity) error {
	if err := formula.ValidKey(q.Key); err != nil {
		return err
	}
	if s.byKey[q.Key] != nil {
		return fmt.Errorf("%s: %s is there twice", s.Name, q.Key)
	}
	q.Slot, q.TextSlot, q.Scope = len(s.Quantities), -1, s
	if q.IsText() {
		q.TextSlot = s.texts
		s.texts++
	}
	s.Quantities = append(s.Quantities, q)
	s.byKey[q.Key] = q
	return nil
}

func newScope(name, title string) *Scope {
	return &Scope{Name: name, Title: title, byKey: map[string]*Quantity{}}
}

// UnitRow is a purpose and the unit that it has in this book.
type UnitRow struct {
	Key   string
	Unit  units.Unit
	US    units.Unit // the unit in a US book, in which usual ranges are written
	Shown string
	What  string
}

// Head is a field of the quote's header.
type Head struct {
	Key, What, Value string
	Anew             bool // each order has its own
	Letter           bool // on letters to the customer alone
}

// Model is the whole model for one system of units.
type Model struct {
	System   System
	Units    map[string]UnitRow
	Singles  *Scope   // assumptions, and what is worked out from them once
	Tables   []*Scope // tables that the estimator keeps
	Line     *Scope
	Summary  []*Scope // tables of the summary that follow a table
	Lists    *Scope   // a row for each joint list
	OrderOf  *Scope   // figures of the order
	Run      *Scope   // what only a run can know
	Ready    *Scope   // what keeps the order from being complete
	Closing  []*Scope // all that is worked out after the lines
	Bids     []*Scope // what stands on the sheets for the bid
	Roles    Roles
	Heads    []Head
	Basis    []Head // what the estimate says of itself; no Value
	Cautions []string

	ClosingOrder []*Quantity // figures of Closing, in order of need
	BidOrder     []*Quantity // and of Bids
	LineSums     []LineSum   // line figures that are summed, and by which number
	Counts       []Count     // what is counted on the joint lists

	functions Functions
	spreads   []spread
}

// Table returns the table of that name, or nil.
func (m *Model) Table(name string) *Scope {
	for _, t := range m.Tables {
		if t.Name == name {
			return t
		}
	}
	return nil
}

// IsDay reports whether the quantity is a day, counted as spreadsheets do.
func (q *Quantity) IsDay() bool { return strings.Contains(q.Shown, "yyyy") }

// DayText writes out a day, counted as spreadsheets do.
func DayText(day float64) string {
	return DateOf(day).Format(time.DateOnly)
}

// Day is a day as spreadsheets count it, of a text like 2026-03-01.
func Day(text string) (float64, bool) {
	day, err := time.Parse(time.DateOnly, strings.TrimSpace(text))
	if err != nil {
		return 0, false
	}
	return DayOf(day), true
}

// DateOf is the date of a day as spreadsheets count it.
func DateOf(day float64) time.Time { return dayZero().AddDate(0, 0, int(day)) }

// DayOf is a date as spreadsheets count days.
func DayOf(date time.Time) float64 { return date.Sub(dayZero()).Hours() / 24 }

// dayZero is the day before the first that spreadsheets count.
func dayZero() time.Time { return time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC) }

// Scope returns any scope by the name that formulas call it, or nil.
func (m *Model) Scope(name string) *Scope {
	for _, s := range m.scopes() {
		if s.Name == name {
			return s
		}
	}
	return nil
}

// all are the scopes, those on the sheets for the bid among them.
func (m *Model) all() []*Scope { return append(m.scopes(), m.Bids...) }

func (m *Model) scopes() []*Scope {
	out := []*Scope{m.Singles}
	out = append(out, m.Tables...)
	out = append(out, m.Line)
	return append(out, m.Closing...)
}

// Load reads the model from its text files and checks every formula: names,
// kinds, units, and that nothing needs itself. An error names the file and the
// line, and points at the place in the formula. What the formulas may call besides
// a spreadsheet's own functions comes from who loads it.
func Load(fsys fs.FS, system System, functions Functions) (*Model, error) {
	m := &Model{
		System: system, functions: functions, Units: map[string]UnitRow{},
		Singles: newScope("singles", "Assumptions"), Line: newScope("lines", "Joint list"),
	}
	m.Singles.once = true
	m.Singles.where, m.Line.where = "assumptions.txt", "line.txt"
	steps := []func(fs.FS) error{m.readUnits, m.readSingles, m.readTables, m.findSpreads, m.readLine, m.readOrder, m.readChecks, m.readBids, m.readHead, m.findRoles}
	for _, step := range steps {
		if err := step(fsys); err != nil {
			return nil, err
		}
	}
	if err := m.check(); err != nil {
		return nil, err
	}
	return m, nil
}

// Twin is the quantity of the model that is called as one of another, which was
// loaded from the same texts.
func (m *Model) Twin(q *Quantity) *Quantity {
	for _, s := range m.scopes() {
		if mine := s.byKey[q.Key]; mine != nil && s.Name == q.Scope.Name && mine.Role == q.Role {
			return mine
		}
	}
	return q
}

// Call is the formula of a quantity that is but a call of that function; else nil.
func (q *Quantity) Call(name string) *formula.Call {
	if call, is := q.node.(*formula.Call); is && call.Name == name {
		return call
	}
	return nil
}

// Otherwise is the word that stands where the quantity has no number, "" if none
// does.
func (q *Quantity) Otherwise() string {
	if call := q.Call("unless"); call != nil {
		return call.Args[1].(*formula.Text).Value
	}
	return ""
}
