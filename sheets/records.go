package sheets

import (
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
)

// columnRecord is a line of the Columns table: where a column of a list stands,
// and what it holds.
type columnRecord struct {
	sheet  string
	figure string
	ours   bool
	row    int
	col    int
	head   string // the heading when the workbook was last worked out

	// What the shop has settled: take the column as this input, in this unit.
	settledAs, settledUnit string
}

// readRecords reads the Columns table. Its headings are references, and so
// follow a heading wherever the shop moves it.
func (b *book) readRecords() {
	_, at, ok := page.SplitRef(b.names.Find(nameColumns))
	if !ok {
		return
	}
	for row := at.Row1; row <= at.Row2; row++ {
		c := b.own.cell(row, columnsHeading)
		sheet, r, ok := page.SplitRef(c.Formula)
		if !ok {
			continue
		}
		if i := b.wb.Sheet(sheet); i >= 0 {
			b.own.records = append(b.own.records, columnRecord{
				sheet: b.wb.Sheets[i].Name, figure: cellText(*b.own.cell(row, columnsFigure)),
				ours: cellText(*b.own.cell(row, columnsWhose)) == whoseOurs, row: r.Row1, col: r.Col1, head: cellText(*c),
				settledAs: cellText(*b.own.cell(row, columnsSettled)), settledUnit: cellText(*b.own.cell(row, columnsSettledUnit)),
			})
		}
	}
}

// adopted is how many headings of ours make a sheet without records a copy of
// one that has them.
const adopted = 10

// resolve finds our columns on a heading row: by the reference, and where the
// heading there is another one (the file was changed by a program that does
// not keep references), by the heading. A sheet without records is a copy if
// enough headings are there.
func (o *ownSheets) resolve(sheet string, row int, texts map[int]string) map[string]int {
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
	for _, r := range o.records {
		if !r.ours || !strings.EqualFold(r.sheet, sheet) {
			continue
		}
		known = true
		switch {
		case r.row == row && texts[r.col] == r.head && r.head != "":
			take(r.figure, r.col)
		case r.head != "" && at[r.head] > 0:
			take(r.figure, at[r.head])
		case r.row == row && texts[r.col] != "":
			take(r.figure, r.col) // reworded
		}
	}
	if known {
		return out
	}
	for _, r := range o.records {
		if r.ours {
			take(r.figure, at[r.head])
		}
	}
	if len(out) < adopted {
		return nil
	}
	return out
}

// columns are our columns on a heading row, as a set.
func (o *ownSheets) columns(sheet string, row int, texts map[int]string) map[int]bool {
	out := map[int]bool{}
	for _, c := range o.resolve(sheet, row, texts) {
		out[c] = true
	}
	return out
}

// places gives a list the columns that earlier runs gave it.
func (o *ownSheets) places(l *list, m *compute.Model) {
	l.ours = map[*compute.Quantity]int{}
	for figure, col := range o.resolve(l.title, l.headRow, l.heads) {
		if q := m.Line.Quantity(figure); q != nil {
			l.ours[q] = col
		}
	}
}

// settle applies what the shop has written in the Columns table: this column
// is that input, whatever its heading says. A dash takes a column out.
func (o *ownSheets) settle(b *jointLists, sheet string, row int, texts map[int]string, cols map[string]shopColumn) {
	for _, r := range o.records {
		if r.ours || r.settledAs == "" || r.row != row || !strings.EqualFold(r.sheet, sheet) {
			continue
		}
		for key, c := range cols {
			if c.col == r.col {
				delete(cols, key)
			}
		}
		desc, ok := b.headings.Column(r.settledAs)
		if !ok || desc.Table != "lines" {
			if r.settledAs != "-" {
				b.note(LevelWarning, "settled", sheet+"!"+part.Ref(row, r.col), "the Columns table on Assumptions takes it as "+page.Quoted(r.settledAs)+", which is no input", "write the name of an input, as in the table's second column, or - to leave the column alone")
			}
			continue
		}
		c := shopColumn{col: r.col, head: texts[r.col], key: desc.Key, settled: true, desc: desc}
		if r.settledUnit != "" {
			if u, err := formula.ParseUnit(r.settledUnit); err == nil {
				c.unit, c.hasUnit = u, true
			}
		} else if m := b.headings.Recognise(texts[r.col]); m.HasUnit {
			c.unit, c.hasUnit = m.Unit, true
		}
		cols[desc.Key] = c
	}
}

// settled is what the shop has settled about a column.
func (o *ownSheets) settled(l *list, col int) columnRecord {
	for _, r := range o.records {
		if !r.ours && strings.EqualFold(r.sheet, l.title) && r.row == l.headRow && r.col == col {
			return r
		}
	}
	return columnRecord{}
}
