package assumptions

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// Earlier is an earlier workbook, whose rates are taken into one that has none.
type Earlier struct {
	*Sheet             // what it has on Assumptions
	File, Sum   string // its name and its SHA-256, for the log
	IsEncrypted bool
	Took        Took

	at *Places
}

// AsEarlier reads what a workbook hands on, once its units are known. What would
// come over otherwise than the workbook itself goes by it is refused.
func (b *Sheet) AsEarlier(file string) (*Earlier, error) {
	b.hands, b.Fingerprint = true, b.Model.Fingerprint()
	if err := b.Load(); err != nil {
		return nil, err
	}
	at, err := b.locate()
	if err != nil {
		return nil, err
	}
	if err := b.sound(at); err != nil {
		return nil, err
	}
	if b.placeReliability(at); at.columnsAdded {
		at.reliability, at.since = 0, 0
	}
	sum, err := b.inputSum()
	if err != nil {
		return nil, err
	}
	return &Earlier{Sheet: b, File: file, Sum: sum, IsEncrypted: b.Container != nil, at: at}, nil
}

// older reports whether another version of the program has priced the workbook.
func (e *Earlier) older() bool { return e.Own.Model != e.Fingerprint }

// sound refuses a sheet on which a name of ours has left its cells: its figures
// went by other cells than those that would be taken. Lines that no figure went
// by are refused too.
func (b *Sheet) sound(at *Places) error {
	ref := func(row, col int) string { return b.Own.Assumptions + "!" + grid.Ref(row, col) }
	for _, q := range b.Model.Singles.Quantities {
		row := at.Key[q.Key]
		_, r, named := page.SplitRef(b.Names.Find(q.Key))
		switch {
		case row == 0 && b.Names.Has(q.Key):
			return fmt.Errorf("%s!A: the row of %q is gone from the sheet; put its name back in the first column of its row, and price the workbook again", b.Own.Assumptions, q.Key)
		case row > 0 && (!named || r.Row1 != row || r.Col1 != book.AssumeUsed):
			return fmt.Errorf("%s: the name %s does not point here, so its figures went by another cell; price the workbook again, which sets the name right", ref(row, book.AssumeUsed), q.Key)
		}
	}
	for _, t := range b.Model.Tables {
		ta := at.Table[t]
		for _, q := range t.Quantities {
			name := t.Prefix + "_" + q.Key
			if _, r, ok := page.SplitRef(b.Names.Find(name)); ok && (r.Row1 != ta.First || r.Row2 != ta.last() || r.Col1 != r.Col2) {
				return fmt.Errorf("%s: the name %s does not stand beside the others of the table %q; point it at rows %d to %d, and price the workbook again",
					ref(r.Row1, r.Col1), name, t.Title, ta.First, ta.last())
			}
		}
		if !t.Closed && ta.rows > 0 && b.below(t, at) {
			return fmt.Errorf("%s: a line is typed below the room of the table %q, and would not come over; move it up, and price the workbook again", ref(ta.last()+1, tableCol), t.Title)
		}
	}
	return nil
}

// Took is what has come from an earlier workbook, and what of it needs a word.
type Took struct {
	Assumptions int      // that are otherwise than as shipped
	Values      []string // of them, those whose value is: "shop_rate 95 -> 110 $/h"
	Tables      []string // titles of those that are otherwise than as shipped
	Columns     int      // of joint lists, and sheets, that are settled
	Fields      int      // of the head and the basis

	Lacks    []string // what its version did not know: as shipped
	Dropped  []string // what this version does not know
	Outdated []string // taken as an earlier version shipped them
	Left     []string // what each order settles for itself
	Formulas int      // cells whose formula came as its value
	Work     []string // lines of other work that bring hours or cost
}

// String counts what came.
func (t Took) String() string {
	var parts []string
	for _, c := range []struct {
		n    int
		what string
	}{{t.Assumptions, "assumption"}, {len(t.Tables), "table"}, {t.Columns, "settled column"}, {t.Fields, "field"}} {
		if c.n == 1 {
			parts = append(parts, "1 "+c.what)
		} else {
			parts = append(parts, fmt.Sprintf("%d %ss", c.n, c.what))
		}
	}
	return strings.Join(parts, ", ")
}

// takenFrom is the row of the earlier workbook that a single assumption comes
// from, 0 if it does not.
func (b *Sheet) takenFrom(q *compute.Quantity) int {
	if b.From == nil || q.Role != compute.Assumption || q.Anew {
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
	shipped := b.Model.Defaults()
	for _, q := range b.Model.Singles.Quantities {
		if q.Role == compute.Assumption {
			b.takeSingle(q, shipped)
		}
	}
	for i, t := range b.Model.Tables {
		if t.Name != "cars" {
			b.takeTable(t, e.Model.Tables[i], shipped)
		}
	}
	for _, s := range e.ReadState() {
		if s.What == StateSingle && b.Model.Singles.Quantity(s.Name) == nil {
			e.Took.Dropped = append(e.Took.Dropped, s.Name+" "+b.money(s.Value))
		}
	}
}

func (b *Sheet) takeField(prefix string, h compute.Head) {
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
func (b *Sheet) takeSingle(q *compute.Quantity, shipped *compute.Values) {
	e, took := b.From, &b.From.Took
	row := e.at.Key[q.Key]
	is, was := stateValue(q, e.Values.Singles), stateValue(q, shipped.Singles)
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
	compute.CopySet(b.Values.Singles, e.Values.Singles, []*compute.Quantity{q})
	cell := func(col int) *worksheet.Cell { return e.Own.Cell(row, col) }
	other := is != was
	if other {
		took.Values = append(took.Values, b.fromTo(q.Key, was, is))
	}
	other = other || book.CellText(*cell(book.AssumeBasis)) != q.Source || book.CellText(*cell(book.AssumeNote)) != ""
	if !q.IsText() {
		other = other || book.CellText(*cell(book.AssumeUnit)) != q.Unit.String()
		if q.HasRange {
			other = other || cell(book.AssumeLow).Num != q.Low || cell(book.AssumeHigh).Num != q.High
		}
		if old := cell(book.AssumeShipped); is != was && old.Kind == worksheet.Number && old.Num == q.Num(e.Values.Singles) {
			took.Outdated = append(took.Outdated, b.fromTo(q.Key, is, was))
		}
	}
	for _, col := range []int{e.at.reliability, e.at.since} {
		other = other || col > 0 && book.CellText(*cell(col)) != ""
	}
	if other {
		took.Assumptions++
	}
	took.countFormula(cell(book.AssumeValue))
}

// takeTable takes the lines of a table.
func (b *Sheet) takeTable(t, from *compute.Scope, shipped *compute.Values) {
	e, took := b.From, &b.From.Took
	at := e.at.Table[from]
	var cols, lacks []*compute.Quantity
	for i, q := range t.Quantities {
		switch {
		case q.Role != compute.Column:
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
		name, _ := stateOf(t, f)
		i := slices.IndexFunc(frames, func(g *formula.Frame) bool {
			other, _ := stateOf(t, g)
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
				compute.CopySet(f, g, cols)
			} else {
				name, _ := stateOf(t, f)
				took.Lacks = append(took.Lacks, fmt.Sprintf("%s of the table %s", name, t.Title))
			}
		}
	} else {
		rows.Frames = nil
		for _, g := range theirs {
			if _, value := stateOf(t, g); value == "" {
				continue // a blank line
			}
			f := b.Values.AddRow(t)
			if as := lineOf(was, g); as != nil {
				compute.CopySet(f, as, lacks)
			}
			compute.CopySet(f, g, cols)
		}
		if t.Quantity("item") != nil && e.older() { // work that is forgotten costs more than a line too many
			for _, f := range was {
				if lineOf(theirs, f) == nil {
					compute.CopySet(b.Values.AddRow(t), f, t.Quantities)
					name, _ := stateOf(t, f)
					took.Lacks = append(took.Lacks, fmt.Sprintf("%s of the table %s", name, t.Title))
				}
			}
		}
	}
	if b.said(t, rows.Frames) != b.said(t, was) {
		took.Tables = append(took.Tables, t.Title)
	}
	for i := range at.rows {
		for _, q := range from.Quantities {
			if q.Role == compute.Column && at.Cols[q] > 0 {
				took.countFormula(e.Own.Cell(at.First+i, at.Cols[q]))
			}
		}
	}
}

// said is all that lines of a table say, remarks too.
func (b *Sheet) said(t *compute.Scope, frames []*formula.Frame) string {
	var out strings.Builder
	for _, f := range frames {
		_, value := stateOf(t, f)
		fmt.Fprintln(&out, value)
		if q := t.Quantity("basis"); q != nil {
			fmt.Fprintf(&out, "%q\n", q.Text(f))
		}
	}
	return out.String()
}

// DropStrangers takes out lines of other work that came with an earlier workbook
// and are for cars that this order does not have, once its cars are known; the
// others that bring hours or cost are noted. It says which went.
func (b *Sheet) DropStrangers() (gone []string) {
	t := b.Model.Table("parts")
	if b.From == nil || t == nil {
		return nil
	}
	item, car, hours, cost := t.Quantity("item"), t.Quantity("car"), t.Quantity("hours_each"), t.Quantity("cost_each")
	cars := b.TableNames(b.Model.Table("cars"))
	rows := b.Values.Rows(t)
	rows.Frames = slices.DeleteFunc(rows.Frames, func(f *formula.Frame) bool {
		of := car.Text(f)
		if of == "" || strings.EqualFold(of, "all") || slices.ContainsFunc(cars, func(c string) bool { return strings.EqualFold(c, of) }) {
			if hours.Num(f) > 0 || cost.Num(f) > 0 {
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
			cells := a.p.Row(row).Cells
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
				for i, c := range a.p.Row(row).Cells {
					if c.Col == book.AssumeValue {
						a.p.Row(row).Cells[i].Num = q.Num(a.Values.Singles)
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
