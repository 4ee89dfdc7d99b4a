package layout

import (
	"context"
	"fmt"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/workings"
)

// Laid is a sheet for the bid while it is laid out. Everything on it is ours, and
// written whole at every run.
type Laid struct {
	*assumptions.Sheet
	By       Run
	Kind     book.Kind
	Workings *workings.Sheet // what it has to agree with
	P        *page.Plan
	Row      int // the next that is free

	right int        // the last column of its tables
	ink   *look.Book // for the heights of rows

	Bid      *compute.Bid            // what is worked out on it
	lines    map[*model.Scope][]*Row // by scope
	blocks   map[*model.Scope]*Block
	Notes    []func() // what is written beside blocks, once all is worked out
	checksAt page.Rows
	Told     string      // in a line, what the sheet comes to; "" for nothing
	Moved    *grid.Moved // where what the shop has typed on its right has gone; nil: it stays
}

// Run is the run that lays such sheets out.
type Run struct {
	Ctx  context.Context
	Date string // as in 2026-11-25
}

// Unseen is a sheet that is worked out, and that nobody sees.
func Unseen(s *workings.Sheet, kind book.Kind) *Laid {
	return &Laid{Sheet: s.Sheet, Workings: s, Kind: kind, Bid: compute.NewBid(s.Values, kind.Key), lines: map[*model.Scope][]*Row{}, blocks: map[*model.Scope]*Block{}}
}

// New begins a sheet of a kind, beside Workings.
func New(by Run, s *workings.Sheet, kind book.Kind) *Laid {
	f := Unseen(s, kind)
	have := s.Own.Bid[kind.Key]
	f.By, f.P, f.Row, f.ink = by, page.New(s.TitleFor(have, kind.Title), have == ""), RowTop, look.New(s.Styles.DefaultFont())
	return f
}

// Complete works out what the sheet shows and writes it, once all is laid out, and takes
// along what the shop has typed on the right of it.
func (f *Laid) Complete() error {
	if err := f.writeBlocks(); err != nil {
		return err
	}
	f.head()
	f.P.Shell.Print.Foot = f.Foot()
	_, size := f.Styles.DefaultFont()
	f.P.Repeat(size)
	wide := f.P.Whole
	if err := f.carry(); err != nil {
		return err
	}
	f.Names.Define(book.NameSheet+f.Kind.Key, page.RangeRef(f.P.Title, grid.Range{Row1: 1, Col1: 1, Row2: 1, Col2: wide}))
	return nil
}

// Rows at the head of a sheet for the bid.
const (
	rowTitle   = 1
	rowAbout   = 2
	RowVerdict = 3
	RowTop     = 5 // the first that is free
)

// Columns of a sheet for the bid.
const (
	ColNo   = 1 // narrow: numbers and titles
	ColName = 2 // wide
	ColData = 3 // the first of the narrower ones
)

// Cell is an absolute reference to a cell of the sheet, its title included.
func (f *Laid) Cell(row, col int) string {
	return page.CellRef(f.P.Title, row, col)
}

// Section begins a block of the sheet with its title, on the next free row.
func (f *Laid) Section(title string) {
	f.P.Put(f.Row, page.Text(ColNo, look.Section, title, page.Ours))
	f.Row++
}

// Heads writes the headings of columns, from one on, on the next free row, which
// is as high as their words.
func (f *Laid) Heads(col int, words ...string) {
	height := 0.0
	for i, w := range words {
		f.P.Put(f.Row, page.Text(col+i, look.Heading, w, page.Ours))
		height = max(height, f.headHeight(col+i, w))
	}
	f.P.Row(f.Row).Height = height
	f.Row++
}

// About says what the sheet is for, below its title.
func (f *Laid) About(what string) {
	f.P.Put(rowAbout, page.Text(ColNo, look.Note, what, page.Ours))
}

// head writes the title, and whether all agrees.
func (f *Laid) head() {
	f.P.Put(rowTitle, page.Text(ColNo, look.Title, f.Kind.Title, page.Ours))
	n := f.Failing()
	f.P.Row(RowVerdict).Height = 24
	count := f.Cell(RowVerdict, ColData)
	verdicts := page.RangeRef(f.P.Title, f.verdicts())
	word, ref := model.WordOK, grid.Ref(RowVerdict, ColData)
	if n > 0 {
		word = model.WordLook
	}
	f.P.Put(RowVerdict, page.Text(ColName, look.Master, word, page.Ours).Live(fmt.Sprintf(`IF(%s=0,"%s","%s")`, ref, model.WordOK, model.WordLook)))
	f.P.Put(RowVerdict, page.Number(ColData, look.Calc, "0", float64(n), page.Ours).Live(fmt.Sprintf(`COUNTIF(%s,"%s")`, verdicts, model.WordLook)))
	f.P.Put(RowVerdict, page.Beside(ColData+1, "of the checks below do not hold. The program writes this sheet anew at every run, up to the last column that it fills; notes are safe to the right of that.", page.Ours))
	f.Names.Define(book.NameAgrees+f.Kind.Key, count)
	f.P.Shell.Flags = append(f.P.Shell.Flags, grid.Ref(RowVerdict, ColName))
}
