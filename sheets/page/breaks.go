package page

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamtally/sheets/look"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
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

// Breaks are the rows that begin a new page: those that the plan asks for, and those that
// make the best pages of the rest, see fold. It is not ok where pages are not the plan's to
// break.
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
	f := fold{high: p.pageHeight(area), top: make([]float64, area.Row2+2), cut: make([]float64, area.Row2+2), bare: make([]int, area.Row2+2)}
	for row := 1; row <= area.Row2; row++ {
		f.top[row+1] = f.top[row] + p.rowHeight(row, usual)
	}
	if from, to, both := strings.Cut(pages.TitleRows, ":"); both {
		a, err1 := strconv.Atoi(from)
		b, err2 := strconv.Atoi(to)
		if err1 == nil && err2 == nil {
			f.titles, f.below = p.between(a, b, usual), b
		}
	}
	blocks := p.blocks(area.Row2)
	for _, b := range blocks {
		for row := b.from; row <= b.to; row++ {
			f.bare[row] = row
		}
	}
	for row := 1; row <= area.Row2; row++ {
		f.bare[row] = max(f.bare[row], f.bare[row-1])
	}
	p.weigh(&f, blocks)
	for _, c := range p.charts(area.Row2) {
		for row := c.from + 1; row <= c.to; row++ {
			f.cut[row] = max(f.cut[row], cutHead)
		}
	}
	for _, row := range pages.Breaks {
		if row > 1 && row <= area.Row2 {
			f.cut[row] = asked
		}
	}
	return f.rows(area.Row2), true
}

// weigh says of each row what it costs to begin a page with it.
func (p *Plan) weigh(f *fold, blocks []block) {
	for _, b := range blocks {
		whole := f.top[b.to+1]-f.top[b.from]+f.titles <= f.high
		for row := b.from; row <= b.to; row++ {
			switch {
			case row == b.from: // the blank row above a title goes with it, so that it stands clear of the rows that are repeated
				if f.bare[row-1] < row-1 && row > 2 {
					f.cut[row] += cutBlank
				}
			case row <= min(b.head+2, b.to):
				f.cut[row] += cutHead
			case whole:
				f.cut[row] += cutWhole
			case row > b.to-2:
				f.cut[row] += cutEnd
			}
			if row > b.head+2 && p.isRemark(row) {
				f.cut[row] += cutRemark
			}
		}
	}
}

// isRemark reports whether nothing but side remarks stand in a row: they are of the row
// above.
func (p *Plan) isRemark(row int) (is bool) {
	if p.Rows[row] == nil {
		return false
	}
	for _, c := range p.cellsOf(row) {
		switch {
		case !c.shows():
			continue
		case c.Style.Role != look.Note:
			return false
		}
		is = true
	}
	return is
}

// shows reports whether a cell has something of ours to show. The shop's own are known only
// where they have moved, and pages are the same in every run.
func (c *Cell) shows() bool {
	return !c.Gone && c.Raw == nil && (c.Text != "" || c.Formula != "" || c.Num != 0)
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
	wide, high = (wide-2*worksheet.EdgeMargin)*72, (high-worksheet.EdgeMargin-worksheet.FootMargin)*72*look.PageFilled
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
	for _, c := range p.charts(last) {
		if !slices.ContainsFunc(out, func(o block) bool { return o.from <= c.to && c.from <= o.to }) {
			out = append(out, c)
		}
	}
	slices.SortFunc(out, func(a, b block) int { return a.from - b.from })
	return out
}

// charts are those that end by the last row, none of which can be cut.
func (p *Plan) charts(last int) (out []block) {
	for _, c := range p.Shell.Charts {
		at, err := grid.ParseRange(c.At)
		high := c.Height
		if high == 0 {
			high = 320
		}
		to := at.Row1 + high*72/96/StandardHeight
		if err == nil && to <= last {
			out = append(out, block{from: at.Row1, to: to, head: to, body: true})
		}
	}
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
		case !c.shows():
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
