package account

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/unread"
)

// tellUnread goes through the sheets that were not read, and says of which it is
// not settled that they hold neither joints nor cars ordered.
func (b *Ledger) tellUnread() error {
	joints := b.elsewhere()
	w := unread.Workbook{Reader: b.texts, Doubtful: b.doubtful}
	for i := range b.Unread {
		u := &b.Unread[i]
		if b.Own.SettledSheet(u.Sheet.Name) {
			continue
		}
		alone := w.Sheet(&u.Near)
		others := joints.Sheet(u.Sheet.Name)
		says, at := "", ""
		info, err := b.ReadPart(u.Sheet.PartName, func(r *worksheet.Row) error {
			alone.Row(r)
			others.Row(r)
			if says == "" {
				says, at = b.wordsOf(r)
			}
			return nil
		})
		if err != nil {
			return fmt.Errorf("sheet %q: %w", u.Sheet.Name, err)
		}
		if says == "" {
			if says, at, err = b.wordsInNoCell(u.Sheet.PartName, info.Pages); err != nil {
				return err
			}
		}
		what, cell := alone.Joints()
		if what == "" {
			what, cell = others.May()
		}
		if what == "" {
			what, cell = alone.Cars()
		}
		if what == "" {
			what, cell = alone.Rates()
		}
		if what == "" {
			what, cell = says, at
		}
		if what == "" {
			continue
		}
		b.AskWhole(u.Sheet.Name)
		b.unsettled(book.CheckSheets, "sheet", u.Sheet.Name+"!"+cell, "the sheet is not read, and may be part of the order: "+what,
			"mend its headings, or say that it is none of the price's business: "+book.SettleAs(u.Sheet.Name, book.OwnWord))
	}
	return nil
}

// wordsOf is what words in a row of a sheet that is not read may say of the joints, and
// in which cell: "" for nothing. A row with a number beside its words is a table's.
func (b *Ledger) wordsOf(r *worksheet.Row) (what, cell string) {
	if slices.ContainsFunc(r.Cells, func(c worksheet.Cell) bool { return c.Kind == worksheet.Number && !b.IsDate(c.Style) }) {
		return "", ""
	}
	for i, c := range r.Cells {
		if c.Kind != worksheet.Text {
			continue
		}
		if i > 0 && r.Cells[i-1].Kind == worksheet.Text && len(r.Cells) == 2 { // "Wall?" and "0.065 for all" beside it
			both := strings.TrimRight(r.Cells[i-1].Text, "?: ") + " " + c.Text
			if says := b.saidOfJoints(both); says != "" {
				return fmt.Sprintf("%q may %s", strings.TrimSpace(both), says), grid.Ref(r.Num, c.Col)
			}
		}
		if says := b.saidOfJoints(c.Text); says != "" {
			return fmt.Sprintf("%q may %s", strings.TrimSpace(c.Text), says), grid.Ref(r.Num, c.Col)
		}
	}
	return "", ""
}
