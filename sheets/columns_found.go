package sheets

import (
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
)

// places gives a list the columns that earlier runs gave it.
func places(o *book.Ours, l *list, m *compute.Model) {
	l.ours = map[*compute.Quantity]int{}
	for figure, col := range o.Resolve(l.title, l.headRow, l.heads) {
		if q := m.Line.Quantity(figure); q != nil {
			l.ours[q] = col
		}
	}
}

// settle applies what the shop has written in the Columns table: this column
// is that input, whatever its heading says. A dash takes a column out.
func settle(o *book.Ours, b *jointLists, sheet string, row int, texts map[int]string, cols map[string]shopColumn) {
	for _, r := range o.Records {
		if r.Ours || r.SettledAs == "" || r.Row != row || !strings.EqualFold(r.Sheet, sheet) {
			continue
		}
		for key, c := range cols {
			if c.col == r.Col {
				delete(cols, key)
			}
		}
		desc, ok := b.Headings.Column(r.SettledAs)
		if !ok || desc.Table != "lines" {
			if r.SettledAs != "-" {
				b.Note(book.LevelWarning, "settled", sheet+"!"+part.Ref(row, r.Col), "the Columns table on Assumptions takes it as "+page.Quoted(r.SettledAs)+", which is no input", "write the name of an input, as in the table's second column, or - to leave the column alone")
			}
			continue
		}
		c := shopColumn{col: r.Col, head: texts[r.Col], key: desc.Key, settled: true, desc: desc}
		if r.SettledUnit != "" {
			if u, err := formula.ParseUnit(r.SettledUnit); err == nil {
				c.unit, c.hasUnit = u, true
			}
		} else if m := b.Headings.Recognise(texts[r.Col]); m.HasUnit {
			c.unit, c.hasUnit = m.Unit, true
		}
		cols[desc.Key] = c
	}
}

// settled is what the shop has settled about a column.
func settled(o *book.Ours, l *list, col int) book.ColumnRecord {
	for _, r := range o.Records {
		if !r.Ours && strings.EqualFold(r.Sheet, l.title) && r.Row == l.headRow && r.Col == col {
			return r
		}
	}
	return book.ColumnRecord{}
}
