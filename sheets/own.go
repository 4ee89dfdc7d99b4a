package sheets

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/entry"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
)

// Names that mark our own sheets and blocks on them. A dot keeps them apart
// from the names of figures.
const (
	nameAssumptions = "seamtally.assumptions"
	nameSummary     = "seamtally.summary"
	nameUnits       = "seamtally.units"
	nameColumns     = "seamtally.columns"
	nameModel       = "seamtally.model"
	namePrice       = "seamtally.price"
	nameLog         = "seamtally.log"
	nameState       = "seamtally.last"
	nameBlanks      = "seamtally.blanks"
	nameReliability = "seamtally.reliability"
	nameSince       = "seamtally.since"
	nameBlock       = "seamtally.block." // followed by the block of the Summary
	nameSheet       = "seamtally.sheet." // followed by the key of a sheet for the bid
	nameAgrees      = "seamtally.agree." // its count of what does not agree
	nameMade        = "seamtally.made."  // and the inputs that its values were made from
)

// ownSheets is what is known of our own sheets in a workbook that was priced
// before.
type ownSheets struct {
	assumptions, summary string                     // titles; "" where there is none
	bid                  map[string]string          // titles of the sheets for the bid, by key
	cells                map[int]map[int]*part.Cell // of Assumptions, by row and column
	last                 int                        // last row of Assumptions
	records              []columnRecord
	model                string         // which formulas worked the workbook out
	keys                 map[string]int // rows of Assumptions, by key
}

func (o *ownSheets) is(title string) bool {
	if title == "" {
		return false
	}
	for _, t := range o.bid {
		if strings.EqualFold(title, t) {
			return true
		}
	}
	return strings.EqualFold(title, o.assumptions) || strings.EqualFold(title, o.summary)
}

// titles are those of all our sheets.
func (o *ownSheets) titles() []string {
	var out []string
	for _, t := range []string{o.summary, o.assumptions} {
		if t != "" {
			out = append(out, t)
		}
	}
	for _, k := range slices.Sorted(maps.Keys(o.bid)) {
		out = append(out, o.bid[k])
	}
	return out
}

// points reports whether a reference is to one of our sheets.
func (o *ownSheets) points(ref string) bool {
	sheet, _, ok := page.SplitRef(ref)
	return ok && o.is(sheet)
}

func (o *ownSheets) cell(row, col int) *part.Cell {
	if c := o.cells[row][col]; c != nil {
		return c
	}
	return &part.Cell{Row: row, Col: col}
}

// readOwn finds our sheets by their names and reads Assumptions.
func (b *book) readOwn() error {
	b.own.bid = map[string]string{}
	for _, d := range b.wb.Names {
		sheet, _, ok := page.SplitRef(d.Ref)
		if !ok || d.Sheet >= 0 || b.wb.Sheet(sheet) < 0 {
			continue
		}
		title := b.wb.Sheets[b.wb.Sheet(sheet)].Name
		key, isBid := strings.CutPrefix(d.Name, nameSheet)
		switch {
		case d.Name == nameAssumptions:
			b.own.assumptions = title
		case d.Name == nameSummary:
			b.own.summary = title
		case isBid:
			b.own.bid[key] = title
		}
	}
	b.names = page.NewNames(b.wb, func(ref string) bool {
		// A name of ours that leads nowhere was broken, and is set right.
		return b.own.points(ref) || b.own.assumptions != "" && strings.Contains(ref, "#REF!")
	})
	if b.own.assumptions == "" {
		return nil
	}
	b.own.cells, b.own.keys = map[int]map[int]*part.Cell{}, map[string]int{}
	s := b.wb.Sheets[b.wb.Sheet(b.own.assumptions)]
	words := b.wordRows()
	_, err := b.readPart(s.PartName, func(r *part.Row) error {
		row := map[int]*part.Cell{}
		for _, c := range r.Cells {
			row[c.Col] = &c
		}
		b.own.cells[r.Num], b.own.last = row, r.Num
		if key := row[assumeKey]; key != nil && b.own.keys[cellText(*key)] == 0 && !words(r.Num) {
			b.own.keys[cellText(*key)] = r.Num
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("sheet %q: %w", s.Name, err)
	}
	b.own.model = b.ownText(nameModel)
	b.readRecords()
	return nil
}

// wordRows tells the rows of Assumptions whose first column holds titles of
// sheets and other words, and not keys: a sheet may be called like an assumption.
func (b *book) wordRows() func(row int) bool {
	var all []part.Range
	for _, name := range []string{nameState, nameColumns, nameLog} {
		if r, ok := b.blockAt(name); ok {
			all = append(all, r)
		}
	}
	return func(row int) bool {
		return slices.ContainsFunc(all, func(r part.Range) bool { return row >= r.Row1 && row <= r.Row2 })
	}
}

// system reads the system of units from Assumptions.
func (b *book) ownSystem() (compute.System, bool) {
	_, at, ok := page.SplitRef(b.names.Find(nameUnits))
	if !ok {
		return compute.US, false
	}
	if strings.EqualFold(cellText(*b.own.cell(at.Row1, at.Col1)), compute.Metric.String()) {
		return compute.Metric, true
	}
	return compute.US, true
}

// loadValues reads what the shop has set on Assumptions. Faults are told together;
// a workbook with faulty assumptions is not priced.
func (b *assumptions) loadValues() error {
	b.Values = b.Model.Empty()
	at, err := b.findAssumptions()
	if err != nil {
		return err
	}
	var faults []ownFault
	fault := func(row, col int, format string, args ...any) {
		if b.lenient {
			b.note(LevelError, findUnreadable, b.own.assumptions+"!"+part.Ref(row, col), fmt.Sprintf(format, args...), "")
			return
		}
		faults = append(faults, ownFault{b.own.assumptions + "!" + part.Ref(row, col), fmt.Sprintf(format, args...)})
	}
	for _, q := range b.Model.Singles.Quantities {
		if row := at.key[q.Key]; q.Role == compute.Assumption && row > 0 {
			b.loadSingle(q, row, fault)
		}
	}
	for _, t := range b.Model.Tables {
		b.loadTable(t, at.table[t], fault)
	}
	for _, q := range b.Model.Singles.Quantities {
		if row := at.key[q.Key]; q.IsText() && row > 0 && !contains(b.choicesOf(q), q.Text(b.Values.Singles)) {
			fault(row, assumeValue, "%s is %q; choose one of %s", q.Key, q.Text(b.Values.Singles), strings.Join(b.choicesOf(q), "; "))
		}
	}
	if len(faults) > 0 {
		return unreadable(faults)
	}
	return nil
}

// ownFault is what is wrong with a cell of Assumptions, and what to do.
type ownFault struct{ cell, what string }

// mostFaults bounds how many different faults one message tells.
const mostFaults = 5

// unreadable are faults as one error: equal ones once, with how many cells have
// them.
func unreadable(faults []ownFault) error {
	var what []string
	cells := map[string][]string{}
	for _, f := range faults {
		if cells[f.what] == nil {
			what = append(what, f.what)
		}
		cells[f.what] = append(cells[f.what], f.cell)
	}
	var told []string
	for _, w := range what[:min(len(what), mostFaults)] {
		where := cells[w][0]
		if n := len(cells[w]) - 1; n > 0 {
			where += fmt.Sprintf(" and %d more", n)
		}
		told = append(told, where+": "+w)
	}
	if more := len(what) - len(told); more > 0 {
		told = append(told, fmt.Sprintf("%d more faults; seamtally audit tells each", more))
	}
	return errors.New(strings.Join(told, "; also "))
}

// choicesOf are the words that a text assumption may be.
func (b *book) choicesOf(q *compute.Quantity) []string {
	for _, t := range b.Model.Tables {
		if t.Name+".name" == q.ChoicesOf {
			return b.tableNames(t)
		}
	}
	return q.Choices
}

func (b *assumptions) loadSingle(q *compute.Quantity, row int, fault func(int, int, string, ...any)) {
	c := b.own.cell(row, assumeValue)
	f := b.Values.Singles
	if q.IsText() {
		if s := cellText(*c); s != "" {
			f.Text[q.Slot] = s
		} else {
			fault(row, assumeValue, "%s is blank; type it", q.Key)
		}
		return
	}
	switch {
	case c.Kind == part.Empty && c.HasFormula:
		fault(row, assumeValue, "%s is a formula without a stored value; open the workbook in your spreadsheet program and save it once", q.Key)
		return
	case c.Kind != part.Number:
		fault(row, assumeValue, "%s is no number; type one", q.Key)
		r, err := b.measures.Quantity(c.Text, entry.Want{Key: q.Key, Dim: q.Unit, Heading: q.Unit})
		if !b.lenient || c.Kind != part.Text || err != nil {
			return
		}
		c = &part.Cell{Kind: part.Number, Num: r.Value}
	}
	if why := q.Fault(c.Num); why != "" {
		fault(row, assumeValue, "%s is %s; it %s", q.Key, formula.GeneralText(c.Num), why)
		return
	}
	unit := q.Unit
	if s := cellText(*b.own.cell(row, assumeUnit)); s != "" && s != q.Unit.String() {
		u, err := formula.ParseUnit(s)
		if err != nil || !u.SameDim(q.Unit) {
			fault(row, assumeUnit, "%q is no unit for %s; choose one from the cell's list", s, q.Key)
			return
		}
		unit = u
	}
	conv, err := formula.Conversion(unit, q.Unit)
	if err != nil {
		fault(row, assumeUnit, "%v", err)
		return
	}
	f.Num[q.Slot] = c.Num
	if !conv.IsOne() {
		f.Num[q.Slot] = c.Num * conv.Apply(1)
	}
}

// loadTable reads the lines of a table, up to the last that has anything in it.
func (b *assumptions) loadTable(t *compute.Scope, at tableAt, fault func(int, int, string, ...any)) {
	used := 0
	for i := range at.rows {
		for _, q := range t.Quantities {
			c := b.own.cell(at.first+i, at.cols[q])
			if q.Role == compute.Column && at.cols[q] > 0 && (c.Kind != part.Empty || c.HasFormula) {
				used = i + 1
			}
		}
	}
	for i := range used {
		f := b.Values.AddRow(t)
		for _, q := range t.Quantities {
			if q.Role != compute.Column || at.cols[q] == 0 {
				continue
			}
			row, col := at.first+i, at.cols[q]
			c := b.own.cell(row, col)
			switch {
			case q.IsText():
				f.Text[q.Slot] = cellText(*c)
			case c.Kind == part.Number && c.Num < 0:
				fault(row, col, "%s is below 0; type 0 or more", heading(q))
			case c.Kind == part.Number:
				f.Num[q.Slot] = c.Num
			case c.Kind == part.Empty && c.HasFormula:
				fault(row, col, "a formula without a stored value; open the workbook in your spreadsheet program and save it once")
			case q.Key == "cup_bore" && strings.HasPrefix(c.Text, "#"):
				r, err := b.measures.Quantity(c.Text, entry.Want{Key: q.Heading, Dim: q.Unit, Heading: q.Unit, Cup: true})
				if err != nil {
					fault(row, col, "%s", err)
				}
				f.Num[q.Slot] = r.Value
			case c.Kind == part.Text && strings.TrimSpace(c.Text) != "":
				fault(row, col, "%s", b.textForNumber(q, c.Text))
			case c.Kind == part.Error:
				fault(row, col, "shows %s; correct its formula", c.Text)
			}
		}
	}
	b.loaded[t] = used
	b.checkNames(t, at, fault)
	if t.Name == "cars" {
		b.checkCars(t, at, fault)
	}
}

// checkNames refuses a name that a table has twice: only the first would ever
// be found.
func (b *assumptions) checkNames(t *compute.Scope, at tableAt, fault func(int, int, string, ...any)) {
	q := t.Quantity("name")
	if q == nil {
		return
	}
	first := map[string]int{}
	for i, f := range b.Values.Rows(t).Frames {
		name := strings.ToLower(q.Text(f))
		if name == "" {
			continue
		}
		if row, twice := first[name]; twice {
			fault(at.first+i, at.cols[q], "%q is in the table %q twice, on row %d too; give each line a name of its own", q.Text(f), t.Title, row)
			continue
		}
		first[name] = at.first + i
	}
}

// checkCars refuses a number of cars that cannot be ordered.
func (b *assumptions) checkCars(t *compute.Scope, at tableAt, fault func(int, int, string, ...any)) {
	name, ordered := t.Quantity("name"), t.Quantity("ordered")
	for i, f := range b.Values.Rows(t).Frames {
		if c := b.own.cell(at.first+i, at.cols[ordered]); c.Kind == part.Empty && c.HasFormula {
			continue // told already
		}
		if n := ordered.Num(f); name.Text(f) != "" && !isCount(n) {
			fault(at.first+i, at.cols[ordered], "the cars ordered of %q must be a whole number, 1 or more", name.Text(f))
		}
	}
}

func isCount(n float64) bool { return n >= 1 && n == math.Trunc(n) }

// textForNumber says what number a text in a table was meant to be.
func (b *assumptions) textForNumber(q *compute.Quantity, s string) string {
	r, err := b.measures.Quantity(s, entry.Want{Key: q.Heading, Dim: q.Unit, Heading: q.Unit})
	if err != nil {
		return err.Error()
	}
	return fmt.Sprintf("%q is a text; type %s", s, formula.GeneralText(r.Value))
}
