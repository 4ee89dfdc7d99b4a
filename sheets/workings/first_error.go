package workings

import (
	"fmt"

	"seamtally/sheets/book"
	"seamtally/sheets/page"
)

// FirstError says, live, where the first joint row stands that shows an error: its check
// cell, with its sheet; "" while none does. A run leaves none: a cell shows one once
// somebody has changed what it comes from.
func (s *Sheet) FirstError() string {
	of := s.Model.Lists
	at, err := s.UsedColumn(of.Quantity("list_first_error"))
	sheet, names, ok := page.SplitRef(at)
	if err != nil || !ok {
		return `""` // an earlier version's Workings, which does not say it
	}
	names.Col1, names.Col2 = book.SumName, book.SumName
	row := `MATCH("?*",` + at + `,0)`
	return fmt.Sprintf(`IFERROR(INDEX(%s,%s)&"!"&SUBSTITUTE(INDEX(%s,%s),"$",""),"")`, page.RangeRef(sheet, names), row, at, row)
}
