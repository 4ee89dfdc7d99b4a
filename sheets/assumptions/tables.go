package assumptions

import (
	"fmt"
	"math"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/headings"
	"seamtally/sheets/joints"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// roomEnds stands in the first column of the line below a table's room.
const roomEnds = "room ends: insert lines above this one"

// table writes a table: its lines in use, and its room.
func (a *Plan) table(t *model.Scope) error {
	at, p := a.At.Table[t], a.p
	p.Put(at.First-3, page.Text(tableCol, look.Section, t.Title, page.Static))
	p.Put(at.First-2, page.Text(tableCol, look.Note, t.About, page.Static))
	for _, q := range t.Quantities {
		p.Put(at.First-1, page.Text(at.Cols[q], look.Heading, book.Heading(q), page.Static))
		a.Names.Define(t.Prefix+"_"+q.Key, page.RangeRef(p.Title, grid.Range{Row1: at.First, Col1: at.Cols[q], Row2: at.last(), Col2: at.Cols[q]}))
		a.tableChoices(t, q, at)
		head := p.Row(at.First - 1)
		if widths := assumeWidths(); at.Cols[q] > 0 && at.Cols[q] <= len(widths) {
			head.Height = max(head.Height, a.ink.RowHeight(look.Heading, book.Heading(q), widths[at.Cols[q]-1]))
		}
	}
	if !t.Closed {
		end := at.last() + 1
		p.Put(end, page.Text(book.AssumeKey, look.Key, roomEnds, page.Static))
		word := ""
		if a.below(t, a.At) {
			word = WordBelow
			a.Fails(book.CheckBelowRoom, "below room", a.p.Title+"!"+grid.Ref(end, tableCol), "a line is typed below the room of the table "+t.Title, "move it up, or insert lines inside the table")
		}
		c := page.Cell{Col: book.AssumePlace, Style: look.Style{Role: look.CalcText}, Kind: worksheet.Text, Text: word}
		p.Put(end, c.Live(fmt.Sprintf(`IF(COUNTA(%s:%s)=0,"",%s)`, grid.Ref(end, tableCol), grid.Ref(end, tableCol+1), page.Quoted(WordBelow))))
	}
	frames := a.Values.Rows(t).Frames
	if len(frames) > at.rows {
		return fmt.Errorf("%s: the table %q has room for %d lines and needs %d; insert lines inside it and price again", p.Title, t.Title, at.rows, len(frames))
	}
	formulas, err := a.tableFormulas(t, at)
	if err != nil {
		return err
	}
	blank, err := a.BlankRow(t)
	if err != nil {
		return err
	}
	for i := range at.rows {
		f, row := blank, at.First+i
		if i < len(frames) {
			f = frames[i]
		}
		fresh := !p.Build && i >= a.Loaded[t] && i < len(frames)
		for _, q := range t.Quantities {
			c := tableCell(q, f, at.Cols[q])
			c.Fresh = fresh
			if q.IsText() && a.MadeNone[f] && c.Owner == page.Shop && book.CellText(*a.Own.Cell(row, c.Col)) != c.Text {
				c.Owner = page.Ours // set by the run, as it was asked to
			}
			if q.Role == model.Figure {
				c = book.Showing(c.Live(formulas[q].At(row)), q, i+1)
			} else if t.Name == "cars" {
				c = a.linked(q, f, c)
			}
			p.Put(row, c)
		}
		a.fold(row, t.Quantity("basis") == nil)
	}
	return nil
}

// fold puts a row out of sight that the shop has nothing to set in, where the sheet is made.
func (a *Plan) fold(row int, nothing bool) {
	if r := a.p.Row(row); a.p.Build && nothing {
		r.Fold, r.Hidden = true, true
	}
}

// below reports whether something is typed in the line below a table's room.
func (b *Sheet) below(t *model.Scope, at *Places) bool {
	end := at.Table[t].last() + 1
	if at.Arrived(end) { // what stood there has moved
		return false
	}
	for col := tableCol; col <= tableCol+1; col++ {
		if c := b.Own.Cell(end, col); c.Kind != worksheet.Empty || c.HasFormula {
			return true
		}
	}
	return false
}

// tableCell is a cell of a table's line.
func tableCell(q *model.Quantity, f *formula.Frame, col int) page.Cell {
	o, role, words := page.Shop, look.Input, look.InputText
	if q.Role == model.Figure {
		o, role, words = page.Ours, look.Calc, look.Key // its words are for the program's own use
	}
	if q.IsText() {
		c := page.Text(col, words, q.Text(f), o)
		c.Style.Shrink = q.Key != "basis" // names and choices; a sentence would be too small
		return c
	}
	x := q.Num(f)
	switch {
	case formula.IsBlank(x):
		return page.Empty(col, look.Style{Role: role, Format: q.Shown}, o)
	case math.IsNaN(x):
		return page.Cell{Col: col, Style: look.Style{Role: role, Format: q.Shown}, Kind: worksheet.Error, Text: "#N/A", Owner: o}
	}
	return page.Number(col, role, q.Shown, x, o)
}

// linked lets a car's numbers follow the shop's own list of cars, if it keeps
// one.
func (a *Plan) linked(q *model.Quantity, f *formula.Frame, c page.Cell) page.Cell {
	e := a.Cars.Entry(a.Model.Table("cars").Quantity("name").Text(f))
	if e == nil {
		return c
	}
	var from *joints.CarCell
	switch q.Key {
	case "ordered":
		from = e.Ordered
	case "bid":
		from = e.Bid
	}
	if from == nil {
		return c
	}
	there := a.Own.Cell(a.rowOf(f), c.Col)
	blank := q.Key == "bid" && there.Kind == worksheet.Empty
	if a.p.Build || c.Fresh || there.HasFormula || blank {
		c.Owner = page.Ours
		c = c.Live(grid.QuoteSheet(a.Cars.Title) + "!" + from.Ref)
		if there.HasFormula {
			c.Formula = there.Formula
		}
	}
	return c
}

func (a *Plan) rowOf(f *formula.Frame) int {
	t := a.Model.Table("cars")
	for i, g := range a.Values.Rows(t).Frames {
		if g == f {
			return a.At.Table[t].First + i
		}
	}
	return 0
}

// tableFormulas prints the figures of a table.
func (a *Plan) tableFormulas(t *model.Scope, at TableAt) (map[*model.Quantity]page.Template, error) {
	cells := book.Lookups(a.Model, a.Names, t, func(q *model.Quantity) (string, bool) {
		return grid.ColName(at.Cols[q]) + page.RowMark, true
	})
	out := map[*model.Quantity]page.Template{}
	for _, q := range t.Quantities {
		if q.Role != model.Figure {
			continue
		}
		s, err := q.Formula().Print(cells)
		if err != nil {
			return nil, err
		}
		out[q] = page.NewTemplate(s)
	}
	return out, nil
}

// tableChoices has a column offer the words that it may hold.
func (a *Plan) tableChoices(t *model.Scope, q *model.Quantity, at TableAt) {
	v := look.Validation{Range: grid.Range{Row1: at.First, Col1: at.Cols[q], Row2: at.last(), Col2: at.Cols[q]}.String()}
	zero, one := 0.0, 1.0
	switch {
	case len(q.Choices) > 0:
		v.Words, v.Strict = q.Choices, true
	case q.Key == "alloy":
		v.Source = book.ColumnName(a.Names, a.Model.Table("alloys"), "name")
	case t.Name == "parts" && q.Key == "car":
		v.Source = book.ColumnName(a.Names, a.Model.Table("cars"), "name")
	case t.Name == "cars" && q.Key == "ordered":
		v.Whole, v.Low, v.Strict = true, &one, true
		v.ErrorTitle, v.Error = "Cars ordered", "A whole number of cars, 1 or more."
	case q.IsDay():
		v.Decimal, v.Low = true, &q.Low
		v.ErrorTitle, v.Error = "A date", "A date, from "+model.DayText(q.Low)+" on."
	case q.Role == model.Column && !q.IsText():
		v.Decimal, v.Low = true, &zero
		v.ErrorTitle, v.Error = "A number", "A number, 0 or more, in the unit that the heading names."
	default:
		return
	}
	a.p.Shell.Validations = append(a.p.Shell.Validations, v)
}

// units are the factors between the units that an assumption may be written
// in and those that the formulas use.
func (a *Plan) units() {
	p, row := a.p, a.At.UnitFirst
	p.Put(row-3, page.Text(tableCol, look.Section, "Units", page.Static))
	p.Put(row-2, page.Text(tableCol, look.Note, "What one unit is in another; exact. For the formulas: folded away.", page.Static))
	p.Put(row-1, page.Text(tableCol, look.Heading, "From and to", page.Static))
	p.Put(row-1, page.Text(tableCol+1, look.Heading, "Factor", page.Static))
	for i, u := range a.At.pairs {
		p.Put(row+i, page.Text(tableCol, look.CalcText, u.from+">"+u.to, page.Ours))
		p.Put(row+i, page.Number(tableCol+1, look.Calc, "", u.factor.Apply(1), page.Ours).Live("1"+u.factor.Text()))
		a.fold(row+i, true)
	}
	last := row + len(a.At.pairs) - 1
	a.Names.Define("unit_pair", page.RangeRef(p.Title, grid.Range{Row1: row, Col1: tableCol, Row2: last, Col2: tableCol}))
	a.Names.Define("unit_factor", page.RangeRef(p.Title, grid.Range{Row1: row, Col1: tableCol + 1, Row2: last, Col2: tableCol + 1}))
}

// columns is the table of where each figure stands on each list, and what each
// column of the shop's was taken for.
func (a *Plan) columns() {
	p, row := a.p, a.At.columns
	p.Put(row-3, page.Text(book.ColumnsSheet, look.Section, "Columns", page.Static))
	p.Put(row-2, page.Text(book.ColumnsSheet, look.Note, "What each column of the joint lists is. Where a heading of yours is misread, write the figure's name (or -, to leave it alone) and the unit in the bordered cells, and price again.", page.Static))
	for i, h := range []string{"Sheet", "Figure", "Whose", "Unit", "Heading", "Take as", "In unit"} {
		p.Put(row-1, page.Text(book.ColumnsSheet+i, look.Heading, h, page.Static))
	}
	first := row
	for _, l := range a.All {
		row = a.columnsOf(l, row)
	}
	for _, r := range a.WholeSettled() {
		a.settled(r, row)
		row++
	}
	a.Names.Define(book.NameColumns, page.RangeRef(p.Title, grid.Range{Row1: first, Col1: book.ColumnsSheet, Row2: max(first, row-1), Col2: book.ColumnsSettledUnit}))
	if a.At.columnsMoved {
		a.At.anew = append(a.At.anew, page.Rows{First: first - footHead + 1, Count: row - first + footHead - 1})
	}
}

// settled writes what the shop says of a whole sheet, of all columns of a list that
// are not read, of a column beside the cars, or of words.
func (a *Plan) settled(r book.ColumnRecord, row int) {
	figure, row1, col1 := book.WholeSheet, 1, 1
	switch {
	case r.Words != "":
		figure, row1, col1 = book.WordsAmong+r.Words, r.Row, r.Col
	case r.Col > 0:
		figure, row1, col1 = r.Figure, r.Row, r.Col
	case r.Col == book.OfAll:
		figure = book.AllColumns
	}
	a.p.Put(row, page.Text(book.ColumnsSheet, look.CalcText, r.Sheet, page.Ours))
	a.p.Put(row, page.Text(book.ColumnsFigure, look.CalcText, figure, page.Ours))
	a.p.Put(row, page.Text(book.ColumnsWhose, look.CalcText, book.WhoseShop, page.Ours))
	a.p.Put(row, page.Text(book.ColumnsUnit, look.CalcText, "", page.Ours))
	at := page.Text(book.ColumnsHeading, look.CalcText, "", page.Ours).Live(book.Followed(r.Sheet, row1, col1))
	at.Record = true
	a.p.Put(row, at)
	a.p.Put(row, page.Text(book.ColumnsSettled, look.InputText, r.SettledAs, page.Ours))
	a.p.Put(row, page.Text(book.ColumnsSettledUnit, look.InputText, "", page.Ours))
}

// columnsOf writes the lines of one list, the shop's columns first.
func (a *Plan) columnsOf(l *joints.List, row int) int {
	add := func(key, whose, unit string, col int) {
		a.p.Put(row, page.Text(book.ColumnsSheet, look.CalcText, l.Title, page.Ours))
		was, figure := book.ColumnRecord{}, key
		if whose == book.WhoseShop {
			was = joints.Settled(&a.Own, l, col)
		}
		if was.SettledAs != "" {
			if book.IsOwn(was.SettledAs) && a.WordsKnown(l.Title, col) {
				key = book.WordsKnown
			}
			figure = strings.TrimPrefix(key+", "+book.SettledHead, ", ") + strings.Join(strings.Fields(l.Heads[col]), " ")
		}
		a.p.Put(row, page.Text(book.ColumnsFigure, look.CalcText, figure, page.Ours))
		a.p.Put(row, page.Text(book.ColumnsWhose, look.CalcText, whose, page.Ours))
		a.p.Put(row, page.Text(book.ColumnsUnit, look.CalcText, unit, page.Ours))
		head, ref := l.Written[col], page.CellRef(l.Title, l.HeadRow, col)
		if strings.TrimSpace(head) == "" { // a blank cell would show as 0, a date as its number
			head, ref = l.Over[col].Text, book.Followed(l.Title, l.HeadRow, col)
			if head != "" {
				ref = page.CellRef(l.Title, l.Over[col].Row, col) + "&" + ref
			}
		}
		at := page.Text(book.ColumnsHeading, look.CalcText, head, page.Ours).Live(ref)
		at.Record = true
		a.p.Put(row, at)
		if whose == book.WhoseShop {
			a.p.Put(row, page.Text(book.ColumnsSettled, look.InputText, was.SettledAs, page.Ours))
			a.p.Put(row, page.Text(book.ColumnsSettledUnit, look.InputText, was.SettledUnit, page.Ours))
		}
		row++
	}
	mine, keys, units := map[int]bool{}, map[int]string{}, map[int]string{}
	for _, c := range l.Ours {
		mine[c] = true
	}
	for _, c := range l.Shop {
		keys[c.Col] = c.Key
		if c.HasUnit {
			units[c.Col] = c.Unit.String()
		}
	}
	for _, col := range headings.Ordered(l.Heads) {
		if !mine[col] && !l.Retired(col) {
			add(keys[col], book.WhoseShop, units[col], col)
		}
	}
	for _, q := range joints.InGroups(a.Model) {
		add(q.Key, book.WhoseOurs, model.UnitLabel(q), l.Ours[q])
	}
	return row
}

// WordBelow stands beside the line below a table's room if something is there.
const WordBelow = "below room"
