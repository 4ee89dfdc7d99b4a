package book

import (
	"errors"
	"io"
	"slices"

	"seamtally/sheets/part/worksheet"
)

// ErrEnough, given back by who reads the rows of a worksheet, ends the reading of it.
var ErrEnough = errors.New("enough was seen")

// readSheets are worksheets that were read to their end: one has several readers, and
// the later of them need not unpack it and take it apart again.
type readSheets struct {
	of    map[string]readSheet // by part
	cells int                  // that are held
}

// readSheet is one of them.
type readSheet struct {
	info *worksheet.Info
	held bool // so are its rows
	rows []worksheet.Row
}

// A worksheet of more cells is read anew by every reader, and so is what comes once so
// many are held: a cell takes some 200 bytes.
const mostHeld, mostHeldInAll = 20_000, 60_000

// ReadPart streams a worksheet; with no reader it tells of it alone. One of which only
// some was wanted says nothing of itself.
func (b *Book) ReadPart(name string, each func(*worksheet.Row) error) (*worksheet.Info, error) {
	if over := b.over[name]; over != nil && each != nil {
		as := each
		each = func(r *worksheet.Row) error { return as(typedOver(r, over)) }
	}
	info, err := b.readPart(name, each)
	if errors.Is(err, ErrEnough) {
		return nil, nil
	}
	return info, err
}

func (b *Book) readPart(name string, each func(*worksheet.Row) error) (*worksheet.Info, error) {
	if s := b.read.of[name]; s.held || s.info != nil && each == nil {
		return s.info, s.again(each)
	}
	r, err := b.Package.Open(name)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	held, cells := readSheet{}, b.read.cells
	fits := func() bool { return cells-b.read.cells <= mostHeld && cells <= mostHeldInAll }
	info, err := worksheet.Read(r, b.Strings, func(row *worksheet.Row) error {
		if cells += len(row.Cells); fits() {
			one := *row
			one.Cells = slices.Clone(row.Cells)
			held.rows = append(held.rows, one)
		} else {
			held.rows = nil
		}
		if each == nil {
			return nil
		}
		return each(row)
	})
	if err != nil {
		return nil, err
	}
	b.Formats.Add(info.Formats)
	if _, err := io.Copy(io.Discard, r); err != nil { // to the end, where the check sum is
		return nil, err
	}
	if held.info = info; fits() {
		held.held, b.read.cells = true, cells
	}
	if b.read.of == nil {
		b.read.of = map[string]readSheet{}
	}
	b.read.of[name] = held
	return info, nil
}

// again reads a worksheet that is held. A reader may change the rows that it is given.
func (s readSheet) again(each func(*worksheet.Row) error) error {
	if each == nil {
		return nil
	}
	var row worksheet.Row
	var cells []worksheet.Cell
	for i := range s.rows {
		row = s.rows[i]
		cells = append(cells[:0], row.Cells...)
		row.Cells = cells
		if err := each(&row); err != nil {
			return err
		}
	}
	return nil
}
