package look

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// fills are the colours of a chart's series: neighbours differ on any printer, and each
// stands out from the paper. inks write on them.
func fills() []string { return []string{"2F5D62", "7A9996", "1B3A42", "54737F"} }
func inks() []string  { return []string{paper, black, paper, paper} }

// SeriesFill is how the bars of a chart's series are filled, from 0 on.
func SeriesFill(i int) excelize.Fill { return fill(solid, fills()[i]) }

// axisFormat is how a scale shows its numbers.
const axisFormat = "#,##0"

// digitPixels is the width of a digit, in which columns are measured, in the letters of
// our own workbooks.
const digitPixels = 7

// Pixels is how wide columns of these widths are together on a screen: what a chart over
// them may take, or print cuts it off.
func Pixels(widths []float64) uint {
	all := uint(0)
	for _, w := range widths {
		all += uint(w * digitPixels)
	}
	return all
}

func (b *Book) draw(s Sheet) error {
	for _, c := range s.Charts {
		if err := b.chart(s.Title, c); err != nil {
			return fmt.Errorf("%q at %s: %w", c.Title, c.At, err)
		}
	}
	return nil
}

func (b *Book) chart(sheet string, c Chart) error {
	kind, lying, stacked := excelize.Bar, true, false
	if c.Kind == Curve {
		return b.curve(sheet, c)
	}
	switch c.Kind {
	case Bar:
	case BarStacked:
		kind, stacked = excelize.BarStacked, true
	case Column:
		kind, lying = excelize.Col, false
	case ColumnStacked:
		kind, lying, stacked = excelize.ColStacked, false, true
	default:
		return fmt.Errorf("there is no chart kind %d; use the constants of this package", c.Kind)
	}
	all := c.Series
	if len(all) == 0 {
		all = []Series{{Values: c.Values}}
	}
	if len(all) > len(fills()) {
		return fmt.Errorf("%d series, but only %d can be told apart in black and white; sum some", len(all), len(fills()))
	}
	series := make([]excelize.ChartSeries, len(all))
	for i, v := range all {
		if v.Values == "" || c.Names == "" {
			return errors.New("no cells are given; set Names, and Values or Series")
		}
		if len(all) > 1 && !strings.Contains(v.Name, "!") {
			return fmt.Errorf("the name of a series is %q; give the cell that holds it, like 'Summary'!$C$19", v.Name)
		}
		label := excelize.ChartDataLabel{Font: b.ink(black)}
		place := excelize.ChartDataLabelsPositionOutsideEnd
		if stacked {
			label.Font = b.ink(inks()[i])
			place = excelize.ChartDataLabelsPositionCenter
		}
		series[i] = excelize.ChartSeries{
			Name: v.Name, Categories: c.Names, Values: v.Values,
			Fill:      fill(solid, fills()[i]),
			DataLabel: label, DataLabelPosition: place,
		}
	}
	legend := excelize.ChartLegend{Position: "none"}
	if len(all) > 1 {
		font := b.ink(black)
		legend = excelize.ChartLegend{Position: "bottom", Font: &font}
	}
	title := b.ink(black)
	title.Bold, title.Size = true, b.size+1
	gap, same, plain := uint(45), 0, false
	if stacked {
		same = 100
	}
	width, height := c.Width, c.Height
	if width == 0 {
		width = 620
	}
	if height == 0 {
		height = 320
	}
	least, names := new(float64), excelize.ChartTickLabelNextToAxis
	if c.Signed {
		least, names = nil, excelize.ChartTickLabelLow // not among the bars
	}
	up := excelize.ChartAxis{
		MajorGridLines: true, Minimum: least, Font: b.ink(charcoal), NumFmt: excelize.ChartNumFmt{CustomNumFmt: axisFormat},
		Title: excelize.ChartTitle{Paragraph: run(c.Unit, b.ink(charcoal))},
	}
	if len(all) == 1 && !c.Signed { // every bar has its number: a scale says nothing more
		up = excelize.ChartAxis{None: true, Minimum: least}
		if c.Unit != "" {
			c.Title += ", " + c.Unit
		}
	}
	err := b.lib().AddChart(sheet, c.At, &excelize.Chart{
		Type:       kind,
		Series:     series,
		Dimension:  excelize.ChartDimension{Width: uint(width), Height: uint(height)},
		Format:     excelize.GraphicOptions{Positioning: "oneCell", AltText: c.Title},
		Legend:     legend,
		Title:      excelize.ChartTitle{Paragraph: run(c.Title, title)},
		VaryColors: &plain,
		GapWidth:   &gap, Overlap: &same,
		// Names are read from the top down, as they stand in the cells.
		XAxis: excelize.ChartAxis{ReverseOrder: lying, Font: b.ink(black), TickLabelPosition: names,
			Title: excelize.ChartTitle{Paragraph: run(c.Along, b.ink(charcoal))}},
		YAxis:    up,
		PlotArea: excelize.ChartPlotArea{ShowVal: true, NumFmt: excelize.ChartNumFmt{CustomNumFmt: c.Format, SourceLinked: c.Format == ""}},
		Border:   edge(),
	})
	if err != nil {
		return err
	}
	b.charts++
	if lying {
		return b.settle(fmt.Sprintf("xl/charts/chart%d.xml", b.charts), up.None)
	}
	return nil
}

// curve draws a line through points, without marks.
func (b *Book) curve(sheet string, c Chart) error {
	width, height := cmp.Or(c.Width, 620), cmp.Or(c.Height, 320)
	title := b.ink(black)
	title.Bold, title.Size = true, b.size+1
	zero, one := 0.0, 1.0
	axis := func(text string) excelize.ChartAxis {
		return excelize.ChartAxis{MajorGridLines: true, Font: b.ink(charcoal), Title: excelize.ChartTitle{Paragraph: run(text, b.ink(charcoal))}}
	}
	along, up := axis(c.Along), axis(c.Unit)
	along.NumFmt = excelize.ChartNumFmt{CustomNumFmt: axisFormat}
	up.Minimum, up.Maximum = &zero, &one
	up.NumFmt = excelize.ChartNumFmt{CustomNumFmt: "0%"}
	b.charts++
	return b.lib().AddChart(sheet, c.At, &excelize.Chart{
		Type: excelize.Scatter,
		Series: []excelize.ChartSeries{{
			Categories: c.Names, Values: c.Values,
			Fill:   fill(solid, fills()[0]), // the line takes its ink from here
			Line:   excelize.LineOptions{Type: excelize.LineSolid, Width: 2},
			Marker: excelize.ChartMarker{Symbol: "none"},
		}},
		Dimension: excelize.ChartDimension{Width: uint(width), Height: uint(height)},
		Format:    excelize.GraphicOptions{Positioning: "oneCell", AltText: c.Title},
		Legend:    excelize.ChartLegend{Position: "none"},
		Title:     excelize.ChartTitle{Paragraph: run(c.Title, title)},
		XAxis:     along, YAxis: up,
		Border: edge(),
	})
}

// barsIn is where the bars of a chart without a scale lie, as shares of the chart: left of
// them their names, right of the longest the number at its end, which some programs would
// write over the frame.
const barsIn = `<layout><manualLayout><layoutTarget val="inner"></layoutTarget><xMode val="edge"></xMode><yMode val="edge"></yMode>` +
	`<x val="0.33"></x><y val="0.14"></y><w val="0.51"></w><h val="0.82"></h></manualLayout></layout>`

// settle mends what the library cannot say of lying bars: with the names from
// the top down the axis of the values would stand above the bars and its title
// on end. Without a scale the bars leave room for their numbers.
func (b *Book) settle(name string, noScale bool) error {
	stored, ok := b.lib().Pkg.Load(name)
	if !ok {
		return fmt.Errorf("the chart is not in %s", name)
	}
	src := stored.([]byte)
	at := bytes.Index(src, []byte("<valAx>"))
	if at < 0 {
		return fmt.Errorf("%s has no axis of values", name)
	}
	head, axis := src[:at], src[at:]
	axis = bytes.Replace(axis, []byte(`<crosses val="autoZero">`), []byte(`<crosses val="max">`), 1)
	axis = bytes.Replace(axis, []byte(`rot="-5400000"`), []byte(`rot="0"`), 1)
	if noScale {
		head = bytes.Replace(head, []byte("<plotArea>"), []byte("<plotArea>"+barsIn), 1)
	}
	b.lib().Pkg.Store(name, append(bytes.Clone(head), axis...))
	return nil
}

// edge is the line around a chart.
func edge() excelize.LineOptions {
	return excelize.LineOptions{Type: excelize.LineSolid, Width: 0.75, Fill: fill(solid, ash)}
}

// ink is the font of a chart's words.
func (b *Book) ink(colour string) excelize.Font {
	return excelize.Font{Family: b.font, Size: max(b.size-2, 8), Color: colour}
}

func run(text string, font excelize.Font) []excelize.RichTextRun {
	if text == "" {
		return nil
	}
	return []excelize.RichTextRun{{Text: text, Font: &font}}
}
