package timesheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"seamtally/compute/floor"
	"seamtally/compute/formula"
	"seamtally/compute/units"
	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// mostNumber is how long a run may be.
const mostNumber = 100000

// lines reads the lines of a page.
func (r *reader) lines(p *page, rows table) []Line {
	at := r.columns(p, rows)
	var out []Line
	for _, row := range rows {
		if len(row) == 0 || row[0].Row <= p.head {
			continue
		}
		if !slices.ContainsFunc(row, func(c worksheet.Cell) bool { return filled(c) && at.amount(c.Col) }) {
			continue // nothing is logged, or it is words below the table
		}
		if l := r.line(p, at, row); l != nil {
			out = append(out, *l)
		}
	}
	return out
}

// filled reports whether somebody has written something into a cell.
func filled(c worksheet.Cell) bool {
	return c.HasFormula || c.Kind != worksheet.Empty && (c.Kind != worksheet.Text || strings.TrimSpace(c.Text) != "")
}

// columns are those of a page that are read, by number.
type columns map[int]heading

// amount reports whether a column holds what is logged of a car.
func (at columns) amount(col int) bool {
	h, known := at[col]
	return known && !slices.Contains([]string{colCar, colNumber, colDay, colWelder, colWhole, colNote}, h.key)
}

// of is the number of a column, 0 where there is none.
func (at columns) of(key string) int {
	for col, h := range at {
		if h.key == key {
			return col
		}
	}
	return 0
}

// columns settles which columns of a page are read: one of each, times with their
// unit. Others with something below their heading are told.
func (r *reader) columns(p *page, rows table) columns {
	at := columns{}
	first := map[heading]int{}
	for _, row := range rows {
		if len(row) == 0 || row[0].Row != p.head {
			continue
		}
		for _, c := range row {
			if c.Kind != worksheet.Text || strings.TrimSpace(c.Text) == "" {
				continue
			}
			h, known := p.columns[c.Col]
			_, stage := indexOf(stages(), h.key)
			same := heading{key: h.key, kind: h.kind}
			switch was := first[same]; {
			case !known:
				if below(rows, p.head, c.Col) {
					r.tell(p.sheet, grid.Ref(c.Row, c.Col), book.LevelNote, "not read", fmt.Sprintf("the column %q is not read", strings.TrimSpace(c.Text)), "head it as the time sheet does, if it is logged of a car")
				}
			case was > 0:
				r.warn(p.sheet, grid.Ref(c.Row, c.Col), "two columns", fmt.Sprintf("the columns %s and %s have one heading, and neither is read", grid.ColName(was), grid.ColName(c.Col)), "keep one of them")
				delete(at, was)
			case (stage || h.key == colClocked) && h.min == 0:
				r.warn(p.sheet, grid.Ref(c.Row, c.Col), "no unit", fmt.Sprintf("the column %q does not say in what the time is, and is not read", strings.TrimSpace(c.Text)), "head it with its unit, as in "+strings.TrimSpace(c.Text)+", min")
				first[same] = c.Col
			default:
				at[c.Col], first[same] = h, c.Col
			}
		}
	}
	return at
}

// below reports whether anything stands in a column below a row.
func below(rows table, head, col int) bool {
	for _, row := range rows {
		if len(row) > 0 && row[0].Row > head && filled(cell(row, col)) {
			return true
		}
	}
	return false
}

// line reads what was logged of a car, nil if nothing of it can be used.
func (r *reader) line(p *page, at columns, row []worksheet.Cell) *Line {
	l := r.blankLine(p.sheet, grid.Ref(row[0].Row, max(at.of(colCar), 1)), "")
	name := book.CellText(cell(row, at.of(colCar)))
	if name == "" {
		r.warn(p.sheet, l.Cell, "no car", "the line does not say of which car it is, and is not counted", "name the car as the quote does")
		return nil
	}
	e := r.e.find(name)
	if e == nil {
		fix := "name it as the quote does"
		if near := entry.Near(name, r.e.names()); len(near) > 0 {
			fix += ": " + near[0]
		}
		r.warn(p.sheet, l.Cell, "not in the quote", fmt.Sprintf("%q is no car of the quote, and is not counted", name), fix)
		return nil
	}
	l.Car = e.Name
	c := cells{r, p, at, row, l}
	c.about()
	c.times(e)
	c.gas(e)
	c.others(e)
	return l
}

func (e *estimates) names() []string {
	var out []string
	for _, c := range e.Cars {
		out = append(out, c.Name)
	}
	return out
}

// cells reads the cells of a line.
type cells struct {
	r   *reader
	p   *page
	at  columns
	row []worksheet.Cell
	l   *Line
}

// about reads what is no amount: number, day, welder, whole, note.
func (c *cells) about() {
	get := func(key string) worksheet.Cell { return cell(c.row, c.at.of(key)) }
	c.l.Welder, c.l.Note = book.CellText(get(colWelder)), book.CellText(get(colNote))
	switch n := get(colNumber); {
	case !filled(n):
	case n.Kind == worksheet.Number && n.Num >= 1 && n.Num <= mostNumber && n.Num == math.Trunc(n.Num):
		c.l.Number = int(n.Num)
	default:
		c.warn(n, "number", fmt.Sprintf("the number in the run is %s, and is not known", shownAs(n)), "write 1 for the first car of the run, 2 for the next")
	}
	switch d := get(colDay); {
	case !filled(d):
	case d.Kind == worksheet.Number && d.Num >= 1:
		day, err := excelize.ExcelDateToTime(d.Num, c.r.b.Workbook.Date1904)
		if err == nil {
			c.l.Day = day.Truncate(24 * time.Hour)
		}
	default:
		day, err := time.Parse(time.DateOnly, strings.TrimSpace(strings.TrimSuffix(d.Text, "T00:00:00")))
		if err != nil {
			c.warn(d, "day", fmt.Sprintf("the day is %s, and is not known", shownAs(d)), "write it as 2026-11-25")
		}
		c.l.Day = day
	}
	switch w := get(colWhole); {
	case !filled(w):
		c.warn(w, "whole", "it is not said whether the whole job was logged", "write yes, or no")
	case w.Kind == worksheet.Bool, w.Kind == worksheet.Number && (w.Num == 0 || w.Num == 1):
		c.l.Whole = w.Num == 1
	case w.Kind == worksheet.Text && slices.Contains([]string{"x", "✓", "✔", "1"}, strings.ToLower(strings.TrimSpace(w.Text))):
		c.l.Whole = true // a box that is ticked
	default:
		word, _, err := c.r.b.Words.Read("yes", book.CellText(w), nil)
		if err != nil {
			c.warn(w, "whole", fmt.Sprintf("whether the whole job was logged is %s", shownAs(w)), "write yes, or no")
		}
		c.l.Whole = word == "yes"
	}
}

// times reads the minutes.
func (c *cells) times(e *floor.Car) {
	logged := 0
	for i, key := range stages() {
		c.l.Estimate[i] = e.Stages[i]
		if c.l.Minutes[i] = c.amount(key, mostMinutes); c.l.Minutes[i] >= 0 {
			logged++
		}
	}
	c.l.EstimateClocked, c.l.Fixed = e.All, e.Fixed
	c.l.Clocked = c.amount(colClocked, 0)
	if sum, over := floor.Over(c.l.Minutes, c.l.Clocked); over {
		c.warn(cell(c.row, c.at.of(colClocked)), "clocked", fmt.Sprintf("%g min are clocked in all, and its stages are %g min together", c.l.Clocked, sum), "mend the one that is wrong")
	}
	if logged == 0 && c.l.Clocked > 0 && c.l.Clocked <= e.Fixed {
		c.warn(cell(c.row, c.at.of(colClocked)), "clocked", fmt.Sprintf("%g min are clocked in all, and its other work and coupons alone are estimated at %g min, so %s is not counted", c.l.Clocked, formula.Round(e.Fixed, 1), c.l.Car), "mend the minutes, or log its stages")
	}
	for _, key := range stages() {
		if col := c.at.of(key); logged > 0 && (col == 0 || !filled(cell(c.row, col))) {
			where := cell(c.row, max(col, 1))
			c.tell(where, book.LevelNote, "stage missing", fmt.Sprintf("the minutes at %s of %s are not logged", key, c.l.Car), "fill them in, if anybody knows them")
		}
	}
}

// gas reads the bottles, and what the model has of the lines that they hang on.
func (c *cells) gas(e *floor.Car) {
	use := func(i int, key string, gas float64) {
		if c.l.Bottles[i] = c.amount(key, 0); c.l.Bottles[i] >= 0 {
			c.l.Gas[i] = gas
			if !(c.l.BottleHolds > 0) {
				c.warn(cell(c.row, c.at.of(key)), "bottle", "bottles are logged, and the quote does not say how much one holds, so they are not counted", "set bottle_size in the quote, and make the time sheet anew")
			}
		}
	}
	if c.at.of(colBottles) > 0 {
		use(0, colBottles, floor.Sum(e.Gas))
		return
	}
	for i, key := range floor.GasLines() {
		use(i, key, e.Gas[i])
	}
}

// others reads rods and repairs.
func (c *cells) others(e *floor.Car) {
	c.l.RodsEstimate = e.Rods
	c.l.Rods = c.amount(colRods, 0)
	for _, x := range c.row {
		if h := c.at[x.Col]; h.key == colRepairs {
			if n := c.amountIn(x.Col, 0); n >= 0 {
				c.l.Repairs[h.kind] = n
			}
		}
	}
}

// amount reads an amount by the key of its column, NaN where none is logged.
func (c *cells) amount(key string, most float64) float64 { return c.amountIn(c.at.of(key), most) }

// amountIn reads an amount, of times in minutes. What is none is told, and so is one
// over most, unless that is 0.
func (c *cells) amountIn(col int, most float64) float64 {
	x := cell(c.row, col)
	if col == 0 || !filled(x) {
		return math.NaN()
	}
	h := c.at[col]
	time := h.min > 0
	what, fix := fmt.Sprintf("%s of %s", h.key, c.l.Car), "write a number, 0 or more"
	if time {
		fix = "write minutes, as a number"
		if h.min != 1 {
			fix = "write hours, as a number"
		}
	}
	amount := x.Num * max(h.min, 1)
	switch {
	case x.Kind == worksheet.Empty:
		c.warn(x, "no value", what+" is a formula without a value, and is not counted", "open the workbook in a spreadsheet program, and save it there")
		return math.NaN()
	case x.Kind == worksheet.Text && time:
		read, err := c.r.b.Measures.Quantity(x.Text, entry.Want{Key: h.key, Dim: minute(), Heading: minute()})
		if err != nil || read.Plain {
			c.warn(x, "no number", fmt.Sprintf("%s is %s, and is not counted", what, shownAs(x)), fix)
			return math.NaN()
		}
		amount = read.Value
		c.tell(x, book.LevelNote, "unit read", fmt.Sprintf("%s is %s, read as %g min", what, shownAs(x), amount), fix)
	case x.Kind != worksheet.Number:
		c.warn(x, "no number", fmt.Sprintf("%s is %s, and is not counted", what, shownAs(x)), fix)
		return math.NaN()
	case c.r.b.IsDate(x.Style):
		c.warn(x, "clock", what+" is shown as a day or a time of day, and is not counted", fix)
		return math.NaN()
	}
	if stale := book.Stale(&x, c.row); stale != "" {
		c.warn(x, "stale", what+" is "+stale+", and is not counted", "open the workbook in a spreadsheet program, and save it there")
		return math.NaN()
	}
	switch {
	case amount < 0:
		c.warn(x, "below 0", fmt.Sprintf("%s is %g, which is below 0, and is not counted", what, amount), fix)
	case most > 0 && amount > most:
		c.warn(x, "over a day", fmt.Sprintf("%s is %g min, which is over a day, and is not counted", what, amount), "write the minutes of this car alone")
	default:
		return amount
	}
	return math.NaN()
}

// minute is the unit of logged times.
func minute() units.Unit {
	u, _ := units.Parse("min")
	return u
}

func (c *cells) tell(at worksheet.Cell, level book.Level, rule, what, fix string) {
	row := at.Row
	if row == 0 {
		row = c.row[0].Row
	}
	c.r.tell(c.p.sheet, grid.Ref(row, max(at.Col, 1)), level, rule, what, fix)
}

func (c *cells) warn(at worksheet.Cell, rule, what, fix string) {
	c.tell(at, book.LevelWarning, rule, what, fix)
}
