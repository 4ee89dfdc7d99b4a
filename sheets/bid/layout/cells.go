package layout

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/functions"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// writeBlocks works out what the sheet shows, and writes the cells of its blocks and
// its checks.
func (f *Laid) writeBlocks() error {
	if err := f.Bid.Work(); err != nil {
		return err
	}
	for _, s := range f.Bid.Scopes() {
		b := f.blocks[s]
		if b == nil {
			continue
		}
		for i, r := range f.lines[s] {
			for _, q := range shownOf(s) {
				spot := b.spots[q]
				if r.Lacks(q) || q.Role == model.Given && q.IsText() && q.Text(r.Frame) == "" {
					continue
				}
				c, err := f.bidCell(r, q, i, spot.col)
				if err != nil {
					return err
				}
				switch {
				case q.IsText() && q.Role == model.Given && c.Formula == "":
					c.Style.Role = b.Label
				case b.total:
					c.Style.Role = look.Total
				}
				c.Style.Shrink = b.across && q.IsText()
				if !b.across && !b.total && spot.col == ColData && q.IsText() {
					c.Style.Align = look.Right
				}
				if b.across && q.Role != model.Given {
					c.Style.Format = look.Dashed(c.Style.Format)
				}
				f.P.Put(b.Rows.First+i+spot.down, c)
			}
		}
	}
	for _, note := range f.Notes {
		note()
	}
	return f.writeChecks()
}

// bidCell is the cell of a figure of row i of its scope.
func (f *Laid) bidCell(r *Row, q *model.Quantity, i, col int) (page.Cell, error) {
	t, err := f.bidFormula(r, q, i)
	if err != nil {
		return page.Cell{}, err
	}
	c := book.FigureCell(q, r.Frame, col, look.Calc)
	if format := r.Formats[q]; format != "" {
		c.Style.Format = format
	}
	switch x := q.Num(r.Frame); {
	case q.IsText():
	case formula.IsBlank(x) && q.Otherwise() != "":
		c = page.Text(col, look.CalcText, q.Otherwise(), page.Ours)
	case math.IsNaN(x) && !formula.IsBlank(x) && q.IsDay():
		c.Text = "#NUM!"
	}
	if t != "" {
		c = c.Live(t)
	}
	if to := q.Reaches(); len(to) == 1 && to[0].Quantity == f.Model.Roles.Brings && q.Heading != "" {
		c = book.Showing(c, f.Model.Roles.Brings, 0)
	}
	return c, nil
}

// bidFormula is what the cell of a figure has; "" where it keeps a value.
func (f *Laid) bidFormula(r *Row, q *model.Quantity, i int) (string, error) {
	switch {
	case q.Kept:
		return "", nil
	case q.Role == model.Given:
		return r.refs[q], nil
	case q.Role == model.Number:
		return r.Beside(q.Scope.Beside.Quantity(q.Key)), nil
	}
	return q.Formula().Print(f.bidCells(r, q.Scope, i))
}

// bidCells resolves the formulas of row i of a scope on the sheet.
func (f *Laid) bidCells(r *Row, s *model.Scope, i int) book.Resolver {
	own := func(q *model.Quantity) (string, error) { return f.ownCell(r, s, q, i) }
	return func(table, key string) (string, error) {
		name, around, grouped := strings.Cut(table, functions.AroundMark)
		switch {
		case table == s.Name+functions.DownToMark:
			col, b := f.blocks[s].spots[s.Quantity(key)].col, f.blocks[s]
			return fmt.Sprintf("%s$%d:%s", grid.ColName(col), b.Rows.First, grid.Ref(b.Rows.First+i, col)), nil
		case table == s.Name+functions.AboveMark:
			col, b := f.blocks[s].spots[s.Quantity(key)].col, f.blocks[s]
			return fmt.Sprintf("%s$%d:%s", grid.ColName(col), b.Rows.First-1, grid.Ref(b.Rows.First+i-1, col)), nil
		case grouped && name == s.Name:
			b := f.blocks[s]
			from, to := f.around(s, s.Quantity(around), i)
			col := b.spots[s.Quantity(key)].col
			return page.Rows{First: b.Rows.First + from, Count: to - from + 1}.Column(col), nil
		}
		t, err := f.Model.Find(s, table, key)
		if err != nil {
			return "", err
		}
		switch t.Reach {
		case model.ReachRow:
			return own(t.Quantity)
		case model.ReachBeside:
			return r.Beside(t.Quantity), nil
		case model.ReachFound:
			no := ""
			if t.By.Scope == s {
				no, err = own(t.By)
			} else {
				no = r.Beside(t.By)
			}
			return "INDEX(" + book.ColumnName(f.Names, t.Scope, key) + "," + no + ")", err
		case model.ReachOnce:
			switch {
			case t.Scope == f.Model.Singles:
				return f.Names.Use(key), nil
			case t.Scope.Sheet != "":
				return f.onceCell(t.Quantity)
			case t.Scope == f.Model.OrderOf && r.Scene != nil:
				return r.Scene.At(t.Quantity, 0).Formula, nil
			}
			return f.Workings.OrderCell(key), nil
		}
		return f.wholeColumn(r, t.Quantity)
	}
}

// ownCell is a cell of the own row. What has none has its formula there.
func (f *Laid) ownCell(r *Row, s *model.Scope, q *model.Quantity, i int) (string, error) {
	if b := f.blocks[s]; b != nil {
		if spot, ok := b.spots[q]; ok {
			if s.Once() {
				return page.Absolute(b.Rows.First+spot.down, spot.col), nil
			}
			return grid.Ref(b.Rows.First+i, spot.col), nil
		}
	}
	t, err := f.bidFormula(r, q, i)
	switch {
	case err != nil || t == "":
		return "", fmt.Errorf("%s has no cell: %w", q.ID(), err)
	case q.Role == model.Given || q.Role == model.Number:
		return t, nil
	}
	return "(" + t + ")", nil
}

// onceCell is the cell of a figure of a block of one row.
func (f *Laid) onceCell(q *model.Quantity) (string, error) {
	return f.ownCell(f.OnceRow(q.Scope), q.Scope, q, 0)
}

// around are the first and the last of the rows around row i that say the same.
func (f *Laid) around(s *model.Scope, by *model.Quantity, i int) (from, to int) {
	lines := f.lines[s]
	same := func(k int) bool {
		return k >= 0 && k < len(lines) && by.Num(lines[k].Frame) == by.Num(lines[i].Frame)
	}
	for from = i; same(from - 1); from-- {
	}
	for to = i; same(to + 1); to++ {
	}
	return from, to
}

// wholeColumn is a column of a table on Assumptions, on Workings or in a scene, or of
// a block of the sheet.
func (f *Laid) wholeColumn(r *Row, q *model.Quantity) (string, error) {
	switch {
	case q.Scope.Apart:
		return r.Columns(q), nil
	case q.Scope.Sheet != "":
		b := f.blocks[q.Scope]
		spot, ok := b.spots[q]
		if !ok {
			return "", fmt.Errorf("%s has no column", q.ID())
		}
		return b.Rows.Column(spot.col), nil
	case slices.Contains(f.Model.Tables, q.Scope):
		return book.ColumnName(f.Names, q.Scope, q.Key), nil
	case r.Scene != nil:
		return r.Scene.Column(q)
	}
	return f.Workings.UsedColumn(q)
}
