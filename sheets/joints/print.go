package joints

import (
	"math"
	"strings"

	"seamtally/sheets/paper"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// filled is what is known of the cells of a sheet that hold something.
type filled struct {
	ours    map[int]bool // columns
	last    int          // column of the shop's
	formats map[int]int  // how many cells have a format
}

func (b *Lists) newFilled(sheet string) *filled {
	f := &filled{ours: map[int]bool{}, formats: map[int]int{}}
	for _, r := range b.Own.Records {
		if r.Ours && strings.EqualFold(r.Sheet, sheet) {
			f.ours[r.Col] = true
		}
	}
	return f
}

func (f *filled) note(r *worksheet.Row) {
	for i := range r.Cells {
		if c := &r.Cells[i]; Filled(c) && !f.ours[c.Col] {
			f.last = max(f.last, c.Col)
			f.formats[c.Style]++
		}
	}
}

// points is the smallest size of letters that a tenth of the cells have: a remark at
// the foot is no reason to print the list over more pages.
func (f *filled) points(st *workbook.Styles) float64 {
	all, of := 0, map[float64]int{}
	_, usual := st.DefaultFont()
	for xf, n := range f.formats {
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
	l := paper.List{
		Title: first.Title, Pages: first.Info.Pages, Names: paper.NamesOf(b.Workbook, first.sheet),
		TopRow: first.TopRow, HeadEnd: first.DataRow - 1, Several: len(eds) > 1, Mark: eds[0].MarkCol,
		ShopLast: first.filled.last, Width: b.widths(first.Info, laid), Size: first.filled.points(b.Styles), Foot: b.Foot(),
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
	set, gone := l.Names.Changed(names, first.sheet)
	b.FilterNames, b.NamesGone = append(b.FilterNames, set...), append(b.NamesGone, gone...)
	return p
}
