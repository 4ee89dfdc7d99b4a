// Package unread looks at a sheet that is neither a joint list nor the list of cars, and
// says what on it speaks for joints, cars or rates that are part of the order all the same. It
// knows nothing of the lists that were read, nor of how the shop settles what a sheet is.
package unread

import (
	"seamtally/sheets/headings"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
)

// Workbook is that of the sheets.
type Workbook struct {
	*sayings.Reader
	Doubtful map[string]bool // cars of which nobody has said how many are ordered, in small letters
}

// Sheet is what stands on one that is not read.
type Sheet struct {
	sizes profile
	cars  carsSaid
	side  turned
	rates rates
}

// Sheet looks at a sheet, of which near is what comes nearest to the headings of a list.
func (w *Workbook) Sheet(near *headings.Near) *Sheet {
	return &Sheet{
		sizes: profile{of: w, near: near, cols: map[int]*colProfile{}},
		cars:  carsSaid{of: w, heads: map[int]headCell{}, times: map[string]int{}},
		side:  turned{of: w, keys: map[int]map[string]bool{}},
		rates: rates{of: w, above: map[int]string{}},
	}
}

// Row takes a row of the sheet in.
func (s *Sheet) Row(r *worksheet.Row) {
	s.sizes.row(r)
	if len(s.cars.of.Doubtful) > 0 {
		s.cars.row(r)
	}
	s.side.row(r)
	s.rates.row(r)
}

// Joints says why the sheet may have joints of the order on it, or names a car beside a
// number, and in which cell; "" if nothing speaks for it.
func (s *Sheet) Joints() (what, cell string) {
	if what, cell = s.sizes.may(); what == "" {
		what, cell = s.side.what, s.side.cell
	}
	return what, cell
}

// Cars says why the sheet may tell how many cars are ordered, and in which cell; "" if
// nothing speaks for it, or no car is in doubt.
func (s *Sheet) Cars() (what, cell string) { return s.cars.what, s.cars.cell }

// Rates says which rate the sheet gives that Assumptions has not, and in which cell; ""
// for none.
func (s *Sheet) Rates() (what, cell string) { return s.rates.what, s.rates.cell }
