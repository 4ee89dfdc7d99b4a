package worksheet

import (
	"bufio"
	"fmt"
	"io"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
)

// Op says what to do with a cell.
type Op uint8

// The operations. Set writes content, Clear takes the content and keeps (or
// sets) the style, Remove takes the cell element out.
const (
	Set Op = iota
	Clear
	Remove
)

// NewCell is one cell to be written.
//
// A constant is a Kind with its Num or Text and no Formula. With a Formula
// (without the equals sign), Kind, Num and Text are the value stored beside
// it. Bool takes Num 1 or 0, Error takes Text ("#N/A"). Kind Empty without a
// Formula is a styled blank cell.
type NewCell struct {
	Col     int // counting from 1
	Style   int // cellXfs index; -1 keeps the existing cell's
	Op      Op
	Kind    Kind
	Num     float64
	Text    string
	Formula string
}

// RowEdit is what to change in one row. Cells ascend by Col. Zero and nil
// fields keep what is there.
type RowEdit struct {
	Cells        []NewCell
	Height       float64 // points
	Hidden       *bool
	OutlineLevel *int
	Collapsed    *bool
}

// Editor decides on the changes, row by row.
type Editor interface {
	// Row is called once, in ascending order, for every row element of the
	// sheet and for every row number that Next names; the row's existing cells
	// are given typed. Neither the row nor the result is kept after the next
	// call, so slices may be reused.
	Row(r *Row) (RowEdit, error)

	// Next gives the next row number after the given one that must exist even
	// if the sheet has no such row; 0 = none.
	Next(after int) int
}

// Edit is what to change in a worksheet part.
type Edit struct {
	Editor  Editor // nil = no cells change
	Strings Strings

	// Extent is the block of cells that the Editor will write in, "" = within
	// the present one. The dimension is grown to cover it; in a stream it comes
	// before the cells, so it has to be known beforehand.
	Extent string

	// Shrink makes Extent the whole dimension, and takes the declared depth of
	// column outlines down to that of Outline: for edits that take cells away.
	Shrink  bool
	Outline int

	// Cols are laid over the present column definitions, ascending and without
	// overlap. Width 0 and Style -1 keep what is there.
	Cols []Col

	// RemoveCols drops the definitions of these columns (Min and Max count).
	RemoveCols []Col

	SummaryRight    *bool // where outline buttons of columns sit; nil = keep
	OutlineLevelRow int   // least outline depth of rows to declare
	AutoFilterRef   string
	Print           *Print // nil leaves the pages as they are
}

// SharedMasterError is an edit of a cell that holds the formula of others
// which stand before it in the file, where it could no longer be written out
// for them. Spreadsheet programs put such a cell first.
type SharedMasterError struct{ Cell string }

func (e *SharedMasterError) Error() string {
	return fmt.Sprintf("cell %s holds a formula that cells before it share; save the workbook anew from the spreadsheet program", e.Cell)
}

// ArrayError is an edit of a cell that belongs to an array formula or data
// table of several cells.
type ArrayError struct {
	Cell  string
	Array string // its range
}

func (e *ArrayError) Error() string {
	return fmt.Sprintf("cell %s is part of the array formula or data table %s, which cannot be changed in part; move it or turn it into values", e.Cell, e.Array)
}

// Splice copies a worksheet part from src to dst with the changes made, and
// every other byte as it was. Splicing the result again with the same changes
// gives the same bytes. On an error, what dst has received is of no use.
//
// A cell that holds what it is to hold keeps its bytes, whichever way they
// spell it. Where a formula that others share is replaced, theirs are spelled
// out. A cell inside a merged range is written like any other.
//
// Faults of the part are a *SheetError; an edit that cannot be made is a
// *SharedMasterError or *ArrayError; errors of the Editor come back as they
// are.
func Splice(dst io.Writer, src io.Reader, ed Edit) error {
	if err := ed.check(); err != nil {
		return err
	}
	s := newSplicer(dst, src, ed)
	if err := s.sheet(); err != nil {
		return err
	}
	return s.out.Flush()
}

func (ed *Edit) check() error {
	if ed.Extent != "" {
		if _, err := grid.ParseRange(ed.Extent); err != nil {
			return fmt.Errorf("extent: %w", err)
		}
	}
	for _, list := range [][]Col{ed.Cols, ed.RemoveCols} {
		last := 0
		for _, c := range list {
			if c.Min <= last || c.Max < c.Min || c.Max > grid.MaxCol {
				return fmt.Errorf("column definitions for %d to %d: they must ascend without overlap, up to %d", c.Min, c.Max, grid.MaxCol)
			}
			last = c.Max
		}
	}
	return nil
}

// splicer copies the part and leaves out or puts in at the places where
// something changes. Bytes before copied have been dealt with.
type splicer struct {
	out    *bufio.Writer // keeps its first error until Flush
	p      *markup.Reader
	ed     Edit
	rows   *rowScan
	copied int64
	todo   []section    // sections still to be put in, in schema order
	arrays []grid.Range // arrays that reach into rows to come
	gap    bool         // the existing cell before this one was removed
	hasCol bool         // the column definitions have been dealt with
	lead   []byte       // the start tag that the first new row has to write
	last   markup.Token // the child of the root before this one
	paper  int          // the size that the sheet names
	breaks []byte       // where pages begin, as it is to be put in; nil: as it is
	buf    []byte
}

// section is an element that the sheet must have; add writes it where it has
// none.
type section struct {
	local string
	add   func(prefix string) error
}

func newSplicer(dst io.Writer, src io.Reader, ed Edit) *splicer {
	p := markup.NewReader(src)
	p.Keep(0)
	s := &splicer{out: bufio.NewWriterSize(dst, 64<<10), p: p, ed: ed, rows: newRowScan(p, ed.Strings)}
	if ed.SummaryRight != nil && !*ed.SummaryRight || ed.fits() {
		s.todo = append(s.todo, section{"sheetPr", s.newSheetPr})
	}
	if s.outlineCols() > 0 || ed.OutlineLevelRow > 0 {
		s.todo = append(s.todo, section{"sheetFormatPr", s.newSheetFormat})
	}
	if len(ed.Cols) > 0 {
		s.todo = append(s.todo, section{"cols", s.newCols})
	}
	if ed.Editor != nil {
		s.todo = append(s.todo, section{"sheetData", s.newSheetData})
	}
	if ed.AutoFilterRef != "" {
		s.todo = append(s.todo, section{"autoFilter", s.newAutoFilter})
	}
	s.printSections()
	return s
}

// upTo copies what has not been copied, up to an offset.
func (s *splicer) upTo(off int64) {
	_, _ = s.out.Write(s.p.Bytes(s.copied, off)) // Flush reports
	s.skipTo(off)
}

// skipTo leaves out the bytes up to an offset.
func (s *splicer) skipTo(off int64) {
	s.copied = off
	s.p.Keep(off)
}

func (s *splicer) put(b []byte) { _, _ = s.out.Write(b) }

// sheet goes over the whole part.
func (s *splicer) sheet() error {
	if _, err := s.p.Root("worksheet"); err != nil {
		return err
	}
	root := s.p.Tok
	if root.Closed {
		return s.emptySheet(root)
	}
	for {
		err := s.p.Next()
		if err == io.EOF {
			s.upTo(s.p.Tok.Off)
			return nil
		}
		if err != nil {
			return err
		}
		switch tok := s.p.Tok; {
		case tok.Kind == markup.Start && s.p.Depth() == 2:
			err = s.child(tok)
		case tok.Kind == markup.End && s.p.Depth() == 0:
			s.upTo(tok.Off)
			err = s.insertBefore("", root.Prefix)
			s.upTo(tok.End)
		default:
			s.upTo(tok.End)
		}
		if err != nil {
			return err
		}
	}
}

// emptySheet opens up a root element that closes itself.
func (s *splicer) emptySheet(root markup.Token) error {
	if len(s.todo) > 0 {
		tag := markup.OpenedTag(s.p.Raw())
		s.upTo(root.Off)
		s.put(tag)
		s.skipTo(root.End)
		if err := s.insertBefore("", root.Prefix); err != nil {
			return err
		}
		s.put(markup.AppendEnd(nil, root.Prefix, root.Local))
	}
	for {
		if err := s.p.Next(); err == io.EOF {
			s.upTo(s.p.Tok.Off)
			return nil
		} else if err != nil {
			return err
		}
		s.upTo(s.p.Tok.End)
	}
}

// child deals with an element below the root, whose start tag is the current
// token.
func (s *splicer) child(tok markup.Token) error {
	s.upTo(tok.Off)
	if !tok.Main {
		if s.last.Local == "" || sectionRank(s.last.Local) < sectionRank("sheetData") {
			return s.copyElement()
		}
		// What stands there in another's words comes behind the page setup.
		if err := s.insertBefore("drawing", s.p.Above(1).Prefix); err != nil {
			return err
		}
		return s.copyElement()
	}
	if err := s.inOrder(tok); err != nil {
		return err
	}
	if err := s.insertBefore(tok.Local, s.p.Above(1).Prefix); err != nil {
		return err
	}
	switch tok.Local {
	case "sheetPr":
		return s.sheetPr()
	case "dimension":
		return s.dimension()
	case "sheetFormatPr":
		return s.sheetFormat()
	case "cols":
		return s.cols()
	case "sheetData":
		if s.ed.Editor != nil {
			return s.sheetData(tok)
		}
	case "autoFilter":
		return s.autoFilter()
	case "pageMargins":
		return s.pageMargins()
	case "pageSetup":
		return s.pageSetup()
	case "headerFooter":
		if err := s.headerFooter(); err != nil {
			return err
		}
		s.breakRows(tok.Prefix)
		return nil
	case "rowBreaks":
		return s.rowBreaks()
	}
	return s.copyElement()
}

// inOrder refuses a child that stands where the schema does not have it. What has
// to be put in would come twice, before it and with it.
func (s *splicer) inOrder(tok markup.Token) error {
	rank, last := sectionRank(tok.Local), sectionRank(s.last.Local)
	if s.last.Local != "" && rank < anyOrder && (rank < last || tok.Local == s.last.Local && tok.Local != "cols") {
		return s.p.Errorf("<%s> stands behind <%s>, where no sheet has it; save the workbook anew from the spreadsheet program", tok.Local, s.last.Local)
	}
	s.last = tok
	return nil
}

// Ranks of what is not looked at any closer: between the filter and the page, and
// behind both.
const (
	anyOrder  = 9
	behindAll = 14
)

// copyElement copies the element just started, as it comes.
func (s *splicer) copyElement() error {
	s.upTo(s.p.Tok.End)
	for depth := s.p.Depth() - 1; s.p.Depth() > depth; {
		if err := s.p.Next(); err != nil {
			return err
		}
		s.upTo(s.p.Tok.End)
	}
	return nil
}

// insertBefore puts in the sections that the schema wants before the child of
// the given name, and takes the child's own off the list. The name "" stands
// for the end of the sheet.
func (s *splicer) insertBefore(local, prefix string) error {
	rank := sectionRank(local)
	for len(s.todo) > 0 && sectionRank(s.todo[0].local) < rank {
		next := s.todo[0]
		s.todo = s.todo[1:]
		if err := next.add(prefix); err != nil {
			return err
		}
	}
	if len(s.todo) > 0 && s.todo[0].local == local {
		s.todo = s.todo[1:]
	}
	return nil
}

// sectionRank gives the place of an element among the children of a worksheet
// (CT_Worksheet, ISO/IEC 29500-1, 18.3.1.99), as far as something may be put in
// before it.
func sectionRank(local string) int {
	switch local {
	case "sheetPr":
		return 1
	case "dimension":
		return 2
	case "sheetViews":
		return 3
	case "sheetFormatPr":
		return 4
	case "cols":
		return 5
	case "sheetData":
		return 6
	case "sheetCalcPr", "sheetProtection", "protectedRanges", "scenarios":
		return 7
	case "autoFilter":
		return 8
	case "sortState", "dataConsolidate", "customSheetViews", "mergeCells", "phoneticPr", "conditionalFormatting",
		"dataValidations", "hyperlinks", "printOptions":
		return anyOrder
	case "pageMargins":
		return 10
	case "pageSetup":
		return 11
	case "headerFooter":
		return 12
	case "rowBreaks":
		return 13
	}
	return behindAll
}
