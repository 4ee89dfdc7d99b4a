package page

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamtally/sheets/look"
	"seamtally/sheets/part/grid"
)

// Widths of columns in points: of a digit, and of a column without a width.
const (
	digit       = 5.25
	columnUnset = 48
)

// standardPoints are the letters for which a row has the standard height.
const standardPoints = 11

// block is rows that belong together in print: a title, its headings, and what stands
// below them.
type block struct {
	from, to int
	head     int // the last of its first rows that are to stay with two more
	body     bool
}

// Breaks are the rows that begin a new page: those that the plan asks for, and such that no title or heading stands alone at a foot and no block is cut that
// has room on a page, unless the page before it would be left half empty. A page that is full ends too, or paper that holds more rows would
// put a title at its foot. The blank row
// above a title goes with it, so that it stands clear of the rows that are repeated. It is
// not ok where pages are not the plan's to break.
//
// points is the size of the workbook's usual letters, which rows without a height of
// their own go by.
func (p *Plan) Breaks(points float64) (rows []int, ok bool) {
	pages := p.Shell.Print
	area, err := grid.ParseRange(pages.Area)
	if pages.OnePage || pages.PagesWide > 1 || err != nil {
		return nil, false
	}
	usual := usualHeight(points)
	high := p.pageHeight(area)
	titles, below := 0.0, 0 // what is repeated, and below which row
	if from, to, both := strings.Cut(pages.TitleRows, ":"); both {
		a, err1 := strconv.Atoi(from)
		b, err2 := strconv.Atoi(to)
		for r := a; r <= b && err1 == nil && err2 == nil; r++ {
			titles, below = titles+p.rowHeight(r, usual), r
		}
	}
	used, row := 0.0, 1
	begin := func(at int) {
		rows, used = append(rows, at), 0
		if at > below {
			used = titles
		}
	}
	flow := func(to int) {
		for ; row <= to; row++ {
			h := p.rowHeight(row, usual)
			if row > 1 && (slices.Contains(pages.Breaks, row) || used+h > high) {
				begin(row)
			}
			used += h
		}
	}
	for _, b := range p.blocks(area.Row2) {
		first := b.from
		if _, _, filled := p.kindOf(first - 1); !filled && first-1 >= max(row, 2) {
			first--
		}
		flow(first - 1)
		all, head := p.between(first, b.to, usual), p.between(first, min(b.head+2, b.to), usual)
		fixed := slices.Contains(pages.Breaks, b.from)
		if !fixed && used > titles && first > 1 && (used+head > high || used+all > high && titles+all <= high && used > high/2) {
			begin(first)
			used += p.between(first, first, usual)
			row = first + 1
		}
		flow(b.to)
	}
	return rows, true
}

// usualHeight is that of a row without one of its own.
func usualHeight(points float64) float64 {
	if points <= 0 {
		return StandardHeight
	}
	return StandardHeight * points / standardPoints
}

// Repeat has the headings of the longest table repeated on every page below it, if no page
// has room for it; else the first row, which says what the sheet is.
func (p *Plan) Repeat(points float64) {
	p.Shell.Print.TitleRows = "1:1"
	area, err := grid.ParseRange(p.Shell.Print.Area)
	if err != nil {
		return
	}
	longest := p.pageHeight(area)
	for _, b := range p.blocks(area.Row2) {
		if all := p.between(b.from, b.to, usualHeight(points)); all > longest && p.isHeads(b.head) {
			longest, p.Shell.Print.TitleRows = all, fmt.Sprintf("%d:%[1]d", b.head)
		}
	}
}

// isHeads reports whether a row has headings of columns.
func (p *Plan) isHeads(row int) bool {
	return slices.ContainsFunc(p.cellsOf(row), func(c Cell) bool { return c.Style.Role == look.Heading && !c.Gone })
}

// pageHeight is how much of the sheet is as high as a page, once it fits in width.
func (p *Plan) pageHeight(area grid.Range) float64 {
	wide, high := p.Shell.Print.Paper.Size(!p.Shell.Print.Portrait)
	wide, high = (wide-2*look.EdgeMargin)*72, (high-look.EdgeMargin-look.FootMargin)*72*look.PageFilled
	all := 0.0
	for col := area.Col1; col <= area.Col2; col++ {
		w := float64(columnUnset)
		if col <= len(p.Shell.Widths) && p.Shell.Widths[col-1] > 0 {
			w = p.Shell.Widths[col-1] * digit
		}
		all += w
	}
	return high / min(1, wide/max(all, 1))
}

func (p *Plan) rowHeight(row int, usual float64) float64 {
	r := p.Rows[row]
	switch {
	case r == nil || r.Height <= 0 && !r.Hidden:
		return usual
	case r.Hidden:
		return 0
	}
	return r.Height
}

func (p *Plan) between(from, to int, usual float64) (all float64) {
	for row := from; row <= to; row++ {
		all += p.rowHeight(row, usual)
	}
	return all
}

// blocks are those of the rows up to the last, and charts between them. One of words
// alone goes with the next.
func (p *Plan) blocks(last int) []block {
	out := p.tables(last)
	for _, c := range p.Shell.Charts {
		at, err := grid.ParseRange(c.At)
		high := c.Height
		if high == 0 {
			high = 320
		}
		b := block{from: at.Row1, to: at.Row1 + high*72/96/StandardHeight, head: at.Row1 + high*72/96/StandardHeight, body: true}
		if err == nil && b.to <= last && !slices.ContainsFunc(out, func(o block) bool { return o.from <= b.to && b.from <= o.to }) {
			out = append(out, b)
		}
	}
	slices.SortFunc(out, func(a, b block) int { return a.from - b.from })
	return out
}

func (p *Plan) tables(last int) (out []block) {
	open := false
	for row := 1; row <= last; row++ {
		title, words, filled := p.kindOf(row)
		switch {
		case !filled:
			open = open && !out[len(out)-1].body // a blank row between a title and its table
		case !open || (title || words && p.isHeads(row)) && out[len(out)-1].body:
			out, open = append(out, block{from: row, to: row, head: row, body: !words}), true
		default:
			b := &out[len(out)-1]
			if words && !b.body {
				b.head = row
			}
			b.to, b.body = row, b.body || !words
		}
	}
	return out
}

// kindOf says of a row whether it begins with a title, whether nothing but words stands
// in it, and whether anything does.
func (p *Plan) kindOf(row int) (title, words, filled bool) {
	if p.Rows[row] == nil {
		return false, false, false
	}
	words = true
	for _, c := range p.cellsOf(row) {
		switch {
		case c.Gone || c.Text == "" && c.Formula == "" && c.Num == 0:
			continue
		case c.Style.Role == look.Title || c.Style.Role == look.Section:
			title = true
		case c.Style.Role != look.Heading && c.Style.Role != look.GroupHeading && c.Style.Role != look.Words && c.Style.Role != look.Note:
			words = false
		}
		filled = true
	}
	return title, words, filled
}
