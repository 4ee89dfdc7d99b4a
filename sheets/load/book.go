package load

import (
	"fmt"

	"github.com/xuri/excelize/v2"

	"seamtally/compute/backlog"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// loadSheet is the one sheet of the workbook that Weeks writes.
const loadSheet = "Load"

// Columns of the weeks.
const (
	colWeek = iota + 1
	colMonday
	colStage // the first of four
	_
	_
	_
	colExpected
	colSure
	colIf
	colHalf
	colMost
	colCapacity
	colVerdict
	lastCol = colVerdict
)

// The height of the chart in pixels, and the rows that it lies over.
const (
	chartHigh = 380
	chartRows = 20
)

func widths() []float64 {
	return []float64{25, 12, 12, 11, 11, 11, 12, 12, 12, 12, 12, 12, 13}
}

// cell is one of the sheet.
type cell struct {
	row, col int
	value    any // text or number; nil only a format
	xf       int
	across   bool // to the last column
}

// writer lays the sheet out, top to bottom.
type writer struct {
	r      *Report
	look   *look.Book
	row    int
	cells  []cell
	height map[int]float64
	err    error

	chart, first, last int // rows of the chart, and of the weeks
}

// book is the workbook as a file. Two of the same load are equal.
func (r *Report) book() ([]byte, error) {
	w := &writer{r: r, look: look.New("", 0), height: map[int]float64{}}
	w.fill()
	if w.err != nil {
		return nil, w.err
	}
	err := w.look.AddSheet(look.Sheet{
		Title: loadSheet, Widths: widths(),
		Print: look.Print{Paper: book.PaperOf(r.Files[0].run.Model.System), TitleRows: w.repeated(), Area: "A1:" + grid.Ref(w.row, lastCol), Foot: w.title()},
	})
	if err != nil {
		return nil, err
	}
	return w.look.Filled(func(f *excelize.File) error {
		if err := w.write(f); err != nil || len(r.Weeks) == 0 {
			return err
		}
		return w.draw(f)
	})
}

// repeated is the row with the headings of the weeks, which may go on overleaf.
func (w *writer) repeated() string {
	if w.first == 0 {
		return ""
	}
	return fmt.Sprintf("%d:%[1]d", w.first-1)
}

func (w *writer) title() string { return "Load of the floor, week by week" }

func (w *writer) put(col int, value any, s look.Style) {
	w.cells = append(w.cells, cell{w.row, col, value, w.style(s), false})
}

// line writes a text over the whole width.
func (w *writer) line(text string, role look.Role) {
	w.row++
	width := 0.0
	for _, x := range widths() {
		width += x
	}
	w.cells = append(w.cells, cell{w.row, colWeek, text, w.style(look.Style{Role: role}), true})
	w.height[w.row] = w.look.RowHeight(role, text, width)
}

func (w *writer) style(s look.Style) int {
	xf, err := w.look.Style(s)
	if w.err == nil {
		w.err = err
	}
	return xf
}

func (w *writer) headings(words ...string) {
	w.row++
	w.height[w.row] = 2 * page.StandardHeight
	for col := colWeek; col <= lastCol; col++ {
		text := ""
		if col <= len(words) {
			text = words[col-1]
		}
		w.put(col, text, look.Style{Role: look.Heading})
	}
}

func (w *writer) section(text string) {
	w.row += 2
	w.put(colWeek, text, look.Style{Role: look.Section})
}

// fill writes all that stands on the sheet.
func (w *writer) fill() {
	w.row = 1
	w.put(colWeek, w.title(), look.Style{Role: look.Title})
	w.line(w.r.About(), look.Words)
	for _, text := range w.r.Answer() {
		w.line(text, look.Words)
	}
	if len(w.r.Weeks) > 0 {
		w.row += 2
		w.chart = w.row
		w.row += chartRows
		w.weeks()
	}
	w.files()
	w.differing()
	w.section("How it is worked out")
	for _, text := range w.r.Notes() {
		w.line(text, look.Words)
	}
}

const hoursShown = "#,##0.0"

func (w *writer) weeks() {
	w.section("Hours of each week")
	w.headings("Week", "Monday", "Saw (h)", "Bench (h)", "Welding (h)", "Other (h)", "To be expected (h)", "Of it, sure (h)", "If all are won (h)", "P50 (h)", "P80 (h)", "The floor has (h)", "Enough")
	w.first = w.row + 1
	line := func(x backlog.Week, name, monday string, number, words look.Role) {
		w.row++
		w.put(colWeek, name, look.Style{Role: words})
		w.put(colMonday, monday, look.Style{Role: words})
		for i, hours := range x.Stages {
			w.put(colStage+i, hours, look.Style{Role: number, Format: hoursShown})
		}
		for i, hours := range []float64{x.Weighted, x.Firm, x.If, x.P50, x.P80, x.Capacity} {
			w.put(colExpected+i, hours, look.Style{Role: number, Format: hoursShown})
		}
		verdict := x.Verdict()
		switch {
		case words == look.TotalText:
			verdict = ""
		case x.Over():
			words = look.Refused
		}
		w.put(colVerdict, verdict, look.Style{Role: words, Align: look.Left})
	}
	for _, x := range w.r.Weeks {
		line(x, x.ISO, x.Monday, look.Calc, look.CalcText)
	}
	w.last = w.row
	line(w.r.Total, "All weeks", "", look.Total, look.TotalText)
}

// files are the quotes that are counted, and those that are not.
func (w *writer) files() {
	w.section("The quotes")
	w.headings("Quote", "Revision", "Verdict", "Chance", "Hours (h)", "To be expected (h)", "Starts", "First car", "Last car", "A day (h)", "Check number")
	for _, f := range w.r.Files {
		w.row++
		text := look.Style{Role: look.CalcText}
		for _, x := range []struct {
			col   int
			words string
		}{{1, f.Name}, {2, f.Revision}, {3, f.Word()}, {7, f.Start}, {8, f.First}, {9, f.Last}, {11, f.ShortDigest()}} {
			w.put(x.col, x.words, text)
		}
		w.put(4, f.Chance, look.Style{Role: look.Calc, Format: "0%"})
		w.put(5, f.Hours, look.Style{Role: look.Calc, Format: hoursShown})
		w.put(6, f.Hours*f.Chance, look.Style{Role: look.Calc, Format: hoursShown})
		w.put(10, f.DayHours, look.Style{Role: look.Calc, Format: "0.00"})
	}
	for _, text := range w.r.Remarks() {
		w.line(text, look.Words)
	}
}

func (w *writer) differing() {
	if len(w.r.Differ) == 0 {
		return
	}
	w.section("Where the quotes rest on something else")
	for _, d := range w.r.Differ {
		w.line(d.String(), look.Words)
	}
}

// write writes the cells.
func (w *writer) write(f *excelize.File) error {
	for _, c := range w.cells {
		ref, to := grid.Ref(c.row, c.col), grid.Ref(c.row, c.col)
		if c.across {
			to = grid.Ref(c.row, lastCol)
			if err := f.MergeCell(loadSheet, ref, to); err != nil {
				return err
			}
		}
		if c.value != nil && c.value != "" {
			if err := f.SetCellValue(loadSheet, ref, c.value); err != nil {
				return err
			}
		}
		if err := f.SetCellStyle(loadSheet, ref, to, c.xf); err != nil {
			return err
		}
	}
	for row := 1; row <= w.row; row++ {
		if high := w.height[row]; high > 0 {
			if err := f.SetRowHeight(loadSheet, row, high); err != nil {
				return err
			}
		}
	}
	return nil
}

// draw draws the hours of each week, stacked by stage, with what the floor has and
// what they may come to.
func (w *writer) draw(f *excelize.File) error {
	cells := func(col int) string {
		return fmt.Sprintf("'%s'!$%s$%d:$%[2]s$%[4]d", loadSheet, grid.ColName(col), w.first, w.last)
	}
	series := func(col int, fill excelize.Fill) excelize.ChartSeries {
		return excelize.ChartSeries{
			Name:       fmt.Sprintf("'%s'!$%s$%d", loadSheet, grid.ColName(col), w.first-1),
			Categories: cells(colWeek), Values: cells(col),
			Fill: fill,
		}
	}
	font := excelize.Font{Family: "Calibri", Size: 9, Color: "000000"}
	title := font
	title.Bold, title.Size = true, 12
	gap, same, zero := uint(40), 100, 0.0
	stacked := &excelize.Chart{
		Type:      excelize.ColStacked,
		Dimension: excelize.ChartDimension{Width: look.Pixels(widths()), Height: chartHigh},
		Format:    excelize.GraphicOptions{Positioning: "oneCell", AltText: w.title()},
		Legend:    excelize.ChartLegend{Position: "bottom", Font: &font},
		Title:     excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: "Hours to be expected in each week, and what the floor has", Font: &title}}},
		GapWidth:  &gap, Overlap: &same,
		XAxis:  excelize.ChartAxis{Font: font},
		YAxis:  excelize.ChartAxis{MajorGridLines: true, Minimum: &zero, Font: font, NumFmt: excelize.ChartNumFmt{CustomNumFmt: "#,##0"}},
		Border: excelize.LineOptions{Type: excelize.LineSolid, Width: 0.75, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"595959"}}},
	}
	for i := range 4 {
		stacked.Series = append(stacked.Series, series(colStage+i, look.SeriesFill(i)))
	}
	over := &excelize.Chart{Type: excelize.Line, XAxis: stacked.XAxis, YAxis: stacked.YAxis}
	for i, col := range []int{colCapacity, colMost} {
		s := series(col, excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{[]string{"000000", "7F7F7F"}[i]}})
		s.Line = excelize.LineOptions{Type: excelize.LineSolid, Width: 2.25, Dash: []excelize.LineDashType{excelize.LineDashSolid, excelize.LineDashSysDash}[i]}
		s.Marker = excelize.ChartMarker{Symbol: "none"}
		over.Series = append(over.Series, s)
	}
	return f.AddChart(loadSheet, grid.Ref(w.chart, colWeek), stacked, over)
}
