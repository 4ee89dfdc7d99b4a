package bid

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

// scene is the cars and the order worked out once more on a sheet for the bid,
// live, with something otherwise. It has the model's own formulas, but only of
// the figures that are wanted, or stand behind those, and that move with what is
// otherwise; all others are read from Workings.
type scene struct {
	title  string
	values *compute.Values // worked out so
	wanted []*model.Quantity
	moved  map[*model.Quantity]bool
	// instead gives the formula of a figure on row i of its table, from 0, where
	// that is not the model's; "" where it is. nil: nowhere.
	instead func(p *placedScene, q *model.Quantity, i int) (string, error)
	// sums gives the column with a figure of the joint lines, and for the key that
	// a table goes by the column of numbers beside it.
	sums func(of *model.Scope, figure *model.Quantity) (string, error)
}

// placedScene is a scene on its sheet.
type placedScene struct {
	scene
	f    *Laid
	rows map[*model.Scope]page.Rows
	cols map[*model.Quantity]int
}

// scene is a scene that is to be placed.
func (f *Laid) scene(s scene) *placedScene {
	return &placedScene{scene: s, f: f, rows: map[*model.Scope]page.Rows{}, cols: map[*model.Quantity]int{}}
}

// place writes the scene at the next free row of the sheet.
func (p *placedScene) place() error {
	f := p.f
	behind := f.Model.Behind(p.wanted...)
	f.section(p.title)
	scopes := append([]*model.Scope{f.Model.OrderOf}, f.Model.Summary...)
	for _, sc := range scopes {
		col := bidData
		for _, q := range sc.Quantities {
			if q.Role == model.Figure && p.moved[q] && behind[q] {
				p.cols[q] = col
				col++
			}
		}
		if col == bidData {
			continue
		}
		f.P.Whole = max(f.P.Whole, col-1)
		p.rows[sc] = page.Rows{First: f.row + 1, Count: p.count(sc)}
		f.row += p.rows[sc].Count + 1
	}
	for _, sc := range scopes {
		if p.rows[sc].Count == 0 {
			continue
		}
		if err := p.write(sc); err != nil {
			return err
		}
	}
	f.row++
	return nil
}

// count is how many rows a scope has.
func (p *placedScene) count(sc *model.Scope) int {
	if sc == p.f.Model.OrderOf {
		return 1
	}
	return len(p.values.Rows(sc).Frames)
}

// write writes the headings and rows of one scope.
func (p *placedScene) write(sc *model.Scope) error {
	f, at := p.f, p.rows[sc]
	head := at.First - 1
	f.P.Put(head, page.Text(bidNo, look.Heading, "No.", page.Ours))
	f.P.Put(head, page.Text(bidName, look.Heading, sc.Title, page.Ours))
	f.P.Row(head).Height = workings.HeadingHigh
	for q, col := range p.cols {
		if q.Scope == sc {
			f.P.Put(head, page.Text(col, look.Heading, f.s.Heading(q), page.Ours))
		}
	}
	for i := range at.Count {
		row, frame := at.First+i, p.values.Order
		if sc != f.Model.OrderOf {
			frame = p.values.Rows(sc).Frames[i]
			no := sc.Quantity(sc.By)
			f.P.Put(row, page.Number(bidNo, look.Calc, "0", no.Num(frame), page.Ours).Live(f.s.CellAt(no, i)))
			f.P.Put(row, f.s.NameAt(sc, i))
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
func (p *placedScene) formula(q *model.Quantity, i int) (string, error) {
	if p.instead != nil {
		if t, err := p.instead(p, q, i); err != nil || t != "" {
			return t, err
		}
	}
	return q.Formula().Print(p.cells(q.Scope, i))
}

// cells resolves the formulas of row i of a scope.
func (p *placedScene) cells(sc *model.Scope, i int) book.Resolver {
	f, m := p.f, p.f.Model
	base := book.Lookups(m, f.Names, sc, func(q *model.Quantity) (string, bool) {
		if q.Key == sc.By {
			return grid.Ref(p.rows[sc].First+i, bidNo), true
		}
		ref := p.at(q, i).formula
		return ref, ref != ""
	})
	return func(table, key string) (string, error) {
		if table == m.OrderOf.Name {
			return p.at(m.OrderOf.Quantity(key), 0).formula, nil
		}
		name, column := workings.CutMark(table)
		if !column {
			return base(table, key)
		}
		if name == m.Line.Name {
			return p.sums(sc, m.Line.Quantity(key))
		}
		if other := f.s.ScopeOf(name); other != nil && other.Quantity(key) != nil {
			return p.column(other.Quantity(key))
		}
		return base(table, key)
	}
}

// column is a figure of all rows of a table of Workings, here or there.
func (p *placedScene) column(q *model.Quantity) (string, error) {
	if col := p.cols[q]; col > 0 {
		return p.rows[q.Scope].Column(col), nil
	}
	return p.f.s.UsedColumn(q)
}

// at is a figure: on row i of its table, from 0; of the order with i 0. It is
// here if it moves, else on Workings.
func (p *placedScene) at(q *model.Quantity, i int) amountAt {
	if q.Scope == p.f.Model.OrderOf {
		x := q.Num(p.values.Order)
		if col := p.cols[q]; col > 0 {
			return amountAt{grid.Ref(p.rows[q.Scope].First, col), x}
		}
		return amountAt{p.f.s.OrderCell(q.Key), x}
	}
	x := formula.Blank()
	if frames := p.values.Rows(q.Scope).Frames; i < len(frames) {
		x = q.Num(frames[i])
	}
	if col := p.cols[q]; col > 0 {
		return amountAt{grid.Ref(p.rows[q.Scope].First+i, col), x}
	}
	return amountAt{p.f.s.CellAt(q, i), x}
}
