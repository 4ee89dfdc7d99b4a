package grid

import (
	"slices"
	"strings"
)

// Moved says where cells of a sheet have gone, so that what points at them can
// follow as in a spreadsheet program that moves cells.
type Moved struct {
	Sheet string // title
	// At gives the new place of a cell; ok is false where it has none any more.
	At func(row, col int) (newRow, newCol int, ok bool)
	// Row gives the new place of a whole row, for what hangs on rows: drawings,
	// notes, ranges of formats.
	Row func(row int) int
	// Top gives the new first row of the table whose first row it is, if the tables of
	// the sheet are known: a block that begins there takes in what the table gained.
	Top func(row int) (int, bool)

	tabs   []string // all titles, in the order of the tabs; nil = not known
	frames bool     // blocks are only what lies between their corners: no figure is read from them
}

// MoveRefs gives a formula that stands on the sheet called on with its
// references to cells that have gone led to their new places.
//
// A block of cells follows if its corners do and it keeps its columns, and no
// cell along its edges goes elsewhere; rows may have come in or gone out inside it. Whole
// rows follow by Row, whole columns stay, and so does the end of a block that
// goes down to the last row. What cannot follow stays as it is, and is listed; a
// reference over several sheets is, if a cell of it has gone. References into
// other workbooks, texts and headings of tables are left alone.
func (m Moved) MoveRefs(formula, on string) (out string, lost []string) {
	r := m.scan(formula, on, false)
	return r.out.String(), r.lost
}

// MoveName is MoveRefs for what a defined name stands for. One of the names that
// programs have themselves (print areas, titles) means the same from every cell,
// and its blocks are only what lies between their corners.
func (m Moved) MoveName(ref string, builtIn bool) (out string, lost []string) {
	m.frames = builtIn
	r := m.scan(ref, "", !builtIn)
	return r.out.String(), r.lost
}

// Names reports whether a formula that stands on the sheet called on names cells
// of the sheet.
func (m Moved) Names(formula, on string) bool { return m.scan(formula, on, false).ours }

// Among is the same move in a workbook with these sheets, in the order of their
// tabs; each cell and row is asked once.
func (m Moved) Among(titles []string) Moved {
	m.tabs = titles
	return m.remembered()
}

// scan goes over a formula. In a defined name, cells without $ are counted from
// the cell that uses the name: they have no place of their own.
func (m Moved) scan(formula, on string, inName bool) *refMover {
	r := &refMover{Moved: m, here: strings.EqualFold(on, m.Sheet), inName: inName, src: formula}
	r.out.Grow(len(formula) + 8)
	for r.at < len(formula) {
		r.step()
	}
	return r
}

// refMover is one formula on its way.
type refMover struct {
	Moved
	here   bool // cells without a title are those of the sheet
	inName bool
	src    string
	at     int
	out    strings.Builder
	lost   []string
	ours   bool // something points at the sheet
}

func (r *refMover) copyTo(end int) {
	r.out.WriteString(r.src[r.at:end])
	r.at = end
}

// peek is the byte at i, 0 behind the end.
func (r *refMover) peek(i int) byte {
	if i < len(r.src) {
		return r.src[i]
	}
	return 0
}

func (r *refMover) step() {
	switch ch := r.src[r.at]; {
	case ch == '"':
		r.copyTo(quoteEnd(r.src, r.at))
	case ch == '#':
		end := errorEnd(r.src, r.at)
		if r.src[r.at:end] == RefError {
			end = r.corners(end).end // the cell of a sheet that is gone may follow
		}
		r.copyTo(end)
	case ch == '\'' || ch == '[' || isWord(ch):
		r.reference()
	default:
		r.copyTo(r.at + 1)
	}
}

// titles is what stands before an exclamation mark.
type titles struct {
	of  whose
	end int // behind the mark
	// first and last are the sheets where there are several.
	first, last string
}

type whose uint8

const (
	nobody  whose = iota // no title
	another              // of another sheet, or workbook
	ours
	several // a range of sheets
)

// titlesAt reads Sheet!, 'A sheet'!, First:Last!, 'First:Last'!, [1]Sheet! or [1]!.
func (r *refMover) titlesAt(i int) titles {
	outside := false
	if r.peek(i) == '[' {
		i, outside = bracketEnd(r.src, i), true
		if r.peek(i) == '!' {
			return titles{of: another, end: i + 1}
		}
	}
	first, end := r.titleAt(i)
	last, more := "", r.peek(end) == ':'
	if more && !r.isCell(i, end) {
		if second, to := r.titleAt(end + 1); to > end+1 && r.peek(to) == '!' {
			last, end = second, to
		}
	}
	if end == i || r.peek(end) != '!' {
		return titles{}
	}
	t := titles{of: another, end: end + 1}
	if outside || strings.ContainsRune(first, '[') {
		return t
	}
	if a, b, ok := strings.Cut(first, ":"); ok && last == "" {
		first, last = a, b
	}
	switch {
	case last != "":
		t.of, t.first, t.last = several, first, last
	case strings.EqualFold(first, r.Sheet):
		t.of = ours
	}
	return t
}

func (r *refMover) titleAt(i int) (title string, end int) {
	if r.peek(i) != '\'' {
		end = nameEnd(r.src, i)
		return r.src[min(i, end):end], end
	}
	end = quoteEnd(r.src, i)
	if end-i < 2 || r.src[end-1] != '\'' {
		return "", i
	}
	return strings.ReplaceAll(r.src[i+1:end-1], "''", "'"), end
}

func (r *refMover) isCell(from, to int) bool {
	s, ok := parseSided(r.src[from:to])
	return ok && s.row != 0 && s.col != 0
}

// corner is one word of a reference.
type corner struct {
	from, to int
	sided
}

// corners is what a reference is made of: one cell, two corners, or two halves
// of whole rows or columns. More than two are no block; none is no reference.
type corners struct {
	list []corner
	end  int
}

// corners reads the reference that begins at i. Behind a colon, the title may
// stand again.
func (r *refMover) corners(i int) corners {
	c := corners{end: i}
	for {
		to := nameEnd(r.src, i)
		s, ok := parseSided(r.src[i:to])
		next := r.peek(to)
		half := s.row == 0 || s.col == 0
		if !ok || next == '(' || next == '!' || next == '[' || len(c.list) > 0 && !s.like(c.list[0].sided) {
			break
		}
		colon := r.skipBlank(to)
		if half && len(c.list) == 0 && r.peek(colon) != ':' {
			break
		}
		c.list, c.end = append(c.list, corner{i, to, s}), to
		if r.peek(colon) != ':' {
			break
		}
		if i = r.skipBlank(colon + 1); i >= len(r.src) {
			break
		}
		if t := r.titlesAt(i); t.of == ours {
			i = t.end
		} else if t.of != nobody {
			break
		}
	}
	if len(c.list) == 1 && (c.list[0].row == 0 || c.list[0].col == 0) {
		return corners{end: c.list[0].from}
	}
	return c
}

func (r *refMover) skipBlank(i int) int {
	for i < len(r.src) && strings.IndexByte(" \t\r\n", r.src[i]) >= 0 {
		i++
	}
	return i
}

// like reports whether both are cells, columns or rows.
func (s sided) like(o sided) bool {
	return (s.row == 0) == (o.row == 0) && (s.col == 0) == (o.col == 0)
}

// reference handles a title with what follows, or a word.
func (r *refMover) reference() {
	from := r.at
	t := r.titlesAt(from)
	if t.of == nobody {
		switch ch := r.src[from]; {
		case ch == '[':
			r.copyTo(bracketEnd(r.src, from))
			return
		case ch == '\'':
			r.copyTo(quoteEnd(r.src, from))
			return
		case !r.here:
			r.copyTo(nameEnd(r.src, from))
			return
		}
		t.end = from
	}
	c := r.corners(t.end)
	if len(c.list) == 0 { // a name
		r.copyTo(max(nameEnd(r.src, t.end), t.end))
		return
	}
	switch {
	case t.of == another:
	case t.of == several:
		if r.spans(t.first, t.last) {
			r.ours = true
			if now, ok := r.rect(c); !ok || now != c.rect() {
				r.lost = append(r.lost, r.src[from:c.end])
			}
		}
	default:
		r.ours = true
		r.lead(t.end, c)
		return
	}
	r.copyTo(c.end)
}

// spans reports whether the sheet lies in a range of sheets; where the order of
// the tabs is not known, any range may hold it.
func (r *refMover) spans(first, last string) bool {
	place := func(title string) int {
		return slices.IndexFunc(r.tabs, func(t string) bool { return strings.EqualFold(t, title) })
	}
	a, b, at := place(first), place(last), place(r.Sheet)
	return a < 0 || b < 0 || at >= min(a, b) && at <= max(a, b)
}

// rect is the block between the corners; whole rows and columns reach over all.
func (c corners) rect() Range {
	a, b := c.list[0], c.list[len(c.list)-1]
	out := Range{min(a.row, b.row), min(a.col, b.col), max(a.row, b.row), max(a.col, b.col)}
	if a.row == 0 {
		out.Row1, out.Row2 = 1, MaxRow
	}
	if a.col == 0 {
		out.Col1, out.Col2 = 1, MaxCol
	}
	return out
}

// rect is where a block has gone. What has a third corner is no block.
func (r *refMover) rect(c corners) (Range, bool) {
	if len(c.list) <= 2 {
		return r.Block(c.rect())
	}
	for _, one := range c.list {
		cell := Range{one.row, one.col, one.row, one.col}
		if now, ok := r.Block(cell); !ok || now != cell {
			return now, false
		}
	}
	return c.rect(), true
}

// lead writes a reference to the sheet, its corners in the order in which they
// stood.
func (r *refMover) lead(start int, c corners) {
	was := c.rect()
	now, ok := r.rect(c)
	for _, one := range c.list {
		if r.inName && (one.row != 0 && !one.rowAbs && (now.Row1 != was.Row1 || now.Row2 != was.Row2) ||
			one.col != 0 && !one.colAbs && (now.Col1 != was.Col1 || now.Col2 != was.Col2)) {
			ok = false
		}
	}
	if !ok {
		r.lost = append(r.lost, r.src[start:c.end])
	}
	if !ok || now == was {
		r.copyTo(c.end)
		return
	}
	for _, one := range c.list {
		r.copyTo(one.from)
		to := one.sided
		if one.row != 0 {
			to.row = whichEnd(one.row, was.Row1, now.Row1, now.Row2)
		}
		if one.col != 0 {
			to.col = whichEnd(one.col, was.Col1, now.Col1, now.Col2)
		}
		r.out.WriteString(to.moved(0, 0))
		r.at = one.to
	}
}

// whichEnd is the new first for what was the first, else the new last.
func whichEnd(was, first, newFirst, newLast int) int {
	if was == first {
		return newFirst
	}
	return newLast
}
