package book

import (
	"runtime"
	"slices"
	"strings"
)

// OwnWord says of a column or a sheet that it is the shop's own.
const OwnWord = "own"

// IsOwn reports whether what the shop has settled is that something is its own.
func IsOwn(settledAs string) bool { return settledAs == "-" || strings.EqualFold(settledAs, OwnWord) }

// SettleAs is how the command line says that a column or a sheet is something.
func SettleAs(place, as string) string { return "--settle " + Argument(place+"="+as) }

// Argument is a word of a command line as it can be pasted there. Shells take the ! before
// a cell for a command of theirs, but for between single quotes, and those the prompt of
// Windows does not know.
func Argument(word string) string {
	if runtime.GOOS == "windows" {
		return `"` + word + `"`
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}

// SettledSheet reports whether a sheet was settled to be the shop's own.
func (o *Ours) SettledSheet(title string) bool {
	return o.SettledAsOwn(title, func(r ColumnRecord) bool { return r.Col == OfSheet })
}

// SettledAsOwn reports whether the shop has settled that something on a sheet is its
// own: what a record is of, is says.
func (o *Ours) SettledAsOwn(title string, is func(ColumnRecord) bool) bool {
	return slices.ContainsFunc(o.Records, func(r ColumnRecord) bool {
		return !r.Ours && strings.EqualFold(r.Sheet, title) && IsOwn(r.SettledAs) && is(r)
	})
}
