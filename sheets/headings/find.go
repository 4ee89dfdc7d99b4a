package headings

import (
	"maps"
	"slices"
	"sort"
	"strings"

	"seamtally/compute/units"
	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// Column is a column of the shop's that holds an input.
type Column struct {
	Col     int
	Head    string
	Key     string
	Unit    units.Unit
	HasUnit bool
	Settled bool // by the Columns table, not by its heading
	Desc    entry.Column
}

// Found are the headings of a joint list as they were found on a sheet.
type Found struct {
	TopRow  int                    // first row of the headings
	HeadRow int                    // where headings stand, ours too: of two rows, the lower
	High    float64                // height of that row in points; 0 = as its words need
	DataRow int                    // first row that may be a joint
	Shop    map[string]Column      // by input
	Heads   map[int]string         // headings of the heading row, ours included, without blanks around them
	Written map[int]string         // cells of the heading row as they stand there
	Over    map[int]worksheet.Cell // the words right above them, of two rows
	above   map[int]string         // of two rows of headings, the upper one
	groups  map[string]bool        // words there, and whether they are over several columns
}

// Finder finds headings in a workbook: it knows the words of headings, and what the
// shop has settled.
type Finder struct{ *book.Book }

// Find finds the heading rows of a sheet. A row that says the same again
// further down is no new list.
func (b Finder) Find(rows []worksheet.Row, sheet string, info *worksheet.Info) []*Found {
	var out []*Found
	may := b.mayHead()
	settled := slices.ContainsFunc(b.Own.Records, func(r book.ColumnRecord) bool { // then a column may be one, whatever its heading
		return !r.Ours && r.SettledAs != "" && strings.EqualFold(r.Sheet, sheet)
	})
	for i := 0; i < len(rows); i++ {
		if !may.at(rows, i) && !settled {
			continue
		}
		l, used := b.headingsAt(rows, i, sheet, info)
		if l == nil {
			continue
		}
		l.Written, l.Over = map[int]string{}, map[int]worksheet.Cell{}
		for _, r := range rows[i : i+used] {
			if r.Num == l.HeadRow {
				l.High = r.Height
			}
			for _, c := range r.Cells {
				switch {
				case c.Kind != worksheet.Text || c.ISODate:
				case r.Num == l.HeadRow:
					l.Written[c.Col] = c.Text
				case r.Num < l.HeadRow:
					l.Over[c.Col] = c
				}
			}
		}
		i += used - 1
		if n := len(out); n > 0 {
			again := b.asHeadings(sheet, l.HeadRow, Texts(rows[i].Cells), nil) // with what is no heading over them
			if sameReading(out[n-1].Shop, l.Shop) || again != nil && sameReading(out[n-1].Shop, again.Shop) {
				continue
			}
		}
		out = append(out, l)
	}
	return out
}

// headingsAt tries to read row i as headings: alone, with units in the row
// below, or together with the row below. used is how many rows they take.
func (b Finder) headingsAt(rows []worksheet.Row, i int, sheet string, info *worksheet.Info) (l *Found, used int) {
	upper := Texts(rows[i].Cells)
	below := map[int]string(nil)
	if i+1 < len(rows) && rows[i+1].Num == rows[i].Num+1 {
		below = Texts(rows[i+1].Cells)
	}
	if l := b.asHeadings(sheet, rows[i].Num, upper, nil); l != nil {
		both := b.moreBelow(l, upper, below, sheet, rows[i:])
		l.DataRow = l.HeadRow + 1
		switch {
		case (both == nil || len(both.Shop) <= len(l.Shop)) && b.unitsRow(l, below):
			l.DataRow++
			return l, 2
		case both != nil:
			return b.withUnits(both, rows[i:])
		}
		return l, 1
	}
	if below == nil {
		return nil, 1
	}
	alone := b.asHeadings(sheet, rows[i+1].Num, below, nil)
	both := b.asHeadings(sheet, rows[i+1].Num, below, spread(upper, below, rows[i].Num, info))
	if plain := b.asHeadings(sheet, rows[i+1].Num, below, upper); plain.score() > both.score() {
		both = plain
	}
	if alone != nil && (hasNumbers(rows[i].Cells) || len(upper) < 2 && !b.completes(upper, below) || both == nil || len(both.Shop) < len(alone.Shop) || sameReading(both.Shop, alone.Shop)) {
		return nil, 1 // the row above is a title, or none of the headings' business
	}
	if both == nil {
		return nil, 1
	}
	return b.withUnits(both, rows[i:])
}

// sameReading reports whether two readings of headings come to the same.
func sameReading(a, b map[string]Column) bool {
	return maps.EqualFunc(a, b, func(c, d Column) bool {
		return c.Col == d.Col && c.HasUnit == d.HasUnit && (!c.HasUnit || c.Unit.Equal(d.Unit))
	})
}

// Texts are the texts of a row, by column. A date is none, however it is stored.
func Texts(cells []worksheet.Cell) map[int]string {
	out := map[int]string{}
	for _, c := range cells {
		if c.Kind == worksheet.Text && !c.ISODate && strings.TrimSpace(c.Text) != "" {
			out[c.Col] = strings.TrimSpace(c.Text)
		}
	}
	return out
}

// spread gives every column under a group its words: under merged cells, or, where
// nothing is merged, up to the next words, as far as there are headings below.
func spread(texts, below map[int]string, row int, info *worksheet.Info) map[int]string {
	merged := map[int]bool{}
	out := maps.Clone(texts)
	for _, ref := range info.MergedCells {
		r, err := grid.ParseRange(ref)
		if err != nil || row < r.Row1 || row > r.Row2 || texts[r.Col1] == "" {
			continue
		}
		for c := r.Col1; c <= r.Col2; c++ {
			merged[c], out[c] = true, texts[r.Col1]
		}
	}
	for c, words := range texts {
		for n := c + 1; !merged[c] && below[c] != "" && below[n] != "" && texts[n] == "" && !merged[n]; n++ {
			out[n] = words
		}
	}
	return out
}

// asHeadings reads a row, with the words above it if there are any, as the
// headings of a joint list: one with an outside diameter and a wall.
func (b Finder) asHeadings(sheet string, row int, texts, above map[int]string) *Found {
	mine := b.Own.Columns(sheet, row, texts)
	cols := b.Recognise(texts, above, "lines", mine)
	b.settle(sheet, row, texts, cols)
	_, od := cols["od"]
	_, wall := cols["wall"]
	if !od || !wall {
		return nil
	}
	l := &Found{TopRow: row, HeadRow: row, above: above, groups: groupsOf(above), Shop: cols, Heads: map[int]string{}}
	for c, t := range texts {
		l.Heads[c] = t
	}
	for c, t := range above {
		if l.Heads[c] == "" {
			l.Heads[c] = t
		}
	}
	return l
}

// Recognise reads texts as headings. Columns that are ours are passed over.
// Where two headings mean one input, the exact spelling goes before a loose
// one, then the one further left.
func (b Finder) Recognise(texts, above map[int]string, table string, ours map[int]bool) map[string]Column {
	found := map[string]Column{}
	exact := map[string]bool{}
	groups := groupsOf(above)
	for _, col := range Ordered(texts, above) {
		if ours[col] {
			continue
		}
		m := meaning(b.Quick, above[col], texts[col], groups[above[col]])
		if m.Key == "" {
			continue
		}
		desc, ok := b.Headings.Column(m.Key)
		if !ok || desc.Table != table && !(table == "cars" && m.Key == "car") {
			continue
		}
		if _, twice := found[m.Key]; twice && (exact[m.Key] || !m.Exact) {
			continue
		}
		head := strings.Join(strings.Fields(above[col]+" "+texts[col]), " ")
		found[m.Key] = Column{Col: col, Head: head, Key: m.Key, Unit: m.Unit, HasUnit: m.HasUnit, Desc: desc}
		exact[m.Key] = m.Exact
	}
	b.underGroups(texts, above, groups, table, ours, found)
	return found
}

// groupsOf are the words above columns that stand above several.
func groupsOf(above map[int]string) map[string]bool {
	seen, out := map[string]bool{}, map[string]bool{}
	for _, words := range above {
		out[words] = out[words] || seen[words]
		seen[words] = true
	}
	return out
}

// meaning reads a heading that may have words above it: both together if they
// make a heading, else the lower one under a group.
func meaning(h *entry.Headings, above, text string, group bool) entry.Match {
	if above == "" {
		return h.Recognise(text)
	}
	if m := h.Recognise(above + " " + text); m.Key != "" && (text == "" || !group) {
		return m
	}
	m := h.Recognise2(above, text)
	if own := h.Recognise(text); group && m.Key == "" && own.Key != "" && own.HasUnit {
		return own // a unit of its own goes before the group's
	}
	if group && text != "" && !m.Own && (m.Key == "" || !m.HasUnit) && m.Question == "" {
		if under := h.RecogniseUnder(above, text); m.Key == "" || under.Key == m.Key {
			return under
		}
	}
	return m
}

// Ordered lists the columns of two rows from left to right.
func Ordered(rows ...map[int]string) []int {
	seen := map[int]bool{}
	var out []int
	for _, r := range rows {
		for c := range r {
			if !seen[c] {
				seen[c] = true
				out = append(out, c)
			}
		}
	}
	sort.Ints(out)
	return out
}

// Sorted lists the shop's columns from left to right.
func (l *Found) Sorted() []Column {
	var out []Column
	for _, c := range l.Shop {
		out = append(out, c)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Col < out[j].Col })
	return out
}

// Meaning is what the heading of a column says, with the words above it.
func (l *Found) Meaning(h *entry.Headings, col int) entry.Match {
	lower := l.Heads[col]
	if lower == l.above[col] {
		lower = ""
	}
	return meaning(h, l.above[col], lower, l.groups[l.above[col]])
}

// HeadingText is the heading of a column with the words above it.
func (l *Found) HeadingText(col int) string {
	text := l.Heads[col]
	if over := l.above[col]; over != "" && over != text {
		return over + " " + text
	}
	return text
}
