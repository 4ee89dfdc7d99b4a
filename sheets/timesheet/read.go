package timesheet

import (
	"context"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"seamtally/compute/floor"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// headRows are those in which headings are looked for.
const headRows = 60

// mostMinutes is how long one stage of one car may take and be believed: a day.
const mostMinutes = 24 * 60

// errNoSheet is that of a workbook without the estimator's page.
var errNoSheet = errors.New("it is no time sheet")

// Read reads what was logged of cars: a time sheet that was filled in, or the shop's own
// workbook with minutes beside its joints or cars. What it does not understand it tells
// with its cell, and leaves out.
func Read(ctx context.Context, path, password string) ([]Line, []book.Finding, error) {
	w, err := readWords()
	if err != nil {
		return nil, nil, err
	}
	b, err := book.Open(path, password)
	if err != nil {
		return nil, nil, err
	}
	defer b.Close()
	r := &reader{b: b, w: w, path: path}
	lines, err := r.read(ctx)
	if errors.Is(err, errNoSheet) {
		own, ownErr := r.shopOwn(ctx, password)
		switch {
		case ownErr == nil:
			return own, r.found, nil
		case len(r.pages) == 0:
			return nil, nil, ownErr
		}
		lines, err = nil, nil
	}
	if err == nil {
		err = b.StillTheSame()
	}
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", path, err)
	}
	return lines, r.found, nil
}

// reader reads a time sheet.
type reader struct {
	b     *book.Book
	w     *words
	path  string
	found []book.Finding

	e     *estimates
	eAt   string // the sheet that they stand on
	pages []*page
}

// page is a sheet that is filled in: where its headings stand, and the columns.
type page struct {
	sheet, part string
	head        int
	columns     map[int]heading
}

// table are the rows of a sheet.
type table [][]worksheet.Cell

// read finds the pages, and reads them.
func (r *reader) read(ctx context.Context) ([]Line, error) {
	for _, s := range r.b.Workbook.Sheets {
		if s.Kind != "worksheet" {
			continue
		}
		top, err := r.rows(s.PartName, headRows)
		if err != nil {
			return nil, fmt.Errorf("sheet %q: %w", s.Name, err)
		}
		switch {
		case r.hasDigest(top):
			if r.e != nil {
				return nil, fmt.Errorf("%s and %s both say what the model makes of the cars; keep that of the quote which was built", r.eAt, s.Name)
			}
			all, err := r.rows(s.PartName, 0)
			if err != nil {
				return nil, fmt.Errorf("sheet %q: %w", s.Name, err)
			}
			if err := r.estimates(s.Name, all); err != nil {
				return nil, fmt.Errorf("%s: %w", s.Name, err)
			}
		default:
			if p := r.pageIn(top); p != nil {
				p.sheet, p.part = s.Name, s.PartName
				r.pages = append(r.pages, p)
			}
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
	if r.e == nil {
		if len(r.pages) > 0 {
			p := r.pages[0]
			r.tell(p.sheet, grid.Ref(p.head, 1), book.LevelError, "no estimate", "the workbook has no sheet with what the model makes of the cars, so nothing in it is counted", "put the sheet "+r.w.text["estimate"]+" of the time sheet back, or copy these lines into a new time sheet of the quote")
		}
		return nil, errNoSheet
	}
	var lines []Line
	for _, p := range r.pages {
		rows, err := r.rows(p.part, 0)
		if err != nil {
			return nil, fmt.Errorf("sheet %q: %w", p.sheet, err)
		}
		lines = append(lines, r.lines(p, rows)...)
	}
	return r.once(lines), nil
}

// rows reads the rows of a sheet; most of them if it is over 0.
func (r *reader) rows(part string, most int) (table, error) {
	var out table
	_, err := r.b.ReadPart(part, func(row *worksheet.Row) error {
		if most > 0 && row.Num > most {
			return book.ErrEnough
		}
		out = append(out, slices.Clone(row.Cells))
		return nil
	})
	return out, err
}

// tell notes something at a cell.
func (r *reader) tell(sheet, cell string, level book.Level, rule, what, fix string) {
	r.found = append(r.found, book.Finding{Level: level, Rule: rule, Cell: fmt.Sprintf("%s:%s!%s", filepath.Base(r.path), sheet, cell), What: what, Fix: fix})
}

// warn is tell for what keeps something from being counted.
func (r *reader) warn(sheet, cell, rule, what, fix string) {
	r.tell(sheet, cell, book.LevelWarning, rule, what, fix)
}

// hasDigest reports whether a sheet is that of the estimates.
func (r *reader) hasDigest(rows table) bool {
	_, ok := r.labelled(rows, "digest")
	return ok
}

// labelled is the first cell beside a label in the first column.
func (r *reader) labelled(rows table, label string) (worksheet.Cell, bool) {
	words := entry.WordsIn(r.w.labels[label])
	for _, row := range rows {
		if len(row) == 0 || row[0].Col != 1 || row[0].Kind != worksheet.Text {
			continue
		}
		if said := entry.WordsIn(row[0].Text); len(said) < len(words) || !slices.Equal(said[:len(words)], words) {
			continue
		}
		for _, c := range row[1:] {
			if c.Kind != worksheet.Empty {
				return c, true
			}
		}
		return worksheet.Cell{Row: row[0].Row, Col: 2}, true
	}
	return worksheet.Cell{}, false
}

// pageIn finds the headings of a page that is filled in: a car, and at least one
// amount that is logged of it.
func (r *reader) pageIn(rows table) *page {
	for _, row := range rows {
		p := &page{columns: map[int]heading{}}
		car, logged := false, false
		for _, c := range row {
			if c.Kind != worksheet.Text {
				continue
			}
			h, known := r.w.recognise(c.Text, false)
			if !known {
				continue
			}
			p.head, p.columns[c.Col] = c.Row, h
			_, stage := indexOf(stages(), h.key)
			car, logged = car || h.key == colCar, logged || stage || h.key == colClocked
		}
		if car && logged && len(p.columns) >= 3 {
			return p
		}
	}
	return nil
}

// estimates reads the estimator's page.
func (r *reader) estimates(sheet string, rows table) error {
	text := func(label string) string {
		c, _ := r.labelled(rows, label)
		return book.CellText(c)
	}
	number := func(label string) float64 {
		if c, ok := r.labelled(rows, label); ok && c.Kind == worksheet.Number && c.Num > 0 {
			return c.Num
		}
		return math.NaN()
	}
	e := &estimates{
		Order:  floor.Order{Together: strings.EqualFold(text("lines"), "together"), Holds: number("bottle"), Yield: number("yield")},
		digest: strings.ToLower(text("digest")), complete: !strings.EqualFold(text("verdict"), incomplete),
		metric: strings.EqualFold(text("units"), model.Metric.String()),
	}
	r.e, r.eAt = e, sheet
	var columns map[int]heading
	for _, row := range rows {
		if columns == nil {
			columns = r.estimateHead(row)
			continue
		}
		one, rest := floor.Car{All: math.NaN(), Fixed: math.NaN(), Rods: math.NaN()}, Rest{Num: math.NaN()}
		for i := range one.Stages {
			one.Stages[i], one.Gas[i] = math.NaN(), math.NaN()
		}
		for _, c := range row {
			h, known := columns[c.Col]
			if !known || c.Kind == worksheet.Empty {
				continue
			}
			if h.key == estCar {
				one.Name = book.CellText(c)
				continue
			}
			if aside(h.key) {
				rest.put(h.key, c)
				continue
			}
			to := keptAt(&one, h.key)
			switch {
			case to == nil:
			case c.Kind != worksheet.Number || c.Num < 0:
				r.warn(sheet, grid.Ref(c.Row, c.Col), "estimate", fmt.Sprintf("what the model makes of %s is no number, so nothing is compared with it", one.Name), "put the cell back as it was, or make the time sheet anew")
			case h.min > 0:
				*to = c.Num * h.min
			default:
				*to = c.Num
			}
		}
		if rest.What != "" {
			e.rests = append(e.rests, rest)
		}
		if one.Name == "" {
			continue
		}
		if e.find(one.Name) != nil {
			return fmt.Errorf("%s stands there twice; keep one", one.Name)
		}
		e.Cars = append(e.Cars, one)
	}
	if len(e.Cars) == 0 {
		return errors.New("no car stands there; put the sheet back as it was")
	}
	if seal, _ := r.labelled(rows, "seal"); book.CellText(seal) != e.seal() {
		r.warn(sheet, grid.Ref(max(seal.Row, 1), 1), "changed", "what the model makes of the cars was changed since the time sheet was made, or its seal was", "make the time sheet anew, and copy the lines of the floor into it")
	}
	if !e.complete {
		r.warn(sheet, "A1", "draft", "the time sheet was made of an order that was INCOMPLETE: joints may be missing in what the model makes of its cars", "price the quote, and make the time sheet anew")
	}
	return nil
}

// put takes a cell of what the cars rest on.
func (r *Rest) put(key string, c worksheet.Cell) {
	switch {
	case key == estRest:
		r.What = book.CellText(c)
	case key == estUnit:
		r.Unit = book.CellText(c)
	case c.Kind == worksheet.Number:
		r.Num = c.Num
	default:
		r.Text = book.CellText(c)
	}
}

// estimateHead reads a row as the headings of the estimator's page, nil if it is none.
func (r *reader) estimateHead(row []worksheet.Cell) map[int]heading {
	out, car := map[int]heading{}, false
	for _, c := range row {
		if h, known := r.w.recognise(c.Text, true); c.Kind == worksheet.Text && known {
			out[c.Col] = h
			car = car || h.key == estCar
		}
	}
	if !car || len(out) < 3 {
		return nil
	}
	return out
}

// keptAt is where a column of the estimator's page is kept, nil where it is not.
func keptAt(e *floor.Car, key string) *float64 {
	bare := strings.TrimPrefix(key, estPrefix)
	if i, is := indexOf(stages(), bare); is {
		return &e.Stages[i]
	}
	if i, is := indexOf(floor.GasLines(), bare); is {
		return &e.Gas[i]
	}
	switch key {
	case estAll:
		return &e.All
	case estFixed:
		return &e.Fixed
	case estRods:
		return &e.Rods
	}
	return nil
}

// find is a car by its name, nil where there is none.
func (e *estimates) find(car string) *floor.Car {
	for i := range e.Cars {
		if entry.SameWords(e.Cars[i].Name, car) {
			return &e.Cars[i]
		}
	}
	return nil
}

// once leaves out cars that stand on two lines: which of them is right is not guessed.
func (r *reader) once(lines []Line) []Line {
	first := map[string]int{}
	out := map[int]bool{}
	for i, l := range lines {
		if l.Number == 0 {
			continue
		}
		key := strings.ToLower(l.Car) + "\x00" + fmt.Sprint(l.Number)
		was, twice := first[key]
		if !twice {
			first[key] = i
			continue
		}
		out[was], out[i] = true, true
		r.warn(l.Sheet, l.Cell, "twice", fmt.Sprintf("%s %d is logged here and at %s!%s, and counted neither here nor there", l.Car, l.Number, lines[was].Sheet, lines[was].Cell), "write both into one line, or mend the number")
	}
	var kept []Line
	for i, l := range lines {
		if !out[i] {
			kept = append(kept, l)
		}
	}
	return kept
}

// cell is a cell of a table's row, an empty one where there is none.
func cell(row []worksheet.Cell, col int) worksheet.Cell {
	for _, c := range row {
		if c.Col == col {
			return c
		}
	}
	return worksheet.Cell{Col: col}
}

// shownAs is a cell as a message says it.
func shownAs(c worksheet.Cell) string {
	switch c.Kind {
	case worksheet.Text:
		return fmt.Sprintf("text %q", strings.TrimSpace(c.Text))
	case worksheet.Error:
		return c.Text
	case worksheet.Bool:
		return "yes or no"
	}
	return formula.GeneralText(c.Num)
}
