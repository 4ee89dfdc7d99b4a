package part

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// cellSpan says where in the part a cell's bytes are, and what stands in the
// way of treating it as a plain cell.
type cellSpan struct {
	start, end int64
	tagEnd     int64 // end of the start tag
	fStart     int64 // the f element, 0 = none
	fEnd       int64
	hasRef     bool   // carries its own r
	odd        bool   // has something that a plain cell does not have
	group      *group // the formula is shared
	master     bool   // and this cell holds its text
	array      Range  // multi-cell array formula or data table that begins here
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
	p      *pull
	ss     Strings
	row    Row
	spans  []cellSpan
	groups map[string]*group
	buf    []byte
	value  []byte

	start, tagEnd int64
	endTag, end   int64 // the end tag; endTag == end where self-closed
	closed        bool
	prefix        string
	other         bool // something besides cells and blanks inside
}

func newRowScan(p *pull, ss Strings) *rowScan {
	return &rowScan{p: p, ss: ss, groups: make(map[string]*group)}
}

// read takes in the row whose start tag is the current token of the pull. The
// spans are of use only while the tape's mark is held at or before it.
func (s *rowScan) read() error {
	tok := s.p.tok
	s.start, s.tagEnd, s.closed, s.prefix = tok.off, tok.end, tok.closed, tok.prefix
	s.spans, s.other = s.spans[:0], false
	s.row = Row{Num: s.row.Num + 1, Cells: s.row.Cells[:0]}
	if err := s.rowAttrs(); err != nil {
		return err
	}
	col := 0
	inside := s.p.depth()
	for {
		if err := s.p.next(); err != nil {
			return s.located(err, "")
		}
		tok = s.p.tok
		switch {
		case s.p.depth() < inside:
			s.endTag, s.end = tok.off, tok.end
			return nil
		case tok.kind == tokenStart && tok.main && tok.local == "c":
			if err := s.cell(col); err != nil {
				return err
			}
			col = s.row.Cells[len(s.row.Cells)-1].Col
		case tok.kind == tokenStart:
			s.other = true
			if err := s.p.skip(); err != nil {
				return s.located(err, "")
			}
		case tok.kind != tokenText || !blank(tok.text, false):
			s.other = true
		}
	}
}

func (s *rowScan) rowAttrs() error {
	last := s.row.Num - 1
	for a := attrsOf(s.p.raw()); a.next(); {
		switch string(a.name) {
		case "r":
			num, ok := parseCount(a.plain(), MaxRow)
			if !ok {
				return s.p.errorf("row number %q; rows run from 1 to %d", a.value, MaxRow)
			}
			s.row.Num = num
		case "hidden":
			s.row.Hidden = xmlBool(attrText(a.value), false)
		case "collapsed":
			s.row.Collapsed = xmlBool(attrText(a.value), false)
		case "outlineLevel":
			s.row.OutlineLevel = xmlInt(attrText(a.value), 0)
		case "ht":
			s.row.Height = xmlFloat(attrText(a.value))
		}
	}
	if s.row.Num <= last {
		return s.p.errorf("row %d comes after row %d; rows must ascend and be there once", s.row.Num, last)
	}
	if s.row.Num > MaxRow {
		return s.p.errorf("more than %d rows; the file is damaged, restore it from a copy", MaxRow)
	}
	return nil
}

// located says where in the sheet a fault of the part is.
func (s *rowScan) located(err error, cell string) error {
	var e *SheetError
	if errors.As(err, &e) && e.Where == "" {
		if e.Where = "cell " + cell; cell == "" {
			e.Where = fmt.Sprintf("row %d", s.row.Num)
		}
	}
	return err
}

// cell takes in the cell just started; last is the column before it.
func (s *rowScan) cell(last int) error {
	tok := s.p.tok
	c := Cell{Row: s.row.Num, Col: last + 1}
	sp := cellSpan{start: tok.off, tagEnd: tok.end}
	kind := s.cellAttrs(&c, &sp)
	name := Ref(c.Row, c.Col)
	switch {
	case c.Row != s.row.Num:
		c.Row = s.row.Num
		return s.located(s.p.errorf("it stands in row %d; the file is damaged, restore it from a copy", s.row.Num), name)
	case c.Col == 0:
		return s.located(s.p.errorf("a cell whose reference cannot be read; cells run from A1 to XFD1048576"), "")
	case c.Col <= last:
		return s.located(s.p.errorf("it comes after column %s; cells must ascend and be there once", ColName(last)), name)
	case c.Col > MaxCol:
		return s.located(s.p.errorf("the row has more than %d columns; the file is damaged, restore it from a copy", MaxCol), "")
	}
	hasValue, err := s.cellContent(&c, &sp)
	if err == nil && hasValue {
		err = s.setValue(&c, kind)
	}
	if err != nil {
		var e *SheetError
		if errors.As(err, &e) && e.Offset == 0 {
			e.Offset = sp.start
		}
		return s.located(err, name)
	}
	sp.end = s.p.tok.end
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
	for a := attrsOf(s.p.raw()); a.next(); {
		switch string(a.name) {
		case "r":
			sp.hasRef = true
			if row, col, ok := parseRef(a.plain()); ok {
				c.Row, c.Col = row, col
			} else {
				c.Col = 0
			}
		case "s":
			style, ok := parseWhole(a.value, maxStyle)
			if !ok {
				style = xmlInt(attrText(a.value), 0)
			}
			c.Style = style
		case "t":
			kind = readKind(a.plain())
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
	inside := s.p.depth()
	for {
		err := s.p.next()
		if err != nil {
			return false, err
		}
		if s.p.depth() < inside {
			return hasValue, nil
		}
		if s.p.tok.kind != tokenStart {
			continue
		}
		switch {
		case s.p.tok.main && s.p.tok.local == "v":
			hasValue = true
			s.value, err = s.p.text(s.value[:0])
		case s.p.tok.main && s.p.tok.local == "is":
			hasValue = true
			s.value, err = rich(s.p, s.value[:0])
		case s.p.tok.main && s.p.tok.local == "f":
			err = s.formula(c, sp)
		default:
			sp.odd = true
			err = s.p.skip()
		}
		if err != nil {
			return false, err
		}
	}
}

// formula reads the f element just started.
func (s *rowScan) formula(c *Cell, sp *cellSpan) error {
	sp.fStart = s.p.tok.off
	var kind, ref, si string
	for a := attrsOf(s.p.raw()); a.next(); {
		switch string(a.name) {
		case "t":
			kind = attrText(a.value)
		case "ref":
			ref = attrText(a.value)
		case "si":
			si = attrText(a.value)
		}
	}
	var err error
	if s.buf, err = s.p.text(s.buf[:0]); err != nil {
		return err
	}
	sp.fEnd = s.p.tok.end
	c.Formula = string(s.buf)
	c.HasFormula = true
	switch kind {
	case "shared":
		s.shared(c, sp, si, ref != "")
	case "array", "dataTable":
		sp.odd = true
		if rg, err := ParseRange(ref); err == nil && rg != (Range{c.Row, c.Col, c.Row, c.Col}) {
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
			c.Formula = moveFormula(g.formula, c.Row-g.row, c.Col-g.col)
		}
	}
	sp.group = g
}

// setValue turns the text of the value into the cell's content. Its errors
// leave the offset to the caller.
func (s *rowScan) setValue(c *Cell, kind cellKind) error {
	switch kind {
	case kindString, kindInline:
		c.Kind, c.Text = Text, unescapeText(s.value)
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
			return &SheetError{What: fmt.Sprintf("shared string %q is not among the %d that there are; the file is damaged, restore it from a copy", text, s.ss.Len())}
		}
		c.Kind, c.Text = Text, str
	case kindBool:
		c.Kind = Bool
		if xmlBool(text, false) {
			c.Num = 1
		}
	case kindError:
		c.Kind, c.Text = Error, text
	case kindDate:
		c.Kind, c.Text = Text, text
	default:
		return &SheetError{What: "a type of cell that there is not; the file is damaged, restore it from a copy"}
	}
	return nil
}

// setNumber reads an xsd:double in decimal form. Numbers too large for a
// float64 are what a spreadsheet shows for them, #NUM!.
func setNumber(c *Cell, text string) error {
	for i := range len(text) {
		if ch := text[i]; (ch < '0' || ch > '9') && !strings.ContainsRune("+-.eE", rune(ch)) {
			return &SheetError{What: fmt.Sprintf("%q is stored as a number and is none; the file is damaged, restore it from a copy", text)}
		}
	}
	v, err := strconv.ParseFloat(text, 64)
	switch {
	case errors.Is(err, strconv.ErrRange):
		c.Kind, c.Text = Error, "#NUM!"
	case err != nil:
		return &SheetError{What: fmt.Sprintf("%q is stored as a number and is none; the file is damaged, restore it from a copy", text)}
	default:
		c.Kind, c.Num = Number, v
	}
	return nil
}
