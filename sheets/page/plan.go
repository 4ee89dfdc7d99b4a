// Package page plans a sheet: its cells, how they look, who may change them, and
// the names that formulas know cells by. It writes a plan into a workbook, as a
// sheet that is made or over one that is there. It knows nothing of joints or
// prices.
package page

import (
	"slices"

	"seamtally/sheets/look"
	"seamtally/sheets/part/worksheet"
)

// Owner says who may change a cell of our own sheets.
type Owner uint8

const (
	Ours   Owner = iota // written at every run
	Shop                // written when its row is new, from then on the shop's
	Static              // written when the sheet is made
)

// Cell is one cell of a sheet of ours.
type Cell struct {
	Col     int
	Style   look.Style
	Num     float64
	Text    string
	Formula string
	Means   any             // what the cell is to whoever planned it; nothing here looks at it
	Raw     *worksheet.Cell // the shop's, which has come from elsewhere on the sheet as it was, its look too
	Kind    worksheet.Kind
	Owner   Owner
	Fresh   bool // its row is new on a sheet that is there already
	Record  bool // it is the program's own note of where things stand; no figure rests on it
	Anew    bool // it is written whole, its look too: what stood there was ours and has moved
	Gone    bool // it is taken out, for the same reason
}

// Row is one row of a sheet of ours.
type Row struct {
	cells  []Cell
	packed string // cells before these
	looks  *looksSeen
	Height float64
	Fold   bool // the row folds
	Hidden bool // and is folded
	Tall   bool // its height is set on a sheet that is there already, too
	Least  bool // its height is set there if it is lower
}

// Plan is what a sheet of ours is to hold.
type Plan struct {
	Title string
	Build bool // the sheet is made now
	Shell look.Sheet
	Rows  map[int]*Row
	// Whole, if not 0, has the columns up to this one written whole at every run:
	// what is there and not in the plan is taken out. Cells to the right of them
	// are the shop's.
	Whole int
	// Standing, if set, has the cells of a row that is not planned, as it stands as it
	// would be: a sheet that is only looked at need not be laid out where that is known.
	Standing func(r *worksheet.Row) []Cell

	looks    looksSeen
	open     int    // the row on which the last cell was put
	scratch  []byte // to pack rows in
	unpacked []Cell
}

// New is an empty plan. With build the sheet is made, else the one of that title
// is filled.
func New(title string, build bool) *Plan {
	return &Plan{Title: title, Build: build, Shell: look.Sheet{Title: title}, Rows: map[int]*Row{}}
}

// Row is a row of the plan, made if it is not there yet.
func (p *Plan) Row(n int) *Row {
	if p.Rows[n] == nil {
		p.Rows[n] = &Row{looks: &p.looks}
	}
	return p.Rows[n]
}

// Put plans a cell.
func (p *Plan) Put(row int, c Cell) {
	if last := p.Rows[p.open]; row != p.open && last != nil {
		p.scratch = last.pack(p.scratch)
	}
	r := p.Row(row)
	r.cells, p.open = append(r.cells, c), row
}

// Replace plans a cell in place of another.
func (r *Row) Replace(c Cell) {
	r.SetCells(append(slices.DeleteFunc(r.Cells(), func(o Cell) bool { return o.Col == c.Col }), c))
}

// Text is a cell with a text, or an empty one if that is empty.
func Text(col int, role look.Role, s string, o Owner) Cell {
	c := Cell{Col: col, Style: look.Style{Role: role}, Kind: worksheet.Text, Text: s, Owner: o}
	if s == "" {
		c.Kind = worksheet.Empty
	}
	return c
}

// Beside is a cell with a side remark that keeps off what stands in the column before.
func Beside(col int, s string, o Owner) Cell {
	c := Text(col, look.Note, s, o)
	c.Style.Off = true
	return c
}

// Number is a cell with a number.
func Number(col int, role look.Role, format string, x float64, o Owner) Cell {
	return Cell{Col: col, Style: look.Style{Role: role, Format: format}, Kind: worksheet.Number, Num: x, Owner: o}
}

// Live makes the cell a formula that has the cell's value beside it.
func (c Cell) Live(formula string) Cell {
	c.Formula = formula
	if c.Kind == worksheet.Empty {
		c.Kind = worksheet.Text
	}
	return c
}

// Empty is a cell that has a look alone.
func Empty(col int, s look.Style, o Owner) Cell { return Cell{Col: col, Style: s, Owner: o} }

// Cell is what the plan has at a place.
func (p *Plan) Cell(row, col int) Cell {
	for _, c := range p.cellsOf(row) {
		if c.Col == col {
			return c
		}
	}
	return Cell{}
}
