package layout

import (
	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/workings"
)

// Scene is the cars and the order worked out once more on a sheet for the bid,
// live, with something otherwise. It has the model's own formulas, but only of
// the figures that are wanted, or stand behind those, and that move with what is
// otherwise; all others are read from Workings.
type Scene struct {
	Title  string
	Values *compute.Values // worked out so
	Wanted []*model.Quantity
	Moved  map[*model.Quantity]bool
	// instead gives the formula of a figure on row i of its table, from 0, where
	// that is not the model's; "" where it is. nil: nowhere.
	Instead func(p *Placed, q *model.Quantity, i int) (string, error)
	// sums gives the column with a figure of the joint lines, and for the key that
	// a table goes by the column of numbers beside it.
	Sums func(of *model.Scope, figure *model.Quantity) (string, error)
}

// Placed is a scene on its sheet.
type Placed struct {
	Scene
	f    *Laid
	rows map[*model.Scope]page.Rows
	cols map[*model.Quantity]int
}

// Scene is a scene that is to be placed.
func (f *Laid) Scene(s Scene) *Placed {
	return &Placed{Scene: s, f: f, rows: map[*model.Scope]page.Rows{}, cols: map[*model.Quantity]int{}}
}

// Place writes the scene at the next free row of the sheet.
func (p *Placed) Place() error {
	f := p.f
	behind := f.Model.Behind(p.Wanted...)
	f.Section(p.Title)
	scopes := append([]*model.Scope{f.Model.OrderOf}, f.Model.Summary...)
	for _, sc := range scopes {
		col := ColData
		for _, q := range sc.Quantities {
			if q.Role == model.Figure && p.Moved[q] && behind[q] {
				p.cols[q] = col
				col++
			}
		}
		if col == ColData {
			continue
		}
		f.P.Whole = max(f.P.Whole, col-1)
		p.rows[sc] = page.Rows{First: f.Row + 1, Count: p.count(sc)}
		f.Row += p.rows[sc].Count + 1
	}
	for _, sc := range scopes {
		if p.rows[sc].Count == 0 {
			continue
		}
		if err := p.write(sc); err != nil {
			return err
		}
	}
	f.Row++
	return nil
}

// count is how many rows a scope has.
func (p *Placed) count(sc *model.Scope) int {
	if sc == p.f.Model.OrderOf {
		return 1
	}
	return len(p.Values.Rows(sc).Frames)
}

// write writes the headings and rows of one scope.
func (p *Placed) write(sc *model.Scope) error {
	f, at := p.f, p.rows[sc]
	head := at.First - 1
	f.P.Put(head, page.Text(ColNo, look.Heading, "No.", page.Ours))
	f.P.Put(head, page.Text(ColName, look.Heading, sc.Title, page.Ours))
	f.P.Row(head).Height = workings.HeadingHigh
	for q, col := range p.cols {
		if q.Scope == sc {
			f.P.Put(head, page.Text(col, look.Heading, f.Workings.Heading(q), page.Ours))
		}
	}
	for i := range at.Count {
		row, frame := at.First+i, p.Values.Order
		if sc != f.Model.OrderOf {
			frame = p.Values.Rows(sc).Frames[i]
			no := sc.Quantity(sc.By)
			f.P.Put(row, page.Number(ColNo, look.Calc, "0", no.Num(frame), page.Ours).Live(f.Workings.CellAt(no, i)))
			f.P.Put(row, f.Workings.NameAt(sc, i))
		}
		for _, q := range sc.Quantities {
			col := p.cols[q]
			if col == 0 {
				continue
			}
			t, err := p.formula(q, i)
			if err != nil {
				return err
			}
			f.P.Put(row, book.FigureCell(q, frame, col, look.Calc).Live(t))
		}
	}
	return nil
}

// formula is what a figure's cell has.
func (p *Placed) formula(q *model.Quantity, i int) (string, error) {
	if p.Instead != nil {
		if t, err := p.Instead(p, q, i); err != nil || t != "" {
			return t, err
		}
	}
	return q.Formula().Print(p.cells(q.Scope, i))
}

// cells resolves the formulas of row i of a scope.
func (p *Placed) cells(sc *model.Scope, i int) book.Resolver {
	f, m := p.f, p.f.Model
	base := book.Lookups(m, f.Names, sc, func(q *model.Quantity) (string, bool) {
		if q.Key == sc.By {
			return grid.Ref(p.rows[sc].First+i, ColNo), true
		}
		ref := p.At(q, i).Formula
		return ref, ref != ""
	})
	return func(table, key string) (string, error) {
		if table == m.OrderOf.Name {
			return p.At(m.OrderOf.Quantity(key), 0).Formula, nil
		}
		name, column := workings.CutMark(table)
		if !column {
			return base(table, key)
		}
		if name == m.Line.Name {
			return p.Sums(sc, m.Line.Quantity(key))
		}
		if other := f.Workings.ScopeOf(name); other != nil && other.Quantity(key) != nil {
			return p.Column(other.Quantity(key))
		}
		return base(table, key)
	}
}

// Column is a figure of all rows of a table of Workings, here or there.
func (p *Placed) Column(q *model.Quantity) (string, error) {
	if col := p.cols[q]; col > 0 {
		return p.rows[q.Scope].Column(col), nil
	}
	return p.f.Workings.UsedColumn(q)
}

// At is a figure: on row i of its table, from 0; of the order with i 0. It is
// here if it moves, else on Workings.
func (p *Placed) At(q *model.Quantity, i int) Amount {
	if q.Scope == p.f.Model.OrderOf {
		x := q.Num(p.Values.Order)
		if col := p.cols[q]; col > 0 {
			return Amount{grid.Ref(p.rows[q.Scope].First, col), x}
		}
		return Amount{p.f.Workings.OrderCell(q.Key), x}
	}
	x := formula.Blank()
	if frames := p.Values.Rows(q.Scope).Frames; i < len(frames) {
		x = q.Num(frames[i])
	}
	if col := p.cols[q]; col > 0 {
		return Amount{grid.Ref(p.rows[q.Scope].First+i, col), x}
	}
	return Amount{p.f.Workings.CellAt(q, i), x}
}
