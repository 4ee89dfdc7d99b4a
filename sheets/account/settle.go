package account

import (
	"fmt"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/settling"
)

// Settle takes what the command line settles: it goes before what the Columns
// table says of the same place, and is kept there.
func (b *Ledger) Settle(all []settling.Settling) error {
	for _, s := range all {
		if strings.EqualFold(s.As, settling.None) && strings.EqualFold(s.Sheet, settling.OtherWork) {
			b.PartsNone = true
			continue
		}
		i := b.Workbook.Sheet(s.Sheet)
		if i < 0 {
			return fmt.Errorf("--settle: the workbook has no sheet %q; write its title as on its tab", s.Sheet)
		}
		if _, known := b.Headings.Column(s.As); !known && !book.IsOwn(s.As) {
			return fmt.Errorf("--settle: %q is no input of a joint list; write its name, as the second column of the Columns table on Assumptions has it, or own", s.As)
		}
		if s.Cells.Row1 > 0 {
			s.Sheet = b.Workbook.Sheets[i].Name
			b.cells = append(b.cells, settledCells{Settling: s})
			continue
		}
		b.Own.Records = append([]book.ColumnRecord{{
			Sheet: b.Workbook.Sheets[i].Name, Col: s.Col, SettledAs: s.As, SettledUnit: s.Unit, AnyRow: true,
		}}, b.Own.Records...)
	}
	return nil
}

// WholeSettled are what the shop has settled of whole sheets, of all columns of a
// list, and of words among joints, with the sheets of which it is still to be settled.
func (b *Ledger) WholeSettled() []book.ColumnRecord {
	var out []book.ColumnRecord
	seen := map[string]bool{}
	add := func(r book.ColumnRecord) {
		if key := fmt.Sprint(r.Col, strings.ToLower(r.Sheet)); !seen[key] && b.Workbook.Sheet(r.Sheet) >= 0 {
			seen[key] = true
			out = append(out, r)
		}
	}
	for _, r := range b.Own.Records {
		if !r.Ours && r.Col <= 0 && r.SettledAs != "" {
			add(r)
		}
	}
	for _, title := range b.whole {
		add(book.ColumnRecord{Sheet: title, Col: book.OfSheet})
	}
	return append(out, b.titles...)
}
