package timesheet

import (
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"seamtally/compute/floor"
	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/plain"
)

// Heights in points: of a line that is filled in by hand, and of small print.
const (
	lineHigh  = 24.0
	smallSize = 10.0
)

// writer lays out a time sheet.
type writer struct {
	*plain.Writer
	t     *sheets.Run
	e     *estimates
	words *words
	kinds []string // of the order's joints
}

// write is the time sheet as a file. Two of the same order are equal.
func write(t *sheets.Run, e *estimates, words *words) ([]byte, error) {
	w := &writer{Writer: plain.New(), t: t, e: e, words: words, kinds: kindsOf(t)}
	defer w.Close()
	w.floor()
	w.estimate()
	return w.Bytes()
}

// kindsOf are the kinds of the order's joints, in the order of their table.
func kindsOf(t *sheets.Run) []string {
	used := map[string]bool{}
	for i := range t.Order.Joints {
		used[t.WordsOf(t.Order.Joints[i].Line)["kind"]] = true
	}
	var out []string
	table := t.Model.Table("kinds")
	for _, f := range t.Values.Rows(table).Frames {
		if name := table.Quantity("name").Text(f); used[name] {
			out = append(out, name)
		}
	}
	return out
}

// placed is a column with what it is headed on this order's page.
type placed struct {
	column
	kind string
}

// placed are the columns of the floor's page: a shop whose gas lines hang on one bottle
// has one column of bottles, and each kind of joint has one of repairs.
func (w *writer) placed() []placed {
	var out []placed
	for _, c := range w.words.page(false) {
		_, line := indexOf(floor.GasLines(), c.key)
		switch {
		case line && w.e.Together, c.key == colBottles && !w.e.Together:
		case c.key == colRepairs:
			for _, kind := range w.kinds {
				one := c
				one.heading = fmt.Sprintf(c.heading, kind)
				out = append(out, placed{one, kind})
			}
		default:
			out = append(out, placed{column: c})
		}
	}
	return out
}

// indexOf is the place of a key among three.
func indexOf(keys [3]string, key string) (int, bool) {
	for i, k := range keys {
		if k == key {
			return i, true
		}
	}
	return 0, false
}

// floor is the page that is filled in.
func (w *writer) floor() {
	columns := w.placed()
	widths := make([]float64, len(columns))
	for i, c := range columns {
		widths[i] = c.width
	}
	last := len(columns)
	w.Sheet(w.words.text["title"], widths)
	title := w.words.text["title"]
	if !w.e.complete {
		title += ": " + w.words.text["draft"]
	}
	w.Next(28)
	w.Across(1, 3, title, plain.Style{Size: 18, Bold: true}, 18)
	if name := orderName(w.t); name != "" {
		w.Across(4, last, fmt.Sprintf(w.words.text["of"], name), plain.Style{Size: 14, Wrap: true, Right: true}, 14)
	}
	for _, say := range w.words.say {
		w.Next(14)
		w.Across(1, last, say, plain.Style{Size: smallSize, Wrap: true}, smallSize)
	}
	w.Next(6)
	w.Next(32)
	head := w.Row
	for i, c := range columns {
		w.Put(i+1, c.heading, plain.Style{Bold: true, Pale: true, Boxed: true, Wrap: true, Size: smallSize})
		w.Fit(c.heading, plain.Size, i+1, i+1)
	}
	cars := 0
	for _, car := range w.e.Cars {
		for n := 1; n <= car.Ordered; n++ {
			w.blank(columns, car.Name, n)
			cars++
		}
	}
	for range spareLines(cars) {
		w.blank(columns, nil, 0)
	}
	w.choices(columns, head+1, w.Row)
	w.Next(8)
	for i, caution := range append([]string{w.words.text["procedure"]}, w.t.Model.Cautions...) {
		w.Next(13)
		w.Across(1, last, caution, plain.Style{Size: smallSize, Wrap: true, Bold: i == 0}, smallSize)
	}
	w.Do(w.File.SetPanes(w.Name, &excelize.Panes{
		Freeze: true, XSplit: 2, YSplit: head, TopLeftCell: grid.Ref(head+1, 3), ActivePane: "bottomRight",
	}))
	w.paper(head)
}

// blank is a line to be filled in.
func (w *writer) blank(columns []placed, car any, number int) {
	w.Next(lineHigh)
	for i, c := range columns {
		s := plain.Style{Boxed: true, Wrap: true}
		var value any
		switch c.key {
		case colCar:
			value = car
		case colNumber:
			s.Centre = true
			if number > 0 {
				value = number
			}
		case colDay:
			s.Format = "yyyy-mm-dd"
		case colWelder, colNote:
		default:
			s.Centre = true
		}
		w.Put(i+1, value, s)
		if text, is := value.(string); is {
			w.Fit(text, plain.Size, i+1, i+1)
		}
	}
}

// choices has the program ask what is typed into a column. A car, and how long it
// took, may be another than is thought of: only told, never refused.
func (w *writer) choices(columns []placed, from, to int) {
	for i, c := range columns {
		col := i + 1
		v := excelize.NewDataValidation(true)
		v.Sqref = grid.Ref(from, col) + ":" + grid.Ref(to, col)
		_, stage := indexOf(stages(), c.key)
		switch {
		case c.key == colCar:
			first := w.estimateHead() + 1
			v.SetSqrefDropList(fmt.Sprintf("'%s'!$A$%d:$A$%d", w.words.text["estimate"], first, first+len(w.e.Cars)-1))
			v.SetError(excelize.DataValidationErrorStyleWarning, c.heading, "This car is not of the order.")
		case c.key == colWhole:
			w.Do(v.SetDropList([]string{"yes", "no"}))
			v.SetError(excelize.DataValidationErrorStyleStop, c.heading, "yes or no")
		case c.key == colDay:
			w.Do(v.SetRange(36526, 73050, excelize.DataValidationTypeDate, excelize.DataValidationOperatorBetween))
			v.SetError(excelize.DataValidationErrorStyleWarning, c.heading, "A day.")
		case stage:
			w.Do(v.SetRange(0, mostMinutes, excelize.DataValidationTypeDecimal, excelize.DataValidationOperatorBetween))
			v.SetError(excelize.DataValidationErrorStyleWarning, c.heading, "Minutes, as a number; a day at most.")
		case c.key == colWelder, c.key == colNote:
			continue
		default:
			w.Do(v.SetRange(0, 0, excelize.DataValidationTypeDecimal, excelize.DataValidationOperatorGreaterThanOrEqual))
			v.SetError(excelize.DataValidationErrorStyleWarning, c.heading, "A number, 0 or more.")
		}
		w.Do(w.File.AddDataValidation(w.Name, v))
	}
}

// paper sets the page up for print: lying, as wide as the paper, its heading on every
// page.
func (w *writer) paper(head int) {
	way, wide, tall, fit, middle := "landscape", 1, 0, true, true
	size := int(book.PaperOf(w.t.Model.System))
	w.Do(w.File.SetSheetProps(w.Name, &excelize.SheetPropsOptions{FitToPage: &fit}))
	w.Do(w.File.SetPageLayout(w.Name, &excelize.PageLayoutOptions{Size: &size, Orientation: &way, FitToWidth: &wide, FitToHeight: &tall}))
	edge, foot, gap := worksheet.EdgeMargin, worksheet.FootMargin, worksheet.FooterMargin // inches
	w.Do(w.File.SetPageMargins(w.Name, &excelize.PageLayoutMarginsOptions{
		Left: &edge, Right: &edge, Top: &edge, Bottom: &foot, Header: &gap, Footer: &gap, Horizontally: &middle,
	}))
	w.Do(w.File.SetHeaderFooter(w.Name, &excelize.HeaderFooterOptions{
		OddFooter: "&C&10 " + w.words.text["procedure"] + "&R&10 " + w.words.text["page"] + " &P",
	}))
	w.Do(w.File.SetDefinedName(&excelize.DefinedName{
		Name: "_xlnm.Print_Titles", Scope: w.Name, RefersTo: fmt.Sprintf("'%s'!$%d:$%d", w.Name, head, head),
	}))
}

// told are the estimator's labels with what they say.
func (w *writer) told() [][2]any {
	l := w.words.labels
	verdict := "COMPLETE"
	if !w.e.complete {
		verdict = incomplete
	}
	lines := "apart"
	if w.e.Together {
		lines = "together"
	}
	var holds any
	if w.e.Holds > 0 {
		holds = w.e.Holds
	}
	return [][2]any{
		{l["quote"], filepath.Base(w.t.Report.Input)}, {l["digest"], w.e.digest}, {l["verdict"], verdict},
		{l["units"], w.t.Model.System.String()}, {l["lines"], lines},
		{l["bottle"] + ", " + w.e.GasUnit, holds}, {l["yield"], w.e.Yield},
		{l["seal"], w.e.seal()},
	}
}

// estimateHead is the row of the headings on the estimator's page.
func (w *writer) estimateHead() int { return len(w.told()) + 5 }

// estimate is the page of what the model makes of each car.
func (w *writer) estimate() {
	columns := w.words.page(true)
	widths := make([]float64, len(columns))
	for i, c := range columns {
		widths[i] = c.width
	}
	last := len(columns)
	w.Sheet(w.words.text["estimate"], widths)
	w.Next(16)
	w.Across(1, last, w.words.text["warning"], plain.Style{Bold: true, Wrap: true}, plain.Size)
	w.Next(16)
	w.Across(1, last, w.words.text["what"], plain.Style{Wrap: true}, plain.Size)
	w.Next(8)
	for _, line := range w.told() {
		w.Next(16)
		w.Put(1, line[0], plain.Style{Grey: true})
		w.Put(4, line[1], plain.Style{})
	}
	w.Next(10)
	w.Next(32)
	for i, c := range columns {
		text := c.heading
		if _, gas := indexOf(floor.GasLines(), strings.TrimPrefix(c.key, estPrefix)); gas {
			text += ", " + w.e.GasUnit
		}
		w.Put(i+1, text, plain.Style{Bold: true, Pale: true, Under: plain.Medium, Wrap: true, Right: i > 0 && !aside(c.key)})
	}
	for n := range max(len(w.e.Cars), len(w.e.rests)) {
		w.Next(16)
		if n < len(w.e.Cars) {
			car := &w.e.Cars[n]
			for i, c := range columns {
				if value, format := shownOf(car, c.key); value != nil {
					w.Put(i+1, value, plain.Style{Right: i > 0, Format: format, Wrap: i == 0})
				}
			}
			w.Fit(car.Name, plain.Size, 1, 1)
		}
		if n < len(w.e.rests) {
			rest := w.e.rests[n]
			for i, c := range columns {
				if value := rest.of(c.key); value != nil {
					w.Put(i+1, value, plain.Style{})
				}
			}
		}
	}
	w.paper(w.estimateHead())
	w.Do(w.File.SetSheetVisible(w.Name, false)) // a print of the workbook is the floor's page alone
}

// shownOf is what stands of a car in a column of the estimator's page.
func shownOf(e *floor.Car, key string) (value any, format string) {
	const minutes, amount = "#,##0.0", "#,##0.00"
	switch key {
	case estCar:
		return e.Name, ""
	case estOrdered:
		return e.Ordered, "0"
	case estAll:
		return tidy(e.All), minutes
	case estFixed:
		return tidy(e.Fixed), minutes
	case estRods:
		return tidy(e.Rods), amount
	}
	bare := strings.TrimPrefix(key, estPrefix)
	if i, is := indexOf(stages(), bare); is {
		return tidy(e.Stages[i]), minutes
	}
	if i, is := indexOf(floor.GasLines(), bare); is {
		return tidy(e.Gas[i]), amount
	}
	return nil, ""
}

// aside reports whether a column is of what the cars rest on.
func aside(key string) bool { return key == estRest || key == estIs || key == estUnit }

// of is what stands in a column of the estimator's page.
func (r Rest) of(key string) any {
	switch {
	case key == estRest:
		return r.What
	case key == estUnit && r.Unit != "":
		return r.Unit
	case key == estIs && r.Text != "":
		return r.Text
	case key == estIs:
		return r.Num
	}
	return nil
}

// tidy is a number as every program keeps it: of twelve digits, which is more than any
// clock has; nil for none.
func tidy(x float64) any {
	if x != x {
		return nil
	}
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 12, 64), 64)
	return x
}

// incomplete is what the estimator's page says of an order that is not complete.
const incomplete = model.WordIncomplete
