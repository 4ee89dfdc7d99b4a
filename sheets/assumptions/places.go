package assumptions

import (
	"fmt"
	"slices"

	"seamtally/compute/model"
	"seamtally/compute/units"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// TableAt is where a table stands on Assumptions.
type TableAt struct {
	First, rows int
	Cols        map[*model.Quantity]int
}

func (t TableAt) last() int { return t.First + t.rows - 1 }

// Places is where everything stands on Assumptions.
type Places struct {
	Key       map[string]int // rows of header fields and single assumptions
	system    int            // row of the system of units
	heads     int            // row of the headings of the single assumptions
	FirstKey  int            // rows of the single assumptions, for the checks
	LastKey   int
	Table     map[*model.Scope]TableAt
	UnitFirst int
	pairs     []unitPair
	columns   int // first row of the Columns table

	basis              int  // row of the title over the points of the basis, 0 = none
	reliability, since int  // columns of the single assumptions; 0 = none
	columnsAdded       bool // they are new on a sheet that is there
	log, state         page.Rows
	columnsMoved       bool
	anew               []page.Rows  // rows of a sheet that is there which are written whole
	gone               []grid.Range // where the tables at the foot stood before
}

// Arrived reports whether a row is new on a sheet that is there.
func (at *Places) Arrived(row int) bool {
	for _, r := range at.anew {
		if row >= r.First && row <= r.Last() {
			return true
		}
	}
	return false
}

// isKey reports whether a name stands in the first column of a row.
func (at *Places) isKey(row int) bool {
	for _, r := range at.Key {
		if r == row {
			return true
		}
	}
	return false
}

// RangeOf is the usual range of an assumption: the shop's, where it could have
// set one.
func (b *Sheet) RangeOf(q *model.Quantity, at *Places) (low, high float64) {
	if row := b.takenFrom(q); row > 0 {
		return b.From.Own.Cell(row, book.AssumeLow).Num, b.From.Own.Cell(row, book.AssumeHigh).Num
	}
	row := at.Key[q.Key]
	if b.Own.Assumptions == "" || row == 0 || at.Arrived(row) {
		return q.Low, q.High
	}
	return b.Own.Cell(row, book.AssumeLow).Num, b.Own.Cell(row, book.AssumeHigh).Num
}

// lay gives everything its place on a new sheet.
func (b *Sheet) lay() *Places {
	at := &Places{Key: map[string]int{}, Table: map[*model.Scope]TableAt{}}
	row := 3
	for _, h := range b.Model.Heads {
		at.Key[book.HeadPrefix+h.Key] = row
		row++
	}
	at.basis = row + 1
	row += 3
	for _, h := range b.Model.Basis {
		at.Key[book.BasisPrefix+h.Key] = row
		row++
	}
	row++
	at.system = row
	row += 5 // the legend, a blank, the headings of the single assumptions
	at.heads = row - 1
	section := ""
	for _, q := range b.Model.Singles.Quantities {
		if q.Section != section {
			section = q.Section
			row++
		}
		at.Key[q.Key] = row
		if at.FirstKey == 0 {
			at.FirstKey = row
		}
		at.LastKey = row
		row++
	}
	for _, t := range b.Model.Tables {
		row = b.layTable(at, t, row)
	}
	row += 4
	at.UnitFirst, at.pairs = row, b.unitPairs()
	b.layFoot(at, row+len(at.pairs))
	at.reliability, at.since = book.AssumePlace+1, book.AssumePlace+2
	return at
}

// layTable gives a table its place from a row on, and says which row comes next.
func (b *Sheet) layTable(at *Places, t *model.Scope, row int) int {
	row += 4 // a blank, title, what it is about, headings
	n := max(t.Room, len(b.Values.Rows(t).Frames)+t.Room/3)
	if t.Closed {
		n = len(t.Rows)
	}
	at.Table[t] = TableAt{First: row, rows: n, Cols: layColumns(t, b.Own.Assumptions != "")}
	return row + n + 1 // and the line below the room
}

// without reports whether a sheet that is there was made before a table was.
func (b *Sheet) without(t *model.Scope) bool {
	return t.Later && !slices.ContainsFunc(t.Quantities, func(q *model.Quantity) bool { return b.Names.Has(t.Prefix + "_" + q.Key) })
}

// layColumns gives the columns of a table their places. The basis goes into the
// sheet's wide column, unless the table is wider than that. On a sheet of an earlier
// version the column of units may be too narrow for a day.
func layColumns(t *model.Scope, earlier bool) map[*model.Quantity]int {
	typed := 0
	for _, q := range t.Quantities {
		if q.Role == model.Column {
			typed++
		}
	}
	cols := map[*model.Quantity]int{}
	narrow, col := typed <= book.AssumeBasis-tableCol+1, tableCol
	for _, q := range t.Quantities {
		if narrow && q.Key == "basis" {
			cols[q] = book.AssumeBasis
			continue
		}
		if narrow && col == book.AssumeBasis || earlier && q.IsDay() && col == book.AssumeUnit {
			col++
		}
		cols[q] = col
		col++
	}
	return cols
}

// Locate finds everything on a sheet that is there, wherever the shop
// has moved it: rows by their key, tables by the names of their columns.
func (b *Sheet) locate() (*Places, error) {
	at := &Places{Key: map[string]int{}, Table: map[*model.Scope]TableAt{}, pairs: b.unitPairs()}
	words := b.WordRows()
	for row := 1; row <= b.Own.Last; row++ {
		key := book.CellText(*b.Own.Cell(row, book.AssumeKey))
		if key == "" || words(row) {
			continue
		}
		if _, twice := at.Key[key]; !twice {
			at.Key[key] = row
		}
		if b.Model.Singles.Quantity(key) != nil {
			if at.FirstKey == 0 {
				at.FirstKey = row
			}
			at.LastKey = row
		}
	}
	if _, r, ok := page.SplitRef(b.Names.Find(book.NameUnits)); ok {
		at.system = r.Row1
	}
	for _, t := range b.Model.Tables {
		ta := TableAt{Cols: map[*model.Quantity]int{}}
		if b.without(t) {
			at.Table[t] = ta
			continue
		}
		for _, q := range t.Quantities {
			_, r, ok := page.SplitRef(b.Names.Find(t.Prefix + "_" + q.Key))
			if !ok && b.hands && b.Own.Model != b.Fingerprint {
				continue // its version had no such column
			}
			if !ok {
				return nil, fmt.Errorf("the table %q on %q has lost its column %q: the name %s_%s is gone or broken; take the last sound copy of the workbook, or run clear and price it anew",
					t.Title, b.Own.Assumptions, q.Heading, t.Prefix, q.Key)
			}
			ta.Cols[q], ta.First, ta.rows = r.Col1, r.Row1, r.Row2-r.Row1+1
		}
		at.Table[t] = ta
	}
	if r, ok := b.BlockAt(book.NameBlanks); ok {
		at.basis = r.Row1
	}
	if _, r, ok := page.SplitRef(b.Names.Find("unit_pair")); ok {
		at.UnitFirst = r.Row1
	}
	if _, r, ok := page.SplitRef(b.Names.Find(book.NameColumns)); ok {
		at.columns = r.Row1
	}
	return at, nil
}

// Standing is where everything stands, on a sheet that is there; else where it is
// going to stand.
func (b *Sheet) Standing() (*Places, error) {
	if b.Own.Assumptions == "" {
		return b.lay(), nil
	}
	return b.locate()
}

// Place is the same, and makes room for what is new to a sheet that is there.
func (b *Sheet) Place() (*Places, error) {
	at, err := b.Standing()
	if err != nil || b.Own.Assumptions == "" {
		return at, err
	}
	b.placeReliability(at)
	return at, b.placeFoot(at)
}

// unitPair is a unit that the shop may use for an assumption, and the unit
// that the formulas use.
type unitPair struct {
	from, to string
	factor   units.Factor
}

// unitChoices are the units that an assumption of a kind may be written in.
func unitChoices(u string) []string {
	for _, group := range [][]string{
		{"in", "mm", "cm", "ft", "m"},
		{"s", "min", "h"},
		{"ft³", "L", "m³"},
		{"$/ft³", "$/L", "$/m³"},
		{"$/h", "$/min"},
	} {
		for _, w := range group {
			if w == u {
				return group
			}
		}
	}
	return nil
}

func (b *Sheet) unitPairs() []unitPair {
	var out []unitPair
	seen := map[string]bool{}
	for _, q := range b.Model.Singles.Quantities {
		to := q.Unit.String()
		if q.IsText() || seen[to] {
			continue
		}
		seen[to] = true
		for _, from := range unitChoices(to) {
			u, err := units.Parse(from)
			if err != nil || from == to {
				continue
			}
			if f, err := units.Conversion(u, q.Unit); err == nil {
				out = append(out, unitPair{from, to, f})
			}
		}
	}
	return out
}
