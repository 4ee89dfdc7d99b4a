package calibrate

import (
	"fmt"
	"math"

	"github.com/xuri/excelize/v2"

	"seamtally/sheets/part/grid"
)

// Size of a chart in pixels, and the rows that it lies over.
const (
	chartWide, chartHigh = 860, 320
	chartRows            = 17
	mostAbove            = 24 // rows over them for which they still fit on the page
)

// charts draws a dot for each car and stage: logged over estimated minutes beside the
// line of equality, and how far off the fit each is, in order of build.
func (w *writer) charts(blocks []block) {
	most := 0.0
	for _, b := range blocks {
		most = max(most, b.most)
	}
	if most == 0 {
		return
	}
	if w.row > mostAbove {
		w.do(w.f.InsertPageBreak(w.sheet, grid.Ref(w.row, 1)))
	}
	// What the charts need beside the cars: the line's ends, and the cars' count.
	ends := [2]int{carCell + 2, carCell + 3}
	sheet := w.sheet
	w.sheet = sheetCars
	top, last := roundUp(most), 0
	for _, b := range blocks {
		last = max(last, b.last-b.first+1)
	}
	row := w.row
	small := styles()[1]
	for i, x := range []any{"Line of equality", 0.0, top} {
		w.row = 3 + i
		w.put(ends[0], x, small)
	}
	w.row = 3
	w.put(ends[1], "Car after car", small)
	for i := range last {
		w.row = 4 + i
		w.put(ends[1], float64(i+1), small)
	}
	w.sheet, w.row = sheet, row
	line := cells(ends[0], 4, 5)
	dots := []excelize.ChartSeries{{
		Name: "Equal", Categories: line, Values: line, Line: solid("595959"), Fill: ink("595959"), Marker: excelize.ChartMarker{Symbol: "none"}, // the line takes its ink from Fill
	}}
	var off []excelize.ChartSeries
	for i, b := range blocks {
		s := excelize.ChartSeries{Name: b.stage, Categories: cells(carEstimate, b.first, b.last), Values: cells(carLogged, b.first, b.last),
			Line: excelize.LineOptions{Type: excelize.LineNone}, Marker: marker(i)}
		dots = append(dots, s)
		s.Categories, s.Values = cells(ends[1], 4, 3+b.last-b.first+1), cells(carOff, b.first, b.last)
		off = append(off, s)
	}
	zero := 0.0
	w.scatter("Logged over estimated minutes, a dot a car and stage", dots, excelize.ChartAxis{Minimum: &zero, Maximum: &top}, excelize.ChartAxis{Minimum: &zero, Maximum: &top}, "Estimate, min", "Logged, min")
	end := float64(last + 1)
	w.scatter("Off the fit, car after car in order of build", off, excelize.ChartAxis{Minimum: &zero, Maximum: &end}, excelize.ChartAxis{}, "Car", "Off")
}

// scatter draws one, and moves below it.
func (w *writer) scatter(title string, series []excelize.ChartSeries, x, y excelize.ChartAxis, along, up string) {
	font := excelize.Font{Family: "Calibri", Size: 9, Color: "000000"}
	head := font
	head.Bold, head.Size = true, 12
	text := func(s string, font *excelize.Font) excelize.ChartTitle {
		return excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: s, Font: font}}}
	}
	x.Font, y.Font, y.MajorGridLines = font, font, true
	x.Title, y.Title = text(along, &font), text(up, &font)
	x.NumFmt = excelize.ChartNumFmt{CustomNumFmt: "#,##0"}
	y.NumFmt = x.NumFmt
	if up == "Off" {
		y.NumFmt.CustomNumFmt, x.TickLabelPosition = "0%", excelize.ChartTickLabelLow
	}
	w.do(w.f.AddChart(w.sheet, grid.Ref(w.row, 1), &excelize.Chart{
		Type: excelize.Scatter, Series: series,
		Dimension: excelize.ChartDimension{Width: chartWide, Height: chartHigh},
		Format:    excelize.GraphicOptions{Positioning: "oneCell", AltText: title},
		Legend:    excelize.ChartLegend{Position: "right", Font: &font},
		Title:     text(title, &head),
		XAxis:     x, YAxis: y,
		Border: excelize.LineOptions{Type: excelize.LineSolid, Width: 0.75, Fill: ink("595959")},
	}))
	w.row += chartRows
}

// cells is a column of Cars, for a chart.
func cells(col, first, last int) string {
	return fmt.Sprintf("'%s'!$%s$%d:$%[2]s$%[4]d", sheetCars, grid.ColName(col), first, last)
}

func ink(colour string) excelize.Fill {
	return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{colour}}
}

func solid(colour string) excelize.LineOptions {
	return excelize.LineOptions{Type: excelize.LineSolid, Width: 1, Fill: ink(colour)}
}

// marker is one for each stage, told apart without colour.
func marker(i int) excelize.ChartMarker {
	shapes, greys := []string{"circle", "square", "triangle", "diamond"}, []string{"262626", "8C8C8C", "595959", "BFBFBF"}
	return excelize.ChartMarker{Symbol: shapes[i%len(shapes)], Size: 7, Fill: ink(greys[i%len(greys)]), Border: solid("262626")}
}

// roundUp is x up to a round number.
func roundUp(x float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(x))) / 2
	return math.Ceil(x/step) * step
}
