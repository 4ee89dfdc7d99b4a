package separated

import (
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"seamtally/sheets/look"
)

// Widths of columns, in characters.
const (
	leastWide = 9
	mostWide  = 40
)

// Workbook is a workbook with the list on its one sheet, as typed: numbers as numbers,
// all else as text, also what begins as a formula does. Equal lists are equal files.
func (l *List) Workbook(title string) ([]byte, error) {
	sheet := look.Sheet{Title: Title(title), ShowGrid: true}
	for _, r := range l.Rows {
		for i, cell := range r.Cells {
			for len(sheet.Widths) <= i {
				sheet.Widths = append(sheet.Widths, leastWide)
			}
			sheet.Widths[i] = max(sheet.Widths[i], min(mostWide, float64(utf8.RuneCountInString(cell)+2)))
		}
	}
	b := look.New("", 0)
	if err := b.AddSheet(sheet); err != nil {
		return nil, err
	}
	return b.Filled(func(f *excelize.File) error {
		for i, r := range l.Rows {
			for k, cell := range r.Cells {
				ref, err := excelize.CoordinatesToCellName(k+1, i+1)
				if err != nil {
					return err
				}
				if x, ok := l.Number(cell); ok {
					err = f.SetCellFloat(sheet.Title, ref, x, -1, 64)
				} else if cell != "" {
					err = f.SetCellStr(sheet.Title, ref, cell)
				}
				if err != nil {
					return err
				}
			}
		}
		return nil
	})
}

// mostTitle is how long the title of a sheet may be.
const mostTitle = 31

// StandardInput is what a list is called that came from there: its sheet has a title
// that says more.
const StandardInput = "standard-input"

// Title is the title of a sheet that is called so, as far as a sheet can be: what no
// title may have in it is a blank.
func Title(name string) string {
	name = strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]`, r) || r < ' ' {
			return ' '
		}
		return r
	}, name)
	name = strings.Trim(name, " '")
	if r := []rune(name); len(r) > mostTitle {
		name = strings.Trim(string(r[:mostTitle]), " '")
	}
	if name == "" || name == StandardInput || strings.EqualFold(name, "history") { // a title that programs keep for themselves
		return "Joints"
	}
	return name
}
