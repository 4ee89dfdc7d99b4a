package layout

import (
	"maps"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// A sheet for the bid may be wider than it was, or have other rows. What the shop
// has typed on the right of it goes along: beside the row that is called the same
// in the same part of the sheet, and as much further to the right as the sheet has
// to have.

// remarks are what the shop has typed right of the sheet that is there.
type remarks struct {
	edge   int // the last column of that sheet
	cells  map[int]map[int]worksheet.Cell
	names  []named
	leftAt int // the first column that has one
}

// named is a row that has a name: the part of the sheet that it is in, what it is
// called there, and how many before it were called so.
type named struct {
	row        int
	part, name string
	nth        int
}

// nameRows names rows by what stands in their first two columns.
func nameRows(rows []int, at func(row, col int) worksheet.Cell) []named {
	var out []named
	part, seen := "", map[[2]string]int{}
	for _, row := range rows {
		first, name := at(row, ColNo), book.CellText(at(row, ColName))
		if first.Kind == worksheet.Text && first.Text != HeadNumber {
			part = first.Text
		} else if name == "" {
			continue
		}
		key := [2]string{strings.ToLower(part), strings.ToLower(name)}
		if row >= RowTop {
			out = append(out, named{row, key[0], key[1], seen[key]})
			seen[key]++
		}
	}
	return out
}

// readRemarks reads them. Where the sheet ends tells its name; versions that gave it
// none wrote every cell of theirs with a look, and a remark mostly has none.
func (f *Laid) readRemarks() (remarks, error) {
	r := remarks{cells: map[int]map[int]worksheet.Cell{}}
	read := func(each func(c worksheet.Cell)) error {
		_, err := f.ReadPart(f.Workbook.Sheets[f.Workbook.Sheet(f.P.Title)].PartName, func(row *worksheet.Row) error {
			for _, c := range row.Cells {
				each(c)
			}
			return nil
		})
		return err
	}
	if _, at, ok := page.SplitRef(f.Names.Find(book.NameSheet + f.Kind.Key)); ok && at.Col2 > 1 {
		r.edge = at.Col2
	} else {
		if err := read(func(c worksheet.Cell) {
			if c.Style > 0 {
				r.edge = max(r.edge, c.Col)
			}
		}); err != nil {
			return r, err
		}
	}
	heads := map[int]map[int]worksheet.Cell{}
	put := func(in map[int]map[int]worksheet.Cell, c worksheet.Cell) {
		if in[c.Row] == nil {
			in[c.Row] = map[int]worksheet.Cell{}
		}
		in[c.Row][c.Col] = c
	}
	err := read(func(c worksheet.Cell) {
		switch {
		case c.Col > r.edge && (c.Kind != worksheet.Empty || c.HasFormula):
			put(r.cells, c)
			if r.leftAt == 0 || c.Col < r.leftAt {
				r.leftAt = c.Col
			}
		case c.Col <= ColName:
			put(heads, c)
		}
	})
	if len(r.cells) > 0 {
		r.names = nameRows(slices.Sorted(maps.Keys(heads)), func(row, col int) worksheet.Cell { return heads[row][col] })
	}
	return r, err
}

// carry takes the remarks along, and notes what has to follow them.
func (f *Laid) carry() error {
	if f.P.Build || f.ReadOnly {
		return nil
	}
	was, err := f.readRemarks()
	if err != nil || len(was.cells) == 0 {
		return err
	}
	wider := 0
	if was.leftAt <= f.P.Whole {
		wider = f.P.Whole - was.edge
	}
	now := map[named]int{}
	for _, n := range nameRows(slices.Sorted(maps.Keys(f.P.Rows)), func(row, col int) worksheet.Cell {
		c := f.P.Cell(row, col)
		return worksheet.Cell{Kind: c.Kind, Num: c.Num, Text: c.Text}
	}) {
		row := n.row
		n.row = 0
		now[n] = row
	}
	newRow := func(row int) (int, bool) {
		i, found := slices.BinarySearchFunc(was.names, row, func(n named, row int) int { return n.row - row })
		if !found {
			i--
		}
		if i < 0 {
			return row, true
		}
		n := was.names[i]
		n.row = 0
		at, ok := now[n]
		if !ok {
			return row, false
		}
		return at + row - was.names[i].row, true
	}
	moved := grid.Moved{
		Sheet: f.P.Title,
		Row:   func(row int) int { return row },
		At: func(row, col int) (int, int, bool) {
			if col <= was.edge {
				return row, col, true
			}
			r, ok := newRow(row)
			return r, col + wider, ok
		},
	}
	stays := wider == 0
	for row := range was.cells {
		r, ok := newRow(row)
		stays = stays && r == row && ok
	}
	if !stays {
		f.Moved = &moved
		f.NoteCarried(f.P, f.P.Carry(was.cells, moved, func(_, col int) bool { return col <= was.edge }, f.P.Whole+wider+2))
	}
	return nil
}
