package account

import (
	"fmt"

	"seamtally/sheets/book"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/unread"
)

// tellUnread goes through the sheets that were not read, and says of which it is
// not settled that they hold neither joints nor cars ordered.
func (b *Ledger) tellUnread() error {
	marks := b.marksRead()
	w := unread.Workbook{Reader: b.texts, Doubtful: b.doubtful}
	for i := range b.Unread {
		u := &b.Unread[i]
		if b.Own.SettledSheet(u.Sheet.Name) {
			continue
		}
		alone := w.Sheet(&u.Near)
		others := elsewhere{b: b, marks: marks, found: map[string]bool{}, cols: map[int]*beside{}}
		if _, err := b.ReadPart(u.Sheet.PartName, func(r *worksheet.Row) error {
			alone.Row(r)
			others.row(r)
			return nil
		}); err != nil {
			return fmt.Errorf("sheet %q: %w", u.Sheet.Name, err)
		}
		what, cell := alone.Joints()
		if what == "" {
			what, cell = others.may()
		}
		if what == "" {
			what, cell = alone.Cars()
		}
		if what == "" {
			continue
		}
		b.whole = append(b.whole, u.Sheet.Name)
		b.unsettled(book.CheckSheets, "sheet", u.Sheet.Name+"!"+cell, "the sheet is not read, and may be part of the order: "+what,
			"mend its headings, or say that it is none of the price's business: "+book.SettleAs(u.Sheet.Name, book.OwnWord))
	}
	return nil
}
