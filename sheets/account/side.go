package account

import (
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/headings"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/settling"
	"seamtally/sheets/unread"
)

// Two lists may stand beside each other, one of them some rows further down. A row is
// read for one list only: the last whose headings stand above it. So what stands there
// in the columns of sizes of another is a joint that nobody reads, and so are headings
// of a list on a row of joints.

// listBeside is a list beside one that is read: its first cell that is not, "" for none.
type listBeside struct {
	cell string
	upon *account // the list that goes on there, nil for one that begins there
}

// lookBeside looks for another list on a row of a list, its headings included.
func (ac *account) lookBeside(r *worksheet.Row) {
	if ac.side.cell != "" {
		return
	}
	for _, k := range ac.b.accounts[:ac.L.No] {
		od, wall := k.L.Shop["od"].Col, k.L.Shop["wall"].Col
		if k.L.Part == ac.L.Part && ac.unread(od) && ac.unread(wall) && ac.holdsSize(r, od) && ac.holdsSize(r, wall) {
			ac.side = listBeside{ac.L.Ref(r.Num, od), k}
			return
		}
	}
	if ac.Came.To == joints.Unseen || ac.Came.Why == joints.IsHeading {
		return
	}
	sizes := map[string]int{}
	for i := range r.Cells {
		if c := &r.Cells[i]; c.Kind == worksheet.Text && len(c.Text) <= longestHeading && ac.unread(c.Col) {
			if key := ac.b.texts.InputOf(c.Text); key == "od" || key == "wall" {
				sizes[key] = c.Col
			}
		}
	}
	if sizes["od"] > 0 && sizes["wall"] > 0 {
		ac.side.cell = ac.L.Ref(r.Num, sizes["od"])
	}
}

// lookAbove looks at a row above the headings of the first list of a sheet: what no
// headings were found for may be joints all the same.
func (ac *account) lookAbove(r *worksheet.Row) {
	if r.Num >= ac.L.TopRow {
		return
	}
	if ac.above == nil {
		near := headings.Finder{Book: ac.b.Book}.Nearest(ac.L.Before)
		ac.above = (&unread.Workbook{Reader: ac.b.texts}).Sheet(&near)
	}
	ac.above.Row(r)
}

// tellAbove tells of rows above a list that may be joints.
func (ac *account) tellAbove() {
	if ac.above == nil {
		return
	}
	what, cell := ac.above.Joints()
	at, err := grid.ParseRange(cell)
	if what == "" || err != nil {
		return
	}
	words := settling.Words{Row: at.Row1, Col: at.Col1, Text: what}
	if ac.b.WordsAreOwn(ac.L.Title, words) {
		return
	}
	ac.b.unsettled(book.CheckSheets, "above the list", ac.L.Title+"!"+cell, "what stands above the list is not read, and may be joints of the order: "+what,
		"mend its headings if it is a list; if it is none: "+settling.WordsAsOwn(ac.L.Title, words))
}

// titleBeside keeps words beside a joint that stand right above the headings of the next
// list, under no heading of this one: they are a title of that, and lead to its joints.
func (ac *account) titleBeside(r *worksheet.Row) {
	if ac.L.No+1 >= len(ac.b.All) {
		return
	}
	next := ac.b.All[ac.L.No+1]
	if next.Part != ac.L.Part || next.TopRow-r.Num > 2 || next.Shop["car"].Col > 0 {
		return
	}
	cols := next.Sorted()
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Kind == worksheet.Text && joints.Filled(c) && c.Col >= cols[0].Col && c.Col <= cols[len(cols)-1].Col && ac.L.Heads[c.Col] == "" && ac.unread(c.Col) {
			ac.titles = append(ac.titles, titleRow{Words: settling.Words{Row: r.Num, Col: c.Col, Text: strings.TrimSpace(strings.Clone(c.Text))}, apart: true, leads: true})
			return
		}
	}
}

// longestHeading is how long, in bytes, a text is at most that is looked at as a heading
// among joints.
const longestHeading = 40

// unread reports whether the list takes nothing from a column, and the shop has not
// settled it by its letters.
func (ac *account) unread(col int) bool {
	return ac.Keys[col] == "" && !ac.OurCell(col) && !ac.b.settledOwn(ac.L, col)
}

// holdsSize reports whether a cell of a row may hold a size.
func (ac *account) holdsSize(r *worksheet.Row, col int) bool {
	i := slices.IndexFunc(r.Cells, func(c worksheet.Cell) bool { return c.Col == col })
	if i < 0 {
		return false
	}
	c := &r.Cells[i]
	if c.Kind == worksheet.Text {
		_, _, _, ok := ac.b.texts.Quantity(c.Text)
		return ok
	}
	return c.Kind == worksheet.Number && c.Num > 0 && !ac.b.IsDate(c.Style)
}

// tellListBeside tells of a list beside a list.
func (ac *account) tellListBeside() {
	what := "a second joint list stands beside the first; its joints are not read"
	switch {
	case ac.side.cell == "":
		return
	case ac.side.upon != nil:
		what = "sizes stand here in the columns of the list that begins at " + ac.side.upon.L.Ref(ac.side.upon.L.HeadRow, ac.side.upon.L.Shop["od"].Col) +
			", beside another list whose headings stand further down; they are not read"
	}
	ac.b.unsettled(book.CheckBeside, "list beside a list", ac.side.cell, what, "put one list below the other, or on a sheet of its own")
}
