package offer

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"unicode"

	"github.com/xuri/excelize/v2"

	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/part/grid"
)

// Columns of an offer.
const (
	offerLabel = iota + 1
	offerWhat
	offerCars
	offerEach
	offerAll
)

// offerWidths are those of the columns, in characters; together they are as
// wide as a page of A4 or Letter between its margins.
func offerWidths() []float64 { return []float64{19, 33, 9, 15, 16} }

// The inks of an offer, which is greys on white, and its sizes in points.
const (
	offerDark  = "262626"
	offerGrey  = "595959"
	offerPale  = "EDEFEE"
	offerFont  = "Calibri"
	offerSize  = 11.0
	offerLarge = 20.0
	offerSmall = 9.0
)

// mostOnOnePage is how high an offer may be in points and still be printed on
// one page: at about 0.6 of its size it could not be read any more.
const mostOnOnePage = 1150

// offerWriter lays out an offer, top to bottom.
type offerWriter struct {
	r      *Report
	words  *offerWords
	f      *excelize.File
	ink    *look.Book // for the heights of rows
	sheet  string
	row    int
	high   float64 // of all rows so far, in points
	styles map[offerStyle]int
	err    error
}

// offerStyle is how a cell of an offer looks. Equal ones are one format.
type offerStyle struct {
	size       float64 // 0 = offerSize
	bold, grey bool
	right      bool // else to the left
	top        bool // else low
	wrap       bool
	pale       bool // a pale ground
	over       int  // lines above and below, as the format counts them; 0 = none
	under      int
	format     string
}

// Lines, as the format counts them (ECMA-376 part 1, 18.18.3).
const (
	lineThin   = 1
	lineMedium = 2
	lineDouble = 6
)

const offerMoney = "#,##0.00"

// offerBook is the offer as a file. Two of the same order are equal.
func offerBook(r *Report, words *offerWords) ([]byte, error) {
	w := &offerWriter{r: r, words: words, f: excelize.NewFile(), ink: look.New("", 0), sheet: words.text["title"], styles: map[offerStyle]int{}}
	defer w.f.Close()
	w.do(w.f.SetSheetName(w.f.GetSheetName(0), w.sheet))
	for i, width := range offerWidths() {
		col := grid.ColName(i + 1)
		w.do(w.f.SetColWidth(w.sheet, col, col, width))
	}
	w.head()
	w.priced()
	w.fields(book.BasisPrefix)
	w.foot()
	w.page()
	bare(w.f)
	if w.err != nil {
		return nil, w.err
	}
	var out bytes.Buffer
	err := w.f.Write(&out)
	return out.Bytes(), err
}

// head is who offers what to whom.
func (w *offerWriter) head() {
	r := w.r
	title := strings.ToUpper(w.words.text["title"])
	if r.Draft {
		title = w.words.text["draft"]
	}
	large := offerStyle{size: offerLarge, bold: true, wrap: true, under: lineMedium}
	w.next(28)
	w.put(offerLabel, r.field(shopField), large)
	w.join(offerLabel, offerCars, large)
	w.fit(r.field(shopField), offerLarge, offerLabel, offerCars)
	large.right, large.wrap = true, false
	w.put(offerEach, title, large)
	w.join(offerEach, offerAll, large)
	if r.Draft {
		w.next(20)
		w.put(offerLabel, w.words.text["draft_note"], offerStyle{bold: true})
	}
	w.next(10)
	w.fields(book.HeadPrefix)
}

// fields writes what the shop has typed, a label and its words.
func (w *offerWriter) fields(prefix string) {
	for _, f := range w.r.Fields {
		if !strings.HasPrefix(f.Key, prefix) || f.Key == shopField {
			continue
		}
		if prefix == book.BasisPrefix {
			w.next(5)
		}
		for i, text := range paragraphs(f.Text) {
			w.next(17)
			if i == 0 {
				w.put(offerLabel, f.Label, offerStyle{grey: true, top: true})
			}
			s := offerStyle{wrap: true, top: true}
			w.put(offerWhat, text, s)
			w.join(offerWhat, offerAll, s)
			w.fit(text, offerSize, offerWhat, offerAll)
		}
	}
}

// longestParagraph keeps the row of a paragraph under the most that a row can
// be high.
const longestParagraph = 1200

// paragraphs parts a text at its line breaks, and long lines at a blank.
func paragraphs(s string) []string {
	var out []string
	for line := range strings.SplitSeq(s, "\n") {
		for runes := []rune(strings.TrimSpace(line)); len(runes) > 0; {
			end := len(runes)
			if end > longestParagraph {
				end = longestParagraph
				for i := end; i > 0; i-- {
					if unicode.IsSpace(runes[i]) {
						end = i
						break
					}
				}
			}
			out = append(out, strings.TrimSpace(string(runes[:end])))
			runes = runes[end:]
		}
	}
	return out
}

// priced is the table of prices, which adds up.
func (w *offerWriter) priced() {
	r, t := w.r, w.words.text
	money := func(what string) string { return what + ", " + r.Currency }
	w.next(14)
	w.next(20)
	head := offerStyle{bold: true, pale: true, under: lineMedium}
	w.put(offerLabel, t["offered"], head)
	w.put(offerWhat, nil, head)
	head.right = true
	w.put(offerCars, t["cars"], head)
	w.put(offerEach, money(t["each"]), head)
	w.put(offerAll, money(t["all"]), head)

	cars := 0.0
	words, number, sum := offerStyle{wrap: true, under: lineThin}, offerStyle{right: true, under: lineThin, format: "#,##0"}, offerStyle{right: true, under: lineThin, format: offerMoney}
	for _, c := range r.Cars {
		cars += c.Ordered
		w.next(19)
		w.put(offerLabel, c.Car, words)
		w.join(offerLabel, offerWhat, words)
		w.fit(c.Car, offerSize, offerLabel, offerWhat)
		w.put(offerCars, c.Ordered, number)
		if c.Each == 0 {
			w.put(offerEach, t["unknown"], sum)
			w.put(offerAll, t["unknown"], sum)
			continue
		}
		w.put(offerEach, c.Each, sum)
		w.put(offerAll, c.All, sum)
	}
	if r.Extra != 0 {
		w.next(19)
		w.put(offerLabel, r.ExtraWhat, words)
		w.join(offerLabel, offerEach, words)
		w.put(offerAll, r.Extra, sum)
	}
	w.next(22)
	total := offerStyle{bold: true, over: lineThin, under: lineDouble}
	w.put(offerLabel, t["total"], total)
	w.put(offerWhat, nil, total)
	total.right, total.format = true, "#,##0"
	w.put(offerCars, cars, total)
	w.put(offerEach, nil, total)
	total.format = offerMoney
	w.put(offerAll, r.Total, total)
	w.next(8)
}

// foot is room to sign, and the small print.
func (w *offerWriter) foot() {
	t := w.words.text
	w.next(16)
	w.next(16)
	w.put(offerLabel, t["sign_shop"], offerStyle{grey: true})
	w.put(offerEach, t["sign_customer"], offerStyle{grey: true})
	w.next(16)
	for _, side := range []struct {
		field string
		at    int
		to    int
	}{{shopField, offerLabel, offerWhat}, {book.HeadPrefix + "customer", offerEach, offerAll}} {
		s := offerStyle{wrap: true, top: true}
		w.put(side.at, w.r.field(side.field), s)
		w.join(side.at, side.to, s)
		w.fit(w.r.field(side.field), offerSize, side.at, side.to)
	}
	w.next(34)
	line := offerStyle{under: lineThin}
	for _, col := range []int{offerLabel, offerWhat, offerEach, offerAll} {
		w.put(col, nil, line)
	}
	w.next(15)
	small := offerStyle{size: offerSmall, grey: true}
	w.put(offerLabel, t["sign_line"], small)
	w.put(offerEach, t["sign_line"], small)
	w.next(10)
	small.wrap = true
	for _, note := range w.words.small {
		w.next(13)
		w.put(offerLabel, note, small)
		w.join(offerLabel, offerAll, small)
		w.fit(note, offerSmall, offerLabel, offerAll)
	}
}

// page has the offer printed on one page, of whatever paper there is. The
// printer scales it down; larger than life it would look loud.
func (w *offerWriter) page() {
	way, wide, tall := "portrait", 1, 1
	if w.high > mostOnOnePage {
		tall = 0 // as many as it takes
	}
	fit, grid, middle := true, false, true
	w.do(w.f.SetSheetProps(w.sheet, &excelize.SheetPropsOptions{FitToPage: &fit}))
	w.do(w.f.SetPageLayout(w.sheet, &excelize.PageLayoutOptions{Orientation: &way, FitToWidth: &wide, FitToHeight: &tall}))
	edge, gap := 0.6, 0.3 // inches
	w.do(w.f.SetPageMargins(w.sheet, &excelize.PageLayoutMarginsOptions{
		Left: &edge, Right: &edge, Top: &edge, Bottom: &edge, Header: &gap, Footer: &gap, Horizontally: &middle,
	}))
	w.do(w.f.SetSheetView(w.sheet, 0, &excelize.ViewOptions{ShowGridLines: &grid}))
	if tall == 0 {
		left := strings.ReplaceAll(w.r.name(), "&", "&&")
		w.do(w.f.SetHeaderFooter(w.sheet, &excelize.HeaderFooterOptions{OddFooter: "&L&8 " + clipped(left, 100) + "&R&8 &P of &N"}))
	}
}

// do keeps the first error.
func (w *offerWriter) do(err error) {
	if w.err == nil {
		w.err = err
	}
}

// next begins a row of a height in points. Heights are whole: what is scaled by
// a printer needs no better.
func (w *offerWriter) next(height float64) {
	w.row++
	w.setHeight(height)
	w.high += height
}

func (w *offerWriter) setHeight(height float64) { w.do(w.f.SetRowHeight(w.sheet, w.row, height)) }

// fit makes the row as high as a text takes across some columns.
func (w *offerWriter) fit(text string, size float64, from, to int) {
	width := 0.0
	for _, x := range offerWidths()[from-1 : to] {
		width += x
	}
	high := min(math.Ceil(w.ink.RowHeight(look.Words, text, width*offerSize/size)*size/offerSize), excelize.MaxRowHeight)
	have, err := w.f.GetRowHeight(w.sheet, w.row)
	w.do(err)
	if high > have {
		w.setHeight(high)
		w.high += high - have
	}
}

// put puts a text or a number; nil only a format.
func (w *offerWriter) put(col int, value any, s offerStyle) {
	cell := grid.Ref(w.row, col)
	xf, err := w.style(s)
	w.do(err)
	w.do(w.f.SetCellStyle(w.sheet, cell, cell, xf))
	if value != nil && value != "" {
		w.do(w.f.SetCellValue(w.sheet, cell, value))
	}
}

// join makes one cell of several of the row.
func (w *offerWriter) join(from, to int, s offerStyle) {
	for col := from + 1; col <= to; col++ {
		w.put(col, nil, s)
	}
	w.do(w.f.MergeCell(w.sheet, grid.Ref(w.row, from), grid.Ref(w.row, to)))
}

func (w *offerWriter) style(s offerStyle) (int, error) {
	if xf, ok := w.styles[s]; ok {
		return xf, nil
	}
	font := excelize.Font{Family: offerFont, Size: offerSize, Bold: s.bold, Color: "000000"}
	if s.size > 0 {
		font.Size = s.size
	}
	if s.grey {
		font.Color = offerGrey
	}
	x := &excelize.Style{Font: &font, Alignment: &excelize.Alignment{Horizontal: "left", Vertical: "center", WrapText: s.wrap}}
	if s.right {
		x.Alignment.Horizontal = "right"
	}
	if s.top {
		x.Alignment.Vertical = "top"
	}
	if s.pale {
		x.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{offerPale}}
	}
	for _, b := range []excelize.Border{{Type: "top", Style: s.over}, {Type: "bottom", Style: s.under}} {
		if b.Style > 0 {
			b.Color = offerDark
			x.Border = append(x.Border, b)
		}
	}
	if s.format != "" {
		x.CustomNumFmt = &s.format
	}
	xf, err := w.f.NewStyle(x)
	if err != nil {
		return 0, fmt.Errorf("format of a cell: %w", err)
	}
	w.styles[s] = xf
	return xf, nil
}

// clipped is a text of at most so many letters.
func clipped(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}
