package compare

import (
	"fmt"
	"path/filepath"
	"strings"

	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/disk"
	"seamtally/sheets/look"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// bridgeSheet is the one sheet of the workbook that Compare writes.
const bridgeSheet = "Bridge"

// Columns of the sheet. Those of the chart stand right of what is printed.
const (
	colWhat = iota + 1
	colValue
	colWas
	colNow
	colShare
	colRunning
	_
	colBar
	colBase
	colEnd
	colUp
	colDown
)

// mostBars is how many changes the chart shows one by one.
const mostBars = 12

// writeBridge writes the workbook of a comparison.
func writeBridge(to disk.Output, r *Report, both [2]*sheets.Run) error {
	data, err := bridgeBook(r)
	if err != nil {
		return fmt.Errorf("%s: %w", to.Path, err)
	}
	r.Encrypted, err = sheets.SaveOf(to, data, both[:])
	return err
}

// bridgeWriter lays out the cells of the sheet, top to bottom.
type bridgeWriter struct {
	r      *Report
	look   *look.Book
	row    int
	cells  map[int][]worksheet.NewCell
	height map[int]float64
	err    error

	first, last int // rows of the old figure and of the new
	chartRow    int
}

// put puts a text or a number; nil only a format.
func (w *bridgeWriter) put(col int, value any, s look.Style) { w.live(col, "", value, s) }

// live puts a formula with the value that it has.
func (w *bridgeWriter) live(col int, formula string, value any, s look.Style) {
	xf, err := w.look.Style(s)
	if err != nil && w.err == nil {
		w.err = err
	}
	c := worksheet.NewCell{Col: col, Style: xf, Formula: formula}
	switch x := value.(type) {
	case string:
		c.Kind, c.Text = worksheet.Text, x
		if width := bridgeWidths()[col-1]; s.Role == look.Words || s.Role == look.Heading || s.Role == look.Title {
			if s.Role == look.Title {
				width = 0
			}
			w.height[w.row] = max(w.height[w.row], w.look.RowHeight(s.Role, x, width))
		}
	case float64:
		c.Kind, c.Num = worksheet.Number, x
	}
	w.cells[w.row] = append(w.cells[w.row], c)
}

// number formats of the figure and of its shares.
func (w *bridgeWriter) formats() (plain, signed string) {
	switch {
	case w.r.Money:
		return "#,##0.00", "+#,##0.00;-#,##0.00;0.00"
	case w.r.Total.Unit == "%":
		return "0.000%", "+0.000%;-0.000%;0.000%"
	}
	return "#,##0.000", "+#,##0.000;-#,##0.000;0.000"
}

// unit of the figure, with the book's sign for money.
func (r *Report) unit(u string) string {
	if u == "1" || u == "%" {
		return ""
	}
	return strings.ReplaceAll(u, "$", r.Currency)
}

func withUnit(s, unit string) string {
	if unit == "" {
		return s
	}
	return s + " (" + unit + ")"
}

// bridgeWidths are those of the columns, A on.
func bridgeWidths() []float64 { return []float64{36, 24, 24, 24, 15, 15, 3, 24, 12, 12, 12, 12} }

// bridgeBook is the workbook as a file. Two of the same comparison are equal.
func bridgeBook(r *Report) ([]byte, error) {
	w := &bridgeWriter{r: r, look: look.New("", 0), cells: map[int][]worksheet.NewCell{}, height: map[int]float64{}}
	w.fill()
	printed := w.row
	bars := w.bars()
	if w.err != nil {
		return nil, w.err
	}
	if err := w.look.AddSheet(look.Sheet{
		Title: bridgeSheet, Widths: bridgeWidths(), Flags: []string{grid.Ref(w.last+1, colRunning)},
		Print: look.Print{Paper: book.PaperOf(w.r.System), Area: fmt.Sprintf("A1:F%d", printed), TitleRows: fmt.Sprintf("%d:%[1]d", w.first-1), Foot: w.title()},
	}); err != nil {
		return nil, err
	}
	return w.finish(bars)
}

// title is what the sheet is of.
func (w *bridgeWriter) title() string {
	return "What moved: " + lowered(w.r.Total.Heading)
}

// fill writes what is printed.
func (w *bridgeWriter) fill() {
	r := w.r
	plain, signed := w.formats()
	words := look.Style{Role: look.Words}
	w.row = 1
	w.put(colWhat, w.title(), look.Style{Role: look.Title})
	w.row++
	from := fmt.Sprintf("From %s to %s", filepath.Base(r.Old), filepath.Base(r.New))
	if r.Date != "" {
		from += ", " + r.Date
	}
	w.put(colWhat, from, look.Style{Role: look.Note})

	w.row += 2
	heading := look.Style{Role: look.Heading}
	for i, h := range []string{"The order", "", "Old", "New", "Change"} {
		w.put(colWhat+i, h, heading)
	}
	for _, t := range r.Others {
		w.row++
		w.put(colWhat, withUnit(t.Heading, r.unit(t.Unit)), look.Style{Role: look.Label})
		w.put(colWas, t.Old, look.Style{Role: look.Calc, Format: "#,##0.00"})
		w.put(colNow, t.New, look.Style{Role: look.Calc, Format: "#,##0.00"})
		w.live(colShare, fmt.Sprintf("D%d-C%[1]d", w.row), t.New-t.Old, look.Style{Role: look.Calc, Format: "+#,##0.00;-#,##0.00;0.00"})
	}

	w.row += 2
	if w.charted() {
		w.chartRow = w.row
		w.row += bridgeChartRows
	}
	for i, h := range []string{"What changed", "Value", "Old", "New", withUnit("Share", r.unit(r.Total.Unit)), withUnit("Comes to", r.unit(r.Total.Unit))} {
		w.put(colWhat+i, h, heading)
	}
	w.row++
	w.first = w.row
	w.put(colWhat, filepath.Base(r.Old), look.Style{Role: look.Label})
	w.put(colRunning, r.Total.Old, look.Style{Role: look.Calc, Format: plain})
	writeChange := func(c Change) {
		w.row++
		var names, was, now []string
		for _, i := range c.Items {
			names, was, now = append(names, i.Name), append(was, i.Old), append(now, i.New)
		}
		for i, text := range []string{c.Name, strings.Join(names, "\n"), strings.Join(was, "\n"), strings.Join(now, "\n")} {
			w.put(colWhat+i, text, words)
		}
	}
	for _, c := range r.Changes {
		writeChange(c)
		w.put(colShare, c.Share, look.Style{Role: look.Calc, Format: signed})
		w.live(colRunning, fmt.Sprintf("F%d+E%d", w.row-1, w.row), c.Running, look.Style{Role: look.Calc, Format: plain})
	}
	w.row++
	w.last = w.row
	w.put(colWhat, filepath.Base(r.New), look.Style{Role: look.TotalText})
	for _, col := range []int{colValue, colWas, colNow} {
		w.put(col, nil, look.Style{Role: look.TotalText})
	}
	sum := "0"
	if len(r.Changes) > 0 {
		sum = fmt.Sprintf("SUM(E%d:E%d)", w.first+1, w.last-1)
	}
	w.live(colShare, sum, r.Gap, look.Style{Role: look.Total, Format: signed})
	w.put(colRunning, r.Total.New, look.Style{Role: look.Total, Format: plain})
	w.row++
	w.put(colWhat, "Shares add up to the change", look.Style{Role: look.Label})
	w.live(colRunning, fmt.Sprintf(`IF(ABS(F%d+E%d-F%[2]d)<%g,"ok","LOOK")`, w.first, w.last, w.tolerance()), "ok", look.Style{Role: look.CalcText, Align: look.Right})

	if len(r.NoEffect) > 0 {
		w.row += 2
		w.put(colWhat, "Changed without effect", look.Style{Role: look.Section})
		for _, c := range r.NoEffect {
			writeChange(c)
			w.put(colShare, 0.0, look.Style{Role: look.Calc, Format: signed})
		}
	}
	w.row += 2
	w.put(colWhat, "How the shares are made", look.Style{Role: look.Section})
	for _, note := range w.notes() {
		w.row++
		w.put(colWhat, note, look.Style{Role: look.Label})
	}
}

// tolerance is half of what the figure is shared in.
func (w *bridgeWriter) tolerance() float64 {
	if w.r.Money {
		return 0.5 / moneyScale
	}
	return 0.5 / figureScale
}

// notes say how the shares are made, a line each.
func (w *bridgeWriter) notes() []string {
	r := w.r
	notes := []string{
		"A share is the mean of what a change makes over the orders in which all of them could be made (Shapley value), so none is favoured by coming first.",
		"Turned round, from new to old, every share has the other sign. A car's price goes up to a whole step, so small changes share the step that they tip together.",
	}
	if r.Orders > 0 {
		notes = append(notes, fmt.Sprintf("Of the orders, %d were drawn by chance; the standard error of a share is at most %.3g %s.", r.Orders, r.LargestError(), r.unit(r.Total.Unit)))
	}
	if r.Fell > 0 {
		notes = append(notes, fmt.Sprintf("Joints that cannot be worked out with some of the changes made and others not: %d. There they count as left out.", r.Fell))
	}
	for i, path := range []string{r.Old, r.New} {
		if r.LeftOut[i] > 0 {
			notes = append(notes, fmt.Sprintf("%s: rows left out, and not compared: %d.", filepath.Base(path), r.LeftOut[i]))
		}
	}
	return append(notes, "An estimate is not a welding procedure.")
}
