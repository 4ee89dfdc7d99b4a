package compare

import (
	"bytes"
	"fmt"
	"math"
	"slices"

	"github.com/xuri/excelize/v2"

	"seamtally/sheets/look"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// barNames is how much of a change's name a bar shows, in letters.
const barNames = 28

// The height of the chart in pixels, and the rows that it lies over.
const (
	bridgeChartHigh = 380
	bridgeChartRows = 20
)

// charted reports whether there is a chart: a figure below 0 would be stacked
// wrongly.
func (w *bridgeWriter) charted() bool {
	below := func(c Change) bool { return c.Running < 0 }
	return len(w.r.Changes) > 0 && w.r.Total.Old >= 0 && w.r.Total.New >= 0 && !slices.ContainsFunc(w.r.Changes, below)
}

// bars writes the cells of the chart, right of what is printed: of each bar a
// name, a part that is not seen, and one of three that is. It gives their rows.
func (w *bridgeWriter) bars() (rows [2]int) {
	r := w.r
	if !w.charted() {
		return rows
	}
	plain, _ := w.formats()
	number, text := look.Style{Role: look.Key, Format: plain, Align: look.Right}, look.Style{Role: look.Key}
	bottom := w.row
	w.row = w.first - 1
	for i, h := range []string{"Chart", "Below", "Figure", "More", "Less"} {
		w.put(colBar+i, h, text)
	}
	end := func(name, from string, x float64) {
		w.row++
		w.put(colBar, name, text)
		w.put(colBase, 0.0, number)
		w.live(colEnd, from, x, number)
		w.put(colUp, 0.0, number)
		w.put(colDown, 0.0, number)
	}
	step := func(name string, before, after string, was, now float64) {
		w.row++
		w.put(colBar, name, text)
		w.live(colBase, fmt.Sprintf("MIN(%s,%s)", before, after), math.Min(was, now), number)
		w.put(colEnd, 0.0, number)
		w.live(colUp, fmt.Sprintf("MAX(%s-%s,0)", after, before), math.Max(now-was, 0), number)
		w.live(colDown, fmt.Sprintf("MAX(%s-%s,0)", before, after), math.Max(was-now, 0), number)
	}
	at := func(row int) string { return grid.Ref(row, colRunning) }
	rows[0] = w.row + 1
	end("Old", at(w.first), r.Total.Old)
	was := r.Total.Old
	for i, c := range r.Changes {
		if left := len(r.Changes) - i; i == mostBars && left > 0 {
			step(fmt.Sprintf("%d more", left), at(w.first+i), at(w.last-1), was, r.Changes[len(r.Changes)-1].Running)
			break
		}
		step(short(c), at(w.first+i), at(w.first+i+1), was, c.Running)
		was = c.Running
	}
	end("New", at(w.last), r.Total.New)
	rows[1] = w.row
	w.row = max(bottom, w.row)
	return rows
}

// short is the name of a change on the chart.
func short(c Change) string {
	name := []rune(c.Name)
	if len(name) > barNames {
		name = append(name[:barNames-1], '…')
	}
	return string(name)
}

// finish draws the chart on the shell, splices the cells in, and gives the file.
func (w *bridgeWriter) finish(bars [2]int) ([]byte, error) {
	drawn, err := w.look.Filled(func(f *excelize.File) error {
		if w.charted() {
			if err := w.draw(f, bars); err != nil {
				return err
			}
		}
		full := true
		return f.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &full})
	})
	if err != nil {
		return nil, err
	}
	pkg, err := opc.OpenBytes(drawn)
	if err != nil {
		return nil, err
	}
	edit := pkg.Edit()
	defer edit.Close()
	if err := w.splice(pkg, edit); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	_, err = edit.WriteTo(&out)
	return out.Bytes(), err
}

// splice writes the cells: the library would store a formula without its value.
func (w *bridgeWriter) splice(pkg *opc.Package, edit *opc.Edit) error {
	wb, err := workbook.Read(pkg)
	if err != nil {
		return err
	}
	name := wb.Sheets[0].PartName
	src, err := pkg.Open(name)
	if err != nil {
		return err
	}
	defer src.Close()
	dst, err := edit.Spool(name)
	if err != nil {
		return err
	}
	extent := grid.Range{Row1: 1, Col1: 1, Row2: w.row, Col2: colDown}
	if err := worksheet.Splice(dst, src, worksheet.Edit{Editor: w, Extent: extent.String()}); err != nil {
		dst.Close()
		return err
	}
	return dst.Close()
}

// Next is the next row that has cells.
func (w *bridgeWriter) Next(after int) int {
	for row := after + 1; row <= w.row; row++ {
		if w.cells[row] != nil {
			return row
		}
	}
	return 0
}

// Row gives the cells of a row.
func (w *bridgeWriter) Row(r *worksheet.Row) (worksheet.RowEdit, error) {
	return worksheet.RowEdit{Cells: w.cells[r.Num], Height: w.height[r.Num]}, nil
}

// draw draws the chart: columns that hang between the figure before a change
// and after it, dark where it rises. The axis begins near the lowest, or the
// steps could not be seen beside the whole.
func (w *bridgeWriter) draw(f *excelize.File, rows [2]int) error {
	r := w.r
	low, high := min(r.Total.Old, r.Total.New), max(r.Total.Old, r.Total.New)
	for _, c := range r.Changes {
		low, high = min(low, c.Running), max(high, c.Running)
	}
	least := floorTo(low-(high-low)*0.25, high-low)
	legend := "dark: more, light: less"
	if least > 0 {
		legend += "; the axis does not begin at 0"
	}
	cells := func(col int) string {
		return fmt.Sprintf("'%s'!$%s$%d:$%[2]s$%[4]d", bridgeSheet, grid.ColName(col), rows[0], rows[1])
	}
	series := []excelize.ChartSeries{
		{Values: cells(colBase), Fill: excelize.Fill{Type: "pattern"}, Line: excelize.LineOptions{Type: excelize.LineNone}},
		{Values: cells(colEnd), Fill: look.SeriesFill(2)},
		{Values: cells(colUp), Fill: look.SeriesFill(0)},
		{Values: cells(colDown), Fill: look.SeriesFill(1)},
	}
	for i := range series {
		series[i].Name = fmt.Sprintf("'%s'!$%s$%d", bridgeSheet, grid.ColName(colBase+i), rows[0]-1)
		series[i].Categories = cells(colBar)
	}
	gap, same := uint(40), 100
	font := excelize.Font{Family: "Calibri", Size: 9, Color: "000000"}
	title := font
	title.Bold, title.Size = true, 12
	axis := "#,##0"
	if !r.Money {
		axis = "General"
	}
	return f.AddChart(bridgeSheet, grid.Ref(w.chartRow, colWhat), &excelize.Chart{
		Type: excelize.ColStacked, Series: series,
		Dimension: excelize.ChartDimension{Width: look.Pixels(bridgeWidths()[:colRunning]), Height: bridgeChartHigh},
		Format:    excelize.GraphicOptions{Positioning: "oneCell", AltText: w.title()},
		Legend:    excelize.ChartLegend{Position: "none"},
		Title: excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{
			Text: w.title() + " (" + legend + ")", Font: &title}}},
		GapWidth: &gap, Overlap: &same,
		XAxis:  excelize.ChartAxis{Font: font},
		YAxis:  excelize.ChartAxis{MajorGridLines: true, Minimum: &least, Font: font, NumFmt: excelize.ChartNumFmt{CustomNumFmt: axis}},
		Border: excelize.LineOptions{Type: excelize.LineSolid, Width: 0.75, Fill: ink("595959")},
	})
}

func ink(colour string) excelize.Fill {
	return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{colour}}
}

// floorTo is x, not below 0, down to a round part of the span.
func floorTo(x, span float64) float64 {
	if x <= 0 || span <= 0 {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(span)))
	return math.Floor(x/step) * step
}
