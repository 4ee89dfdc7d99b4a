package look

import "strings"

// Role is what a cell is for. With a number format and an alignment it makes a
// [Style].
type Role uint8

// The roles. A role ending in Text differs from its twin in lying to the left.
const (
	Plain        Role = iota
	Title             // name of a sheet, large
	Section           // name of a block on a sheet
	Heading           // heading of a column
	GroupHeading      // heading over several columns of a list
	Label             // what the value beside it is
	Words             // running text, wrapped
	Key               // the name that formulas use, small
	Input             // a number that the estimator may change
	InputText         // words that the estimator may change
	Calc              // a number worked out
	CalcText          // words worked out
	Override          // a number typed over a worked-out one
	OverrideText      // words typed over worked-out ones
	Refused           // the check of a row that was left out
	Total             // a sum
	TotalText         // words beside a sum
	Master            // the check of the whole book
	Note              // a side remark
	Caution           // a warning about safety or use
	Tile              // a figure that everybody asks for, large
	TileLabel         // over it, what it is
	TileUnit          // below it, its unit
	Link              // words that lead to another cell
)

// Align is where the contents of a cell lie across its width.
type Align uint8

// The alignments. ByRole leaves it to the role.
const (
	ByRole Align = iota
	Left
	Right
	Centre
)

// Style is how a cell looks. Equal Styles are one format of the workbook.
type Style struct {
	Format string // spreadsheet number format, such as "0.00"; "" = General
	Role   Role
	Align  Align
	Wrap   bool // words go on in further lines
	Shrink bool // a word longer than its column gets smaller letters, in place of being cut
	Off    bool // words keep off what stands in the column before
	Large  bool // in letters to be read from a step away: words wrap, and numbers shrink rather than not be shown
}

// LargeTimes is how many times as large such letters are.
const LargeTimes = 1.4

// Dashed is a number format that shows zero as a dash; one that has parts of its own,
// or shows days, stays as it is.
func Dashed(format string) string {
	if format == "" || strings.ContainsAny(format, ";y") {
		return format
	}
	return format + ";-" + format + ";–"
}

// YesNo is the number format of what is 1 or 0 to formulas and yes or no to people.
const YesNo = `"yes";"yes";"no"`

// Signed is the number format of money that is more or less than something.
const Signed = "+#,##0.00;-#,##0.00;0.00"
