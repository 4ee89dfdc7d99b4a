package sheets

import (
	"seamtally/sheets/book"
	"seamtally/sheets/paper"
	"seamtally/sheets/part/workbook"
)

// clearedNames sets the names that a sheet's print goes by back to what the shop had.
// It gives them as they are, nil where nothing of ours is among them.
func clearedNames(b *book.Book, sheet int, patch *workbook.Changes) *paper.Names {
	names := paper.NamesOf(b.Workbook, sheet)
	to, had := names.Cleared()
	if !had {
		return nil
	}
	left := sheet // its place among the sheets that stay
	for _, s := range b.Workbook.Sheets[:sheet] {
		if b.Own.IsOurs(s.Name) {
			left--
		}
	}
	set, gone := names.Changed(to, left)
	patch.SetNames, patch.RemoveNames = append(patch.SetNames, set...), append(patch.RemoveNames, gone...)
	return &names
}
