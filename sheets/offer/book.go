package offer

import (
	"strings"
	"unicode"

	"github.com/xuri/excelize/v2"

	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/plain"
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

// Sizes of letters on an offer besides the usual one, in points.
const (
	offerLarge = 20.0
	offerSmall = 9.0
)

// mostOnOnePage is how high an offer may be in points and still be printed on
// one page: at about 0.6 of its size it could not be read any more.
const mostOnOnePage = 1150

// offerWriter lays out an offer, top to bottom.
type offerWriter struct {
	*plain.Writer
	r     *Report
	words *offerWords
	paper look.Paper
}

const offerMoney = "#,##0.00"

// offerBook is the offer as a file. Two of the same order are equal.
func offerBook(r *Report, words *offerWords, paper look.Paper) ([]byte, error) {
	w := &offerWriter{plain.New(), r, words, paper}
	defer w.Close()
	w.Sheet(words.text["title"], offerWidths())
	w.head()
	w.priced()
	w.fields(book.BasisPrefix)
	w.foot()
	w.page()
	return w.Bytes()
}

// head is who offers what to whom.
func (w *offerWriter) head() {
	r := w.r
	title := strings.ToUpper(w.words.text["title"])
	if r.Draft {
		title = w.words.text["draft"]
	}
	w.picture()
	large := plain.Style{Size: offerLarge, Bold: true, Wrap: true, Under: plain.Medium}
	w.Next(28)
	w.Put(offerLabel, r.field(shopField), large)
	w.Join(offerLabel, offerCars, large)
	w.Fit(r.field(shopField), offerLarge, offerLabel, offerCars)
	large.Right, large.Wrap = true, false
	w.Put(offerEach, title, large)
	w.Join(offerEach, offerAll, large)
	for _, line := range paragraphs(r.field(addressField)) {
		w.Next(14)
		w.Across(offerLabel, offerCars, line, plain.Style{Size: offerSmall, Grey: true, Wrap: true}, offerSmall)
	}
	if r.Draft {
		w.Next(20)
		w.Put(offerLabel, w.words.text["draft_note"], plain.Style{Bold: true})
	}
	w.Next(10)
	w.fields(book.HeadPrefix)
}

// fields writes what the shop has typed, a label and its words.
func (w *offerWriter) fields(prefix string) {
	for _, f := range w.r.Fields {
		if !strings.HasPrefix(f.Key, prefix) || f.Key == shopField || f.Key == addressField {
			continue
		}
		if prefix == book.BasisPrefix {
			w.Next(5)
		}
		for i, text := range paragraphs(f.Text) {
			w.Next(17)
			if i == 0 {
				w.Put(offerLabel, f.Label, plain.Style{Grey: true, Top: true})
			}
			s := plain.Style{Wrap: true, Top: true}
			w.Put(offerWhat, text, s)
			w.Join(offerWhat, offerAll, s)
			w.Fit(text, plain.Size, offerWhat, offerAll)
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
	w.Next(14)
	w.Next(20)
	head := plain.Style{Bold: true, Pale: true, Under: plain.Medium}
	w.Put(offerLabel, t["offered"], head)
	w.Put(offerWhat, nil, head)
	head.Right = true
	w.Put(offerCars, t["cars"], head)
	w.Put(offerEach, money(t["each"]), head)
	w.Put(offerAll, money(t["all"]), head)

	cars := 0.0
	words, number, sum := plain.Style{Wrap: true, Under: plain.Thin}, plain.Style{Right: true, Under: plain.Thin, Format: "#,##0"}, plain.Style{Right: true, Under: plain.Thin, Format: offerMoney}
	for _, c := range r.Cars {
		cars += c.Ordered
		w.Next(19)
		w.Put(offerLabel, c.Car, words)
		w.Join(offerLabel, offerWhat, words)
		w.Fit(c.Car, plain.Size, offerLabel, offerWhat)
		w.Put(offerCars, c.Ordered, number)
		if c.Each == 0 {
			w.Put(offerEach, t["unknown"], sum)
			w.Put(offerAll, t["unknown"], sum)
			continue
		}
		w.Put(offerEach, c.Each, sum)
		w.Put(offerAll, c.All, sum)
	}
	if r.Extra != 0 {
		w.Next(19)
		w.Put(offerLabel, r.ExtraWhat, words)
		w.Join(offerLabel, offerEach, words)
		w.Put(offerAll, r.Extra, sum)
	}
	w.Next(22)
	total := plain.Style{Bold: true, Over: plain.Thin, Under: plain.Double}
	w.Put(offerLabel, t["total"], total)
	w.Put(offerWhat, nil, total)
	total.Right, total.Format = true, "#,##0"
	w.Put(offerCars, cars, total)
	w.Put(offerEach, nil, total)
	total.Format = offerMoney
	w.Put(offerAll, r.Total, total)
	w.Next(8)
}

// foot is room to sign, and the small print.
func (w *offerWriter) foot() {
	t := w.words.text
	w.Next(16)
	w.Next(16)
	w.Put(offerLabel, t["sign_shop"], plain.Style{Grey: true})
	w.Put(offerEach, t["sign_customer"], plain.Style{Grey: true})
	w.Next(16)
	for _, side := range []struct {
		field string
		at    int
		to    int
	}{{shopField, offerLabel, offerWhat}, {book.HeadPrefix + "customer", offerEach, offerAll}} {
		s := plain.Style{Wrap: true, Top: true}
		w.Put(side.at, w.r.field(side.field), s)
		w.Join(side.at, side.to, s)
		w.Fit(w.r.field(side.field), plain.Size, side.at, side.to)
	}
	w.Next(34)
	line := plain.Style{Under: plain.Thin}
	for _, col := range []int{offerLabel, offerWhat, offerEach, offerAll} {
		w.Put(col, nil, line)
	}
	w.Next(15)
	small := plain.Style{Size: offerSmall, Grey: true}
	w.Put(offerLabel, t["sign_line"], small)
	w.Put(offerEach, t["sign_line"], small)
	w.Next(10)
	small.Wrap = true
	for _, note := range w.words.small {
		w.Next(13)
		w.Put(offerLabel, note, small)
		w.Join(offerLabel, offerAll, small)
		w.Fit(note, offerSmall, offerLabel, offerAll)
	}
}

// page has the offer printed on one page. The printer scales it down; larger than life it would look loud.
func (w *offerWriter) page() {
	way, wide, tall := "portrait", 1, 1
	if w.High > mostOnOnePage {
		tall = 0 // as many as it takes
	}
	size, fit, grid, middle := int(w.paper), true, false, true
	w.Do(w.File.SetSheetProps(w.Name, &excelize.SheetPropsOptions{FitToPage: &fit}))
	w.Do(w.File.SetPageLayout(w.Name, &excelize.PageLayoutOptions{Size: &size, Orientation: &way, FitToWidth: &wide, FitToHeight: &tall}))
	edge, gap := 0.6, 0.3 // inches
	w.Do(w.File.SetPageMargins(w.Name, &excelize.PageLayoutMarginsOptions{
		Left: &edge, Right: &edge, Top: &edge, Bottom: &edge, Header: &gap, Footer: &gap, Horizontally: &middle,
	}))
	w.Do(w.File.SetSheetView(w.Name, 0, &excelize.ViewOptions{ShowGridLines: &grid}))
	if tall == 0 {
		left := strings.ReplaceAll(w.r.name(), "&", "&&")
		w.Do(w.File.SetHeaderFooter(w.Name, &excelize.HeaderFooterOptions{OddFooter: "&L&8 " + plain.Clipped(left, 100) + "&R&8 &P of &N"}))
	}
}
