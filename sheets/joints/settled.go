package joints

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/sheets/book"
)

// OwnWord says of a column or a sheet that it is the shop's own.
const OwnWord = "own"

// IsOwn reports whether what the shop has settled is that something is its own.
func IsOwn(settledAs string) bool { return settledAs == "-" || strings.EqualFold(settledAs, OwnWord) }

// SettleAs is how the command line says that a column or a sheet is something.
func SettleAs(place, as string) string { return fmt.Sprintf(`--settle "%s=%s"`, place, as) }

// SettledSheet reports whether a sheet was settled to be the shop's own.
func (b *Lists) SettledSheet(title string) bool {
	return b.SettledAsOwn(title, func(r book.ColumnRecord) bool { return r.Col == book.OfSheet })
}

// SettledAsOwn reports whether the shop has settled that something on a sheet is its
// own: what a record is of, is says.
func (b *Lists) SettledAsOwn(title string, is func(book.ColumnRecord) bool) bool {
	return slices.ContainsFunc(b.Own.Records, func(r book.ColumnRecord) bool {
		return !r.Ours && strings.EqualFold(r.Sheet, title) && IsOwn(r.SettledAs) && is(r)
	})
}
