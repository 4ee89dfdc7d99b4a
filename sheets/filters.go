package sheets

import (
	"fmt"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
)

// filterName is the hidden name in which a workbook keeps a sheet's filter.
const filterName = "_xlnm._FilterDatabase"

// growFilter widens a filter or a table that covers the headings of a list, so
// that it covers our columns too: a sort must take them along.
func (r *jointLists) growFilter(e *part.Edit, l *list, edit *part.SheetEdit) error {
	first, last := part.MaxCol, 0
	for _, c := range l.ours {
		first, last = min(first, c), max(last, c)
	}
	if at, err := part.ParseRange(l.info.AutoFilter); err == nil && l.isShortOf(at, first) && !(l.isNew && at.Col2 == l.info.LastCol) {
		r.Note(book.LevelWarning, findShortFilter, l.ref(at.Row1, at.Col2), fmt.Sprintf("the filter ends at column %s, before the calculated columns; a sort by it leaves them behind", part.ColName(at.Col2)), "take the filter off and set it anew over all columns")
	}
	if at, err := part.ParseRange(l.info.AutoFilter); l.isNew && err == nil && at.Row1 == l.headRow && at.Col2 == l.info.LastCol {
		at.Col2 = last
		edit.AutoFilterRef = at.String()
		for _, d := range r.Workbook.Names {
			if d.Sheet == l.sheet && strings.EqualFold(d.Name, filterName) {
				d.Ref = page.RangeRef(l.title, at)
				r.filterNames = append(r.filterNames, d)
			}
		}
	}
	for _, name := range r.Workbook.Sheets[l.sheet].Tables {
		src, t, err := readTable(e, name)
		if err != nil {
			return err
		}
		if !l.isNew || t.Ref.Row1 != l.headRow || t.Ref.Col2 != l.info.LastCol || t.HeaderRows == 0 {
			r.tellShortTable(l, t, first)
			continue
		}
		var heads []string
		order := inGroups(r.Model)
		for _, q := range order {
			heads = append(heads, r.Heading(q))
		}
		out, headings, err := part.GrowTable(name, src, heads)
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

// readTable reads a table's part.
func readTable(e *part.Edit, name string) (src []byte, t part.Table, err error) {
	if src, err = e.Read(name); err != nil {
		return nil, t, err
	}
	t, err = part.ReadTable(name, src)
	return src, t, err
}

// isShortOf reports whether a filter or a table over the joints ends before
// our first column.
func (l *list) isShortOf(at part.Range, first int) bool {
	return at.Row1 == l.headRow && at.Row2 >= l.dataRow && at.Col1 <= l.shop["od"].col && l.shop["od"].col <= at.Col2 && at.Col2 < first
}

func (r *jointLists) tellShortTable(l *list, t part.Table, first int) {
	if !l.isShortOf(t.Ref, first) {
		return
	}
	r.Note(book.LevelWarning, findShortTable, l.ref(t.Ref.Row1, t.Ref.Col2), fmt.Sprintf("the table %s ends at column %s, before the calculated columns; a sort of it leaves them behind", t.Name, part.ColName(t.Ref.Col2)), "widen the table over all columns")
}
