package page

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"sort"

	"seamtally/sheets/look"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// styles lists the looks that the plan uses, in a fixed order.
func (p *Plan) styles() []look.Style {
	seen := map[look.Style]bool{}
	var out []look.Style
	for _, n := range p.order() {
		for _, c := range p.cellsOf(n) {
			if !seen[c.Style] && c.Raw == nil {
				seen[c.Style] = true
				out = append(out, c.Style)
			}
		}
	}
	return out
}

func (p *Plan) order() []int {
	var out []int
	for n := range p.Rows {
		out = append(out, n)
	}
	sort.Ints(out)
	return out
}

func (p *Plan) extent() string {
	rows, col := p.order(), 1
	for _, n := range rows {
		for _, c := range p.cellsOf(n) {
			col = max(col, c.Col)
		}
	}
	if len(rows) == 0 {
		return "A1"
	}
	return "A1:" + grid.Ref(rows[len(rows)-1], col)
}

// editor splices a plan into its sheet.
type editor struct {
	p     *Plan
	xf    map[look.Style]int
	rows  []int
	cells []Cell // of the row that is written, from left to right
	out   []worksheet.NewCell
	see   func(title string, r *worksheet.Row, have *worksheet.Cell, c Cell, n worksheet.NewCell)
	errs  bool // what has no value shows an error
}

func (p *Plan) editor(xf map[look.Style]int) *editor {
	return &editor{p: p, xf: xf, rows: p.order()}
}

// Next gives the next row of the plan.
func (ed *editor) Next(after int) int {
	i := sort.SearchInts(ed.rows, after+1)
	if i == len(ed.rows) {
		return 0
	}
	return ed.rows[i]
}

// Row writes the planned cells of a row that are not the shop's by now.
func (ed *editor) Row(r *worksheet.Row) (worksheet.RowEdit, error) {
	pr := ed.p.Rows[r.Num]
	if pr == nil && ed.p.Whole == 0 {
		return worksheet.RowEdit{}, nil
	}
	ed.cells = ed.cells[:0]
	if pr != nil {
		ed.cells = pr.appendTo(ed.cells)
	} else if ed.p.Standing != nil {
		ed.cells = append(ed.cells, ed.p.Standing(r)...)
	}
	if ed.p.Whole > 0 {
		pr = ed.wholeRow(pr, r)
	}
	slices.SortStableFunc(ed.cells, func(a, b Cell) int { return a.Col - b.Col })
	there := map[int]*worksheet.Cell{}
	for i := range r.Cells {
		there[r.Cells[i].Col] = &r.Cells[i]
	}
	ed.out = ed.out[:0]
	for _, c := range ed.cells {
		if c.Gone {
			ed.out = append(ed.out, worksheet.NewCell{Col: c.Col, Style: -1, Op: worksheet.Remove})
			continue
		}
		if !ed.p.Writes(c) {
			continue
		}
		n := worksheet.NewCell{Col: c.Col, Style: ed.xf[c.Style], Kind: c.Kind, Num: c.Num, Text: c.Text, Formula: c.Formula}
		if ed.errs && n.Kind == worksheet.Number && math.IsNaN(n.Num) {
			n.Kind, n.Num, n.Text = worksheet.Error, 0, "#NUM!"
		}
		switch {
		case c.Raw != nil:
			n.Style = max(c.Raw.Style, 0)
		case there[c.Col] != nil && !c.Anew:
			n.Style = -1 // how a cell looks is the shop's to change
		}
		if c.Kind == worksheet.Empty && c.Formula == "" && there[c.Col] != nil {
			n.Op = worksheet.Clear
		}
		if ed.see != nil {
			ed.see(ed.p.Title, r, there[c.Col], c, n)
		}
		ed.out = append(ed.out, n)
	}
	edit := worksheet.RowEdit{Cells: ed.out}
	if ed.p.Build || pr.Tall || pr.Least && pr.Height > max(r.Height, StandardHeight+1) {
		edit.Height = pr.Height
	}
	switch one, none := 1, 0; {
	case pr.Fold:
		edit.Hidden, edit.OutlineLevel = &pr.Hidden, &one
	case ed.p.Whole > 0 && r.OutlineLevel > 0:
		edit.Hidden, edit.OutlineLevel = &pr.Hidden, &none
	}
	return edit, nil
}

// wholeRow is a row of a sheet that is written whole: what the plan has for it,
// and nothing else of what is there.
func (ed *editor) wholeRow(pr *Row, there *worksheet.Row) *Row {
	var out Row
	planned := map[int]bool{}
	if pr != nil {
		out = *pr
	}
	for i := range ed.cells {
		ed.cells[i].Anew = true
		planned[ed.cells[i].Col] = true
	}
	for _, c := range there.Cells {
		if c.Col <= ed.p.Whole && !planned[c.Col] {
			ed.cells = append(ed.cells, Cell{Col: c.Col, Gone: true})
		}
	}
	if out.Height == 0 && there.Height > 0 {
		out.Height = StandardHeight
	}
	out.Tall = out.Height > 0
	return &out
}

// StandardHeight of a row, in points: what a row goes back to that was taller.
const StandardHeight = 15

// scratchPackage opens a scratch workbook as a package.
func scratchPackage(bk *look.Book) (*opc.Package, error) {
	data, err := bk.Bytes()
	if err != nil {
		return nil, err
	}
	return opc.OpenBytes(data)
}

// importStyles makes the looks in a scratch workbook and takes their formats
// over, equal ones once.
func importStyles(into *workbook.Styles, bk *look.Book, want []look.Style) (map[look.Style]int, error) {
	scratch := map[look.Style]int{}
	for _, s := range want {
		xf, err := bk.Style(s)
		if err != nil {
			return nil, err
		}
		scratch[s] = xf
	}
	pkg, err := scratchPackage(bk)
	if err != nil {
		return nil, err
	}
	wb, err := workbook.Read(pkg)
	if err != nil {
		return nil, err
	}
	from, err := wb.ReadStyles(pkg)
	if err != nil {
		return nil, err
	}
	out := map[look.Style]int{}
	for _, s := range want { // in order: the numbers must not depend on a map
		if out[s], err = into.Import(from, scratch[s]); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Target is the workbook that plans are written into.
type Target struct {
	Workbook *workbook.Workbook
	Styles   *workbook.Styles
	Strings  worksheet.Strings
	Looks    *Looks                                                                      // of other plans too; nil: of this one alone
	Paper    look.Paper                                                                  // of a sheet that is made anew
	SeeOnly  bool                                                                        // a sheet that is there is only shown, and stays as it is
	Read     func(part string, each func(*worksheet.Row) error) (*worksheet.Info, error) // where it is only shown
	Errors   bool                                                                        // of what is only shown, what has no value is shown as an error
	// see, if set, is shown every cell that is written at each run, with what
	// stands there.
	See func(title string, r *worksheet.Row, have *worksheet.Cell, c Cell, n worksheet.NewCell)
}

// Into makes the sheet of a plan, or fills the one that is there.
func (p *Plan) Into(e *opc.Edit, to Target) (added []workbook.NewSheet, names []workbook.DefinedName, err error) {
	p.rule(look.New(to.Styles.DefaultFont()))
	if to.SeeOnly && !p.Build {
		return nil, nil, p.show(to)
	}
	if to.Looks == nil {
		to.Looks = NewLooks(to.Styles)
	}
	xf, err := to.Looks.Of(p.styles())
	if err != nil {
		return nil, nil, err
	}
	var name string
	if p.Build {
		p.Shell.Print.Paper = to.Paper
		bk := look.New(to.Styles.DefaultFont())
		if err := bk.AddSheet(p.Shell); err != nil {
			return nil, nil, err
		}
		scratch, err := scratchPackage(bk)
		if err != nil {
			return nil, nil, err
		}
		g, err := workbook.Graft{Scratch: scratch, Sheet: p.Title, Title: p.Title}.Into(e, to.Workbook, to.Styles)
		if err != nil {
			return nil, nil, err
		}
		name = g.PartName
		added, names = []workbook.NewSheet{g.Sheet(p.Title)}, g.Names
	} else {
		name = to.Workbook.Sheets[to.Workbook.Sheet(p.Title)].PartName
		if err := opc.TypeRels(e, name); err != nil {
			return nil, nil, err
		}
	}
	ed := p.editor(xf)
	ed.see = to.See
	edit := worksheet.Edit{Editor: ed, Strings: to.Strings, Extent: p.extent(), OutlineLevelRow: p.foldDepth(), Print: p.pages(to)}
	if err := p.splice(e, name, edit); err != nil {
		return nil, nil, fmt.Errorf("sheet %q: %w", p.Title, err)
	}
	return added, names, nil
}

// show shows the cells of a sheet that is there, and those that should be.
func (p *Plan) show(to Target) error {
	ed := p.editor(nil)
	ed.see, ed.errs = to.See, to.Errors
	last := 0
	upTo := func(row int) error { // those that the sheet lacks
		for n := ed.Next(last); n > 0 && n < row; n = ed.Next(n) {
			if _, err := ed.Row(&worksheet.Row{Num: n}); err != nil {
				return err
			}
		}
		last = row
		return nil
	}
	_, err := to.Read(to.Workbook.Sheets[to.Workbook.Sheet(p.Title)].PartName, func(r *worksheet.Row) error {
		if err := upTo(r.Num); err != nil {
			return err
		}
		_, err := ed.Row(r)
		return err
	})
	if err == nil {
		err = upTo(grid.MaxRow + 1)
	}
	if err != nil {
		return fmt.Errorf("sheet %q: %w", p.Title, err)
	}
	return nil
}

// spoolFrom is from how many rows a sheet is not kept in memory.
const spoolFrom = 5000

// splice writes the cells into the sheet's part.
func (p *Plan) splice(e *opc.Edit, name string, edit worksheet.Edit) error {
	into := func(dst io.Writer, src io.Reader) error { return worksheet.Splice(dst, src, edit) }
	if len(p.Rows) >= spoolFrom {
		return e.Stream(name, into)
	}
	return e.Change(name, func(src []byte) ([]byte, error) {
		var out bytes.Buffer
		err := into(&out, bytes.NewReader(src))
		return out.Bytes(), err
	})
}

// pages are the footer of the sheet, if it has one already, and where its pages begin.
func (p *Plan) pages(to Target) *worksheet.Print {
	return &worksheet.Print{
		Footer: look.Footer(p.Shell.Print.Foot),
		Ours:   func(string) bool { return true },
		Breaks: func(paper int) ([]int, bool) {
			if !p.Build {
				p.Shell.Print.Paper = look.Paper(paper)
			}
			_, size := to.Styles.DefaultFont()
			return p.Breaks(size)
		},
	}
}

func (p *Plan) foldDepth() int {
	for _, r := range p.Rows {
		if r.Fold {
			return 1
		}
	}
	return 0
}
