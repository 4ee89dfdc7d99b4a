package joints

import (
	"math"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/paper"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// filled counts the cells of a sheet that hold something, by column and format.
type filled map[int]map[int]int

func (f filled) note(r *worksheet.Row) {
	for i := range r.Cells {
		if c := &r.Cells[i]; Filled(c) {
			if f[c.Col] == nil {
				f[c.Col] = map[int]int{}
			}
			f[c.Col][c.Style]++
		}
	}
}

// shops is what of it is the shop's, on a sheet with these lists: the last column, and
// how many cells have a format.
func (b *Lists) shops(eds []*Editor) (last int, formats map[int]int) {
	ours := map[int]bool{}
	for _, r := range b.Own.Records {
		if r.Ours && strings.EqualFold(r.Sheet, eds[0].L.Title) {
			ours[r.Col] = true
		}
	}
	formats = map[int]int{}
	for col, of := range eds[0].L.filled {
		// A list on a copied sheet is known by its headings, and by no record.
		if ours[col] || slices.ContainsFunc(eds, func(ed *Editor) bool { return ed.OurCell(col) }) {
			continue
		}
		last = max(last, col)
		for style, n := range of {
			formats[style] += n
		}
	}
	return last, formats
}

// pointsOf is the smallest size of letters that a tenth of the cells have: a remark at
// the foot is no reason to print the list over more pages.
func pointsOf(formats map[int]int, st *workbook.Styles) float64 {
	all, of := 0, map[float64]int{}
	_, usual := st.DefaultFont()
	for xf, n := range formats {
		size := st.Points(xf)
		if size <= 0 {
			size = usual
		}
		of[size] += n
		all += n
	}
	least := 0.0
	for size, n := range of {
		if n*10 >= all && (least == 0 || size < least) {
			least = size
		}
	}
	if least <= 0 {
		return standardPoints
	}
	return least
}

// What spreadsheet programs take where a workbook does not say.
const (
	standardPoints = 11
	standardWidth  = 9.14 // of a column, in digits
)

// digitWidth is that of the widest digit in pixels, at 96 to the inch: columns are
// measured in it. The share of a font's size is from memory; of fonts that are not
// known the wider is taken.
func digitWidth(font string, points float64) float64 {
	if points <= 0 {
		points = standardPoints
	}
	share := 0.556
	if font == "" || strings.EqualFold(font, "Calibri") || strings.EqualFold(font, "Carlito") {
		share = 0.507
	}
	return max(math.Round(points*share*96/72), 1)
}

// widths gives the widths of a sheet's columns in points, as new definitions leave
// them; 0 of hidden ones.
func (b *Lists) widths(info *worksheet.Info, laid []worksheet.Col) func(col int) float64 {
	digit := digitWidth(b.Styles.DefaultFont())
	usual := info.DefaultColWidth
	if usual <= 0 {
		usual = standardWidth
	}
	return func(col int) float64 {
		width, hidden := usual, false
		for _, defs := range [][]worksheet.Col{info.Cols, laid} {
			for _, c := range defs {
				if c.Min <= col && col <= c.Max {
					hidden = c.Hidden
					if c.Width > 0 {
						width = c.Width
					}
				}
			}
		}
		if hidden {
			return 0
		}
		return math.Trunc(width*digit+0.5) * 72 / 96
	}
}

// printed lays out the print of a sheet's lists, and sets the names that it goes by.
func (b *Lists) printed(eds []*Editor, laid []worksheet.Col) *worksheet.Print {
	first := eds[0].L
	last, formats := b.shops(eds)
	l := paper.List{
		Title: first.Title, Pages: first.Info.Pages, Names: paper.NamesOf(b.Workbook, first.sheet),
		TopRow: first.TopRow, HeadEnd: first.DataRow - 1, Several: len(eds) > 1, Mark: eds[0].MarkCol,
		ShopLast: last, Width: b.widths(first.Info, laid), Size: pointsOf(formats, b.Styles), Foot: b.Foot(),
	}
	results := map[int]bool{}
	for _, ed := range eds {
		l.LastRow = max(l.LastRow, ed.L.LastRow)
		if ed.MarkCol != l.Mark {
			l.Mark = 0
		}
		for _, c := range ed.Cols {
			if c.result {
				if l.First == 0 {
					l.First = c.col
				}
				l.First, l.Last = min(l.First, c.col), max(l.Last, c.col)
				results[c.col] = true
			}
		}
	}
	l.Mixed = len(results) <= l.Last-l.First
	names, p := l.Plan()
	if had := l.Names.Ours != ""; !had && names.Ours != "" && names.WasArea != "" {
		b.Note(book.LevelNote, "print", first.Title, "its print area is yours and stays; the results print behind it, on pages of their own", "")
	}
	set, gone := l.Names.Changed(names, first.sheet)
	b.FilterNames, b.NamesGone = append(b.FilterNames, set...), append(b.NamesGone, gone...)
	return p
}
