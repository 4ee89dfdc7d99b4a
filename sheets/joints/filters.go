package joints

import (
	"fmt"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// FilterName is the hidden name in which a workbook keeps a sheet's filter.
const FilterName = "_xlnm._FilterDatabase"

// growFilter widens a filter or a table that covers the headings of a list, so
// that it covers our columns too: a sort must take them along.
func (r *Lists) growFilter(e *opc.Edit, l *List, edit *worksheet.Edit) error {
	first, last := grid.MaxCol, 0
	for _, c := range l.Ours {
		first, last = min(first, c), max(last, c)
	}
	if at, err := grid.ParseRange(l.Info.AutoFilter); err == nil && l.isShortOf(at, first) && !(l.IsNew && at.Col2 == l.Info.LastCol) {
		r.Note(book.LevelWarning, book.FindShortFilter, l.Ref(at.Row1, at.Col2), fmt.Sprintf("the filter ends at column %s, before the calculated columns; a sort by it leaves them behind", grid.ColName(at.Col2)), "take the filter off and set it anew over all columns")
	}
	if at, err := grid.ParseRange(l.Info.AutoFilter); l.IsNew && err == nil && at.Row1 == l.HeadRow && at.Col2 == l.Info.LastCol {
		at.Col2 = last
		edit.AutoFilterRef = at.String()
		for _, d := range r.Workbook.Names {
			if d.Sheet == l.sheet && strings.EqualFold(d.Name, FilterName) {
				d.Ref = page.RangeRef(l.Title, at)
				r.FilterNames = append(r.FilterNames, d)
			}
		}
	}
	for _, name := range r.Workbook.Sheets[l.sheet].Tables {
		src, t, err := ReadTable(e, name)
		if err != nil {
			return err
		}
		if !l.IsNew || t.Ref.Row1 != l.HeadRow || t.Ref.Col2 != l.Info.LastCol || t.HeaderRows == 0 {
			r.tellShortTable(l, t, first)
			continue
		}
		var heads []string
		order := InGroups(r.Model)
		for _, q := range order {
			heads = append(heads, r.Heading(q))
		}
		out, headings, err := workbook.GrowTable(name, src, heads)
		if err != nil {
			return err
		}
		e.Replace(name, out)
		for i, q := range order {
			l.newHeads[q] = headings[i]
		}
	}
	return nil
}

// ReadTable reads a table's part.
func ReadTable(e *opc.Edit, name string) (src []byte, t workbook.Table, err error) {
	if src, err = e.Read(name); err != nil {
		return nil, t, err
	}
	t, err = workbook.ReadTable(name, src)
	return src, t, err
}

// isShortOf reports whether a filter or a table over the joints ends before
// our first column.
func (l *List) isShortOf(at grid.Range, first int) bool {
	return at.Row1 == l.HeadRow && at.Row2 >= l.DataRow && at.Col1 <= l.Shop["od"].Col && l.Shop["od"].Col <= at.Col2 && at.Col2 < first
}

func (r *Lists) tellShortTable(l *List, t workbook.Table, first int) {
	if !l.isShortOf(t.Ref, first) {
		return
	}
	r.Note(book.LevelWarning, book.FindShortTable, l.Ref(t.Ref.Row1, t.Ref.Col2), fmt.Sprintf("the table %s ends at column %s, before the calculated columns; a sort of it leaves them behind", t.Name, grid.ColName(t.Ref.Col2)), "widen the table over all columns")
}
