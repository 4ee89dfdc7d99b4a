package traveller

import (
	"fmt"
	"math"
	"strings"

	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/plain"
)

// Sizes of letters, in points: what is read at arm's length is 10 at the least.
const (
	large = 18.0
	small = 10.0
)

// boxHigh is how high a box is in points at the least: 7 mm are written in by hand (common
// practice, no source).
const boxHigh = 21.0

// Margins of a page in inches.
const (
	edge = worksheet.EdgeMargin
	foot = worksheet.FootMargin
)

// writer lays out the travellers, a sheet for each car of a run.
type writer struct {
	*plain.Writer
	r        *Report
	words    *words
	cautions []string
	titles   map[string]bool
	paper    look.Paper
	told     int     // how many columns tell; boxes stand right of them
	full     float64 // how much a page holds, in points
	page     float64 // how much of the page is taken
	head     float64 // how much its repeated rows take
}

// write is the travellers as a file. Two of the same order are equal.
func write(t *sheets.Run, r *Report, words *words) ([]byte, error) {
	w := &writer{Writer: plain.New(), r: r, words: words, cautions: t.Model.Cautions, paper: book.PaperOf(t.Model.System), titles: map[string]bool{}}
	defer w.Close()
	_, high := look.A4.Size(true) // Letter is higher: a page is whole on both
	w.full = (high - edge - foot) * 72 * look.PageFilled
	var widths []float64
	for _, c := range words.columns {
		widths = append(widths, c.width)
		if !c.box {
			w.told++
		}
	}
	for _, car := range r.Cars {
		for n := car.First; n <= car.Last; n++ {
			w.Sheet(w.titleOf(car.Name, n), widths)
			w.heading(&car, n)
			for i := range car.lines {
				w.joint(&car.lines[i])
			}
			w.ending(&car)
			w.layOut()
		}
	}
	return w.Bytes()
}

// titleOf is what the sheet of a car is called, by its number in the run: a name that
// programs take, and no other sheet has.
func (w *writer) titleOf(car string, n int) string {
	car = strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]'`, r) || r < ' ' {
			return '-'
		}
		return r
	}, strings.TrimSpace(car))
	number := fmt.Sprint(" ", n)
	for i := 2; ; i++ {
		title := plain.Clipped(car, excelize.MaxSheetNameLength-len(number)) + number
		if key := strings.ToLower(title); !w.titles[key] {
			w.titles[key] = true
			return title
		}
		number = fmt.Sprintf(" %d (%d)", n, i)
	}
}

// last is the number of the last column.
func (w *writer) last() int { return len(w.words.columns) }

// heading is what stands at the head of every page: which car, of which order, and
// what the columns are.
func (w *writer) heading(car *Car, n int) {
	t := w.words.text
	title := t["title"]
	if w.r.Draft {
		title = t["draft"]
	}
	style := plain.Style{Size: large, Bold: true, Wrap: true}
	w.Next(26)
	w.Across(1, w.told/2, car.Name, style, large)
	w.Across(w.told/2+1, w.told, fmt.Sprintf(t["car"], n, car.Ordered), style, large)
	style.Right = true
	w.Across(w.told+1, w.last(), title, style, large)

	var about []string
	if w.r.Draft {
		about = append(about, t["draft_note"])
	}
	for _, f := range w.words.fields {
		if f.text != "" {
			about = append(about, f.label+": "+f.text)
		}
	}
	w.Next(16)
	w.Across(1, w.told, strings.Join(about, "   "), plain.Style{Wrap: true, Bold: w.r.Draft}, plain.Size)
	w.Across(w.told+1, w.last(), fmt.Sprintf(t["joints"], car.Pieces, car.Welds), plain.Style{Right: true}, plain.Size)

	w.Next(14)
	for i, c := range w.words.columns {
		w.Across(i+1, i+1, c.heading, plain.Style{Size: small, Bold: true, Pale: true, Wrap: true, Over: plain.Medium, Under: plain.Medium}, small)
	}
	w.head, w.page = w.High, w.High
}

// joint is what a row says, and beside it boxes for each joint that it stands for, one
// below the other. What it says stands beside the boxes of as many as it is high.
func (w *writer) joint(j *joint) {
	begun, row := w.High, w.Row+1
	w.Next(boxHigh)
	for i, lines := range j.says {
		w.Fit(strings.Join(lines, "\n"), small, i+1, i+1)
	}
	all := w.High - begun
	beside := min(j.pieces, int(math.Ceil(all/boxHigh)))
	if beside > 1 {
		w.Do(w.File.SetRowHeight(w.Name, w.Row, all/float64(beside)))
		w.High = begun + all/float64(beside)
	}
	style := plain.Style{Size: small, Wrap: true, Top: true, Over: plain.Thin}
	for i, lines := range j.says {
		style.Bold = i == 0
		w.Put(i+1, strings.Join(lines, "\n"), style)
	}
	w.boxes()
	for n := 2; n <= beside; n++ {
		w.Next(all / float64(beside))
		w.piece(j, n)
	}
	if beside > 1 {
		for col := 2; col <= w.told; col++ {
			w.Do(w.File.MergeCell(w.Name, grid.Ref(row, col), grid.Ref(w.Row, col)))
		}
	}
	if j.blue {
		w.Next(20)
		w.Across(2, 5, w.words.text["blue"], plain.Style{Bold: true, Wrap: true, Right: true}, plain.Size)
		s := plain.Style{Wrap: true}
		if j.why == "" {
			s.Under = plain.Thin // to write on
		}
		w.Across(6, w.last(), j.why, s, plain.Size)
		w.Next(5)
	}
	if j.note != "" {
		w.Next(16)
		w.Across(2, w.last(), fmt.Sprintf(w.words.text["note"], j.note), plain.Style{Wrap: true}, plain.Size)
		w.Next(5)
	}
	w.keep(row, w.High-begun)
	for n := beside + 1; n <= j.pieces; n++ {
		begun, row = w.High, w.Row+1
		w.Next(boxHigh)
		w.piece(j, n)
		w.keep(row, w.High-begun)
	}
}

// piece is a further joint that a row stands for.
func (w *writer) piece(j *joint, n int) {
	w.Across(1, 1, fmt.Sprintf(w.words.text["of"], j.name, n, j.pieces), plain.Style{Size: small, Wrap: true, Top: true}, small)
	w.boxes()
}

// boxes are those of one joint.
func (w *writer) boxes() {
	for col := w.told + 1; col <= w.last(); col++ {
		w.Put(col, nil, plain.Style{Boxed: true})
	}
}

// keep keeps rows that have just been written on one page: where they go over the end
// of this one, they begin the next.
func (w *writer) keep(row int, high float64) {
	if w.page+high > w.full && w.page > w.head {
		w.Do(w.File.InsertPageBreak(w.Name, grid.Ref(row, 1)))
		w.page = w.head
	}
	w.page += high
}

// ending is where the minutes of the car are written down, and the cautions.
func (w *writer) ending(car *Car) {
	t := w.words.text
	begun, row := w.High, w.Row+1
	w.Next(16)
	w.Across(1, w.told/2, fmt.Sprintf(t["end"], car.Pieces, car.lines[len(car.lines)-1].name), plain.Style{Bold: true, Wrap: true, Over: plain.Medium}, plain.Size)
	w.Across(w.told/2+1, w.last(), t["quote"]+" "+w.r.Digest, plain.Style{Size: small, Grey: true, Right: true, Over: plain.Medium}, small)
	stages := w.words.stages
	share := func(i int) int { return 3 + int(math.Round(float64(i*(w.last()-2))/float64(len(stages)))) }
	w.Next(boxHigh + 7)
	w.Across(1, 2, t["minutes"], plain.Style{Bold: true, Wrap: true}, plain.Size)
	for i, stage := range stages {
		w.Across(share(i), share(i+1)-1, stage, plain.Style{Size: small, Grey: true, Boxed: true, Top: true}, small)
	}
	w.Next(3)
	// Side by side, as below each other they went over the end of the page. The last two
	// columns that tell, and the boxes, take half of it.
	half, middle, style := w.told-2, (len(w.cautions)+1)/2, plain.Style{Size: small, Wrap: true, Top: true}
	w.Next(14)
	w.Across(1, half, strings.Join(w.cautions[:middle], "\n"), style, small)
	w.Across(half+1, w.last(), strings.Join(w.cautions[middle:], "\n"), style, small)
	w.keep(row, w.High-begun)
}

// layOut sets the sheet up for print: lying, at full size, with the heading on every
// page.
func (w *writer) layOut() {
	t := w.words.text
	way, first, gridLines, middle := "landscape", uint(1), false, true
	size, left, below := int(w.paper), edge, foot
	w.Do(w.File.SetPageLayout(w.Name, &excelize.PageLayoutOptions{Size: &size, Orientation: &way, FirstPageNumber: &first}))
	gap := 0.3 // inches
	w.Do(w.File.SetPageMargins(w.Name, &excelize.PageLayoutMarginsOptions{
		Left: &left, Right: &left, Top: &left, Bottom: &below, Header: &gap, Footer: &gap, Horizontally: &middle,
	}))
	w.Do(w.File.SetSheetView(w.Name, 0, &excelize.ViewOptions{ShowGridLines: &gridLines}))
	w.Do(w.File.SetHeaderFooter(w.Name, &excelize.HeaderFooterOptions{
		OddFooter: "&L&10" + " " + t["quote"] + " " + w.r.Digest[:16] + "&C&10" + " " + t["procedure"] + "&R&10" + " " + t["page"] + " &P",
	}))
	w.Do(w.File.SetDefinedName(&excelize.DefinedName{
		Name: "_xlnm.Print_Titles", Scope: w.Name, RefersTo: fmt.Sprintf("'%s'!$1:$3", w.Name),
	}))
}
