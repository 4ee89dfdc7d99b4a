package joints

import (
	"fmt"

	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/worksheet"
)

// Filler fills joint lists, all that stand on a sheet at once.
type Filler struct {
	b  *Lists
	e  *opc.Edit
	st *listStyles
}

// Filler makes ready to fill joint lists.
func (b *Lists) Filler(e *opc.Edit) (*Filler, error) {
	st, err := b.lineStyles()
	return &Filler{b, e, st}, err
}

// BySheet are the joint lists, those of a sheet together.
func (b *Lists) BySheet() (out [][]*List) {
	for i, l := range b.All {
		if i == 0 || b.All[i-1].Part != l.Part {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], l)
	}
	return out
}

// sheetEditor fills the lists of one sheet, one below the other.
type sheetEditor struct {
	lists []*Editor
	seen  func(ed *Editor, r *worksheet.Row)
}

// Next asks for no rows: only those that the shop has are filled.
func (s *sheetEditor) Next(int) int { return 0 }

// Row hands a row to the list that it lies in. What stands above the first is seen only.
func (s *sheetEditor) Row(row *worksheet.Row) (worksheet.RowEdit, error) {
	for _, ed := range s.lists {
		if !ed.L.Has(row.Num) {
			continue
		}
		edit, err := ed.Row(row)
		if err == nil {
			s.seen(ed, row)
			ed.watch.Row(ed, row, edit.Cells)
		}
		return edit, err
	}
	if first := s.lists[0]; row.Num < first.L.TopRow {
		first.Came = Came{Typed: first.Came.Typed[:0]}
		s.seen(first, row)
	}
	return worksheet.RowEdit{}, nil
}

// Fill splices the joint lists of a sheet. Each row is handed to seen once it is filled:
// the editor has what came of it.
func (f *Filler) Fill(eds []*Editor, seen func(*Editor, *worksheet.Row)) error {
	b, first := f.b, eds[0].L
	edit := worksheet.Edit{Strings: b.Strings, Cols: first.definitions(b.Model)}
	sheet := sheetEditor{eds, seen}
	b.fitCheck(first, edit.Cols)
	extent := first.extent()
	for _, ed := range eds {
		extent = extent.Union(ed.L.extent())
		if err := b.growFilter(f.e, ed.L, &edit); err != nil {
			return fmt.Errorf("sheet %q: %w", first.Title, err)
		}
	}
	edit.Editor, edit.Extent = &sheet, extent.String()
	edit.Print = b.printed(eds, edit.Cols)
	fill := func() error { return b.SplicePart(f.e, first.Part, edit) }
	if b.ReadOnly || b.Unwritten {
		fill = func() error {
			_, err := b.ReadPart(first.Part, func(row *worksheet.Row) error {
				_, err := sheet.Row(row)
				return err
			})
			return err
		}
	}
	if err := fill(); err != nil {
		return fmt.Errorf("sheet %q: %w", first.Title, err)
	}
	return nil
}

// Editors makes ready to fill the lists of a sheet.
func (f *Filler) Editors(lists []*List) (out []*Editor, err error) {
	for _, l := range lists {
		ed, err := f.b.newListEditor(l, f.st)
		if err != nil {
			return nil, fmt.Errorf("sheet %q: %w", l.Title, err)
		}
		ed.refill, ed.watch, ed.next = f.b.Refill, f.b.Watch, f.b.Next
		ed.watch.Fills(ed)
		out = append(out, ed)
	}
	return out, nil
}
