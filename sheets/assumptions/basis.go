package assumptions

import (
	"fmt"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// points writes the points that the shop fills in about the estimate itself,
// and a live count of those that are blank.
func (a *Plan) points() {
	p := a.p
	if row := a.At.basis; row > 0 {
		p.Put(row, page.Text(book.AssumeWhat, look.Section, "Basis of the estimate", page.Static))
		p.Put(row+1, page.Text(book.AssumeWhat, look.Note, "For whoever judges the estimate or makes it again. An offer shows the customer scope, documents, assumed, excluded, validity to terms.", page.Static))
		p.Put(row, page.Text(book.AssumeUsedUnit, look.Label, "points not filled in", page.Static))
		blanks := page.Number(book.AssumeUsed, look.Calc, "0", float64(a.countBasisBlanks(a.At)), page.Ours)
		p.Put(row, blanks.Live(BasisBlanks("")))
		a.Names.Define(book.NameBlanks, a.cellRef(row, book.AssumeUsed))
	}
	for _, h := range a.Model.Basis {
		row := a.At.Key[book.BasisPrefix+h.Key]
		if row == 0 {
			continue
		}
		p.Put(row, page.Text(book.AssumeKey, look.Key, book.BasisPrefix+h.Key, page.Static))
		p.Put(row, page.Text(book.AssumeWhat, look.Label, h.What, page.Static))
		a.wide(row, a.field(book.BasisPrefix+h.Key, ""))
		a.Names.Define(book.BasisPrefix+h.Key, a.cellRef(row, book.AssumeValue))
	}
}

// wide writes what the shop says in a sentence: its cell goes over several columns, and
// is as high as the words want. On a sheet that an earlier version made it is one cell.
func (a *Plan) wide(row int, text string) {
	p := a.p
	c := page.Text(book.AssumeValue, look.InputText, text, page.Shop)
	c.Style.Wrap = true
	p.Put(row, c)
	widths, across := assumeWidths(), 0.0
	for col := book.AssumeValue; col <= book.AssumeHigh; col++ {
		across += widths[col-1]
		if p.Build && col > book.AssumeValue {
			p.Put(row, page.Empty(col, look.Style{Role: look.InputText}, page.Static))
		}
	}
	if p.Build {
		p.Shell.Merges = append(p.Shell.Merges, grid.Ref(row, book.AssumeValue)+":"+grid.Ref(row, book.AssumeHigh))
	}
	if text == "" && !p.Build && !a.At.Arrived(row) {
		text = book.CellText(*a.Own.Cell(row, book.AssumeValue))
	}
	if _, there := a.BlockAt(book.NameContents); p.Build || there {
		p.Row(row).Height, p.Row(row).Least = a.ink.RowHeight(look.Words, text, across-2), true
	}
}

// BasisBlanks counts, live and wherever the rows are, the points of the basis
// that are blank. The sheet is "" for a formula on Assumptions itself.
func BasisBlanks(sheet string) string {
	column := func(col int) string {
		c := "$" + grid.ColName(col)
		if sheet == "" {
			return c + ":" + c
		}
		return grid.QuoteSheet(sheet) + "!" + c + ":" + c
	}
	return fmt.Sprintf(`COUNTIFS(%s,"%s*",%s,"")`, column(book.AssumeKey), book.BasisPrefix, column(book.AssumeValue))
}

func (b *Sheet) countBasisBlanks(at *Places) int {
	return b.countBlanks(at, b.Model.Basis, book.BasisPrefix)
}

// countBlanks counts the blank ones among fields whose names begin alike.
func (b *Sheet) countBlanks(at *Places, fields []model.Head, prefix string) int {
	n := 0
	for _, h := range fields {
		row := at.Key[prefix+h.Key]
		if b.field(prefix+h.Key, h.Value) != "" && (b.Own.Assumptions == "" || b.field(prefix+h.Key, "") != "") {
			continue
		}
		if row > 0 && (at.Arrived(row) || b.Own.Assumptions == "" || book.CellText(*b.Own.Cell(row, book.AssumeValue)) == "") {
			n++
		}
	}
	return n
}

// reliabilities are the words for how far an assumption is to be trusted.
func reliabilities() []string { return []string{"measured", "quoted", "handbook", "guess"} }

// placeReliability finds the two columns that say how far an assumption is to
// be trusted and since when it stands. On a sheet of an earlier version they
// come right of everything that stands beside the assumptions.
func (b *Sheet) placeReliability(at *Places) {
	if b.Names.Has(book.NameReliability) || b.Names.Has(book.NameSince) {
		if r, ok := b.BlockAt(book.NameReliability); ok {
			at.reliability = r.Col1
		}
		if r, ok := b.BlockAt(book.NameSince); ok {
			at.since = r.Col1
		}
		return
	}
	at.columnsAdded = true
	at.reliability = book.AssumePlace + 1
	if at.heads = at.Key["Name"]; at.heads == 0 {
		at.heads = at.FirstKey - 2
	}
	for row := at.heads; row <= at.LastKey; row++ {
		for col := range b.Own.Cells[row] {
			if b.Own.Used(row, col, col) {
				at.reliability = max(at.reliability, col+1)
			}
		}
	}
	at.since = at.reliability + 1
}

// reliability writes the two columns beside the single assumptions.
func (a *Plan) reliability() {
	p, at := a.p, a.At
	for _, c := range []struct {
		name, heading string
		style         look.Style
		col           int
	}{{book.NameReliability, "Reliability", look.Style{Role: look.InputText}, at.reliability}, {book.NameSince, "Since", look.Style{Role: look.Input, Format: "yyyy-mm-dd"}, at.since}} {
		if c.col == 0 {
			continue
		}
		put := func(row int, cell page.Cell) {
			cell.Fresh = at.columnsAdded
			p.Put(row, cell)
		}
		if p.Build || at.columnsAdded {
			put(at.heads, page.Text(c.col, look.Heading, c.heading, page.Static))
		}
		for _, q := range a.Model.Singles.Quantities {
			if row := at.Key[q.Key]; q.Role == model.Assumption && row > 0 {
				put(row, page.Empty(c.col, c.style, page.Shop))
			}
		}
		in := grid.Range{Row1: at.FirstKey, Col1: c.col, Row2: at.LastKey, Col2: c.col}
		if c.name == book.NameReliability {
			p.Shell.Validations = append(p.Shell.Validations, look.Validation{Range: in.String(), Words: reliabilities()})
		}
		a.Names.Define(c.name, page.RangeRef(p.Title, in))
	}
}
