package worksheet

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
)

// cellSpan says where in the part a cell's bytes are, and what stands in the
// way of treating it as a plain cell.
type cellSpan struct {
	start, end int64
	tagEnd     int64 // end of the start tag
	fStart     int64 // the f element, 0 = none
	fEnd       int64
	hasRef     bool       // carries its own r
	odd        bool       // has something that a plain cell does not have
	group      *group     // the formula is shared
	master     bool       // and this cell holds its text
	array      grid.Range // multi-cell array formula or data table that begins here
}

// group is a set of cells that share one formula.
type group struct {
	formula  string
	row, col int  // the master's place
	early    bool // a dependant came before the master
	replaced bool // the master is gone: dependants must be spelled out
}

// rowScan reads rows, one at a time. Its slices are reused.
type rowScan struct {
	p      *markup.Reader
	ss     Strings
	row    Row
	spans  []cellSpan
	groups map[string]*group
	buf    []byte
	value  []byte

	formats Formats

	start, tagEnd int64
	endTag, end   int64 // the end tag; endTag == end where self-closed
	closed        bool
	prefix        string
	other         bool // something besides cells and blanks inside
}

func newRowScan(p *markup.Reader, ss Strings) *rowScan {
	return &rowScan{p: p, ss: ss, groups: make(map[string]*group)}
}

// read takes in the row whose start tag is the current token of the pull. The
// spans are of use only while the tape's mark is held at or before it.
func (s *rowScan) read() error {
	tok := s.p.Tok
	s.start, s.tagEnd, s.closed, s.prefix = tok.Off, tok.End, tok.Closed, tok.Prefix
	s.spans, s.other = s.spans[:0], false
	s.row = Row{Num: s.row.Num + 1, Cells: s.row.Cells[:0]}
	if err := s.rowAttrs(); err != nil {
		return err
	}
	col := 0
	inside := s.p.Depth()
	for {
		if err := s.p.Next(); err != nil {
			return s.located(err, "")
		}
		tok = s.p.Tok
		switch {
		case s.p.Depth() < inside:
			s.endTag, s.end = tok.Off, tok.End
			return nil
		case tok.Kind == markup.Start && tok.Main && tok.Local == "c":
			if err := s.cell(col); err != nil {
				return err
			}
			col = s.row.Cells[len(s.row.Cells)-1].Col
		case tok.Kind == markup.Start:
			s.other = true
			if err := s.p.Skip(); err != nil {
				return s.located(err, "")
			}
		case tok.Kind != markup.Text || !markup.Blank(tok.Text, false):
			s.other = true
		}
	}
}

func (s *rowScan) rowAttrs() error {
	last := s.row.Num - 1
	for _, a := range s.p.Attrs() {
		switch string(a.Name) {
		case "r":
			num, ok := grid.ScanCount(a.Plain(), grid.MaxRow)
			if !ok {
				return s.p.Errorf("row number %q; rows run from 1 to %d", a.Value, grid.MaxRow)
			}
			s.row.Num = num
		case "hidden":
			s.row.Hidden = s.row.Hidden || markup.Bool(markup.AttrText(a.Value), false)
		case "collapsed":
			s.row.Collapsed = markup.Bool(markup.AttrText(a.Value), false)
		case "outlineLevel":
			s.row.OutlineLevel = markup.Int(markup.AttrText(a.Value), 0)
		case "s":
			s.formats.note(markup.Int(markup.AttrText(a.Value), 0))
		case "ht":
			s.row.Height = markup.Float(markup.AttrText(a.Value))
			s.row.Hidden = s.row.Hidden || s.row.Height <= 0 // the same to whoever looks at it
		}
	}
	if s.row.Num <= last {
		return s.p.Errorf("row %d comes after row %d; rows must ascend and be there once", s.row.Num, last)
	}
	if s.row.Num > grid.MaxRow {
		return s.p.Errorf("more than %d rows; the file is damaged, restore it from a copy", grid.MaxRow)
	}
	return nil
}

// located says where in the sheet a fault of the part is.
func (s *rowScan) located(err error, cell string) error {
	var e *markup.Fault
	if errors.As(err, &e) && e.Where == "" {
		if e.Where = "cell " + cell; cell == "" {
			e.Where = fmt.Sprintf("row %d", s.row.Num)
		}
	}
	return err
}

// cell takes in the cell just started; last is the column before it.
func (s *rowScan) cell(last int) error {
	tok := s.p.Tok
	c := Cell{Row: s.row.Num, Col: last + 1}
	sp := cellSpan{start: tok.Off, tagEnd: tok.End}
	kind := s.cellAttrs(&c, &sp)
	name := func() string { return grid.Ref(c.Row, c.Col) }
	switch {
	case c.Row != s.row.Num:
		return s.located(s.p.Errorf("it stands in row %d; the file is damaged, restore it from a copy", s.row.Num), name())
	case c.Col == 0:
		return s.located(s.p.Errorf("a cell whose reference cannot be read; cells run from A1 to XFD1048576"), "")
	case c.Col <= last:
		return s.located(s.p.Errorf("it comes after column %s; cells must ascend and be there once", grid.ColName(last)), name())
	case c.Col > grid.MaxCol:
		return s.located(s.p.Errorf("the row has more than %d columns; the file is damaged, restore it from a copy", grid.MaxCol), "")
	}
	hasValue, err := s.cellContent(&c, &sp)
	if err == nil && hasValue {
		err = s.setValue(&c, kind)
	}
	if err != nil {
		var e *markup.Fault
		if errors.As(err, &e) && e.Offset == 0 {
			e.Offset = sp.start
		}
		return s.located(err, name())
	}
	sp.end = s.p.Tok.End
	s.row.Cells = append(s.row.Cells, c)
	s.spans = append(s.spans, sp)
	return nil
}

// cellKind is the t attribute of a cell.
type cellKind uint8

const (
	kindNumber cellKind = iota
	kindShared
	kindString
	kindInline
	kindBool
	kindError
	kindDate
	kindUnknown
)

// maxStyle is far over the 65,490 cell formats that a workbook may have.
const maxStyle = 1 << 20

// cellAttrs reads the start tag. A reference that cannot be read leaves Col 0.
func (s *rowScan) cellAttrs(c *Cell, sp *cellSpan) cellKind {
	kind := kindNumber
	for _, a := range s.p.Attrs() {
		switch string(a.Name) {
		case "r":
			sp.hasRef = true
			if row, col, ok := grid.ScanRef(a.Plain()); ok {
				c.Row, c.Col = row, col
			} else {
				c.Col = 0
			}
		case "s":
			style, ok := grid.ScanWhole(a.Value, maxStyle)
			if !ok {
				style = markup.Int(markup.AttrText(a.Value), 0)
			}
			c.Style = style
			s.formats.note(style)
		case "t":
			kind = readKind(a.Plain())
		case "cm", "vm":
			sp.odd = true
		}
	}
	sp.odd = sp.odd || kind == kindDate
	return kind
}

func readKind(t []byte) cellKind {
	switch string(t) {
	case "n":
		return kindNumber
	case "s":
		return kindShared
	case "str":
		return kindString
	case "inlineStr":
		return kindInline
	case "b":
		return kindBool
	case "e":
		return kindError
	case "d":
		return kindDate
	}
	return kindUnknown
}

// cellContent reads the children up to the cell's end: the formula into c, the
// text of the value into s.value. It says whether there was a value.
func (s *rowScan) cellContent(c *Cell, sp *cellSpan) (bool, error) {
	hasValue := false
	inside := s.p.Depth()
	for {
		if text, from, ok := s.p.Leaf("f"); ok {
			c.Formula, c.HasFormula = string(text), true
			sp.fStart, sp.fEnd = from, s.p.Tok.End
		}
		if text, _, ok := s.p.Leaf("v"); ok {
			s.value, hasValue = append(s.value[:0], text...), true
		}
		err := s.p.Next()
		if err != nil {
			return false, err
		}
		if s.p.Depth() < inside {
			return hasValue, nil
		}
		if s.p.Tok.Kind != markup.Start {
			continue
		}
		switch {
		case s.p.Tok.Main && s.p.Tok.Local == "v":
			hasValue = true
			s.value, err = s.p.Text(s.value[:0])
		case s.p.Tok.Main && s.p.Tok.Local == "is":
			hasValue = true
			s.value, err = rich(s.p, s.value[:0])
		case s.p.Tok.Main && s.p.Tok.Local == "f":
			err = s.formula(c, sp)
		default:
			sp.odd = true
			err = s.p.Skip()
		}
		if err != nil {
			return false, err
		}
	}
}

// formula reads the f element just started.
func (s *rowScan) formula(c *Cell, sp *cellSpan) error {
	sp.fStart = s.p.Tok.Off
	var kind, ref, si string
	for _, a := range s.p.Attrs() {
		switch string(a.Name) {
		case "t":
			kind = markup.AttrText(a.Value)
		case "ref":
			ref = markup.AttrText(a.Value)
		case "si":
			si = markup.AttrText(a.Value)
		}
	}
	var err error
	if s.buf, err = s.p.Text(s.buf[:0]); err != nil {
		return err
	}
	sp.fEnd = s.p.Tok.End
	c.Formula = string(s.buf)
	c.HasFormula = true
	switch kind {
	case "shared":
		s.shared(c, sp, si, ref != "")
	case "array", "dataTable":
		sp.odd = true
		if rg, err := grid.ParseRange(ref); err == nil && rg != (grid.Range{Row1: c.Row, Col1: c.Col, Row2: c.Row, Col2: c.Col}) {
			sp.array = rg
		}
	}
	return nil
}

// shared places a cell in its group. The cell with the text is the master; the
// others get a copy of it, moved to where they stand.
func (s *rowScan) shared(c *Cell, sp *cellSpan, si string, hasRange bool) {
	g := s.groups[si]
	if c.Formula != "" && (hasRange || g == nil || g.formula == "") {
		early := g != nil && g.formula == ""
		g = &group{formula: c.Formula, row: c.Row, col: c.Col, early: early}
		s.groups[si] = g
		sp.master = true
	} else {
		if g == nil {
			g = &group{}
			s.groups[si] = g
		}
		if g.formula != "" {
			c.Formula = grid.MoveFormula(g.formula, c.Row-g.row, c.Col-g.col)
		}
	}
	sp.group = g
}

// SetValue turns the text of the value into the cell's content. Its errors
// leave the offset to the caller.
func (s *rowScan) setValue(c *Cell, kind cellKind) error {
	switch kind {
	case kindString, kindInline:
		c.Kind, c.Text = Text, markup.UnescapeText(s.value)
		return nil
	}
	text := strings.TrimSpace(string(s.value))
	if text == "" {
		return nil
	}
	switch kind {
	case kindNumber:
		return setNumber(c, text)
	case kindShared:
		i, err := strconv.Atoi(text)
		str, ok := s.ss.At(i)
		if err != nil || !ok {
			return &markup.Fault{What: fmt.Sprintf("shared string %q is not among the %d that there are; the file is damaged, restore it from a copy", text, s.ss.Len())}
		}
		c.Kind, c.Text = Text, str
	case kindBool:
		c.Kind = Bool
		if markup.Bool(text, false) {
			c.Num = 1
		}
	case kindError:
		c.Kind, c.Text = Error, text
	case kindDate:
		c.Kind, c.Text, c.ISODate = Text, text, true
	default:
		return &markup.Fault{What: "a type of cell that there is not; the file is damaged, restore it from a copy"}
	}
	return nil
}

// setNumber reads an xsd:double in decimal form. Numbers too large for a
// float64 are what a spreadsheet shows for them, #NUM!.
func setNumber(c *Cell, text string) error {
	for i := range len(text) {
		if ch := text[i]; (ch < '0' || ch > '9') && !strings.ContainsRune("+-.eE", rune(ch)) {
			return &markup.Fault{What: fmt.Sprintf("%q is stored as a number and is none; the file is damaged, restore it from a copy", text)}
		}
	}
	v, err := strconv.ParseFloat(text, 64)
	switch {
	case errors.Is(err, strconv.ErrRange):
		c.Kind, c.Text = Error, "#NUM!"
	case err != nil:
		return &markup.Fault{What: fmt.Sprintf("%q is stored as a number and is none; the file is damaged, restore it from a copy", text)}
	default:
		c.Kind, c.Num = Number, v
	}
	return nil
}
