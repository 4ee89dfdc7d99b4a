package sheets

import (
	"strings"

	"seamtally/sheets/part"
)

// filterName is the hidden name in which a workbook keeps a sheet's filter.
const filterName = "_xlnm._FilterDatabase"

// growFilter widens a filter or a table that covers the headings of a list, so
// that it covers our columns too: a sort must take them along.
func (r *pricing) growFilter(e *part.Edit, l *list, edit *part.SheetEdit) error {
	if !l.isNew {
		return nil
	}
	last := 0
	for _, c := range l.ours {
		last = max(last, c)
	}
	if at, err := part.ParseRange(l.info.AutoFilter); err == nil && at.Row1 == l.headRow && at.Col2 == l.info.LastCol {
		at.Col2 = last
		edit.AutoFilterRef = at.String()
		for _, d := range r.wb.Names {
			if d.Sheet == l.sheet && strings.EqualFold(d.Name, filterName) {
				d.Ref = rangeRef(l.title, at)
				r.filterNames = append(r.filterNames, d)
			}
		}
	}
	for _, name := range r.wb.Sheets[l.sheet].Tables {
		src, err := e.Read(name)
		if err != nil {
			return err
		}
		t, err := part.ReadTable(name, src)
		if err != nil {
			return err
		}
		if t.Ref.Row1 != l.headRow || t.Ref.Col2 != l.info.LastCol || t.HeaderRows == 0 {
			continue
		}
		var heads []string
		order := inGroups(r.model)
		for _, q := range order {
			heads = append(heads, r.heading(q))
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
