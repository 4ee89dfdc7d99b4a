package front

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/workings"
)

// Reason is a thing that is to be settled: before the order is complete, or, where
// it is Open, before it is offered.
type Reason struct {
	What, Cell, Fix string
	Open            bool
}

// Rows and columns of the sheet. The charts keep their place, as they are drawn
// once; what may grow stands below them.
const (
	titleRow   = 1
	aboutRow   = 2
	verdictRow = 3
	tileRow    = 5
	chartRow   = 9
	chartRows  = 15
	chartGap   = 8 // pixels
	firstRow   = chartRow + chartRows + 1

	nameCol  = 1
	dataCol  = 2
	lastCol  = 11
	linkCol  = 7  // of a reason: the cell
	headCols = 3  // that a field of the quote's head takes at the least
	onePage  = 75 // rows that are still legible on one page
	nameWide = 26
	dataWide = 10.5
)

// sheet is the page while it is laid out.
type sheet struct {
	*workings.Sheet
	w    *words
	p    *page.Plan
	row  int
	work string // title of Workings
}

// Plan lays the page out, beside Workings. It is written whole at every run.
func Plan(s *workings.Sheet, title string, build bool, reasons []Reason) (*page.Plan, error) {
	w, err := read(s.Model)
	if err != nil {
		return nil, err
	}
	f := &sheet{Sheet: s, w: w, p: page.New(title, build), row: firstRow, work: s.P.Title}
	f.p.Whole = lastCol
	f.p.Shell.Widths = []float64{nameWide}
	for range lastCol - 1 {
		f.p.Shell.Widths = append(f.p.Shell.Widths, dataWide)
	}
	f.p.Shell.FreezeRow = verdictRow
	f.head(title, reasons)
	f.tiles()
	if err := f.charts(); err != nil {
		return nil, err
	}
	f.table("cars", "Car by car", "Car", s.Model.ClosingScope("cars"))
	f.buying()
	f.cautions()
	f.row += 2
	f.reasons(reasons) // last, as they come and go: no other cell is to move for them
	f.p.Shell.Print = look.Print{Portrait: true, Foot: s.Foot(), Area: "A1:" + grid.Ref(f.row, lastCol), OnePage: f.row <= onePage}
	s.Names.Define(book.NameSheet+book.FrontKey, page.CellRef(title, titleRow, nameCol))
	return f.p, nil
}

// head is the title, the head of the quote, and the verdict.
func (f *sheet) head(title string, reasons []Reason) {
	p, m := f.p, f.Model
	p.Put(titleRow, page.Text(nameCol, look.Title, title, page.Ours))
	p.Put(aboutRow, page.Text(nameCol, look.Note, f.w.about, page.Ours))
	col := dataCol + 1
	for _, h := range m.Heads {
		v := book.CellText(*f.HeadValue(h))
		needs := max(headCols, int(math.Ceil(float64(utf8.RuneCountInString(h.What+" "+v))/dataWide)))
		if v != "" && h.Key != "currency" && !h.Letter && col+needs-1 <= lastCol {
			p.Put(titleRow, page.Text(col, look.Label, h.What+" "+v, page.Ours).Live(page.Quoted(h.What+" ")+"&"+f.Names.Use(book.HeadPrefix+h.Key)))
			col += needs
		}
	}
	verdict, text := f.VerdictCell()
	p.Row(verdictRow).Height = 26
	p.Put(verdictRow, page.Text(nameCol, look.Master, text, page.Ours).Live(verdict))
	own := page.Absolute(verdictRow, nameCol)
	fine, not := "Every joint row is priced. An estimate is not a welding procedure.", "Lay no price before a customer: what is to be settled stands below, and among the checks on "+f.work+"."
	if slices.ContainsFunc(reasons, func(r Reason) bool { return r.Open }) {
		fine = "Every joint row is priced. Before an offer, settle what stands below. An estimate is not a welding procedure."
	}
	words := not
	if text == model.WordComplete {
		words = fine
	}
	says := page.Text(dataCol, look.CalcText, words, page.Ours).Live(fmt.Sprintf(`IF(%s="%s",%s,%s)`, own, model.WordComplete, page.Quoted(fine), page.Quoted(not)))
	says.Record = true // as of the run
	p.Put(verdictRow, says)
	count, n := f.Looks()
	more := page.Text(dataCol, look.CalcText, "", page.Ours)
	if n > 0 {
		more.Text = looksAt + fmt.Sprint(n)
	}
	broken := f.FirstError()
	p.Put(verdictRow+1, more.Live( // a row of its own: words run over empty cells only
		fmt.Sprintf(`IF(%[1]s<>"","%[2]s"&%[1]s,IF(%[3]s=0,"","%[4]s"&%[3]s))`, broken, errorAt, count, looksAt)))
	p.Shell.Flags = append(p.Shell.Flags, grid.Ref(verdictRow, nameCol))
}

// errorAt stands before the check cell of the first row that shows an error.
const errorAt = "Cells show an error; the first such row: "

// looksAt stands before the number of checks that say so.
const looksAt = "Checks that want a look: "

// tiles are the figures that everybody asks for first.
func (f *sheet) tiles() {
	p := f.p
	p.Row(tileRow).Height, p.Row(tileRow+1).Height = 30, 26
	for col := nameCol + len(f.w.tiles); col <= lastCol; col++ { // the strip goes on
		p.Put(tileRow, page.Empty(col, look.Style{Role: look.TileLabel}, page.Ours))
		p.Put(tileRow+1, page.Empty(col, look.Style{Role: look.TileUnit}, page.Ours))
		p.Put(tileRow+2, page.Empty(col, look.Style{Role: look.TileUnit}, page.Ours))
	}
	for i, q := range f.w.tiles {
		col := nameCol + i
		p.Put(tileRow, page.Text(col, look.TileLabel, q.Heading, page.Ours))
		c := book.FigureCell(q, f.Values.Order, col, look.Tile)
		c.Style.Format = wholes(q.Shown)
		p.Put(tileRow+1, c.Live(f.OrderCell(q.Key)))
		p.Put(tileRow+2, page.Text(col, look.TileUnit, f.Unit(q), page.Ours))
	}
}

// wholes is a number format without its decimals: of an order's money and hours
// nobody reads them.
func wholes(format string) string {
	if strings.HasPrefix(format, "#,##0.0") || format == "0.00" {
		return "#,##0"
	}
	return format
}

// charts are drawn over cells of Workings.
func (f *sheet) charts() error {
	at := []int{nameCol, dataCol + 4}
	for i, key := range f.w.charts {
		c, err := f.ChartOf(key)
		if err != nil {
			return err
		}
		wide := look.Pixels(f.p.Shell.Widths[at[i]-1 : []int{at[1] - 1, lastCol}[i]])
		c.At, c.Width, c.Height = grid.Ref(chartRow, at[i]), int(wide)-[]int{chartGap, 0}[i], chartRows*20-10
		c.Format = "#,##0"
		f.p.Shell.Charts = append(f.p.Shell.Charts, c)
	}
	return nil
}

// section begins a block with its title.
func (f *sheet) section(title string) {
	f.p.Put(f.row, page.Text(nameCol, look.Section, title, page.Ours))
	f.row++
}

// reasons say what is to be settled, each with a link to its cell.
func (f *sheet) reasons(list []Reason) {
	if len(list) == 0 {
		return
	}
	f.section("To be settled, or looked at")
	for _, r := range list {
		f.p.Put(f.row, page.Text(nameCol, look.Label, r.What, page.Ours))
		if r.Cell != "" {
			c := link(linkCol, r.Cell, r.Cell)
			c.Record = true // as of the run
			f.p.Put(f.row, c)
		}
		f.row++
		if r.Fix != "" {
			f.p.Put(f.row, page.Text(nameCol, look.Note, "    "+r.Fix, page.Ours))
			f.row++
		}
	}
	f.row++
}

// link is a cell that leads to another, "Joints!F8".
func link(col int, cell, words string) page.Cell {
	to := cell
	if i := strings.LastIndex(cell, "!"); i > 0 {
		to = grid.QuoteSheet(cell[:i]) + cell[i:]
	}
	return page.Link(col, to, words, page.Ours)
}

// table shows some figures of the rows of a scope.
func (f *sheet) table(key, title, first string, scope *model.Scope) {
	frames := f.Values.Rows(scope).Frames
	if len(frames) == 0 {
		return
	}
	f.section(title)
	f.p.Put(f.row, page.Text(nameCol, look.Heading, first, page.Ours))
	for k, q := range f.w.tables[key] {
		f.p.Put(f.row, page.Text(dataCol+k, look.Heading, f.Heading(q), page.Ours))
	}
	f.p.Row(f.row).Height = 32
	f.row++
	for i, frame := range frames {
		name := f.NameAt(scope, i)
		name.Col = nameCol
		f.p.Put(f.row, name)
		for k, q := range f.w.tables[key] {
			c := book.FigureCell(q, frame, dataCol+k, look.Calc)
			c.Style.Format = dashed(c.Style.Format)
			f.p.Put(f.row, c.Live(f.CellAt(q, i)))
		}
		f.row++
	}
	under := false
	for k, q := range f.w.tables[key] {
		if o := f.w.under[q]; o != nil {
			under = true
			f.p.Put(f.row, book.FigureCell(o, f.Values.Order, dataCol+k, look.Total).Live(f.OrderCell(o.Key)))
		}
	}
	if under {
		f.p.Put(f.row, page.Text(nameCol, look.TotalText, "The order", page.Ours))
		f.row++
	}
	f.row++
}

// dashed is a number format that shows a zero as a dash.
func dashed(format string) string {
	if format == "" || strings.Contains(format, ";") {
		return format
	}
	return format + ";-" + format + `;"–"`
}

// buying is what to buy: tube, rods and gas.
func (f *sheet) buying() {
	f.table("tube", "Tube to buy", "Tube", f.Model.ClosingScope("tube"))
	f.table("rods", "Rods to buy", "Rod", f.Model.ClosingScope("rods"))
	f.section("Argon to buy")
	for _, q := range f.w.gas {
		f.p.Put(f.row, page.Text(nameCol, look.CalcText, q.Heading, page.Ours))
		c := book.FigureCell(q, f.Values.Order, dataCol, look.Calc)
		c.Style.Format = dashed(c.Style.Format)
		f.p.Put(f.row, c.Live(f.OrderCell(q.Key)))
		f.row++
	}
	f.row++
}

// cautions lead to the cautions.
func (f *sheet) cautions() {
	c := link(nameCol, f.work+"!"+grid.Ref(f.Words().First, nameCol), "Cautions, and how each figure is worked out")
	c.Record = true // a sheet that is renamed leaves the words of a link behind until the next run
	f.p.Put(f.row, c)
}
