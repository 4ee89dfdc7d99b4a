package assumptions

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/logbook"
	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
)

// takenFrom is the row of the earlier workbook that a single assumption comes
// from, 0 if it does not.
func (b *Sheet) takenFrom(q *model.Quantity) int {
	if b.From == nil || q.Role != model.Assumption || q.Anew || b.From.newer[q.Key] {
		return 0
	}
	return b.From.at.Key[q.Key]
}

// field is what an earlier workbook has in a field of the head or of the basis;
// without one, what is shipped.
func (b *Sheet) field(key, shipped string) string {
	if c := b.Own.Taken[key]; c != nil {
		return book.CellText(*c)
	}
	return shipped
}

// Take has a workbook that has no Assumptions begin with what an earlier one has
// there. Both are in the same units.
func (b *Sheet) Take(e *Earlier) {
	b.From, b.Own.Taken = e, map[string]*worksheet.Cell{}
	for _, h := range b.Model.Heads {
		b.takeField(book.HeadPrefix, h)
	}
	for _, h := range b.Model.Basis {
		b.takeField(book.BasisPrefix, h)
	}
	e.newer = map[string]bool{}
	for _, q := range e.shippedOtherwise(e.at, b.Model) {
		e.newer[q.Key] = true
	}
	shipped := compute.Defaults(b.Model)
	for _, q := range b.Model.Singles.Quantities {
		if q.Role == model.Assumption {
			b.takeSingle(q, shipped)
		}
	}
	for i, t := range b.Model.Tables {
		if t.Name != "cars" {
			b.takeTable(t, e.Model.Tables[i], shipped)
		}
	}
	for _, s := range e.ReadState() {
		if s.What == logbook.StateSingle && b.Model.Singles.Quantity(s.Name) == nil {
			e.Took.Dropped = append(e.Took.Dropped, s.Name+" "+b.InMoney(s.Value))
		}
	}
}

func (b *Sheet) takeField(prefix string, h model.Head) {
	row := b.From.at.Key[prefix+h.Key]
	if row == 0 {
		return
	}
	c := b.From.Own.Cell(row, book.AssumeValue)
	switch said := book.CellText(*c); {
	case said == "" || said == h.Value:
	case h.Anew:
		b.From.Took.Left = append(b.From.Took.Left, prefix+h.Key)
	default:
		b.Own.Taken[prefix+h.Key] = c
		b.From.Took.Fields++
		b.From.Took.countFormula(c)
	}
}

func (t *Took) countFormula(c *worksheet.Cell) {
	if c.HasFormula {
		t.Formulas++
	}
}

// takeSingle takes a single assumption, and counts it if anything of it is
// otherwise than as shipped.
func (b *Sheet) takeSingle(q *model.Quantity, shipped *compute.Values) {
	e, took := b.From, &b.From.Took
	row := e.at.Key[q.Key]
	is, was := logbook.ValueOf(q, e.Values.Singles), logbook.ValueOf(q, shipped.Singles)
	switch {
	case row == 0:
		took.Lacks = append(took.Lacks, q.Key)
		return
	case q.Anew:
		if is != was {
			took.Left = append(took.Left, q.Key)
		}
		return
	}
	if e.newer[q.Key] {
		took.Outdated = append(took.Outdated, b.FromTo(q.Key, is, was))
		return
	}
	compute.CopySet(b.Values.Singles, e.Values.Singles, []*model.Quantity{q})
	b.keepBasis(q, e.Own.Cell(row, book.AssumeBasis))
	cell := func(col int) *worksheet.Cell { return e.Own.Cell(row, col) }
	other := is != was
	if other {
		took.Values = append(took.Values, b.FromTo(q.Key, was, is))
	}
	other = other || book.CellText(*cell(book.AssumeBasis)) != q.Source || e.remarked(e.at, row)
	if !q.IsText() {
		other = other || book.CellText(*cell(book.AssumeUnit)) != q.Unit.String()
		if q.HasRange {
			other = other || cell(book.AssumeLow).Num != q.Low || cell(book.AssumeHigh).Num != q.High
		}
	}
	if other {
		took.Assumptions++
	}
	took.countFormula(cell(book.AssumeValue))
}

// takeTable takes the lines of a table.
func (b *Sheet) takeTable(t, from *model.Scope, shipped *compute.Values) {
	e, took := b.From, &b.From.Took
	at := e.at.Table[from]
	var cols, lacks []*model.Quantity
	for i, q := range t.Quantities {
		switch {
		case q.Role != model.Column:
		case at.Cols[from.Quantities[i]] > 0:
			cols = append(cols, q)
		default:
			lacks = append(lacks, q)
		}
	}
	if len(cols) == 0 {
		took.Lacks = append(took.Lacks, "the table "+t.Title)
		return
	}
	for _, q := range lacks {
		took.Lacks = append(took.Lacks, fmt.Sprintf("%s_%s", t.Prefix, q.Key))
	}
	lineOf := func(frames []*formula.Frame, f *formula.Frame) *formula.Frame {
		name, _ := logbook.LineOf(t, f)
		i := slices.IndexFunc(frames, func(g *formula.Frame) bool {
			other, _ := logbook.LineOf(t, g)
			return strings.EqualFold(name, other)
		})
		if i < 0 {
			return nil
		}
		return frames[i]
	}
	was, theirs := shipped.Rows(t).Frames, e.Values.Rows(from).Frames
	rows := b.Values.Rows(t)
	if t.Closed {
		for _, f := range rows.Frames {
			if g := lineOf(theirs, f); g != nil {
				e.noteBlanks(cols, f, g)
				compute.CopySet(f, g, cols)
			} else {
				name, _ := logbook.LineOf(t, f)
				took.Lacks = append(took.Lacks, fmt.Sprintf("%s of the table %s", name, t.Title))
			}
		}
	} else {
		rows.Frames = nil
		for _, g := range theirs {
			if _, value := logbook.LineOf(t, g); value == "" {
				continue // a blank line
			}
			f := b.Values.AddRow(t)
			if as := lineOf(was, g); as != nil {
				e.noteBlanks(cols, as, g)
				compute.CopySet(f, as, lacks)
			}
			compute.CopySet(f, g, cols)
		}
		if item := t.Quantity("item"); item != nil && e.older() { // work that is forgotten costs more than a line too many
			for _, f := range was {
				if !slices.ContainsFunc(theirs, func(g *formula.Frame) bool { return item.Same(f, g) }) {
					compute.CopySet(b.Values.AddRow(t), f, t.Quantities)
					took.Lacks = append(took.Lacks, fmt.Sprintf("%s of the table %s", item.Text(f), t.Title))
				}
			}
		}
	}
	if b.said(t, rows.Frames) != b.said(t, was) {
		took.Tables = append(took.Tables, t.Title)
	}
	for i := range at.rows {
		for _, q := range from.Quantities {
			if q.Role == model.Column && at.Cols[q] > 0 {
				took.countFormula(e.Own.Cell(at.First+i, at.Cols[q]))
			}
		}
	}
}

// noteBlanks notes cells that are blank in a line of an earlier version, and
// shipped with something in them now.
func (e *Earlier) noteBlanks(cols []*model.Quantity, now, theirs *formula.Frame) {
	if !e.older() {
		return
	}
	for _, q := range cols {
		if value := logbook.ValueOf(q, now); q.Digits(theirs) == "" && q.Digits(now) != "" {
			name, _ := logbook.LineOf(q.Scope, theirs)
			e.Took.Blank = append(e.Took.Blank, fmt.Sprintf("%s_%s of %s (%s)", q.Scope.Prefix, q.Key, name, value))
		}
	}
}

// said is all that lines of a table say, remarks too.
func (b *Sheet) said(t *model.Scope, frames []*formula.Frame) string {
	var out strings.Builder
	for _, f := range frames {
		_, value := logbook.LineOf(t, f)
		fmt.Fprintln(&out, value)
		if q := t.Quantity("basis"); q != nil {
			fmt.Fprintf(&out, "%q\n", q.Text(f))
		}
	}
	return out.String()
}

// DropStrangers takes out lines of other work that came with an earlier workbook
// and are for cars that this order does not have, once its cars are known; others
// that somebody has filled in are noted. It says which went.
func (b *Sheet) DropStrangers() (gone []string) {
	t := b.Model.Table("parts")
	if b.From == nil || t == nil {
		return nil
	}
	item, car := t.Quantity("item"), t.Quantity("car")
	shipped := compute.Defaults(b.Model).Rows(t).Frames
	asShipped := func(f *formula.Frame) bool {
		return slices.ContainsFunc(shipped, func(g *formula.Frame) bool {
			return !slices.ContainsFunc(t.Quantities, func(q *model.Quantity) bool { return q.Role == model.Column && !q.Same(f, g) })
		})
	}
	cars := b.TableNames(b.Model.Table("cars"))
	rows := b.Values.Rows(t)
	rows.Frames = slices.DeleteFunc(rows.Frames, func(f *formula.Frame) bool {
		of := car.Text(f)
		if of == "" || strings.EqualFold(of, "all") || slices.ContainsFunc(cars, func(c string) bool { return strings.EqualFold(c, of) }) {
			if !asShipped(f) {
				b.From.Took.Work = append(b.From.Took.Work, item.Text(f))
			}
			return false
		}
		gone = append(gone, fmt.Sprintf("%s (%s)", item.Text(f), of))
		return true
	})
	return gone
}

// handOn writes what the earlier workbook has in the shop's cells beside a single
// assumption into those of a new sheet.
func (a *Plan) handOn() {
	if a.From == nil {
		return
	}
	e := a.From
	for _, q := range a.Model.Singles.Quantities {
		from, row := a.takenFrom(q), a.At.Key[q.Key]
		if from == 0 || row == 0 {
			continue
		}
		hand := func(to, col int) {
			cells := a.p.Row(row).Cells()
			i := slices.IndexFunc(cells, func(c page.Cell) bool { return c.Col == to && c.Owner == page.Shop })
			if i < 0 || col == 0 {
				return
			}
			was := e.Own.Cell(from, col)
			cells[i].Kind, cells[i].Num, cells[i].Text = was.Kind, was.Num, was.Text
			if was.Kind != worksheet.Number && was.Kind != worksheet.Text {
				cells[i].Kind, cells[i].Text = worksheet.Empty, ""
			}
		}
		if !q.IsText() {
			unit := book.CellText(*e.Own.Cell(from, book.AssumeUnit))
			if unit == q.Unit.String() || slices.Contains(unitChoices(q.Unit.String()), unit) {
				hand(book.AssumeValue, book.AssumeValue)
				hand(book.AssumeUnit, book.AssumeUnit)
			} else { // the cell has no such unit to choose
				cells := a.p.Row(row).Cells()
				for i, c := range cells {
					if c.Col == book.AssumeValue {
						cells[i].Num = q.Num(a.Values.Singles)
					}
				}
			}
			hand(book.AssumeLow, book.AssumeLow)
			hand(book.AssumeHigh, book.AssumeHigh)
		}
		hand(book.AssumeBasis, book.AssumeBasis)
		hand(book.AssumeNote, book.AssumeNote)
		hand(a.At.reliability, e.at.reliability)
		hand(a.At.since, e.at.since)
	}
}
