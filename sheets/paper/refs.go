package paper

import (
	"fmt"
	"strings"

	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/workbook"
)

// NamesOf are those of a sheet of a workbook.
func NamesOf(w *workbook.Workbook, sheet int) (n Names) {
	fields := n.fields()
	for i, key := range keys() {
		for _, d := range w.Names {
			if d.Sheet == sheet && strings.EqualFold(d.Name, key) {
				*fields[i] = d.Ref
			}
		}
	}
	return n
}

// Changed are the names of a sheet to be set and to be taken out so that they come to
// be others.
func (n Names) Changed(to Names, sheet int) (set, gone []workbook.DefinedName) {
	was, is := n.fields(), to.fields()
	for i, key := range keys() {
		d := workbook.DefinedName{Name: key, Sheet: sheet, Ref: *is[i]}
		switch {
		case *is[i] == *was[i]:
		case *is[i] == "":
			gone = append(gone, d)
		default:
			set = append(set, d)
		}
	}
	return set, gone
}

// keys are the names as the workbook has them, in the order of the fields.
func keys() []string {
	return []string{"_xlnm.Print_Area", "_xlnm.Print_Titles", page.NamePrint, page.NamePrint + ".area", page.NamePrint + ".titles"}
}

func (n *Names) fields() []*string {
	return []*string{&n.Area, &n.Titles, &n.Ours, &n.WasArea, &n.WasTitles}
}

// refs writes blocks of the sheet as its names have them.
func (l *List) refs(all ...grid.Range) string {
	var out []string
	for _, r := range all {
		sheet := grid.QuoteSheet(l.Title) + "!"
		switch {
		case r.Row1 == 1 && r.Row2 == grid.MaxRow:
			out = append(out, sheet+"$"+grid.ColName(r.Col1)+":$"+grid.ColName(r.Col2))
		case r.Col1 == 1 && r.Col2 == grid.MaxCol:
			out = append(out, fmt.Sprintf("%s$%d:$%d", sheet, r.Row1, r.Row2))
		default:
			out = append(out, page.RangeRef(l.Title, r))
		}
	}
	return strings.Join(out, ",")
}

// blocks reads what a name refers to; none of "". Formulas, and what is gone, are not ok.
func blocks(ref string) (out []grid.Range, ok bool) {
	for _, one := range apart(ref) {
		at := strings.LastIndexByte(one, '!')
		from, to, both := strings.Cut(strings.ReplaceAll(one[at+1:], "$", ""), ":")
		if !both {
			to = from
		}
		r, err := grid.ParseRange(from + ":" + to)
		if err == nil {
			out = append(out, r)
			continue
		}
		c1, err1 := grid.ParseCol(from)
		c2, err2 := grid.ParseCol(to)
		if err1 == nil && err2 == nil {
			out = append(out, grid.Range{Row1: 1, Col1: c1, Row2: grid.MaxRow, Col2: c2})
			continue
		}
		r1, ok1 := grid.ScanCount(from, grid.MaxRow)
		r2, ok2 := grid.ScanCount(to, grid.MaxRow)
		if !ok1 || !ok2 {
			return nil, false
		}
		out = append(out, grid.Range{Row1: r1, Col1: 1, Row2: r2, Col2: grid.MaxCol})
	}
	return out, true
}

// apart takes a list of references apart at its commas; a title may have some too.
func apart(ref string) []string {
	quoted := false
	return strings.FieldsFunc(ref, func(r rune) bool {
		if r == '\'' {
			quoted = !quoted
		}
		return r == ',' && !quoted
	})
}

// attrsOf reads whole numbers among the attributes of a tag.
func attrsOf(tag string) func(name string, without int) int {
	return func(name string, without int) int {
		text, _ := markup.TagAttr([]byte(tag), name)
		return markup.Int(text, without)
	}
}
