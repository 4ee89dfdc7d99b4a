package joints

import (
	"strings"

	"seamtally/compute"
	"seamtally/compute/units"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// Places gives a list the columns that earlier runs gave it.
func Places(o *book.Ours, l *List, m *compute.Model) {
	l.Ours, l.retired = map[*compute.Quantity]int{}, map[int]string{}
	for figure, col := range o.Resolve(l.Title, l.HeadRow, l.Heads) {
		if q := m.Line.Quantity(figure); q != nil {
			l.Ours[q] = col
		} else {
			l.retired[col] = l.Heads[col]
		}
	}
}

// settle applies what the shop has written in the Columns table: this column
// is that input, whatever its heading says. A dash takes a column out.
func settle(o *book.Ours, b *Lists, sheet string, row int, texts map[int]string, cols map[string]ShopColumn) {
	done := map[int]bool{}
	for _, r := range o.Records {
		if r.Ours || r.SettledAs == "" || r.Col < 1 || r.Row != row && !r.AnyRow || !strings.EqualFold(r.Sheet, sheet) || done[r.Col] {
			continue
		}
		done[r.Col] = true
		for key, c := range cols {
			if c.Col == r.Col {
				delete(cols, key)
			}
		}
		desc, ok := b.Headings.Column(r.SettledAs)
		if !ok || desc.Table != "lines" {
			if !IsOwn(r.SettledAs) {
				b.Note(book.LevelWarning, "settled", sheet+"!"+grid.Ref(row, r.Col), "the Columns table on Assumptions takes it as "+page.Quoted(r.SettledAs)+", which is no input", "write the name of an input, as in the table's second column, or own if it is none of the price's business")
			}
			continue
		}
		c := ShopColumn{Col: r.Col, Head: texts[r.Col], Key: desc.Key, Settled: true, desc: desc}
		if r.SettledUnit != "" {
			if u, err := units.Parse(r.SettledUnit); err == nil {
				c.Unit, c.HasUnit = u, true
			}
		} else if m := b.Headings.Recognise(texts[r.Col]); m.HasUnit {
			c.Unit, c.HasUnit = m.Unit, true
		}
		cols[desc.Key] = c
	}
}

// Settled is what the shop has settled about a column.
func Settled(o *book.Ours, l *List, col int) book.ColumnRecord {
	for _, r := range o.Records {
		if !r.Ours && strings.EqualFold(r.Sheet, l.Title) && (r.Row == l.HeadRow || r.AnyRow) && r.Col == col {
			return r
		}
	}
	return book.ColumnRecord{}
}
