package page

import (
	"slices"

	"seamtally/sheets/look"
	"seamtally/sheets/part/workbook"
)

// Looks are the looks that a workbook's styles have been given, so that the sheets of
// one run ask the spreadsheet library for each once.
type Looks struct {
	into *workbook.Styles
	xf   map[look.Style]int
}

// NewLooks is none yet.
func NewLooks(into *workbook.Styles) *Looks {
	return &Looks{into: into, xf: map[look.Style]int{}}
}

// Of gives the cell formats of looks, by their numbers, those that are not there made.
// The map is not the caller's to change.
func (l *Looks) Of(want []look.Style) (map[look.Style]int, error) {
	lacks := slices.DeleteFunc(slices.Clone(want), func(s look.Style) bool {
		_, known := l.xf[s]
		return known
	})
	if len(lacks) == 0 {
		return l.xf, nil
	}
	made, err := importStyles(l.into, look.New(l.into.DefaultFont()), lacks)
	if err != nil {
		return nil, err
	}
	for s, xf := range made {
		l.xf[s] = xf
	}
	return l.xf, nil
}
