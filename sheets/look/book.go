package look

import (
	"bytes"
	"fmt"
	"sort"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Book is a scratch workbook that holds shells of sheets and the formats that
// cells will take.
type Book struct {
	file   *excelize.File // nil until it is asked for: heights of rows want fonts alone
	font   string
	size   float64
	sheets int
	charts int
	flag   *int // format of a bad word, once there is a flagged range
	styles map[Style]int
	names  []Name
}

// New begins a scratch workbook. Font and size, in points, are those that the
// shop's workbook uses by default, so that our sheets fit in; "" and 0 stand
// for Calibri 11.
func New(font string, size float64) *Book {
	if font == "" {
		font = "Calibri"
	}
	if size <= 0 {
		size = 11
	}
	return &Book{font: font, size: size, styles: map[Style]int{}}
}

// lib is the scratch workbook itself.
func (b *Book) lib() *excelize.File {
	if b.file == nil {
		b.file = excelize.NewFile()
	}
	return b.file
}

// Style gives the number of the cell format (xf) for s in the scratch workbook.
// Equal Styles get equal numbers.
func (b *Book) Style(s Style) (xf int, err error) {
	if xf, ok := b.styles[s]; ok {
		return xf, nil
	}
	if s.Role > Link || s.Align > Centre {
		return 0, fmt.Errorf("look: there is no role %d or alignment %d; use the constants of this package", s.Role, s.Align)
	}
	if xf, err = b.lib().NewStyle(b.format(s)); err != nil {
		return 0, fmt.Errorf("look: format %q of a cell: %w", s.Format, err)
	}
	b.styles[s] = xf
	return xf, nil
}

// Names gives the defined names that the sheets added so far need, in order.
func (b *Book) Names() []Name { return append([]Name(nil), b.names...) }

// Bytes gives the scratch workbook as a file. Two books built alike are equal
// byte for byte. A book without sheets holds one empty sheet, for its formats.
func (b *Book) Bytes() ([]byte, error) {
	if err := b.unsigned(); err != nil {
		return nil, err
	}
	out, err := Written(b.lib())
	if err != nil {
		return nil, fmt.Errorf("look: writing the scratch workbook: %w", err)
	}
	return out, nil
}

// Filled gives the shell as a file, once cells and charts have been put into it. Equal
// books that are filled alike are equal files.
func (b *Book) Filled(fill func(*excelize.File) error) ([]byte, error) {
	shell, err := b.Bytes()
	if err != nil {
		return nil, err
	}
	f, err := excelize.OpenReader(bytes.NewReader(shell))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if err := fill(f); err != nil {
		return nil, err
	}
	return Written(f)
}

// InOrder puts in order what the library gathers from a map.
func InOrder(f *excelize.File) {
	if kinds := f.ContentTypes; kinds != nil {
		sort.Slice(kinds.Defaults, func(i, j int) bool { return kinds.Defaults[i].Extension < kinds.Defaults[j].Extension })
		sort.Slice(kinds.Overrides, func(i, j int) bool { return kinds.Overrides[i].PartName < kinds.Overrides[j].PartName })
	}
}

// unsigned takes out the names that the library signs its files with, and the
// clock: two runs must give equal bytes.
func (b *Book) unsigned() error {
	const made = "2026-01-01T00:00:00Z"
	err := b.lib().SetDocProps(&excelize.DocProperties{Creator: "seamtally", Created: made, Modified: made})
	if err == nil {
		err = b.lib().SetAppProps(&excelize.AppProperties{Application: "seamtally"})
	}
	if err != nil {
		return fmt.Errorf("look: properties of the scratch workbook: %w", err)
	}
	return nil
}

// quoted gives a sheet's title as formulas write it.
func quoted(title string) string { return "'" + strings.ReplaceAll(title, "'", "''") + "'" }
