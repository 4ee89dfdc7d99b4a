package headings

import (
	"strings"

	"seamtally/compute/units"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// settle applies what the shop has written in the Columns table: this column
// is that input, whatever its heading says. A dash takes a column out.
func (b Finder) settle(sheet string, row int, texts map[int]string, cols map[string]Column) {
	done := map[int]bool{}
	for _, r := range b.Own.Records {
		if r.Ours || r.SettledAs == "" || r.Col < 1 || r.Row != row && !r.AnyRow || !strings.EqualFold(r.Sheet, sheet) || done[r.Col] || !r.StillHeaded(texts[r.Col]) {
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
			if !book.IsOwn(r.SettledAs) {
				b.Note(book.LevelWarning, "settled", sheet+"!"+grid.Ref(row, r.Col), "the Columns table on Assumptions takes it as "+page.Quoted(r.SettledAs)+", which is no input", "write the name of an input, as in the table's second column, or own if it is none of the price's business")
			}
			continue
		}
		c := Column{Col: r.Col, Head: texts[r.Col], Key: desc.Key, Settled: true, Desc: desc}
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
