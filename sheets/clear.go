package sheets

import (
	"context"
	"fmt"
	"sort"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/disk"
	"seamtally/sheets/joints"
	"seamtally/sheets/page"
	"seamtally/sheets/paper"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/progress"
)

// ClearOptions says what Clear is to do; the fields are those of PriceOptions.
type ClearOptions struct {
	In, Out, Password      string
	InPlace, Force, DryRun bool
}

// ClearReport is what Clear took out.
type ClearReport struct {
	Input, Output string
	Stands        bool     // there is a file at Output already, which only force replaces
	Sheets        []string // our sheets
	Columns       int      // calculated columns, over all lists
}

// Clear takes out everything that this program has put into a workbook: the
// calculated columns, our sheets and their names. What the shop has, its own edits included, stays.
func Clear(ctx context.Context, o ClearOptions) (*ClearReport, error) {
	to, err := disk.Aim(o.In, o.Out, o.InPlace, o.Force, o.DryRun)
	if err != nil {
		return nil, err
	}
	b, err := book.Open(o.In, o.Password)
	if err != nil {
		return nil, err
	}
	defer b.Close()
	edit := b.Package.Edit()
	defer edit.Close()
	report := &ClearReport{Input: o.In, Output: to.Path, Stands: to.Stands() && !o.InPlace && !o.Force}
	if err := b.ReadOwn(); err != nil {
		return nil, fmt.Errorf("%s: %w", o.In, err)
	}
	if err := clearBook(b, ctx, edit, report); err != nil {
		return nil, fmt.Errorf("%s: %w", o.In, err)
	}
	if o.DryRun {
		return report, nil
	}
	if err := b.SaveEdit(to, edit); err != nil {
		return nil, err
	}
	return report, nil
}

// clearBook takes out the calculated columns, and the sheets and names of ours that
// the book knows of.
func clearBook(b *book.Book, ctx context.Context, e *opc.Edit, report *ClearReport) error {
	if len(b.Own.Titles()) == 0 {
		return fmt.Errorf("there is nothing of ours in this workbook; it was not priced, or cleared already")
	}
	bySheet := map[string]map[int]int{} // sheet -> column -> heading row
	for _, r := range b.Own.Records {
		if !r.Ours {
			continue
		}
		if bySheet[r.Sheet] == nil {
			bySheet[r.Sheet] = map[int]int{}
		}
		bySheet[r.Sheet][r.Col] = r.Row
	}
	var patch workbook.Changes
	for i, s := range b.Workbook.Sheets {
		cols, pages := bySheet[s.Name], clearedNames(b, i, &patch)
		if len(cols) == 0 && pages == nil {
			continue
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := clearList(b, e, i, cols, pages, &patch); err != nil {
			return fmt.Errorf("sheet %q: %w", s.Name, err)
		}
		report.Columns += len(cols)
		progress.Of(ctx, "sheets", i+1, len(b.Workbook.Sheets))
	}
	for _, d := range b.Workbook.Names {
		if d.Sheet < 0 && b.Own.Points(d.Ref) {
			patch.RemoveNames = append(patch.RemoveNames, d)
		}
	}
	report.Sheets = b.Own.Titles()
	patch.RemoveSheets = report.Sheets
	if _, err := b.Patch(e, patch); err != nil {
		return err
	}
	for _, title := range report.Sheets {
		if err := workbook.Ungraft(e, b.Workbook, title); err != nil {
			return err
		}
	}
	return clearFormats(b, e, report.Sheets)
}

// clearList takes our columns out of a sheet, and out of the table or filter
// that was widened over them.
func clearList(b *book.Book, e *opc.Edit, sheet int, cols map[int]int, pages *paper.Names, patch *workbook.Changes) error {
	s := b.Workbook.Sheets[sheet]
	ed := &columnEraser{cols: map[int]bool{}}
	var order []int
	head := 0
	for c, row := range cols {
		ed.cols[c] = true
		order = append(order, c)
		head = row
	}
	sort.Ints(order)
	names := map[int]string{}
	var used grid.Range // by cells that are not ours
	info, err := b.ReadPart(s.PartName, func(r *worksheet.Row) error {
		for _, c := range r.Cells {
			if !ed.cols[c.Col] {
				at := grid.Range{Row1: c.Row, Col1: c.Col, Row2: c.Row, Col2: c.Col}
				if used.Row1 > 0 {
					at = at.Union(used)
				}
				used = at
			}
		}
		if r.Num == head {
			for _, c := range r.Cells {
				names[c.Col] = c.Text
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	edit := worksheet.Edit{Editor: ed, Strings: b.Strings, Shrink: true, Extent: "A1"}
	if pages != nil {
		edit.Print = pages.Clears(info.Pages)
	}
	if used.Row1 > 0 {
		edit.Extent = used.String()
	}
	for _, c := range info.Cols {
		if !ed.cols[c.Min] {
			edit.Outline = max(edit.Outline, c.OutlineLevel)
		}
	}
	for _, c := range order {
		edit.RemoveCols = append(edit.RemoveCols, worksheet.Col{Min: c, Max: c})
	}
	if at, err := grid.ParseRange(info.AutoFilter); err == nil && at.Row1 == head {
		if at.Col2 = lastOutside(at, ed.cols); at.String() != info.AutoFilter {
			edit.AutoFilterRef = at.String()
			for _, d := range b.Workbook.Names {
				if d.Sheet == sheet && strings.EqualFold(d.Name, joints.FilterName) {
					d.Ref = page.RangeRef(s.Name, at)
					patch.SetNames = append(patch.SetNames, d)
				}
			}
		}
	}
	for _, name := range s.Tables {
		if err := shrinkTable(b, e, name, head, order, names); err != nil {
			return err
		}
	}
	return b.SplicePart(e, s.PartName, edit)
}

func shrinkTable(b *book.Book, e *opc.Edit, name string, head int, order []int, names map[int]string) error {
	src, t, err := joints.ReadTable(e, name)
	if err != nil {
		return err
	}
	var drop []string
	for _, c := range order {
		if t.Ref.Row1 == head && t.Ref.Contains(head, c) {
			drop = append(drop, names[c])
		}
	}
	if len(drop) == 0 {
		return nil
	}
	out, err := workbook.ShrinkTable(name, src, drop)
	if err != nil {
		return err
	}
	e.Replace(name, out)
	return nil
}

// lastOutside is the last column of a block that is not ours.
func lastOutside(at grid.Range, ours map[int]bool) int {
	for c := at.Col2; c > at.Col1; c-- {
		if !ours[c] {
			return c
		}
	}
	return at.Col1
}

// columnEraser takes whole columns out of a sheet.
type columnEraser struct {
	cols map[int]bool
	out  []worksheet.NewCell
}

// Next asks for no rows.
func (ed *columnEraser) Next(int) int { return 0 }

// Row takes the cells out.
func (ed *columnEraser) Row(r *worksheet.Row) (worksheet.RowEdit, error) {
	ed.out = ed.out[:0]
	for _, c := range r.Cells {
		if ed.cols[c.Col] {
			ed.out = append(ed.out, worksheet.NewCell{Col: c.Col, Style: -1, Op: worksheet.Remove})
		}
	}
	return worksheet.RowEdit{Cells: ed.out}, nil
}
