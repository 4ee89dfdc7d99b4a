package book

import (
	"strings"

	"seamtally/sheets/entry"
	"seamtally/sheets/page"
)

// ColumnRecord is a line of the Columns table: where a column of a list stands,
// and what it holds.
type ColumnRecord struct {
	Sheet  string
	Figure string
	Ours   bool
	Row    int
	Col    int
	head   string // the heading when the workbook was last worked out

	// What the shop has settled: take the column as this input, in this unit.
	SettledAs, SettledUnit string
	AnyRow                 bool // settled on the command line, which names no row
	headed                 string
	hasHeaded              bool // headed is the heading that it was settled under

	Words      string // among joints, that the record is of in place of a column
	WordsKnown bool   // of a column of the shop's own: what its words may change is settled word by word
}

// Heading is the heading when the workbook was last worked out.
func (r ColumnRecord) Heading() string { return r.head }

// StillHeaded reports whether a column has the heading that it was settled under, as far as
// that is known: under another it may be something else.
func (r ColumnRecord) StillHeaded(head string) bool {
	return !r.hasHeaded || entry.SameWords(r.headed, head)
}

// SettledHead stands in the figure of a column that is settled, before its heading then.
const SettledHead = "headed: "

// WordsKnown stands before that where a column is the shop's own, and each of its words that
// may change a joint has a record.
const WordsKnown = "words known"

// Figures of the Columns table that stand for no column: the shop's word for all
// that is not read on a sheet, or for the sheet.
const (
	WholeSheet = "the sheet"
	AllColumns = "all other columns"
)

// WordsAmong begins the figure of a record of words among joints, as they were when they
// were settled.
const WordsAmong = "words: "

// Places that a record has in place of a column.
const (
	OfSheet = 0
	OfAll   = -1
)

// A formula that shows nothing, and follows a cell, and its sheet when that is renamed.
const followBefore, followBehind = "LEFT(T(", "),0)"

// Followed is that formula for a cell of a sheet.
func Followed(title string, row, col int) string {
	return followBefore + page.CellRef(title, row, col) + followBehind
}

// readRecords reads the Columns table. Its headings are references, and so
// follow a heading wherever the shop moves it; one whose words stand further up shows
// these, and follows behind them the cell of the heading row.
func (b *Book) readRecords() {
	_, table, ok := page.SplitRef(b.Names.Find(NameColumns))
	if !ok {
		return
	}
	for row := table.Row1; row <= table.Row2; row++ {
		c := b.Own.Cell(row, ColumnsHeading)
		at := c.Formula
		if _, followed, has := strings.Cut(at, followBefore); has {
			at = strings.TrimSuffix(followed, followBehind)
		}
		sheet, r, ok := page.SplitRef(at)
		if !ok {
			continue
		}
		if i := b.Workbook.Sheet(sheet); i >= 0 {
			rec := ColumnRecord{
				Sheet: b.Workbook.Sheets[i].Name, Figure: CellText(*b.Own.Cell(row, ColumnsFigure)),
				Ours: CellText(*b.Own.Cell(row, ColumnsWhose)) == WhoseOurs, Row: r.Row1, Col: r.Col1, head: CellText(*c),
				SettledAs: CellText(*b.Own.Cell(row, ColumnsSettled)), SettledUnit: CellText(*b.Own.Cell(row, ColumnsSettledUnit)),
			}
			switch rec.Figure {
			case WholeSheet:
				rec.Col, rec.AnyRow = OfSheet, true
			case AllColumns:
				rec.Col, rec.AnyRow = OfAll, true
			}
			if words, are := strings.CutPrefix(rec.Figure, WordsAmong); are {
				rec.Words = words
				b.Own.Among = append(b.Own.Among, rec)
				continue
			}
			if key, head, has := strings.Cut(rec.Figure, SettledHead); has && !rec.Ours {
				rec.Figure, rec.headed, rec.hasHeaded = strings.TrimSuffix(key, ", "), head, true
				if rec.WordsKnown = rec.Figure == WordsKnown; rec.WordsKnown {
					rec.Figure = ""
				}
			}
			b.Own.Records = append(b.Own.Records, rec)
		}
	}
}

// adopted is how many headings of ours make a sheet without records a copy of
// one that has them.
const adopted = 10

// Resolve finds our columns on a heading row: by the reference, and where the
// heading there is another one (the file was changed by a program that does
// not keep references), by the heading. A sheet without records is a copy if
// enough headings are there.
func (o *Ours) Resolve(sheet string, row int, texts map[int]string) map[string]int {
	out := map[string]int{}
	known := false
	at := map[string]int{} // heading -> its only column
	for col, t := range texts {
		if _, twice := at[t]; twice {
			at[t] = 0
			continue
		}
		at[t] = col
	}
	taken := map[int]bool{}
	take := func(figure string, col int) {
		if col > 0 && !taken[col] && out[figure] == 0 {
			out[figure], taken[col] = col, true
		}
	}
	for _, r := range o.Records {
		if !r.Ours || !strings.EqualFold(r.Sheet, sheet) {
			continue
		}
		known = true
		switch {
		case r.Row == row && texts[r.Col] == r.head && r.head != "":
			take(r.Figure, r.Col)
		case r.head != "" && at[r.head] > 0:
			take(r.Figure, at[r.head])
		case r.Row == row && texts[r.Col] != "":
			take(r.Figure, r.Col) // reworded
		}
	}
	if known {
		return out
	}
	for _, r := range o.Records {
		if r.Ours {
			take(r.Figure, at[r.head])
		}
	}
	if len(out) < adopted {
		return nil
	}
	return out
}

// Columns are our columns on a heading row, as a set.
func (o *Ours) Columns(sheet string, row int, texts map[int]string) map[int]bool {
	out := map[int]bool{}
	for _, c := range o.Resolve(sheet, row, texts) {
		out[c] = true
	}
	return out
}
