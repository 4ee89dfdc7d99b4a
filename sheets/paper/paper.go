// Package paper says how a joint list prints, the results beside it: on pages of its
// own where the shop has set nothing up, else beside what the shop's print area
// prints, if that stays as it is. It knows nothing of joints.
package paper

import (
	"slices"
	"strings"

	"seamtally/sheets/look"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// Names are what the names of a sheet refer to that its print goes by; "" where it
// has none.
type Names struct {
	Area, Titles       string
	Ours               string // the area that was put in, and the rows and columns repeated as they were left: who finds other ones leaves them
	WasArea, WasTitles string // the shop's own, where something was added to them
}

// List is a sheet of joint lists.
type List struct {
	Title                    string
	Pages                    worksheet.Pages
	Names                    Names
	TopRow, HeadEnd, LastRow int                   // first and last row of the headings; last row with anything in it
	Several                  bool                  // lists stand one below the other, so no headings hold for all pages
	Mark                     int                   // its column; 0 where there is none, or several
	First, Last              int                   // columns of the results
	Mixed                    bool                  // others of ours stand among them, as earlier versions laid them out
	ShopLast                 int                   // last column of the shop's
	Width                    func(col int) float64 // in points; 0 of one that is hidden
	Size                     float64               // of the letters, in points
	Foot                     string
}

// What is legible, and what is taken for the height of a row, in points.
const (
	legible   = 8
	rowHeight = 15
)

// Paper of which a page may be, in inches: the shorter of what two common sizes have.
const (
	upright = 8.27
	onSide  = 11
)

// spare is by how much widths may come out larger in print than they are worked out.
const spare = 1.04

// Plan gives the names as they are to be, and what the sheet's own part is to say; nil
// where that stays.
func (l *List) Plan() (Names, *worksheet.Print) {
	n := l.Names
	had := n.Ours != ""
	if had && !n.intact() {
		return n, nil
	}
	if had {
		n.Area, n.Titles = n.WasArea, n.WasTitles
	}
	switch {
	case n.Area == "" && n.Titles == "" && (had || l.nothing()):
		return l.own(had)
	case n.Area != "":
		if with, ok := l.beside(n); ok {
			return with, nil
		}
	}
	n.Ours, n.WasArea, n.WasTitles = "", "", ""
	return n, nil
}

// nothing reports whether the shop has set nothing up for print.
func (l *List) nothing() bool {
	p := l.Pages
	return p.Setup == "" && !p.Fits && !p.Foot && !p.RowBreaks && !p.ColBreaks
}

// intact reports whether area, rows and columns repeated are as they were left.
func (n Names) intact() bool {
	ours, ok := blocks(n.Ours)
	if !ok || len(ours) == 0 {
		return false
	}
	was, ok1 := blocks(n.WasArea)
	area, ok2 := blocks(n.Area)
	titles, ok3 := blocks(n.Titles)
	return ok1 && ok2 && ok3 && slices.Equal(area, append(was, ours[0])) && slices.Equal(titles, ours[1:])
}

// Cleared gives the names without ours, and false where there are none of ours.
func (n Names) Cleared() (Names, bool) {
	if n.Ours == "" {
		return n, false
	}
	if n.intact() {
		n.Area, n.Titles = n.WasArea, n.WasTitles
	}
	n.Ours, n.WasArea, n.WasTitles = "", "", ""
	return n, true
}

// Clears is what goes out of the sheet's own part when the names are cleared.
func (n Names) Clears(pages worksheet.Pages) *worksheet.Print {
	return &worksheet.Print{
		Remove: true, Ours: look.IsFooter,
		Setup: n.intact() && n.WasArea == "" && worksheet.IsOurSetup(pages.Setup),
	}
}

// own are pages of a sheet for which the shop has set nothing up: its columns and the
// results, workings between them, or unfolded behind them, left out.
func (l *List) own(had bool) (Names, *worksheet.Print) {
	last := max(l.ShopLast, l.Last)
	var titles []grid.Range
	if l.Mark > 0 {
		titles = append(titles, grid.Range{Row1: 1, Col1: l.Mark, Row2: grid.MaxRow, Col2: l.Mark})
	}
	if !l.Several {
		titles = append(titles, grid.Range{Row1: l.TopRow, Col1: 1, Row2: l.HeadEnd, Col2: grid.MaxCol})
	}
	area := grid.Range{Row1: 1, Col1: 1, Row2: grid.MaxRow, Col2: last} // whole columns: joints to come are printed too
	n := Names{Area: l.refs(area), Titles: l.refs(titles...)}
	n.Ours = strings.TrimSuffix(n.Area+","+n.Titles, ",")
	p := &worksheet.Print{New: !had, Setup: had, Footer: look.Footer(l.Foot), Ours: look.IsFooter}
	p.Landscape, p.Wide = l.shape(last)
	return n, p
}

// shape is how a page lies, and how many are needed side by side so that letters stay
// legible.
func (l *List) shape(last int) (landscape bool, wide int) {
	side := 2 * worksheet.EdgeMargin
	if l.Pages.Margins {
		side = l.Pages.Left + l.Pages.Right
	}
	scale := min(1, legible/l.Size) * spare
	across := l.pages(last, (upright-side)*72/scale)
	along := l.pages(last, (onSide-side)*72/scale)
	if across == along {
		return l.between(1, last) > float64(l.LastRow*rowHeight), across
	}
	return along < across, min(across, along)
}

// pages is how many pages of a width hold the columns, the marks on each.
func (l *List) pages(last int, width float64) int {
	n, used := 1, 0.0
	for col := 1; col <= last; col++ {
		w := l.Width(col)
		if used > 0 && used+w > width {
			n, used = n+1, 0
			if l.Mark > 0 && l.Mark < col {
				used = l.Width(l.Mark)
			}
		}
		used += w
	}
	return n
}

func (l *List) between(from, to int) (all float64) {
	for col := from; col <= to; col++ {
		all += l.Width(col)
	}
	return all
}

// beside adds the results to the shop's print area as one of their own, which prints on
// pages of its own, with the marks repeated. Nothing is added where the shop's pages
// could come out otherwise for it: at another scale, also once workings among the
// results are unfolded, or with marks that they did not have.
func (l *List) beside(n Names) (Names, bool) {
	area, ok1 := blocks(n.Area)
	titles, ok2 := blocks(n.Titles)
	if !ok1 || !ok2 || len(area) != 1 || l.Mark == 0 || l.Mixed {
		return n, false
	}
	a := area[0]
	if l.Mark < a.Col1 || l.Mark > a.Col2 || a.Col2 >= l.First || a.Row1 > l.TopRow || a.Row2 <= l.HeadEnd || !l.onePage(a) {
		return n, false
	}
	marks := grid.Range{Row1: 1, Col1: l.Mark, Row2: grid.MaxRow, Col2: l.Mark}
	with := Names{Titles: strings.TrimSuffix(l.refs(marks)+","+n.Titles, ","), WasArea: n.Area, WasTitles: n.Titles}
	for _, t := range titles {
		if t.Row1 > 1 || t.Row2 < grid.MaxRow {
			continue
		}
		if l.Mark < t.Col1 || l.Mark > t.Col2 {
			return n, false
		}
		marks, with.Titles = t, n.Titles
	}
	if l.Pages.Fits && l.between(marks.Col1, marks.Col2)+l.between(l.First, l.Last) > l.between(a.Col1, a.Col2) {
		return n, false
	}
	ours := grid.Range{Row1: l.TopRow, Col1: l.First, Row2: a.Row2, Col2: l.Last}
	if a.Row2 == grid.MaxRow {
		ours.Row1 = 1
	}
	with.Area = n.Area + "," + l.refs(ours)
	with.Ours = l.refs(ours) + "," + with.Titles
	return with, true
}

// onePage reports whether what an area prints is one page in width, whatever is printed
// beside it.
func (l *List) onePage(a grid.Range) bool {
	if l.Pages.ColBreaks {
		return false
	}
	get := attrsOf(l.Pages.Setup)
	if l.Pages.Fits {
		return get("fitToWidth", 1) == 1 && get("fitToHeight", 1) == 0
	}
	size, known := map[int][2]float64{1: {8.5, 11}, 3: {11, 17}, 5: {8.5, 14}, 8: {11.69, 16.54}, 9: {8.27, 11.69}}[get("paperSize", 1)]
	wide := size[0]
	if strings.Contains(l.Pages.Setup, `orientation="landscape"`) {
		wide = size[1]
	}
	side := 1.4 // what spreadsheet programs take where nothing is said
	if l.Pages.Margins {
		side = l.Pages.Left + l.Pages.Right
	}
	return known && l.between(a.Col1, a.Col2)*spare*float64(get("scale", 100))/100 <= (wide-side)*72
}
