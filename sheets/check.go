package sheets

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/headings"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
)

// CheckReport is how a workbook was understood, and everything found in it.
type CheckReport struct {
	Report
	Lists  []ListReport
	Others []string // sheets without a joint list, left alone
	Cars   string   // the sheet that says how many cars are ordered; "" for none
}

// ListReport is how one joint list was understood.
type ListReport struct {
	Sheet      string
	HeadingRow int
	FirstRow   int // first row that may be a joint
	LastRow    int // last row that was looked at
	Columns    []ColumnReport
	Unread     []ColumnReport // headings that mean nothing to the program
	Missing    []DefaultReport
	Calculated string // where our columns stand, or would; AB:FH
	Passed     []PassedReport
	Read       int
	Priced     int
	LeftOut    int
}

// ColumnReport is what one column of the shop's was taken for.
type ColumnReport struct {
	Column  string // its letters
	Heading string
	Input   string // the model's name for it
	Unit    string // of bare numbers in it; "" for words
	Open    bool   // not read, and not settled to be the shop's own
	From    string // where the unit comes from: the heading, the book, the Columns table
}

// DefaultReport is an input that the list has no column for.
type DefaultReport struct {
	Input, Heading, Value string
}

// PassedReport is a row that is no joint.
type PassedReport struct {
	Row int
	Why string
}

// Check reads a workbook as Price does, writes nothing, and says how it was
// understood. The password is that of an encrypted workbook.
func Check(ctx context.Context, in, password string) (*CheckReport, error) {
	b, err := book.Open(in, password)
	if err != nil {
		return nil, err
	}
	defer b.Close()
	run := newRun(ctx, b, PriceOptions{In: in, DryRun: true}, Unwatched{})
	run.Unwritten = true
	edit := b.Package.Edit()
	defer edit.Close()
	if err := run.all(edit); err != nil {
		return nil, fmt.Errorf("%s: %w", in, err)
	}
	out := &CheckReport{Report: *run.Report}
	has := map[string]bool{}
	for _, l := range run.All {
		out.Lists = append(out.Lists, run.understood(l))
		has[l.Title] = true
	}
	if run.Cars != nil {
		out.Cars = run.Cars.Title
		has[run.Cars.Title] = true
	}
	for _, s := range b.Workbook.Sheets {
		if !has[s.Name] && !slices.Contains(run.Made.All, s.Name) {
			out.Others = append(out.Others, s.Name)
		}
	}
	return out, nil
}

// understood is how a list was read.
func (b *Run) understood(l *joints.List) ListReport {
	r := ListReport{
		Sheet: l.Title, HeadingRow: l.HeadRow, FirstRow: l.DataRow, LastRow: l.LastRow,
		Read: l.Rows.Read, Priced: l.Rows.Priced, LeftOut: l.Rows.LeftOut,
	}
	mine, taken := map[int]bool{}, map[int]bool{}
	var span grid.Range
	for _, c := range l.Ours {
		mine[c] = true
		at := grid.Range{Row1: 1, Col1: c, Row2: 1, Col2: c}
		if span.Row1 > 0 {
			at = at.Union(span)
		}
		span = at
	}
	r.Calculated = grid.ColName(span.Col1) + ":" + grid.ColName(span.Col2)
	for _, c := range l.Sorted() {
		taken[c.Col] = true
		r.Columns = append(r.Columns, b.columnReport(c))
	}
	for _, col := range headings.Ordered(l.Heads) {
		if !mine[col] && !taken[col] {
			r.Unread = append(r.Unread, ColumnReport{Column: grid.ColName(col), Heading: OneLine(l.Heads[col]), Open: b.IsOpen(l, col)})
		}
	}
	for _, q := range b.Model.Line.Quantities {
		if _, have := l.Shop[q.Key]; q.Role == model.Input && !have {
			r.Missing = append(r.Missing, DefaultReport{q.Key, q.Heading, b.defaultOf(q, l)})
		}
	}
	for _, p := range l.Rows.PassedOver {
		r.Passed = append(r.Passed, PassedReport{p.Row, p.Why})
	}
	return r
}

func OneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func (b *Run) columnReport(c headings.Column) ColumnReport {
	r := ColumnReport{Column: grid.ColName(c.Col), Heading: OneLine(c.Head), Input: c.Key}
	q := b.Model.Line.Quantity(c.Key)
	if q == nil || q.IsText() {
		return r
	}
	r.Unit, r.From = q.Unit.String(), "the book"
	if c.HasUnit && c.Unit.SameDim(q.Unit) {
		r.Unit, r.From = c.Unit.String(), "the heading"
	}
	if c.Settled {
		r.From = "the Columns table"
	}
	if q.Unit.IsPlain() {
		r.Unit, r.From = "", ""
	}
	return r
}

// defaultOf says what a row without the input gets.
func (b *Run) defaultOf(q *model.Quantity, l *joints.List) string {
	if q.Key == "car" {
		return l.Title
	}
	single := b.Model.Singles.Quantity(q.FormulaText())
	switch {
	case single == nil && q.FormulaText() == "0":
		return "none"
	case single == nil:
		return "= " + q.FormulaText()
	case single.IsText():
		return single.Text(b.Values.Singles)
	}
	return strings.TrimSpace(formula.GeneralText(single.Num(b.Values.Singles)) + " " + single.Unit.String())
}
