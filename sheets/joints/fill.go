package joints

import (
	"fmt"

	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/worksheet"
)

// FillLists splices every joint list.
func (r *Lists) FillLists(e *opc.Edit) error {
	st, err := r.lineStyles()
	if err != nil {
		return err
	}
	for i := 0; i < len(r.All); {
		n := 1 // lists on one sheet
		for i+n < len(r.All) && r.All[i+n].Part == r.All[i].Part {
			n++
		}
		if err := r.fillSheet(e, r.All[i:i+n], st); err != nil {
			return fmt.Errorf("sheet %q: %w", r.All[i].Title, err)
		}
		i += n
	}
	r.tellBlanks()
	return nil
}

// sheetEditor fills the lists of one sheet, one below the other.
type sheetEditor struct {
	lists []*Editor
	see   func(ed *Editor, r *worksheet.Row, cells []worksheet.NewCell)
}

// Next asks for no rows: only those that the shop has are filled.
func (s *sheetEditor) Next(int) int { return 0 }

// Row hands a row to the list that it lies in.
func (s *sheetEditor) Row(row *worksheet.Row) (worksheet.RowEdit, error) {
	for _, ed := range s.lists {
		if !ed.L.Has(row.Num) {
			continue
		}
		edit, err := ed.Row(row)
		if err == nil {
			s.see(ed, row, edit.Cells)
		}
		return edit, err
	}
	return worksheet.RowEdit{}, nil
}

// fillSheet splices the joint lists of a sheet.
func (r *Lists) fillSheet(e *opc.Edit, lists []*List, st *listStyles) error {
	first := lists[0]
	edit := worksheet.Edit{Strings: r.Strings, Cols: first.definitions(r.Model)}
	sheet := sheetEditor{see: r.Watch.Row}
	var extent grid.Range
	for _, l := range lists {
		ed, err := r.editorOf(l, st)
		if err != nil {
			return err
		}
		sheet.lists = append(sheet.lists, ed)
		if at := l.extent(); extent.Row1 == 0 {
			extent = at
		} else {
			extent = extent.Union(at)
		}
		if err := r.growFilter(e, l, &edit); err != nil {
			return err
		}
	}
	edit.Editor, edit.Extent = &sheet, extent.String()
	fill := func() error { return r.SplicePart(e, first.Part, edit) }
	if r.ReadOnly {
		fill = func() error {
			_, err := r.ReadPart(first.Part, func(row *worksheet.Row) error {
				_, err := sheet.Row(row)
				return err
			})
			return err
		}
	}
	if err := fill(); err != nil {
		return err
	}
	for i, l := range lists {
		sheet.lists[i].tellStrays()
		sheet.lists[i].tellMarks()
		r.blanks = append(r.blanks, sheet.lists[i].blanks...)
		sheet.lists[i].tellRepeats()
		r.tellTwins(l)
		r.tellPassed(l)
	}
	return nil
}

// tellPassed says which rows were taken for no joints.
func (r *Lists) tellPassed(l *List) {
	for _, p := range l.PassedOver {
		r.Note(book.LevelNote, "passed "+p.Why, l.Ref(p.Row, l.Shop["od"].Col), fmt.Sprintf("row %d is no joint: %s", p.Row, p.Why), "")
	}
}

// editorOf makes ready to fill one list.
func (r *Lists) editorOf(l *List, st *listStyles) (*Editor, error) {
	r.findTwins(l)
	ed, err := r.newListEditor(l, st)
	if err != nil {
		return nil, err
	}
	ed.refill = r.Refill
	ed.watch, ed.next = r.Watch, r.Next
	r.Watch.Fills(ed)
	return ed, nil
}
