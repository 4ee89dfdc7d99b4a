package calibrate

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"seamtally/compute/logged"
	"seamtally/compute/model"
	"seamtally/sheets/disk"
	"seamtally/sheets/look"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/timesheet"
)

// Titles of the sheets of the report.
const (
	sheetFit  = "Calibration"
	sheetCars = "Cars"
)

// writer lays out a sheet of the report, top to bottom. Its cells are values.
type writer struct {
	f     *excelize.File
	look  *look.Book
	sheet string
	width []float64
	row   int
	err   error
}

func fitWidths() []float64  { return []float64{19, 9, 13, 13, 11, 11, 11, 11, 11, 12} }
func carsWidths() []float64 { return []float64{28, 8, 9, 12, 12, 11, 11, 11, 40, 3, 18, 14} }

func (w *writer) do(err error) {
	if w.err == nil {
		w.err = err
	}
}

// put puts a text or a number; one that is none stays blank.
func (w *writer) put(col int, value any, s look.Style) {
	xf, err := w.look.Style(s)
	w.do(err)
	at := grid.Ref(w.row, col)
	if x, is := value.(float64); is && (math.IsNaN(x) || math.IsInf(x, 0)) {
		value = nil
	}
	w.do(w.f.SetCellStyle(w.sheet, at, at, xf))
	if value != nil {
		w.do(w.f.SetCellValue(w.sheet, at, value))
	}
}

// say puts words over the whole width, in as many lines as they need.
func (w *writer) say(role look.Role, text string) {
	w.put(1, text, look.Style{Role: role})
	across := 0.0
	for _, x := range w.width {
		across += x
	}
	if role == look.Title {
		w.do(w.f.SetRowHeight(w.sheet, w.row, w.look.RowHeight(role, text, 0)))
	}
	if role == look.Words || role == look.Caution {
		w.do(w.f.MergeCell(w.sheet, grid.Ref(w.row, 1), grid.Ref(w.row, len(w.width))))
		w.do(w.f.SetRowHeight(w.sheet, w.row, w.look.RowHeight(role, text, across)))
	}
	w.row++
}

// heads puts the headings of a table.
func (w *writer) heads(all ...string) {
	high := 0.0
	for i, h := range all {
		w.put(i+1, h, look.Style{Role: look.Heading})
		high = max(high, w.look.RowHeight(look.Heading, h, w.width[i]))
	}
	w.do(w.f.SetRowHeight(w.sheet, w.row, high))
	w.row++
}

// save writes the report workbook.
func (r *Report) save(to disk.Output) error {
	data, err := r.book()
	if err != nil {
		return fmt.Errorf("%s: %w", to.Path, err)
	}
	return disk.Save(to, 0o666, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}

// book is the report as a workbook. Two of the same are equal.
func (r *Report) book() ([]byte, error) {
	bk := look.New("", 0)
	for _, s := range []look.Sheet{
		{Title: sheetFit, Widths: fitWidths(), Print: look.Print{Paper: r.paper, Foot: sheetFit, Portrait: true}},
		{Title: sheetCars, Widths: carsWidths(), FreezeRow: 3,
			Print: look.Print{Paper: r.paper, Area: fmt.Sprintf("A1:%s", grid.Ref(len(r.Lines)+3, carCell)), TitleRows: "3:3", Foot: sheetCars}},
	} {
		if err := bk.AddSheet(s); err != nil {
			return nil, err
		}
	}
	plan := &writer{look: bk}
	for _, s := range styles() { // before the file is made, which holds them
		_, err := bk.Style(s)
		plan.do(err)
	}
	if plan.err != nil {
		return nil, plan.err
	}
	return bk.Filled(func(f *excelize.File) error {
		plan.f = f
		r.writeFit(plan, r.writeCars(plan))
		return plan.err
	})
}

// paperOf is the paper of a shop with these cars' units; where they differ it is not said.
func paperOf(lines []timesheet.Line) look.Paper {
	metric := 0
	for _, l := range lines {
		if l.Metric {
			metric++
		}
	}
	if metric > 0 && metric < len(lines) {
		return 0
	}
	return look.PaperFor(metric > 0)
}

// Looks of the report's cells.
func looks() (label, words, number, percent, count look.Style) {
	return look.Style{Role: look.Label}, look.Style{Role: look.CalcText}, look.Style{Role: look.Calc, Format: "#,##0.0"},
		look.Style{Role: look.Calc, Format: "0.0%"}, look.Style{Role: look.Calc, Format: "0"}
}

func styles() []look.Style {
	label, words, number, percent, count := looks()
	return []look.Style{label, words, number, percent, count, {Role: look.CalcText, Align: look.Right}, {Role: look.Title}, {Role: look.Note}, {Role: look.Section}, {Role: look.Heading}, {Role: look.Words}, {Role: look.Caution}}
}

// block is where the cars of a stage stand, and the largest minutes among them.
type block struct {
	stage       string
	first, last int
	most        float64
}

// Columns of Cars.
const (
	carName = iota + 1
	carNumber
	carStage
	carEstimate
	carLogged
	carRatio
	carOff
	carWeight
	carCell
)

// writeCars writes a line for each car and stage, those of a stage together, in the
// order of build as far as it is known.
func (r *Report) writeCars(w *writer) (blocks []block) {
	label, words, number, percent, count := looks()
	w.sheet, w.width, w.row = sheetCars, carsWidths(), 1
	w.say(look.Title, "Cars, as logged")
	w.say(look.Note, "Minutes; the estimate is at factors of 100 %, without learning. Off: over what the fit says of such a car. Weight: how much the car counted.")
	w.heads("Car", "No.", "Stage", "Estimate (min)", "Logged (min)", "Logged over estimate", "Off", "Weight", "Where")
	lines := slices.Clone(r.Lines)
	byBuild(lines)
	for _, stage := range stageWords() {
		b := block{stage: stage, first: w.row}
		for _, l := range lines {
			if l.Stage != stage {
				continue
			}
			w.put(carName, l.Car, label)
			if l.Number > 0 {
				w.put(carNumber, float64(l.Number), count)
			}
			w.put(carStage, l.Stage, words)
			w.put(carEstimate, l.Estimate, number)
			w.put(carLogged, l.Logged, number)
			w.put(carRatio, l.Logged/l.Estimate, percent)
			w.put(carOff, math.Exp(l.Residual)-1, percent)
			w.put(carWeight, l.Weight, percent)
			w.put(carCell, l.Cell, words)
			b.last, b.most = w.row, max(b.most, l.Estimate, l.Logged)
			w.row++
		}
		if b.last > 0 {
			blocks = append(blocks, b)
		}
	}
	return blocks
}

// writeFit writes what came of it, and the charts.
func (r *Report) writeFit(w *writer, blocks []block) {
	label, words, number, percent, count := looks()
	w.sheet, w.width, w.row = sheetFit, fitWidths(), 1
	w.say(look.Title, "What logged hours say of the assumptions")
	var files []string
	for _, path := range r.Sheets {
		files = append(files, filepath.Base(path))
	}
	from := strings.Join(files, ", ")
	if r.Date != "" {
		from += ", as of " + r.Date
	}
	w.say(look.Note, from)
	w.row++
	w.heads("Assumption", "Cars", "Estimate", "Logged", "Stands", "Logged says", "80 % from", "to", "One car, ±", "Verdict")
	for _, f := range r.Factors {
		w.put(1, f.Name, label)
		w.put(2, float64(f.Count), count)
		if f.Estimate > 0 {
			unit, per := " h", 60.0
			switch f.Name {
			case model.GasFactor:
				unit, per = " bottles", 1
			case FillerYield:
				unit, per = " rods", 1
			}
			amount := look.Style{Role: look.CalcText, Align: look.Right}
			w.put(3, fmt.Sprintf("%.1f%s", f.Estimate/per, unit), amount)
			w.put(4, fmt.Sprintf("%.1f%s", f.Logged/per, unit), amount)
		}
		for i, x := range []float64{f.Stands, f.Value, f.Low, f.High} {
			w.put(5+i, x, percent)
		}
		if f.OneCar > 0 {
			w.put(9, f.OneCar, percent)
		}
		w.put(10, string(f.Verdict), words)
		w.row++
	}
	w.row++
	w.say(look.Words, fmt.Sprintf("Hours worked out with these are still expected to be off by %.0f %% in the mean of many cars, and by %.0f %% for one car, as cars differ. "+
		"Under %d cars a factor is advice and no more. Keep: what stands is as good. What is written is the mean, not the median.", 100*r.Expected, 100*r.OneCar, logged.Few))
	if f := r.Factor(LearningSlope); f != nil && !f.Written {
		w.say(look.Words, "The learning slope is written only where it is asked for by name; the factors above are those that go with the slope that stands.")
	}
	if len(r.Far) > 0 {
		w.row++
		w.say(look.Section, "Counted less than half")
		for _, f := range r.Far {
			w.say(look.Words, fmt.Sprintf("%s (%s) counts %.0f %%: %s.", f.Car, f.Cell, 100*f.Weight, f.Why))
		}
	}
	if len(r.Kinds) > 0 {
		w.row++
		w.say(look.Section, "By kind of joint, where rows were logged")
		w.heads("Kind", "Rows", "Estimate (h)", "Logged (h)", "Ratio")
		for _, k := range r.Kinds {
			w.put(1, k.Kind, label)
			w.put(2, float64(k.Rows), count)
			w.put(3, k.Estimate/60, number)
			w.put(4, k.Logged/60, number)
			w.put(5, k.Logged/k.Estimate, percent)
			w.row++
		}
	}
	w.row++
	w.charts(blocks)
	w.say(look.Caution, "An estimate is not a welding procedure.")
}
