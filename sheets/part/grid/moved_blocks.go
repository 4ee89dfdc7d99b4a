package grid

import "strings"

// Where blocks of cells have gone, and ranges that hang on rows.

// mostCells bounds the cells of a block that are asked one by one.
const mostCells = 1 << 14

// Block is where a block of cells has gone. Whole columns stay, whole rows go by
// Row, and what goes down to the last row still does.
func (m Moved) Block(was Range) (Range, bool) {
	if was.Row1 == 1 && was.Row2 == MaxRow {
		return was, true
	}
	if was.Col1 == 1 && was.Col2 == MaxCol {
		return m.rows(was)
	}
	now, ok := m.edge(was.Row1, was.Col1, was.Col2)
	if m.Top != nil && was.Row1 < was.Row2 && was.Row2 < MaxRow {
		if top, is := m.Top(was.Row1); is {
			now, ok = m.edge(was.Row2, was.Col1, was.Col2)
			now.Row1 = top
		}
	}
	if was.Row2 == MaxRow {
		now.Row2 = MaxRow
		return now, ok && now.Col2-now.Col1 == was.Col2-was.Col1
	}
	low, okLow := m.edge(was.Row2, was.Col1, was.Col2)
	ok = ok && okLow && now.Col1 == low.Col1 && now.Col2 == low.Col2 &&
		now.Col2-now.Col1 == was.Col2-was.Col1 && now.Row1 <= low.Row1
	now.Row2 = low.Row1
	return now, ok && (m.frames || m.together(was, now))
}

// edge is where a stretch of one row has gone.
func (m Moved) edge(row, col1, col2 int) (Range, bool) {
	r1, c1, ok1 := m.At(row, col1)
	r2, c2, ok2 := r1, c1, ok1
	if col2 != col1 {
		r2, c2, ok2 = m.At(row, col2)
	}
	return Range{r1, c1, r1, c2}, ok1 && ok2 && r1 == r2 && onSheet(r1, c1) && onSheet(r2, c2)
}

func onSheet(row, col int) bool { return row >= 1 && row <= MaxRow && col >= 1 && col <= MaxCol }

// together reports whether no cell along the edges of a block has gone out of it.
// Rows and columns go as such, so that one inside shows at an edge.
func (m Moved) together(was, now Range) bool {
	stays := func(row, col int) bool {
		r, c, ok := m.At(row, col)
		return !ok || now.Contains(r, c)
	}
	for row := was.Row1; row <= was.Row2 && row-was.Row1 < mostCells; row++ {
		if !stays(row, was.Col1) || was.Col2 > was.Col1 && !stays(row, was.Col2) {
			return false
		}
	}
	for col := was.Col1 + 1; col < was.Col2; col++ {
		if !stays(was.Row1, col) || was.Row2 > was.Row1 && !stays(was.Row2, col) {
			return false
		}
	}
	return true
}

// remembered is the same move, each cell and row asked once.
func (m Moved) remembered() Moved {
	type place struct {
		row, col int
		ok       bool
	}
	cells, rows := map[[2]int]place{}, map[int]int{}
	at, row := m.At, m.Row
	m.At = func(r, c int) (int, int, bool) {
		p, known := cells[[2]int{r, c}]
		if !known {
			p.row, p.col, p.ok = at(r, c)
			cells[[2]int{r, c}] = p
		}
		return p.row, p.col, p.ok
	}
	m.Row = func(r int) int {
		to, known := rows[r]
		if !known {
			to = row(r)
			rows[r] = to
		}
		return to
	}
	return m
}

// rows is where whole rows have gone.
func (m Moved) rows(was Range) (Range, bool) {
	now := was
	now.Row1 = m.Row(was.Row1)
	if was.Row2 < MaxRow {
		now.Row2 = m.Row(was.Row2)
	}
	return now, now.Row1 >= 1 && now.Row1 <= now.Row2 && now.Row2 <= MaxRow
}

// Area is where a range of formats, a link or the like has gone: as a block, else
// with its rows. What would leave the sheet stays.
func (m Moved) Area(was Range) Range {
	m.frames = true
	if now, ok := m.Block(was); ok {
		return now
	}
	if now, ok := m.rows(was); ok {
		return now
	}
	return was
}

// Areas has a list of ranges follow. What is no range stays.
func (m Moved) Areas(list string) string {
	refs := strings.Fields(list)
	changed := false
	for i, ref := range refs {
		if was, err := ParseRange(ref); err == nil {
			if now := m.Area(was); now != was {
				refs[i], changed = now.String(), true
			}
		}
	}
	if !changed {
		return list
	}
	return strings.Join(refs, " ")
}

// Below is how far down what hangs on a row goes; drawings count rows from 0.
func (m Moved) Below(row int) int { return m.Row(row+1) - 1 - row }
