// Package plain writes workbooks of values alone, for people who are to see what
// stands there and nothing behind it. It knows nothing of what it writes.
package plain

import (
	"bytes"
	"fmt"
	"math"

	"github.com/xuri/excelize/v2"

	"seamtally/sheets/look"
	"seamtally/sheets/part/grid"
)

// Size is how large letters are, in points, unless a style says otherwise.
const Size = 11.0

// The inks, which are greys on white.
const (
	dark = "262626"
	grey = "595959"
	pale = "EDEFEE"
	font = "Calibri"
)

// Lines, as the format counts them (ECMA-376 part 1, 18.18.3).
const (
	Thin   = 1
	Medium = 2
	Double = 6
)

// Style is how a cell looks. Equal ones are one format.
type Style struct {
	Size          float64 // 0 = Size
	Bold, Grey    bool
	Right, Centre bool // else to the left
	Top           bool // else in the middle of its height
	Wrap          bool
	Pale          bool // a pale ground
	Over, Under   int  // lines above and below, 0 = none
	Boxed         bool // thin lines on all four sides
	Format        string
}

// Writer lays out sheets, each from top to bottom. It keeps the first error, which
// Bytes gives.
type Writer struct {
	File *excelize.File
	Name string  // of the sheet
	Row  int     // last begun, from 1
	High float64 // of all rows of the sheet so far, in points

	ink    *look.Book // for the heights of rows
	widths []float64
	styles map[Style]int
	sheets int
	err    error
}

// New begins a workbook.
func New() *Writer {
	return &Writer{File: excelize.NewFile(), ink: look.New("", 0), styles: map[Style]int{}}
}

// Close lets go of the workbook.
func (w *Writer) Close() { w.Do(w.File.Close()) }

// Sheet begins a sheet with columns of so many characters.
func (w *Writer) Sheet(name string, widths []float64) {
	if w.sheets == 0 {
		w.Do(w.File.SetSheetName(w.File.GetSheetName(0), name))
	} else {
		_, err := w.File.NewSheet(name)
		w.Do(err)
	}
	w.sheets++
	w.Name, w.widths, w.Row, w.High = name, widths, 0, 0
	for i, width := range widths {
		col := grid.ColName(i + 1)
		w.Do(w.File.SetColWidth(name, col, col, width))
	}
}

// Bytes is the workbook as a file. Equal ones are equal bytes.
func (w *Writer) Bytes() ([]byte, error) {
	bare(w.File)
	if w.err != nil {
		return nil, w.err
	}
	var out bytes.Buffer
	err := w.File.Write(&out)
	return out.Bytes(), err
}

// Do keeps the first error.
func (w *Writer) Do(err error) {
	if w.err == nil {
		w.err = err
	}
}

// Next begins a row of a height in points. Heights are whole: what is scaled by
// a printer needs no better.
func (w *Writer) Next(height float64) {
	w.Row++
	w.setHeight(height)
	w.High += height
}

func (w *Writer) setHeight(height float64) { w.Do(w.File.SetRowHeight(w.Name, w.Row, height)) }

// Fit makes the row as high as a text takes across some columns.
func (w *Writer) Fit(text string, size float64, from, to int) {
	width := 0.0
	for _, x := range w.widths[from-1 : to] {
		width += x
	}
	high := min(math.Ceil(w.ink.RowHeight(look.Words, text, width*Size/size)*size/Size), excelize.MaxRowHeight)
	have, err := w.File.GetRowHeight(w.Name, w.Row)
	w.Do(err)
	if high > have {
		w.setHeight(high)
		w.High += high - have
	}
}

// Put puts a text or a number; nil only a format.
func (w *Writer) Put(col int, value any, s Style) {
	cell := grid.Ref(w.Row, col)
	xf, err := w.style(s)
	w.Do(err)
	w.Do(w.File.SetCellStyle(w.Name, cell, cell, xf))
	if value != nil && value != "" {
		w.Do(w.File.SetCellValue(w.Name, cell, value))
	}
}

// Across puts a text into some columns, joined, and makes the row as high as it takes.
func (w *Writer) Across(from, to int, text string, s Style, size float64) {
	w.Put(from, text, s)
	if to > from {
		w.Join(from, to, s)
	}
	if s.Wrap {
		w.Fit(text, size, from, to)
	}
}

// Join makes one cell of several of the row.
func (w *Writer) Join(from, to int, s Style) {
	for col := from + 1; col <= to; col++ {
		w.Put(col, nil, s)
	}
	w.Do(w.File.MergeCell(w.Name, grid.Ref(w.Row, from), grid.Ref(w.Row, to)))
}

func (w *Writer) style(s Style) (int, error) {
	if xf, ok := w.styles[s]; ok {
		return xf, nil
	}
	letters := excelize.Font{Family: font, Size: Size, Bold: s.Bold, Color: "000000"}
	if s.Size > 0 {
		letters.Size = s.Size
	}
	if s.Grey {
		letters.Color = grey
	}
	x := &excelize.Style{Font: &letters, Alignment: &excelize.Alignment{Horizontal: "left", Vertical: "center", WrapText: s.Wrap}}
	if s.Right {
		x.Alignment.Horizontal = "right"
	}
	if s.Centre {
		x.Alignment.Horizontal = "center"
	}
	if s.Top {
		x.Alignment.Vertical = "top"
	}
	if s.Pale {
		x.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{pale}}
	}
	if s.Boxed {
		for _, side := range []string{"left", "right", "top", "bottom"} {
			x.Border = append(x.Border, excelize.Border{Type: side, Style: Thin, Color: dark})
		}
	}
	for _, b := range []excelize.Border{{Type: "top", Style: s.Over}, {Type: "bottom", Style: s.Under}} {
		if b.Style > 0 {
			b.Color = dark
			x.Border = append(x.Border, b)
		}
	}
	if s.Format != "" {
		x.CustomNumFmt = &s.Format
	}
	xf, err := w.File.NewStyle(x)
	if err != nil {
		return 0, fmt.Errorf("format of a cell: %w", err)
	}
	w.styles[s] = xf
	return xf, nil
}

// Clipped is a text of at most so many letters.
func Clipped(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}
