package joints

import (
	"fmt"
	"maps"
	"slices"
	"sort"
	"strings"

	"seamtally/compute"
	"seamtally/compute/units"
	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// HeadRows is how far down a sheet the first heading row is looked for.
const HeadRows = 40

// ShopColumn is a column of the shop's that holds an input.
type ShopColumn struct {
	Col     int
	Head    string
	Key     string
	Unit    units.Unit
	HasUnit bool
	Settled bool // by the Columns table, not by its heading
	desc    entry.Column
}

// List is a joint list on one sheet.
type List struct {
	No       int // among the lists, from 0
	sheet    int // among the tabs
	Title    string
	Called   string // the car that joints without one are of, where it is not called as the sheet is; "" else
	Part     string
	TopRow   int     // first row of the headings
	HeadRow  int     // where headings stand, ours too: of two rows, the lower
	headHigh float64 // height of that row in points; 0 = as its words need
	DataRow  int     // first row that may be a joint
	end      int     // row of the next list on the sheet; 0 = none
	alone    bool
	Info     *worksheet.Info
	merged   map[int][]grid.Range  // merged cells among the joints, by column, from top to bottom
	Shop     map[string]ShopColumn // by input
	Heads    map[int]string        // headings of the heading row, ours included, without blanks around them
	Written  map[int]string        // cells of the heading row as they stand there
	above    map[int]string        // of two rows of headings, the upper one
	groups   map[string]bool       // words there, and whether they are over several columns
	Ours     map[*compute.Quantity]int
	Added    []*compute.Quantity // those of them that are new
	retired  map[int]string      // columns of figures that the model has no more, with their headings: their cells go
	IsNew    bool                // our columns are not there yet
	LastRow  int                 // last row with anything in it

	newHeads map[*compute.Quantity]string // of our columns, where a table asks for others

	inCells        bool // a diameter names millimetres
	sampled, large int  // diameters among the first rows, and those too large for inches

	Read, Priced, LeftOut int
	Overrides             int
	PassedOver            []PassedRow
	Before                []worksheet.Row // rows above it, of the first list on a sheet
	Digest                uint64          // of what its rows say, for the log
	Order                 uint64          // the same, and of the order in which they stand
}

// PassedRow is a row that is not priced because it is no joint.
type PassedRow struct {
	Row int
	Why string
}

// Ref names a cell of the list for a message: Coupe!F14.
func (l *List) Ref(row, col int) string { return l.Title + "!" + grid.Ref(row, col) }

// Has reports whether a row lies in the list, its headings included.
func (l *List) Has(row int) bool { return row >= l.HeadRow && (l.end == 0 || row < l.end) }

// bottom is the last row that may belong to the list.
func (l *List) bottom() int {
	if l.end > 0 {
		return l.end - 1
	}
	return grid.MaxRow
}

// sheetRows are the rows of a sheet in which headings are looked for: the first
// ones, and further down those that hold words only.
type sheetRows struct {
	rows []worksheet.Row
}

// keep takes a row in if it may hold headings.
func (s *sheetRows) keep(r *worksheet.Row) {
	words := 0
	for _, c := range r.Cells {
		switch {
		case c.Kind == worksheet.Text && strings.TrimSpace(c.Text) != "":
			words++
		case c.Kind != worksheet.Empty && r.Num > HeadRows:
			return
		}
	}
	if r.Num > HeadRows && words < leastHeadings {
		return
	}
	s.rows = append(s.rows, worksheet.Row{Num: r.Num, Height: r.Height, Cells: append([]worksheet.Cell(nil), r.Cells...)})
}

// mostBefore bounds how many rows are kept that stand above a list.
const mostBefore = 240

// leastHeadings is how many headings a further list on a sheet has at least.
const leastHeadings = 3

// Find looks through the sheets for joint lists and for the list of cars.
func (b *Lists) Find() error {
	for i, s := range b.Workbook.Sheets {
		if s.Kind != "worksheet" || s.PartName == "" || b.Own.IsOurs(s.Name) {
			continue
		}
		var rows sheetRows
		info, err := b.ReadPart(s.PartName, func(r *worksheet.Row) error {
			rows.keep(r)
			return nil
		})
		if err != nil {
			return fmt.Errorf("sheet %q: %w", s.Name, err)
		}
		if of := book.CopyOf(rows.rows); of != "" {
			b.leaveAlone(s, of)
			continue
		}
		if b.SettledSheet(s.Name) {
			continue
		}
		found := b.findLists(rows.rows, s.Name, info)
		for k, l := range found {
			l.No, l.sheet, l.Title, l.Part, l.Info, l.LastRow = len(b.All), i, s.Name, s.PartName, info, info.LastRow
			l.alone = len(found) == 1
			l.sizes(rows.rows)
			l.findMerged()
			b.tellSheet(s, l)
			if k+1 < len(found) {
				l.end = found[k+1].TopRow
				l.LastRow = l.end - 1
			}
			b.All = append(b.All, l)
		}
		if len(found) > 0 {
			for _, r := range rows.rows {
				if r.Num < found[0].TopRow && len(found[0].Before) < mostBefore {
					found[0].Before = append(found[0].Before, r)
				}
			}
		}
		cars, err := b.findCars(rows.rows, s, found)
		if err != nil {
			return err
		}
		if len(found) == 0 && !cars {
			b.Unread = append(b.Unread, Unread{s, b.nearest(rows.rows)})
		}
	}
	return nil
}

// leaveAlone tells of a copy.
func (b *Lists) leaveAlone(s workbook.Sheet, of string) {
	b.Note(book.LevelNote, "copy", s.Name, fmt.Sprintf("the sheet is a copy of our %s; it is left as it is, and nothing is read from it", of), "")
}

// tellSheet says what is odd about the sheet of a list.
func (b *Lists) tellSheet(s workbook.Sheet, l *List) {
	if s.State != "visible" && s.State != "" {
		b.Note(book.LevelWarning, book.FindHiddenSheet, l.Ref(l.HeadRow, 1), "the sheet is hidden; its joints are priced", "show it, or take it out if it is not meant")
	}
	if l.Info.Protected {
		b.Note(book.LevelNote, "locked sheet", l.Ref(l.HeadRow, 1), "the sheet is locked; it is filled all the same, and stays locked", "")
	}
}

// findLists finds the heading rows of a sheet. A row that says the same again
// further down is no new list.
func (b *Lists) findLists(rows []worksheet.Row, sheet string, info *worksheet.Info) []*List {
	var out []*List
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
		l.Written = map[int]string{}
		for _, r := range rows[i : i+used] {
			if r.Num == l.HeadRow {
				l.headHigh = r.Height
			}
			for _, c := range r.Cells {
				if r.Num == l.HeadRow && c.Kind == worksheet.Text {
					l.Written[c.Col] = c.Text
				}
			}
		}
		i += used - 1
		if n := len(out); n > 0 {
			again := b.asHeadings(sheet, l.HeadRow, textsOf(rows[i].Cells), nil) // with what is no heading over them
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
func (b *Lists) headingsAt(rows []worksheet.Row, i int, sheet string, info *worksheet.Info) (l *List, used int) {
	upper := textsOf(rows[i].Cells)
	below := map[int]string(nil)
	if i+1 < len(rows) && rows[i+1].Num == rows[i].Num+1 {
		below = textsOf(rows[i+1].Cells)
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
func sameReading(a, b map[string]ShopColumn) bool {
	return maps.EqualFunc(a, b, func(c, d ShopColumn) bool {
		return c.Col == d.Col && c.HasUnit == d.HasUnit && (!c.HasUnit || c.Unit.Equal(d.Unit))
	})
}

// textsOf are the texts of a row, by column. A date is none, however it is stored.
func textsOf(cells []worksheet.Cell) map[int]string {
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
func (b *Lists) asHeadings(sheet string, row int, texts, above map[int]string) *List {
	mine := b.Own.Columns(sheet, row, texts)
	cols := b.recognise(texts, above, "lines", mine)
	settle(&b.Own, b, sheet, row, texts, cols)
	_, od := cols["od"]
	_, wall := cols["wall"]
	if !od || !wall {
		return nil
	}
	l := &List{TopRow: row, HeadRow: row, above: above, groups: groupsOf(above), Shop: cols, Heads: map[int]string{}, newHeads: map[*compute.Quantity]string{}}
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

// recognise reads texts as headings. Columns that are ours are passed over.
// Where two headings mean one input, the exact spelling goes before a loose
// one, then the one further left.
func (b *Lists) recognise(texts, above map[int]string, table string, ours map[int]bool) map[string]ShopColumn {
	found := map[string]ShopColumn{}
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
		found[m.Key] = ShopColumn{Col: col, Head: head, Key: m.Key, Unit: m.Unit, HasUnit: m.HasUnit, desc: desc}
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

// findMerged sorts the merged cells of the sheet by the columns of the list.
// They do not overlap in a sound sheet, so a place is found by halving.
func (l *List) findMerged() {
	l.merged = map[int][]grid.Range{}
	for _, ref := range l.Info.MergedCells {
		r, err := grid.ParseRange(ref)
		if err != nil || r.Row2 < l.DataRow {
			continue
		}
		for _, c := range l.Shop {
			if r.Col1 <= c.Col && c.Col <= r.Col2 {
				l.merged[c.Col] = append(l.merged[c.Col], r)
			}
		}
	}
	for _, ranges := range l.merged {
		sort.Slice(ranges, func(i, j int) bool { return ranges[i].Row1 < ranges[j].Row1 })
	}
}

// mergedAt finds the merged cells that a cell is part of without being the
// first, which alone has their value.
func (l *List) mergedAt(row, col int) (r grid.Range, is bool) {
	ranges := l.merged[col]
	i := sort.Search(len(ranges), func(i int) bool { return ranges[i].Row1 > row })
	if i == 0 {
		return grid.Range{}, false
	}
	r = ranges[i-1]
	return r, row <= r.Row2 && (row != r.Row1 || col != r.Col1)
}

// Sorted lists the shop's columns from left to right.
func (l *List) Sorted() []ShopColumn {
	var out []ShopColumn
	for _, c := range l.Shop {
		out = append(out, c)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Col < out[j].Col })
	return out
}

// ColumnName is a column as --settle takes it: Coupe!E.
func (l *List) ColumnName(col int) string { return l.Title + "!" + grid.ColName(col) }

// Meaning is what the heading of a column says, with the words above it.
func (l *List) Meaning(h *entry.Headings, col int) entry.Match {
	lower := l.Heads[col]
	if lower == l.above[col] {
		lower = ""
	}
	return meaning(h, l.above[col], lower, l.groups[l.above[col]])
}

// HeadingText is the heading of a column with the words above it.
func (l *List) HeadingText(col int) string {
	text := l.Heads[col]
	if over := l.above[col]; over != "" && over != text {
		return over + " " + text
	}
	return text
}

// Retired reports whether a column is that of a figure which the model has no more.
func (l *List) Retired(col int) bool { return l.retired[col] != "" }
