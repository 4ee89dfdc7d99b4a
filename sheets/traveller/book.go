package traveller

import (
	"fmt"
	"math"
	"strings"

	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/plain"
)

// Sizes of letters, in points: what is read at arm's length is 10 at the least.
const (
	large = 18.0
	small = 10.0
)

// Heights in points: of a box, which is written in by hand, and of what a page holds.
// The shorter of A4 and Letter, lying, is 595 high; 29 of it are margin above, 50 below.
const (
	boxHigh  = 30.0
	pageHigh = 510.0
)

// writer lays out the travellers, a sheet for each car of a run.
type writer struct {
	*plain.Writer
	r      *Report
	words  *words
	foot   []string // the cautions
	titles map[string]bool
	page   float64 // how much of the page is taken
	head   float64 // how much its repeated rows take
}

// write is the travellers as a file. Two of the same order are equal.
func write(t *sheets.Run, r *Report, words *words) ([]byte, error) {
	w := &writer{Writer: plain.New(), r: r, words: words, foot: t.Model.Cautions, titles: map[string]bool{}}
	defer w.Close()
	var widths []float64
	for _, c := range words.columns {
		widths = append(widths, c.width)
	}
	for _, car := range r.Cars {
		for n := car.First; n <= car.Last; n++ {
			w.Sheet(w.titleOf(car.Name, n), widths)
			w.heading(&car, n)
			for i := range car.lines {
				w.joint(&car.lines[i])
			}
			w.ending(&car)
			w.paper()
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
	w.Across(1, 5, car.Name, style, large)
	w.Across(6, 7, fmt.Sprintf(t["car"], n, car.Ordered), style, large)
	style.Right = true
	w.Across(8, w.last(), title, style, large)

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
	w.Across(1, 7, strings.Join(about, "   "), plain.Style{Wrap: true, Bold: w.r.Draft}, plain.Size)
	w.Across(8, w.last(), fmt.Sprintf(t["joints"], car.Pieces, car.Welds), plain.Style{Right: true}, plain.Size)

	w.Next(17)
	for i, c := range w.words.columns {
		w.Put(i+1, c.heading, plain.Style{Bold: true, Pale: true, Over: plain.Medium})
	}
	w.Next(16)
	w.boxes(func(from, to int, box string) {
		w.Across(from, to, box, plain.Style{Size: small, Grey: true, Pale: true, Under: plain.Medium}, small)
	})
	w.head, w.page = w.High, w.High
}

// boxes goes through the boxes of a joint, with the columns that each is wide.
func (w *writer) boxes(do func(from, to int, box string)) {
	columns := w.words.columns
	for i := 0; i < len(columns); {
		to := i + 1
		for to < len(columns) && columns[to].box == "" {
			to++
		}
		do(i+1, to, columns[i].box)
		i = to
	}
}

// joint is what a row says, and below it a box for each joint that it stands for.
func (w *writer) joint(j *joint) {
	begun, row := w.High, w.Row+1
	w.Next(16)
	for i, lines := range j.says {
		text := strings.Join(lines, "\n")
		w.Put(i+1, text, plain.Style{Wrap: true, Top: true, Bold: i == 0, Over: plain.Thin})
		w.Fit(text, plain.Size, i+1, i+1)
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
	for n := 1; n <= j.pieces; n++ {
		w.Next(boxHigh)
		w.boxes(func(from, to int, _ string) {
			s := plain.Style{Boxed: from > 1, Size: small, Wrap: true, Top: true}
			text := ""
			if from == 1 && j.pieces > 1 {
				text = fmt.Sprintf(w.words.text["of"], j.name, n, j.pieces)
			}
			w.Across(from, to, text, s, small)
		})
		w.keep(row, w.High-begun)
		begun, row = w.High, w.Row+1
	}
	w.Next(4)
	w.page += 4
}

// keep keeps rows that have just been written on one page: where they go over the end
// of this one, they begin the next.
func (w *writer) keep(row int, high float64) {
	if w.page+high > pageHigh && w.page > w.head {
		w.Do(w.File.InsertPageBreak(w.Name, grid.Ref(row, 1)))
		w.page = w.head
	}
	w.page += high
}

// ending is where the minutes of the car are written down, and the cautions.
func (w *writer) ending(car *Car) {
	t := w.words.text
	begun, row := w.High, w.Row+1
	w.Next(18)
	w.Across(1, w.last(), fmt.Sprintf(t["end"], car.Pieces, car.lines[len(car.lines)-1].name), plain.Style{Bold: true, Wrap: true, Over: plain.Medium}, plain.Size)
	stages := w.words.stages
	share := func(i int) int { return 3 + int(math.Round(float64(i*(w.last()-2))/float64(len(stages)))) }
	w.Next(17)
	w.Across(1, 2, t["minutes"], plain.Style{Bold: true, Wrap: true}, plain.Size)
	for i, stage := range stages {
		w.Across(share(i), share(i+1)-1, stage, plain.Style{Size: small, Grey: true, Wrap: true}, small)
	}
	w.Next(boxHigh)
	for i := range stages {
		w.Across(share(i), share(i+1)-1, "", plain.Style{Boxed: true}, plain.Size)
	}
	w.Next(6)
	for _, caution := range append([]string{t["procedure"]}, w.foot...) {
		w.Next(14)
		w.Across(1, w.last(), caution, plain.Style{Size: small, Wrap: true, Bold: caution == t["procedure"]}, small)
	}
	w.Next(16)
	w.Across(1, w.last(), t["digest"]+" "+w.r.Digest, plain.Style{Size: small, Grey: true}, small)
	w.keep(row, w.High-begun)
}

// paper sets the sheet up for print: lying, at full size, with the heading on every
// page.
func (w *writer) paper() {
	t := w.words.text
	way, first, gridLines, middle := "landscape", uint(1), false, true
	w.Do(w.File.SetPageLayout(w.Name, &excelize.PageLayoutOptions{Orientation: &way, FirstPageNumber: &first}))
	edge, foot, gap := 0.4, 0.7, 0.3 // inches
	w.Do(w.File.SetPageMargins(w.Name, &excelize.PageLayoutMarginsOptions{
		Left: &edge, Right: &edge, Top: &edge, Bottom: &foot, Header: &gap, Footer: &gap, Horizontally: &middle,
	}))
	w.Do(w.File.SetSheetView(w.Name, 0, &excelize.ViewOptions{ShowGridLines: &gridLines}))
	w.Do(w.File.SetHeaderFooter(w.Name, &excelize.HeaderFooterOptions{
		OddFooter: "&L&10" + " " + t["quote"] + " " + w.r.Digest[:16] + "&C&10" + " " + t["procedure"] + "&R&10" + " " + t["page"] + " &P",
	}))
	w.Do(w.File.SetDefinedName(&excelize.DefinedName{
		Name: "_xlnm.Print_Titles", Scope: w.Name, RefersTo: fmt.Sprintf("'%s'!$1:$4", w.Name),
	}))
}
