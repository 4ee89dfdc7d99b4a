package workbook

import (
	"fmt"
	"strconv"
	"strings"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
)

// Table is what a table part says about its block of cells.
type Table struct {
	ID            int
	Name          string     // the name that formulas use
	Ref           grid.Range // headings and totals included
	HeaderRows    int        // 1, or 0 where the headings are switched off
	TotalsRows    int
	Columns       []string // headings, as in the cells
	FromQuery     bool     // filled by a query or an XML map: its columns are not free to change
	HasAutoFilter bool
}

// tableTree is a table part scanned, its figures read.
type tableTree struct {
	*markup.Tree
	Table
	list *markup.Node // tableColumns
}

func scanTable(name string, src []byte) (*tableTree, error) {
	t, err := markup.ParseRoot(name, src, "table", markup.SheetNS, markup.StrictSheetNS)
	if err != nil {
		return nil, err
	}
	tt := &tableTree{Tree: t, list: t.Root.Child("tableColumns")}
	tt.Ref, err = grid.ParseRange(t.Root.Get("ref"))
	if err != nil {
		return nil, fmt.Errorf("%s: table: %w", name, err)
	}
	tt.ID = markup.Int(t.Root.Get("id"), 0)
	tt.Name = t.Root.Get("displayName")
	tt.HeaderRows = markup.Int(t.Root.Get("headerRowCount"), 1)
	tt.TotalsRows = markup.Int(t.Root.Get("totalsRowCount"), 0)
	kind := t.Root.Get("tableType")
	tt.FromQuery = kind != "" && kind != "worksheet"
	tt.HasAutoFilter = t.Root.Child("autoFilter") != nil
	for _, c := range tt.list.All("tableColumn") {
		tt.Columns = append(tt.Columns, markup.DecodeEscapes(c.Get("name")))
	}
	if want := tt.Ref.Col2 - tt.Ref.Col1 + 1; len(tt.Columns) != want {
		return nil, fmt.Errorf("%s: table %s covers %d columns and lists %d; repair it in the spreadsheet program",
			name, tt.Name, want, len(tt.Columns))
	}
	return tt, nil
}

// ReadTable reads the table part called name.
func ReadTable(name string, src []byte) (Table, error) {
	t, err := scanTable(name, src)
	if err != nil {
		return Table{}, err
	}
	return t.Table, nil
}

// GrowTable widens the table part called name to the right by columns with
// the headings newCols: range, filter, sort range and column list; the rows
// stay. A heading that the table has already takes a suffix _2, _3 ...; the
// headings as they now are come back and must be the text of the header cells,
// or the spreadsheet program repairs the file on opening.
func GrowTable(name string, src []byte, newCols []string) (out []byte, headings []string, err error) {
	t, err := scanTable(name, src)
	if err != nil {
		return nil, nil, err
	}
	if t.FromQuery {
		return nil, nil, fmt.Errorf("%s: table %s is filled by a query, so it cannot take more columns; turn it into a plain table", name, t.Name)
	}
	if len(newCols) == 0 {
		return src, nil, nil
	}
	wide := t.Ref
	wide.Col2 += len(newCols)
	if wide.Col2 > grid.MaxCol {
		return nil, nil, fmt.Errorf("%s: table %s would end beyond the last column", name, t.Name)
	}
	p := t.Patch()
	t.resize(p, wide)
	taken := map[string]bool{}
	top := 0
	for i, c := range t.list.All("tableColumn") {
		taken[strings.ToLower(t.Columns[i])] = true
		top = max(top, markup.Int(c.Get("id"), 0))
	}
	tag := t.list.Tag("tableColumn")
	for i, want := range newCols {
		h := want
		for n := 2; taken[strings.ToLower(h)]; n++ {
			h = want + "_" + strconv.Itoa(n)
		}
		taken[strings.ToLower(h)] = true
		headings = append(headings, h)
		p.AppendChild(t.list, "<"+tag+` id="`+strconv.Itoa(top+1+i)+`" name="`+markup.Escape(markup.EncodeEscapes(h), true)+`"/>`)
	}
	p.SetCount(t.list, len(t.Columns)+len(newCols))
	out, err = p.Bytes()
	return out, headings, err
}

// ShrinkTable takes the columns with the headings cols off the right end of
// the table part called name: the opposite of GrowTable. Headings that the
// table lacks are no error; a column with another one to its right that stays
// is, since its cells would have to move.
func ShrinkTable(name string, src []byte, cols []string) ([]byte, error) {
	t, err := scanTable(name, src)
	if err != nil {
		return nil, err
	}
	p := t.Patch()
	nodes := t.list.All("tableColumn")
	keep := len(nodes)
	for keep > 0 && anyFold(cols, t.Columns[keep-1]) {
		keep--
		p.Remove(nodes[keep])
	}
	for i := range keep {
		if anyFold(cols, t.Columns[i]) {
			return nil, fmt.Errorf("%s: table %s: column %q has %q to its right; move it to the end first",
				name, t.Name, t.Columns[i], t.Columns[keep-1])
		}
	}
	if keep == 0 {
		return nil, fmt.Errorf("%s: table %s would have no columns left", name, t.Name)
	}
	if keep == len(nodes) {
		return src, nil
	}
	narrow := t.Ref
	narrow.Col2 = t.Ref.Col1 + keep - 1
	t.resize(p, narrow)
	t.dropFilters(p, keep, narrow.Col2)
	p.SetCount(t.list, keep)
	return p.Bytes()
}

// resize moves the right edge of the table, and of its filter and sort range
// where they ended with it.
func (t *tableTree) resize(p *markup.Patch, to grid.Range) {
	filter := t.Root.Child("autoFilter")
	for _, n := range []*markup.Node{t.Root, filter, t.Root.Child("sortState"), filter.Child("sortState")} {
		r, err := grid.ParseRange(n.Get("ref"))
		if n == nil || err != nil || r.Col2 != t.Ref.Col2 {
			continue
		}
		r.Col2 = to.Col2
		p.SetAttr(n, "ref", r.String())
	}
}

// dropFilters takes out filters and sort conditions on columns that are gone:
// filters count columns from the table's left edge, sort conditions name cells.
func (t *tableTree) dropFilters(p *markup.Patch, keep, lastCol int) {
	filter := t.Root.Child("autoFilter")
	for _, f := range filter.All("filterColumn") {
		if markup.Int(f.Get("colId"), 0) >= keep {
			p.Remove(f)
		}
	}
	for _, s := range []*markup.Node{t.Root.Child("sortState"), filter.Child("sortState")} {
		var gone []*markup.Node
		conditions := s.All("sortCondition")
		for _, c := range conditions {
			if r, err := grid.ParseRange(c.Get("ref")); err == nil && r.Col2 > lastCol {
				gone = append(gone, c)
			}
		}
		if len(gone) < len(conditions) {
			for _, c := range gone {
				p.Remove(c)
			}
			continue
		}
		if len(gone) > 0 {
			p.Forget(s) // its range may have been narrowed
			p.Remove(s)
		}
	}
}
