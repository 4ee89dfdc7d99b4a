package assumptions

import (
	"fmt"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// Where the contents stand, beside the head of the sheet: what is left to be set before
// a bid, below it the tables on the left and the sections on the right. A sheet of an
// earlier version has none of it: the shop may have written there.
const (
	contentsFirst = 3 // their row
	contentsGap   = 2 // rows between the two
	contentsLeft  = book.AssumeInside
	contentsCount = book.AssumeChanged
	contentsRight = book.AssumeBasis
)

// toSet is one thing that is to be set before a bid: how many of it are left, as a
// formula and as it came to, and the name of the cell where it begins.
type toSet struct {
	formula string
	left    int
	what    string
	name    string
}

// contents writes what is left to be set before a bid, and links to all that stands on
// the sheet.
func (a *Plan) contents() {
	p := a.p
	there, ok := a.BlockAt(book.NameContents)
	if !ok && !p.Build {
		return
	}
	top, last, all := contentsFirst, there.Row2, a.toSet()
	if !p.Build {
		top = there.Row1
	}
	p.Put(top, page.Text(contentsLeft, look.Section, "To set before a bid", page.Static))
	for i, s := range all {
		row := top + 1 + i
		p.Put(row, page.Number(contentsCount, look.Calc, look.Dashed("0"), float64(s.left), page.Ours).Live(s.formula))
		p.Put(row, a.lead(contentsRight, s.name, s.what))
	}
	row := top + 1 + len(all)
	total := 0
	for _, s := range all {
		total += s.left
	}
	sum := fmt.Sprintf("SUM(%s:%s)", grid.Ref(top+1, contentsCount), grid.Ref(row-1, contentsCount))
	p.Put(row, page.Number(contentsCount, look.Total, look.Dashed("0"), float64(total), page.Ours).Live(sum))
	p.Put(row, page.Text(contentsRight, look.TotalText, "left", page.Static))
	if p.Build {
		last = a.links(row + contentsGap - 1)
	}
	a.Names.Define(book.NameContents, page.RangeRef(p.Title, grid.Range{Row1: top, Col1: contentsLeft, Row2: last, Col2: contentsRight}))
}

// links lists the tables and the sections, from a row on, and gives the last row.
func (a *Plan) links(row int) int {
	p := a.p
	p.Put(row, page.Text(contentsLeft, look.Section, "On this sheet", page.Static))
	left, right := row+1, row+1
	put := func(at *int, col int, name, words string) {
		p.Put(*at, a.lead(col, name, words))
		*at++
	}
	for _, t := range a.Model.Tables {
		put(&left, contentsLeft, t.Prefix+"_"+t.Quantities[0].Key, t.Title)
	}
	put(&left, contentsLeft, "unit_pair", "Units")
	put(&left, contentsLeft, book.NameLog, "Log")
	put(&left, contentsLeft, book.NameColumns, "Columns")
	put(&right, contentsRight, book.NameSheet+book.FrontKey, "Back to "+book.SummaryTitle)
	put(&right, contentsRight, book.NameBlanks, "Basis of the estimate")
	section := ""
	for _, q := range a.Model.Singles.Quantities {
		if q.Section != section {
			section = q.Section
			words, _, _ := strings.Cut(section, ", ")
			put(&right, contentsRight, q.Key, words)
		}
	}
	return max(left, right) - 1
}

// lead is a link to what a name names: it follows when rows are put in above.
func (a *Plan) lead(col int, name, words string) page.Cell {
	return page.Link(col, a.Names.Use(name), words, page.Static)
}

// NotSet is the basis of a shipped value that stands for none.
const NotSet = "the shop's own: set it"

// toSet counts what is left.
func (a *Plan) toSet() []toSet {
	head := toSet{name: book.HeadPrefix + a.Model.Heads[0].Key, what: "fields of the quote's head",
		formula: strings.ReplaceAll(BasisBlanks(""), book.BasisPrefix, book.HeadPrefix), left: a.countBlanks(a.At, a.Model.Heads, book.HeadPrefix)}
	points := toSet{name: book.NameBlanks, what: "points of the basis of the estimate", formula: a.Names.Use(book.NameBlanks), left: a.countBasisBlanks(a.At)}
	return []toSet{head, points, a.ownValues(), a.priceless("stock", "tube sizes in stock without a price"), a.priceless("fillers", "filler rods in stock without a price")}
}

// ownValues counts the assumptions that only the shop can know and whose basis says
// that it has not set them; sheets to be written are none.
func (a *Plan) ownValues() toSet {
	basis := grid.ColName(book.AssumeBasis)
	key := grid.ColName(book.AssumeKey)
	out := toSet{what: "values that only the shop can know", name: a.Model.Singles.Quantities[0].Key,
		formula: fmt.Sprintf(`COUNTIFS(%s:%s,%s,%s:%s,"<>with_*")`, basis, basis, page.Quoted(NotSet), key, key)}
	for _, q := range a.Model.Singles.Quantities {
		row := a.At.Key[q.Key]
		if row == 0 || q.Role != model.Assumption || strings.HasPrefix(q.Key, "with_") {
			continue
		}
		if strings.EqualFold(a.basisNow(q, row), NotSet) {
			if out.left++; out.left == 1 {
				out.name = q.Key
			}
		}
	}
	for _, t := range a.Model.Tables {
		q := t.Quantity("basis")
		if q == nil || a.At.Table[t].Cols[q] != book.AssumeBasis {
			continue
		}
		for _, f := range a.Values.Rows(t).Frames {
			if strings.EqualFold(q.Text(f), NotSet) {
				out.left++
			}
		}
	}
	return out
}

// basisNow is the basis of a single assumption as it stands after this run.
func (a *Plan) basisNow(q *model.Quantity, row int) string {
	if a.p.Build || a.At.Arrived(row) {
		return a.p.Cell(row, book.AssumeBasis).Text
	}
	return book.CellText(*a.Own.Cell(row, book.AssumeBasis))
}

// priceless counts the lines of a table of stock that have a metal and no price.
func (a *Plan) priceless(table, what string) toSet {
	t := a.Model.Table(table)
	alloy, price := t.Quantities[0], t.Quantity("price")
	out := toSet{what: what, name: t.Prefix + "_" + price.Key,
		formula: fmt.Sprintf(`COUNTIFS(%s,"?*",%s,"")`, book.ColumnName(a.Names, t, alloy.Key), book.ColumnName(a.Names, t, price.Key))}
	for _, f := range a.Values.Rows(t).Frames {
		if alloy.Text(f) != "" && !(price.Num(f) >= 0) {
			out.left++
		}
	}
	return out
}
