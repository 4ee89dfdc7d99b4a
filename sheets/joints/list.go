package joints

import (
	"fmt"
	"sort"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/headings"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// HeadRows is how far down a sheet the first heading row is looked for.
const HeadRows = 40

// List is a joint list on one sheet.
type List struct {
	No      int // among the lists, from 0
	sheet   int // among the tabs
	Title   string
	Called  string // the car that joints without one are of, where it is not called as the sheet is; "" else
	Part    string
	Info    *worksheet.Info
	Before  []worksheet.Row // rows above it, of the first list on a sheet
	LastRow int             // last row with anything in it
	end     int             // row of the next list on the sheet; 0 = none
	alone   bool
	merged  map[int][]grid.Range // merged cells among the joints, by column, from top to bottom
	headings.Found
	Calculated
	Rows   Rows
	sizes  sizes
	filled filled // cells of the sheet
}

// Calculated are our columns on a list.
type Calculated struct {
	Ours     map[*model.Quantity]int
	Added    []*model.Quantity          // those of them that are new
	IsNew    bool                       // they are not there yet
	retired  map[int]string             // columns of figures that the model has no more, with their headings: their cells go
	newHeads map[*model.Quantity]string // where a table asks for other headings
	headed   map[int]string             // headings that the run has written, with what stood there
}

// Rows is what the rows of a list came to.
type Rows struct {
	Read, Priced, LeftOut int
	Overrides             int
	PassedOver            []PassedRow
	Digest                uint64 // of what they say, for the log
	Order                 uint64 // the same, and of the order in which they stand
}

// PassedRow is a row that is not priced because it is no joint.
type PassedRow struct {
	Row int
	Why string
}

// HeadingFound is the heading of a calculated column as the run has found it.
func (l *List) HeadingFound(col int) string {
	if was, written := l.headed[col]; written {
		return was
	}
	return l.Written[col]
}

// Ref names a cell of the list for a message: Coupe!F14.
func (l *List) Ref(row, col int) string { return l.Title + "!" + grid.Ref(row, col) }

// Has reports whether a row lies in the list, its headings included.
func (l *List) Has(row int) bool { return row >= l.TopRow && (l.end == 0 || row < l.end) }

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

// leastHeadings is how many headings a further list on a sheet has at least: those of a
// diameter and of a wall.
const leastHeadings = 2

// Find looks through the sheets for joint lists and for the list of cars.
func (b *Lists) Find() error {
	for i, s := range b.Workbook.Sheets {
		if s.Kind != "worksheet" || s.PartName == "" || b.Own.IsOurs(s.Name) {
			continue
		}
		var rows sheetRows
		cells := filled{}
		info, err := b.ReadPart(s.PartName, func(r *worksheet.Row) error {
			rows.keep(r)
			cells.note(r)
			return nil
		})
		if err != nil {
			return fmt.Errorf("sheet %q: %w", s.Name, err)
		}
		if of := book.CopyOf(rows.rows); of != "" {
			b.leaveAlone(s, of)
			continue
		}
		if b.Own.SettledSheet(s.Name) {
			continue
		}
		heads := headings.Finder{Book: b.Book}
		var found []*List
		for _, h := range heads.Find(rows.rows, s.Name, info) {
			l := &List{
				No: len(b.All), sheet: i, Title: s.Name, Part: s.PartName, Info: info, LastRow: info.LastRow, filled: cells,
				Found: *h, Calculated: Calculated{newHeads: map[*model.Quantity]string{}},
			}
			if n := len(found); n > 0 {
				found[n-1].end, found[n-1].LastRow = l.TopRow, l.TopRow-1
			}
			l.gatherSizes(rows.rows)
			l.findMerged()
			b.tellSheet(s, l)
			b.All, found = append(b.All, l), append(found, l)
		}
		for _, l := range found {
			l.alone = len(found) == 1
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
			b.Unread = append(b.Unread, Unread{s, heads.Nearest(rows.rows)})
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

// ColumnName is a column as --settle takes it: Coupe!E.
func (l *List) ColumnName(col int) string { return l.Title + "!" + grid.ColName(col) }

// Retired reports whether a column is that of a figure which the model has no more.
func (c *Calculated) Retired(col int) bool { return c.retired[col] != "" }
