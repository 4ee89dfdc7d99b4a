package workings

import (
	"fmt"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

func CutMark(table string) (string, bool) { return strings.CutSuffix(table, model.ColumnMark) }

// fitHeads makes a row of headings as high as their words.
func (s *Sheet) fitHeads(row int) {
	r, ink, widths := s.P.Row(row), look.New(s.Styles.DefaultFont()), s.P.Shell.Widths
	for _, c := range r.Cells() {
		if c.Col <= len(widths) {
			r.Height = max(r.Height, ink.RowHeight(look.Heading, c.Text, widths[c.Col-1]))
		}
	}
}

// block writes a table of Workings. Rows that are not in use fold away.
func (s *Sheet) block(bl *Block) error {
	p, first := s.P, s.Blocks[0]
	top := bl.at.First - 1
	over := bl.Key == first.Key
	if over {
		top--
		s.orderRow(bl)
	}
	p.Put(top-1, page.Text(book.SumNo, look.Section, bl.Title, page.Static))
	if !bl.scope.PerList { // lists go by their sheet
		p.Put(top, page.Text(book.SumNo, look.Heading, "No.", page.Static))
	}
	p.Put(top, page.Text(book.SumName, look.Heading, rowsCalled(bl.scope.Name), page.Static))
	for k, q := range bl.figures {
		p.Put(top, page.Text(book.SumFirst+k, look.Heading, s.Heading(q), page.Ours))
	}
	p.Put(top, page.Text(bl.noteCol(), look.Heading, wordNote, page.Static))
	s.fitHeads(top)
	frames := s.Values.Rows(bl.scope).Frames
	for i := range bl.at.Count {
		row := bl.at.First + i
		foldSpare(p, row, i, len(frames))
		if i >= len(frames) {
			if !bl.scope.PerList {
				p.Put(row, page.Empty(book.SumNo, look.Style{Role: look.Calc, Format: "0"}, page.Ours))
			}
			p.Put(row, page.Empty(book.SumName, look.Style{Role: look.CalcText}, page.Ours))
			if s.movedUp(bl, row, len(frames)) {
				p.Put(row, page.Empty(bl.noteCol(), look.Style{Role: look.InputText}, page.Ours))
			}
			for k, q := range bl.figures {
				p.Put(row, page.Empty(book.SumFirst+k, look.Style{Role: look.Calc, Format: q.Shown}, page.Ours))
			}
			continue
		}
		if err := s.blockRow(bl, i, frames[i]); err != nil {
			return err
		}
	}
	return nil
}

// foldSpare folds row i of a block away if it is not in use.
func foldSpare(p *page.Plan, row, i, used int) {
	r := p.Row(row)
	r.Fold = i >= leastShown
	r.Hidden = r.Fold && i >= used
}

// leastShown rows of a table stay in sight even if they are empty.
const leastShown = 1

func (s *Sheet) blockRow(bl *Block, i int, f *formula.Frame) error {
	row, no := bl.at.First+i, bl.scope.Quantity(bl.scope.By)
	home := s.Home(bl.scope)
	n := page.Number(book.SumNo, look.Calc, "0", no.Num(f), page.Ours)
	if bl != home {
		n = n.Live(grid.Ref(home.at.First+i, book.SumNo))
	}
	if !bl.scope.PerList {
		s.P.Put(row, n)
	}
	name := s.RowName(bl, i, no.Num(f))
	s.P.Put(row, name)
	for k, q := range bl.figures {
		t, known, err := s.print(q, bl.scope, i)
		if err != nil {
			return err
		}
		if col := s.colFor(bl, k); known && col > 0 {
			s.P.Put(row, book.Showing(book.FigureCell(q, f, col, look.Calc).Live(t), q, int(no.Num(f))))
		}
	}
	s.P.Put(row, s.noteCell(bl, row, name.Text))
	return nil
}

// noteCell keeps what the shop has typed beside a row. It is written only where
// the row that it belongs to has moved; where the sheet is laid out anew, all is
// carried.
func (s *Sheet) noteCell(bl *Block, row int, name string) page.Cell {
	c := page.Text(bl.noteCol(), look.InputText, "", page.Shop)
	was, here := s.notes.of(bl.at, bl.noteCol(), name), s.notes.cells[row][bl.noteCol()]
	if s.P.Build || s.Anew || was.Text == here.Text && was.Num == here.Num && was.Kind == here.Kind {
		return c
	}
	c.Owner, c.Kind, c.Text, c.Num, c.Formula = page.Ours, was.Kind, was.Text, was.Num, was.Formula
	return c
}

// movedUp reports whether what stood on a row that is not in use any more
// stands on another one now, its note with it.
func (s *Sheet) movedUp(bl *Block, row, used int) bool {
	name, ok := s.notes.cells[row][book.SumName]
	if !ok || book.CellText(name) == "" {
		return false
	}
	for i, f := range s.Values.Rows(bl.scope).Frames[:used] {
		if strings.EqualFold(s.RowName(bl, i, bl.scope.Quantity(bl.scope.By).Num(f)).Text, book.CellText(name)) {
			return true
		}
	}
	return false
}

// noteCol is the column of a block that the shop may write in.
func (bl *Block) noteCol() int { return book.SumFirst + len(bl.figures) }

func rowsCalled(scope string) string {
	return map[string]string{"cars": "Car", "tube": "Tube", "rods": "Rod", "lists": "Sheet"}[scope]
}

// Home is the first block of a scope: the one that holds the numbers.
func (s *Sheet) Home(sc *model.Scope) *Block {
	for _, bl := range append(s.Blocks, s.joint) {
		if bl.scope == sc {
			return bl
		}
	}
	return nil
}

// RowName is what a row of a scope is called: the car; the alloy and the sizes
// of tube or rod.
func (s *Sheet) RowName(bl *Block, i int, no float64) page.Cell {
	if bl.scope.PerList {
		return page.Text(book.SumName, look.CalcText, s.All[i].Title, page.Ours)
	}
	parts := map[string][]string{"cars": {"name"}, "tube": {"alloy", "od", "wall"}, "rods": {"alloy", "wire"}}[bl.scope.Name]
	f := s.Values.Rows(bl.scope.Of).Frames[int(no)-1]
	var name, print string
	for k, key := range parts {
		q := bl.scope.Of.Quantity(key)
		sep := ", "
		if k > 1 {
			sep = " x "
		}
		if k > 0 {
			name += sep
			print += "&" + page.Quoted(sep) + "&"
		}
		if q.IsText() {
			name += q.Text(f)
		} else {
			name += formula.GeneralText(q.Num(f))
		}
		print += "INDEX(" + book.ColumnName(s.Names, bl.scope.Of, key) + "," + grid.Ref(bl.at.First+i, book.SumNo) + ")"
	}
	if len(parts) == 1 {
		print += `&""`
	}
	return page.Text(book.SumName, look.CalcText, name, page.Ours).Live(print)
}

// orderRow stands over the cars: the same figures for the whole order.
func (s *Sheet) orderRow(bl *Block) {
	row, over := bl.at.First-1, orderOver()
	s.P.Put(row, page.Text(book.SumName, look.TotalText, "All cars", page.Static))
	for k, q := range bl.figures {
		key, ok := over[q.Key]
		if !ok {
			continue
		}
		o, col := s.Model.OrderOf.Quantity(key), s.colFor(bl, k)
		if s.OrderRows[key] == 0 || col == 0 {
			continue
		}
		s.P.Put(row, book.FigureCell(o, s.Values.Order, col, look.Total).Live(page.Absolute(s.OrderRows[key], book.SumFirst)))
	}
}

// single writes a block of figures of the order, with its chart.
func (s *Sheet) single(sb *SingleBlock) error {
	p := s.P
	p.Put(sb.at.First-1, page.Text(book.SumNo, look.Section, sb.Title, page.Static))
	for _, q := range sb.figures {
		row := s.OrderRows[q.Key]
		if q.Key == "order_price" {
			s.Names.Define(book.NamePrice, page.RangeRef(p.Title, grid.Range{Row1: row, Col1: book.SumFirst, Row2: row, Col2: book.SumFirst}))
		}
		t, known, err := s.print(q, s.Model.OrderOf, 0)
		if err != nil {
			return err
		}
		if !known || row == 0 {
			continue
		}
		p.Put(row, page.Text(book.SumName, look.Label, q.Heading, page.Ours))
		p.Put(row, book.Showing(book.FigureCell(q, s.Values.Order, book.SumFirst, look.Calc).Live(t), q, 0))
		p.Put(row, page.Text(book.SumFirst+1, look.CalcText, s.Unit(q), page.Ours))
	}
	return nil
}

// chart is the chart of a block.
func (s *Sheet) chart(sb *SingleBlock) look.Chart {
	n := sb.charted
	if sb.Key == "hours_go" {
		n-- // the last is the sum of the first ones
	}
	r := func(col int) string {
		return page.RangeRef(s.P.Title, grid.Range{Row1: sb.at.First, Col1: col, Row2: sb.at.First + n - 1, Col2: col})
	}
	return look.Chart{Kind: look.Bar, Title: sb.chart, Names: r(book.SumName), Values: r(book.SumFirst), Unit: s.Unit(sb.figures[0])}
}

// column is the sums of a figure in a block of sums; the number of the row
// that a line belongs to stands in the second column.
func (t *tallyBlock) column(q *model.Quantity) (string, error) {
	col := 0
	if q != nil && q.Key == t.scope.By {
		col = tallyNo
	}
	for k, f := range t.sums {
		if f == q {
			col = tallyFirst + k
		}
	}
	if col == 0 {
		return "", fmt.Errorf("no sum of that figure")
	}
	return t.at.Column(col), nil
}

// Columns of a block of sums.
const (
	tallyList  = 2
	tallyNo    = 1
	tallyFirst = 3
)

// tally writes the sums by list: the only formulas that look into the lists.
func (s *Sheet) tally(t *tallyBlock) error {
	p := s.P
	p.Put(t.at.First-2, page.Text(book.SumNo, look.Section, "Sums by list: "+t.scope.Title, page.Static))
	p.Put(t.at.First-1, page.Text(tallyNo, look.Heading, "No.", page.Static))
	p.Put(t.at.First-1, page.Text(tallyList, look.Heading, "Sheet", page.Static))
	for k, q := range t.sums {
		h := s.Heading(q)
		if q.Role == model.Check {
			h = "Rows"
		}
		p.Put(t.at.First-1, page.Text(tallyFirst+k, look.Heading, h, page.Ours))
	}
	s.fitHeads(t.at.First - 1)
	by := s.Model.Line.Quantity(t.scope.By)
	for i := range t.at.Count {
		row := t.at.First + i
		if i >= len(t.rows) {
			for col := tallyNo; col < tallyFirst+len(t.sums); col++ {
				p.Put(row, page.Empty(col, look.Style{Role: look.Calc, Format: "0"}, page.Ours))
			}
			continue
		}
		r := t.rows[i]
		l := s.All[r.list]
		p.Put(row, page.Number(tallyNo, look.Calc, "0", float64(r.no), page.Ours))
		p.Put(row, page.Text(tallyList, look.CalcText, l.Title, page.Ours))
		for k, q := range t.sums {
			x, _ := s.Values.ListSum(r.list, q, by, r.no)
			c := page.Number(tallyFirst+k, look.Calc, q.Shown, x, page.Ours)
			c.Means = book.Holder(func(v *compute.Values, x float64) { v.HoldSum(r.list, q, by, r.no, x) })
			p.Put(row, c.Live(fmt.Sprintf("SUMIFS(%s,%s,%s)", l.Column(q), l.Column(by), "$"+grid.Ref(row, tallyNo))))
		}
	}
	return nil
}

// Unit is the unit beside a figure, with the book's sign for money.
func (s *Sheet) Unit(q *model.Quantity) string {
	return strings.ReplaceAll(model.UnitLabel(q), "$", s.Currency())
}
