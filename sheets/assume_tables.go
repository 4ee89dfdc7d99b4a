package sheets

import (
	"fmt"
	"math"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/look"
	"seamtally/sheets/part"
)

func equalFold(a, b string) bool { return strings.EqualFold(a, b) }

// roomEnds stands in the first column of the line below a table's room.
const roomEnds = "room ends: insert lines above this one"

// table writes a table: its lines in use, and its room.
func (a *assumePlan) table(t *compute.Scope) error {
	at, p := a.at.table[t], a.p
	p.put(at.first-3, text(tableCol, look.Section, t.Title, static))
	p.put(at.first-2, text(tableCol, look.Note, t.About, static))
	for _, q := range t.Quantities {
		p.put(at.first-1, text(at.cols[q], look.Heading, heading(q), static))
		a.names.set(t.Prefix+"_"+q.Key, rangeRef(p.title, part.Range{Row1: at.first, Col1: at.cols[q], Row2: at.last(), Col2: at.cols[q]}))
		a.tableChoices(t, q, at)
	}
	p.row(at.first - 1).height = 60
	if !t.Closed {
		end := at.last() + 1
		p.put(end, text(assumeKey, look.Key, roomEnds, static))
		word := ""
		if a.below(t) {
			word = wordBelow
			a.note(LevelError, "below room", a.p.title+"!"+part.Ref(end, tableCol), "a line is typed below the room of the table "+t.Title, "move it up, or insert lines inside the table")
		}
		c := planCell{col: assumePlace, style: look.Style{Role: look.CalcText}, kind: part.Text, text: word}
		p.put(end, c.as(fmt.Sprintf(`IF(COUNTA(%s:%s)=0,"",%s)`, part.Ref(end, tableCol), part.Ref(end, tableCol+1), quoted(wordBelow))))
	}
	frames := a.values.Rows(t).Frames
	if len(frames) > at.rows {
		return fmt.Errorf("%s: the table %q has room for %d lines and needs %d; insert lines inside it and price again", p.title, t.Title, at.rows, len(frames))
	}
	formulas, err := a.tableFormulas(t, at)
	if err != nil {
		return err
	}
	blank, err := a.engine.BlankRow(t)
	if err != nil {
		return err
	}
	for i := range at.rows {
		f, row := blank, at.first+i
		if i < len(frames) {
			f = frames[i]
		}
		fresh := !p.build && i >= a.loaded[t] && i < len(frames)
		for _, q := range t.Quantities {
			c := tableCell(q, f, at.cols[q])
			c.fresh = fresh
			if q.Role == compute.Figure {
				c = c.as(formulas[q].at(row)).of(q, i+1)
			} else if t.Name == "cars" {
				c = a.linked(q, f, c)
			}
			p.put(row, c)
		}
	}
	return nil
}

// below reports whether something is typed in the line below a table's room.
func (a *assumePlan) below(t *compute.Scope) bool {
	end := a.at.table[t].last() + 1
	for col := tableCol; col <= tableCol+1; col++ {
		if c := a.own.cell(end, col); c.Kind != part.Empty || c.HasFormula {
			return true
		}
	}
	return false
}

// tableCell is a cell of a table's line.
func tableCell(q *compute.Quantity, f *formula.Frame, col int) planCell {
	o, role, words := shop, look.Input, look.InputText
	if q.Role == compute.Figure {
		o, role, words = ours, look.Calc, look.CalcText
	}
	if q.IsText() {
		return text(col, words, q.Text(f), o)
	}
	x := q.Num(f)
	switch {
	case formula.IsBlank(x):
		return empty(col, look.Style{Role: role, Format: q.Shown}, o)
	case math.IsNaN(x):
		return planCell{col: col, style: look.Style{Role: role, Format: q.Shown}, kind: part.Error, text: "#N/A", owner: o}
	}
	return number(col, role, q.Shown, x, o)
}

// linked lets a car's numbers follow the shop's own list of cars, if it keeps
// one.
func (a *assumePlan) linked(q *compute.Quantity, f *formula.Frame, c planCell) planCell {
	e := a.cars.entry(a.model.Table("cars").Quantity("name").Text(f))
	if e == nil {
		return c
	}
	var from *carCell
	switch q.Key {
	case "ordered":
		from = e.ordered
	case "bid":
		from = e.bid
	case "basis":
		if c.fresh || a.p.build {
			c.text = "from the sheet " + a.cars.title
		}
	}
	if from == nil {
		return c
	}
	there := a.own.cell(a.rowOf(f), c.col)
	if a.p.build || c.fresh || there.HasFormula {
		c.owner = ours
		c = c.as(part.QuoteSheet(a.cars.title) + "!" + from.ref)
		if there.HasFormula {
			c.formula = there.Formula
		}
	}
	return c
}

func (a *assumePlan) rowOf(f *formula.Frame) int {
	t := a.model.Table("cars")
	for i, g := range a.values.Rows(t).Frames {
		if g == f {
			return a.at.table[t].first + i
		}
	}
	return 0
}

// tableFormulas prints the figures of a table.
func (a *assumePlan) tableFormulas(t *compute.Scope, at tableAt) (map[*compute.Quantity]template, error) {
	cells := lookups(a.model, a.names, t, func(q *compute.Quantity) (string, bool) {
		return part.ColName(at.cols[q]) + rowMark, true
	})
	out := map[*compute.Quantity]template{}
	for _, q := range t.Quantities {
		if q.Role != compute.Figure {
			continue
		}
		s, err := q.Formula().Print(cells)
		if err != nil {
			return nil, err
		}
		out[q] = newTemplate(s)
	}
	return out, nil
}

// tableChoices has a column offer the words that it may hold.
func (a *assumePlan) tableChoices(t *compute.Scope, q *compute.Quantity, at tableAt) {
	v := look.Validation{Range: part.Range{Row1: at.first, Col1: at.cols[q], Row2: at.last(), Col2: at.cols[q]}.String()}
	zero, one := 0.0, 1.0
	switch {
	case len(q.Choices) > 0:
		v.Words, v.Strict = q.Choices, true
	case q.Key == "alloy":
		v.Source = a.names.column(a.model.Table("alloys"), "name")
	case t.Name == "parts" && q.Key == "car":
		v.Source = a.names.column(a.model.Table("cars"), "name")
	case t.Name == "cars" && q.Key == "ordered":
		v.Whole, v.Low, v.Strict = true, &one, true
		v.ErrorTitle, v.Error = "Cars ordered", "A whole number of cars, 1 or more."
	case q.Role == compute.Column && !q.IsText():
		v.Decimal, v.Low = true, &zero
		v.ErrorTitle, v.Error = "A number", "A number, 0 or more, in the unit that the heading names."
	default:
		return
	}
	a.p.shell.Validations = append(a.p.shell.Validations, v)
}

// units are the factors between the units that an assumption may be written
// in and those that the formulas use.
func (a *assumePlan) units() {
	p, row := a.p, a.at.unitFirst
	p.put(row-3, text(tableCol, look.Section, "Units", static))
	p.put(row-2, text(tableCol, look.Note, "What one unit is in another; exact.", static))
	p.put(row-1, text(tableCol, look.Heading, "From and to", static))
	p.put(row-1, text(tableCol+1, look.Heading, "Factor", static))
	for i, u := range a.at.pairs {
		p.put(row+i, text(tableCol, look.CalcText, u.from+">"+u.to, ours))
		p.put(row+i, number(tableCol+1, look.Calc, "", u.factor.Apply(1), ours).as("1"+u.factor.Text()))
	}
	last := row + len(a.at.pairs) - 1
	a.names.set("unit_pair", rangeRef(p.title, part.Range{Row1: row, Col1: tableCol, Row2: last, Col2: tableCol}))
	a.names.set("unit_factor", rangeRef(p.title, part.Range{Row1: row, Col1: tableCol + 1, Row2: last, Col2: tableCol + 1}))
}

// columns is the table of where each figure stands on each list, and what each
// column of the shop's was taken for.
func (a *assumePlan) columns() {
	p, row := a.p, a.at.columns
	p.put(row-3, text(columnsSheet, look.Section, "Columns", static))
	p.put(row-2, text(columnsSheet, look.Note, "What each column of the joint lists is. Where a heading of yours is misread, write the figure's name (or -, to leave it alone) and the unit in the bordered cells, and price again.", static))
	for i, h := range []string{"Sheet", "Figure", "Whose", "Unit", "Heading", "Take as", "In unit"} {
		p.put(row-1, text(columnsSheet+i, look.Heading, h, static))
	}
	first := row
	for _, l := range a.lists {
		row = a.columnsOf(l, row)
	}
	a.names.set(nameColumns, rangeRef(p.title, part.Range{Row1: first, Col1: columnsSheet, Row2: max(first, row-1), Col2: columnsSettledUnit}))
	if a.at.columnsMoved {
		a.at.anew = append(a.at.anew, rowsOf{first - footHead + 1, row - first + footHead - 1})
	}
}

// columnsOf writes the lines of one list, the shop's columns first.
func (a *assumePlan) columnsOf(l *list, row int) int {
	add := func(key, whose, unit string, col int) {
		a.p.put(row, text(columnsSheet, look.CalcText, l.title, ours))
		a.p.put(row, text(columnsFigure, look.CalcText, key, ours))
		a.p.put(row, text(columnsWhose, look.CalcText, whose, ours))
		a.p.put(row, text(columnsUnit, look.CalcText, unit, ours))
		head := l.written[col]
		if strings.TrimSpace(head) == "" {
			head = l.heads[col]
		}
		at := text(columnsHeading, look.CalcText, head, ours).as(rangeRef(l.title, part.Range{Row1: l.headRow, Col1: col, Row2: l.headRow, Col2: col}))
		at.record = true
		a.p.put(row, at)
		if whose == whoseShop {
			was := a.own.settled(l, col)
			a.p.put(row, text(columnsSettled, look.InputText, was.settledAs, ours))
			a.p.put(row, text(columnsSettledUnit, look.InputText, was.settledUnit, ours))
		}
		row++
	}
	mine, keys, units := map[int]bool{}, map[int]string{}, map[int]string{}
	for _, c := range l.ours {
		mine[c] = true
	}
	for _, c := range l.shop {
		keys[c.col] = c.key
		if c.hasUnit {
			units[c.col] = c.unit.String()
		}
	}
	for _, col := range ordered(l.heads) {
		if !mine[col] {
			add(keys[col], whoseShop, units[col], col)
		}
	}
	for _, q := range inGroups(a.model) {
		add(q.Key, whoseOurs, compute.UnitLabel(q), l.ours[q])
	}
	return row
}
