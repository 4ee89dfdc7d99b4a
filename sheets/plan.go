package sheets

import (
	"bytes"
	"fmt"
	"slices"
	"sort"

	"seamtally/compute"
	"seamtally/sheets/look"
	"seamtally/sheets/part"
)

// owner says who may change a cell of our own sheets.
type owner uint8

const (
	ours   owner = iota // written at every run
	shop                // written when its row is new, from then on the shop's
	static              // written when the sheet is made
)

// planCell is one cell of a sheet of ours.
type planCell struct {
	col     int
	style   look.Style
	kind    part.Kind
	num     float64
	text    string
	formula string
	owner   owner
	fresh   bool // its row is new on a sheet that is there already
	record  bool // it is the program's own note of where things stand; no figure rests on it
	// holds makes values keep a number in the place of this cell's; nil where
	// nothing rests on it.
	holds func(v *compute.Values, x float64)
	anew  bool       // it is written whole, its look too: what stood there was ours and has moved
	gone  bool       // it is taken out, for the same reason
	raw   *part.Cell // the shop's, which has come from elsewhere on the sheet as it was, its look too
}

type planRow struct {
	cells  []planCell
	height float64
	fold   bool // the row folds
	hidden bool // and is folded
	tall   bool // its height is set on a sheet that is there already, too
}

// plan is what a sheet of ours is to hold.
type plan struct {
	title string
	build bool // the sheet is made now
	shell look.Sheet
	rows  map[int]*planRow
	// whole, if not 0, has the columns up to this one written whole at every run:
	// what is there and not in the plan is taken out. Cells to the right of them
	// are the shop's.
	whole int
}

func newPlan(title string, build bool) *plan {
	return &plan{title: title, build: build, shell: look.Sheet{Title: title}, rows: map[int]*planRow{}}
}

func (p *plan) row(n int) *planRow {
	if p.rows[n] == nil {
		p.rows[n] = &planRow{}
	}
	return p.rows[n]
}

func (p *plan) put(row int, c planCell) { r := p.row(row); r.cells = append(r.cells, c) }

func text(col int, role look.Role, s string, o owner) planCell {
	c := planCell{col: col, style: look.Style{Role: role}, kind: part.Text, text: s, owner: o}
	if s == "" {
		c.kind = part.Empty
	}
	return c
}

func number(col int, role look.Role, format string, x float64, o owner) planCell {
	return planCell{col: col, style: look.Style{Role: role, Format: format}, kind: part.Number, num: x, owner: o}
}

// as makes the cell a formula that has the cell's value beside it.
func (c planCell) as(formula string) planCell {
	c.formula = formula
	if c.kind == part.Empty {
		c.kind = part.Text
	}
	return c
}

// of says which figure the cell shows.
func (c planCell) of(q *compute.Quantity, row int) planCell {
	c.holds = func(v *compute.Values, x float64) { v.Hold(compute.Place{Figure: q, Row: row}, x) }
	return c
}

func empty(col int, s look.Style, o owner) planCell { return planCell{col: col, style: s, owner: o} }

// styles lists the looks that the plan uses, in a fixed order.
func (p *plan) styles() []look.Style {
	seen := map[look.Style]bool{}
	var out []look.Style
	for _, n := range p.order() {
		for _, c := range p.rows[n].cells {
			if !seen[c.style] && c.raw == nil {
				seen[c.style] = true
				out = append(out, c.style)
			}
		}
	}
	return out
}

func (p *plan) order() []int {
	var out []int
	for n := range p.rows {
		out = append(out, n)
	}
	sort.Ints(out)
	return out
}

func (p *plan) extent() string {
	rows, col := p.order(), 1
	for _, n := range rows {
		for _, c := range p.rows[n].cells {
			col = max(col, c.col)
		}
	}
	if len(rows) == 0 {
		return "A1"
	}
	return "A1:" + part.Ref(rows[len(rows)-1], col)
}

// planEditor splices a plan into its sheet.
type planEditor struct {
	p    *plan
	xf   map[look.Style]int
	rows []int
	out  []part.NewCell
	// see, if set, is shown every calculated cell, with what stands there.
	see func(r *part.Row, have *part.Cell, c planCell, n part.NewCell)
}

func (p *plan) editor(xf map[look.Style]int) *planEditor {
	for _, r := range p.rows {
		sort.SliceStable(r.cells, func(i, j int) bool { return r.cells[i].col < r.cells[j].col })
	}
	return &planEditor{p: p, xf: xf, rows: p.order()}
}

// Next gives the next row of the plan.
func (ed *planEditor) Next(after int) int {
	i := sort.SearchInts(ed.rows, after+1)
	if i == len(ed.rows) {
		return 0
	}
	return ed.rows[i]
}

// Row writes the planned cells of a row that are not the shop's by now.
func (ed *planEditor) Row(r *part.Row) (part.RowEdit, error) {
	pr := ed.p.rows[r.Num]
	if ed.p.whole > 0 {
		pr = ed.p.wholeRow(pr, r)
	}
	if pr == nil {
		return part.RowEdit{}, nil
	}
	there := map[int]*part.Cell{}
	for i := range r.Cells {
		there[r.Cells[i].Col] = &r.Cells[i]
	}
	ed.out = ed.out[:0]
	for _, c := range pr.cells {
		if c.gone {
			ed.out = append(ed.out, part.NewCell{Col: c.col, Style: -1, Op: part.Remove})
			continue
		}
		if !ed.p.build && !c.fresh && !c.anew && c.owner != ours {
			continue
		}
		n := part.NewCell{Col: c.col, Style: ed.xf[c.style], Kind: c.kind, Num: c.num, Text: c.text, Formula: c.formula}
		switch {
		case c.raw != nil:
			n.Style = max(c.raw.Style, 0)
		case there[c.col] != nil && !c.anew:
			n.Style = -1 // how a cell looks is the shop's to change
		}
		if c.kind == part.Empty && c.formula == "" && there[c.col] != nil {
			n.Op = part.Clear
		}
		if ed.see != nil {
			ed.see(r, there[c.col], c, n)
		}
		ed.out = append(ed.out, n)
	}
	edit := part.RowEdit{Cells: ed.out}
	if ed.p.build || pr.tall {
		edit.Height = pr.height
	}
	switch one, none := 1, 0; {
	case pr.fold:
		edit.Hidden, edit.OutlineLevel = &pr.hidden, &one
	case ed.p.whole > 0 && r.OutlineLevel > 0:
		edit.Hidden, edit.OutlineLevel = &pr.hidden, &none
	}
	return edit, nil
}

// wholeRow is a row of a sheet that is written whole: what the plan has for it,
// and nothing else of what is there.
func (p *plan) wholeRow(pr *planRow, there *part.Row) *planRow {
	var out planRow
	planned := map[int]bool{}
	if pr != nil {
		out = *pr
		out.cells = slices.Clone(pr.cells)
		for i := range out.cells {
			out.cells[i].anew = true
			planned[out.cells[i].col] = true
		}
	}
	for _, c := range there.Cells {
		if c.Col <= p.whole && !planned[c.Col] {
			out.cells = append(out.cells, planCell{col: c.Col, gone: true})
		}
	}
	slices.SortStableFunc(out.cells, func(a, b planCell) int { return a.col - b.col })
	if out.height == 0 && there.Height > 0 {
		out.height = standardHeight
	}
	out.tall = out.height > 0
	return &out
}

// standardHeight of a row, in points: what a row goes back to that was taller.
const standardHeight = 15

// scratchPackage opens a scratch workbook as a package.
func scratchPackage(bk *look.Book) (*part.Package, error) {
	data, err := bk.Bytes()
	if err != nil {
		return nil, err
	}
	return part.Open(bytes.NewReader(data), int64(len(data)), part.DefaultLimits())
}

// putPlan makes the sheet of a plan, or fills the one that is there.
func (r *pricing) putPlan(e *part.Edit, p *plan) (added []part.NewSheet, names []part.DefinedName, err error) {
	font, size := r.styles.DefaultFont()
	bk := look.New(font, size)
	if p.build {
		if err := bk.AddSheet(p.shell); err != nil {
			return nil, nil, err
		}
	}
	xf, err := r.importStyles(bk, p.styles())
	if err != nil {
		return nil, nil, err
	}
	var src []byte
	var name string
	if p.build {
		scratch, err := scratchPackage(bk)
		if err != nil {
			return nil, nil, err
		}
		g, err := part.Graft{Scratch: scratch, Sheet: p.title, Title: p.title}.Into(e, r.wb, r.styles)
		if err != nil {
			return nil, nil, err
		}
		src, name = g.XML, g.PartName
		added, names = []part.NewSheet{g.Sheet(p.title)}, g.Names
	} else {
		i := r.wb.Sheet(p.title)
		name = r.wb.Sheets[i].PartName
		if src, err = e.Read(name); err != nil {
			return nil, nil, err
		}
		if err := part.TypeRels(e, name); err != nil {
			return nil, nil, err
		}
	}
	// Before the cells come: a shell without them is quickly gone through.
	if src, err = part.SetFooter(name, src, look.Footer(p.shell.Print.Foot)); err != nil {
		return nil, nil, err
	}
	var out bytes.Buffer
	ed := p.editor(xf)
	if r.see.plan != nil {
		ed.see = func(row *part.Row, have *part.Cell, c planCell, n part.NewCell) { r.see.plan(p.title, row, have, c, n) }
	}
	edit := part.SheetEdit{Editor: ed, Strings: r.strings, Extent: p.extent(), OutlineLevelRow: p.foldDepth()}
	if err := part.Splice(&out, bytes.NewReader(src), edit); err != nil {
		return nil, nil, fmt.Errorf("sheet %q: %w", p.title, err)
	}
	e.Replace(name, out.Bytes())
	return added, names, nil
}

func (p *plan) foldDepth() int {
	for _, r := range p.rows {
		if r.fold {
			return 1
		}
	}
	return 0
}
