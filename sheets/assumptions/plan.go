package assumptions

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// tableCol is the column where tables begin.
const tableCol = 2

// Plan lays out the Assumptions sheet.
func (b *Sheet) Plan(title string, at *Places) (*page.Plan, error) {
	p := page.New(title, b.Own.Assumptions == "")
	p.Shell.Widths = assumeWidths()
	p.Shell.FreezeRow = 2
	a := &Plan{Sheet: b, p: p, At: at, ink: look.New(b.Styles.DefaultFont())}
	a.head()
	a.points()
	if err := a.singles(); err != nil {
		return nil, err
	}
	for _, t := range b.Model.Tables {
		if err := a.table(t); err != nil {
			return nil, err
		}
	}
	a.stickless()
	a.reliability()
	a.handOn()
	a.putSettings()
	a.units()
	if err := a.Draw(p, at.log, p.Build || at.Arrived(at.log.First-1), a.ink); err != nil {
		return nil, err
	}
	if err := a.seal(); err != nil {
		return nil, err
	}
	a.DrawRecord(p, at.state)
	a.columns()
	a.contents()
	a.footMoved()
	b.Names.Define(book.NameAssumptions, page.RangeRef(title, grid.Range{Row1: 1, Col1: 1, Row2: 1, Col2: 1}))
	p.Shell.Print = look.Print{TitleRows: "1:1", TitleCols: "A:B", Foot: b.Foot(), Area: a.printed(), Portrait: true, Breaks: []int{at.Table[b.Model.Tables[0]].First - 3}}
	return p, nil
}

// printed are the blocks of the sheet that are printed: down the sheet to the
// column of the basis; then what stands right of that in a table that is wider.
func (a *Plan) printed() string {
	areas := []string{grid.Ref(1, book.AssumeKey) + ":" + grid.Ref(a.At.log.Last()+1, book.AssumeBasis)}
	for _, t := range a.Model.Tables {
		at, last := a.At.Table[t], 0
		for q, col := range at.Cols {
			if q.Role == model.Column {
				last = max(last, col)
			}
		}
		if last > book.AssumeBasis {
			areas = append(areas, grid.Ref(at.First-1, book.AssumeBasis+1)+":"+grid.Ref(at.last(), last))
		}
	}
	return strings.Join(areas, ",")
}

// assumeWidths are the widths of the columns of Assumptions.
func assumeWidths() []float64 {
	return []float64{17, 50, 12, 9, 12, 9, 10, 10, 11, 11, 9, 36, 24, 11, 11, 12, 11, 11, 12, 24, 12, 10, 10, 10}
}

// widest is the last column that a table takes.
func widest(at *Places) int {
	col := max(book.AssumePlace, at.reliability, at.since)
	for _, t := range at.Table {
		for _, c := range t.Cols {
			col = max(col, c)
		}
	}
	return col
}

type Plan struct {
	*Sheet
	p   *page.Plan
	At  *Places
	ink *look.Book // for the heights of rows
}

func (a *Plan) cellRef(row, col int) string {
	return page.CellRef(a.p.Title, row, col)
}

// head is the quote's header, the system of units and the legend.
func (a *Plan) head() {
	p := a.p
	p.Put(1, page.Text(1, look.Title, book.AssumptionsTitle, page.Static))
	p.Put(2, page.Text(1, look.Note, book.AssumeLegend+"; the rest is worked out. Formulas use the names on the left. Costs, prices and times are positive: below zero stands a loss, or what learning saves.", page.Static))
	for _, h := range a.Model.Heads {
		row := a.At.Key[book.HeadPrefix+h.Key]
		if row == 0 {
			continue
		}
		p.Put(row, page.Text(book.AssumeKey, look.Key, book.HeadPrefix+h.Key, page.Static))
		p.Put(row, page.Text(book.AssumeWhat, look.Label, h.What, page.Static))
		a.wide(row, a.field(book.HeadPrefix+h.Key, h.Value))
		a.Names.Define(book.HeadPrefix+h.Key, a.cellRef(row, book.AssumeValue))
	}
	if row := a.At.system; row > 0 {
		p.Put(row, page.Text(book.AssumeWhat, look.Label, "Units of this book", page.Static))
		p.Put(row, page.Text(book.AssumeValue, look.CalcText, a.Model.System.String(), page.Static))
		a.Names.Define(book.NameUnits, a.cellRef(row, book.AssumeValue))
		p.Put(row+2, page.Text(book.AssumeWhat, look.Label, "Formulas, as of", page.Static))
		p.Put(row+2, page.Text(book.AssumeValue, look.CalcText, a.Fingerprint, page.Ours))
		a.Names.Define(book.NameModel, a.cellRef(row+2, book.AssumeValue))
		p.Put(row+1, page.Text(book.AssumeWhat, look.Label, "What the cells look like", page.Static))
		p.Put(row+1, page.Text(book.AssumeValue, look.InputText, "yours", page.Static))
		p.Put(row+1, page.Text(book.AssumeUsed, look.CalcText, "worked out", page.Static))
		p.Put(row+1, page.Text(book.AssumeLow, look.OverrideText, "typed over", page.Static))
		p.Put(row+1, page.Text(book.AssumeInside, look.Refused, "left out", page.Static))
	}
	if a.At.heads = cmp.Or(a.At.heads, a.At.Key["Name"]); a.At.heads == 0 {
		return // the shop heads them in its own words
	}
	for i, h := range []string{"Name", "Assumption", "Value", "Unit", "Value used", "Unit used", "Usual low", "Usual high", "In range", "As shipped", "Changed", "Basis", "Note", "In place"} {
		p.Put(a.At.heads, page.Text(i+1, look.Heading, h, page.Static))
	}
}

// singles are the rows of the single assumptions.
func (a *Plan) singles() error {
	section := ""
	for _, q := range a.Model.Singles.Quantities {
		row := a.At.Key[q.Key]
		if row == 0 {
			return fmt.Errorf("%s!A: the row of %q is gone from the sheet; put its name back in the first column of a row, or run clear and price anew", a.p.Title, q.Key)
		}
		if q.Section != section || a.At.Arrived(row) && !a.At.isKey(row-1) {
			section = q.Section
			a.p.Put(row-1, page.Text(book.AssumeWhat, look.Section, section, page.Static))
		}
		a.p.Put(row, page.Text(book.AssumeKey, look.Key, q.Key, page.Static))
		a.p.Put(row, page.Text(book.AssumeWhat, look.Label, q.Heading, page.Static))
		a.Names.Define(q.Key, a.cellRef(row, book.AssumeUsed))
		var err error
		switch {
		case q.Role == model.Figure:
			err = a.derived(q, row)
		case q.IsText():
			a.word(q, row)
		default:
			a.amount(q, row)
		}
		if err != nil {
			return err
		}
		moved := page.Cell{Col: book.AssumePlace, Style: look.Style{Role: look.CalcText}, Kind: worksheet.Text}
		a.p.Put(row, moved.Live(fmt.Sprintf(`IF(ROW(%s)=ROW(),"","moved")`, a.Names.Use(q.Key))))
	}
	a.p.Shell.Flags = append(a.p.Shell.Flags, fmt.Sprintf("I%d:N%d", a.At.FirstKey, a.At.LastKey))
	a.limits()
	return nil
}

// limits has the spreadsheet program ask back where a number cannot be right.
func (a *Plan) limits() {
	zero := 0.0
	ask := func(r grid.Range, low, high *float64, what string) {
		a.p.Shell.Validations = append(a.p.Shell.Validations, look.Validation{
			Range: r.String(), Decimal: true, Low: low, High: high, ErrorTitle: "A number", Error: what,
		})
	}
	const amount = "A number, 0 or more, in the unit beside it."
	ask(grid.Range{Row1: a.At.FirstKey, Col1: book.AssumeLow, Row2: a.At.LastKey, Col2: book.AssumeHigh}, &zero, nil, amount)
	var run grid.Range // of values, one below the other, that 0 alone bounds
	end := func() {
		if run.Row1 > 0 {
			ask(run, &zero, nil, amount)
		}
		run = grid.Range{}
	}
	for _, q := range a.Model.Singles.Quantities {
		if q.Role != model.Assumption || q.IsText() {
			continue
		}
		row := a.At.Key[q.Key]
		value := grid.Range{Row1: row, Col1: book.AssumeValue, Row2: row, Col2: book.AssumeValue}
		switch bounded := q.MoreThan > 0 || !math.IsInf(q.LessThan, 1); {
		case bounded: // in the one unit that it may have
			end()
			low, high := max(q.MoreThan, 0), &q.LessThan
			words := "A number from " + formula.GeneralText(low)
			if math.IsInf(q.LessThan, 1) {
				high, words = nil, words+" up"
			} else {
				words += " to " + formula.GeneralText(q.LessThan)
			}
			ask(value, &low, high, words+", in the unit beside it.")
		case run.Row2 == row-1:
			run.Row2 = row
		default:
			end()
			run = value
		}
	}
	end()
}

func (a *Plan) derived(q *model.Quantity, row int) error {
	none := func(string, string) (string, error) {
		return "", fmt.Errorf("a value worked out once uses only assumptions")
	}
	cells := func(table, key string) (string, error) {
		if table == "" && a.Model.Singles.Quantity(key) != nil {
			return a.Names.Use(key), nil
		}
		return none(table, key)
	}
	f, err := q.Formula().Print(cells)
	if err != nil {
		return err
	}
	a.p.Put(row, book.Showing(page.Number(book.AssumeUsed, look.Calc, q.Shown, q.Num(a.Values.Singles), page.Ours).Live(f), q, 0))
	a.p.Put(row, wrapped(page.Text(book.AssumeBasis, look.CalcText, q.Source, page.Static)))
	a.tall(row, book.AssumeBasis, q.Source)
	return nil
}

func (a *Plan) word(q *model.Quantity, row int) {
	p, v := a.p, q.Text(a.Values.Singles)
	value := wrapped(page.Text(book.AssumeValue, look.InputText, v, page.Shop))
	if !p.Build && !strings.EqualFold(book.CellText(*a.Own.Cell(row, book.AssumeValue)), v) {
		value.Owner = page.Ours // set by the run, as it was asked to
	}
	p.Put(row, value)
	p.Put(row, page.Text(book.AssumeUsed, look.CalcText, v, page.Ours).Live(grid.Ref(row, book.AssumeValue)+`&""`))
	assumed, col := a.assumed(q, a.At), a.choiceColumn(q)
	list := look.Validation{Range: grid.Ref(row, book.AssumeValue), Words: q.Choices, Strict: true}
	if col != "" {
		list.Words, list.Source, list.Strict = nil, col, false
	}
	p.Shell.Validations = append(p.Shell.Validations, list)
	a.inRange(assumed, row, col)
	p.Put(row, wrapped(page.Text(book.AssumeShipped, look.CalcText, q.TextValue, page.Ours)))
	a.changed(assumed, row)
	a.basis(q, row)
	a.tall(row, book.AssumeValue, v)
	a.tall(row, book.AssumeShipped, q.TextValue)
}

// choiceColumn is the column whose words a text assumption may be, "" where the
// words are fixed.
func (a *Plan) choiceColumn(q *model.Quantity) string {
	for _, t := range a.Model.Tables {
		if t.Name+".name" == q.ChoicesOf {
			return book.ColumnName(a.Names, t, "name")
		}
	}
	return ""
}

// inRange writes whether an assumption lies in its usual range, and reports it.
func (a *Plan) inRange(q model.Assumed, row int, words string) bool {
	cell := func(col int) string { return grid.Ref(row, col) }
	in := q.In(a.Values.Singles)
	a.p.Put(row, page.Text(book.AssumeInside, look.CalcText, in, page.Ours).
		Live(q.InFormula(cell(book.AssumeUsed), cell(book.AssumeLow), cell(book.AssumeHigh), words)))
	return in == model.WordInside
}

// changed writes whether an assumption is as shipped.
func (a *Plan) changed(q model.Assumed, row int) {
	a.p.Put(row, page.Text(book.AssumeChanged, look.CalcText, q.Since(a.Values.Singles), page.Ours).
		Live(q.SinceFormula(grid.Ref(row, book.AssumeUsed), grid.Ref(row, book.AssumeShipped))))
}

func (a *Plan) basis(q *model.Quantity, row int) {
	a.p.Put(row, wrapped(page.Text(book.AssumeBasis, look.InputText, q.Source, page.Shop)))
	a.tall(row, book.AssumeBasis, q.Source)
	a.p.Put(row, page.Text(book.AssumeNote, look.InputText, "", page.Shop))
}

// wrapped lets the words of a cell go on in further lines.
func wrapped(c page.Cell) page.Cell {
	c.Style.Wrap = true
	return c
}

// tall makes a row that is new high enough for words in a column; one that is there
// already is the shop's to make so.
func (a *Plan) tall(row, col int, words string) {
	if h := a.ink.RowHeight(look.Words, words, lettersTo*assumeWidths()[col-1]-indent); h > page.StandardHeight+1 {
		a.p.Row(row).Height = max(a.p.Row(row).Height, h)
	}
}

// indent is what words keep off the line before them, in characters.
const indent = 2

// lettersTo is how many letters of running words go into the width of a digit, about
// (seen with common screen fonts, no source).
const lettersTo = 1.12

func (a *Plan) amount(q *model.Quantity, row int) {
	p, x, unit := a.p, q.Num(a.Values.Singles), q.Unit.String()
	p.Put(row, page.Number(book.AssumeValue, look.Input, q.Shown, q.Value, page.Shop))
	used := grid.Ref(row, book.AssumeValue)
	if choices := unitChoices(unit); len(choices) > 1 {
		p.Put(row, page.Text(book.AssumeUnit, look.InputText, unit, page.Shop))
		p.Shell.Validations = append(p.Shell.Validations, look.Validation{Range: grid.Ref(row, book.AssumeUnit), Words: choices, Strict: true})
		d, u := grid.Ref(row, book.AssumeUnit), grid.Ref(row, book.AssumeUsedUnit)
		used = fmt.Sprintf(`%s*IF(%s=%s,1,INDEX(%s,MATCH(%s&">"&%s,%s,0)))`, used, d, u, a.Names.Use("unit_factor"), d, u, a.Names.Use("unit_pair"))
	} else {
		p.Put(row, page.Text(book.AssumeUnit, look.CalcText, unit, page.Static))
	}
	value := page.Number(book.AssumeUsed, look.Calc, q.Shown, x, page.Ours).Live(used)
	value.Means = book.Holder(func(v *compute.Values, x float64) { v.Singles.Num[q.Slot] = x })
	p.Put(row, value)
	p.Put(row, page.Text(book.AssumeUsedUnit, look.CalcText, unit, page.Static))
	if q.HasRange {
		p.Put(row, page.Number(book.AssumeLow, look.Input, q.Shown, q.Low, page.Shop))
		p.Put(row, page.Number(book.AssumeHigh, look.Input, q.Shown, q.High, page.Shop))
	}
	assumed := a.assumed(q, a.At)
	if !a.inRange(assumed, row, "") {
		a.Note(book.LevelWarning, book.FindOutside, a.p.Title+"!"+grid.Ref(row, book.AssumeValue),
			fmt.Sprintf("%s is outside its usual range", q.Key), "check the value and its unit, or widen the range and say why")
	}
	p.Put(row, page.Number(book.AssumeShipped, look.Calc, q.Shown, q.Value, page.Ours))
	a.changed(assumed, row)
	a.basis(q, row)
}
