package part

// colPiece is a run of columns of one definition: an old element or a part of
// one, or a new one.
type colPiece struct {
	min, max int
	tag      []byte // the start tag of the old element; nil = new
	rest     []byte // what follows it: the end tag, if any
	before   []byte // blanks before the element
}

// newCols writes the section where the sheet has none.
func (s *splicer) newCols(prefix string) error {
	s.put(appendStart(nil, prefix, "cols", false))
	for _, piece := range s.layOver(nil, prefix) {
		s.put(piece.tag)
	}
	s.put(appendEnd(nil, prefix, "cols"))
	return nil
}

// cols takes in the section just started and writes it with the changes.
func (s *splicer) cols() error {
	if len(s.ed.Cols) == 0 && len(s.ed.RemoveCols) == 0 {
		return s.copyElement()
	}
	if s.hasCol {
		return s.p.errorf("a second section of column definitions; save the workbook anew from the spreadsheet program")
	}
	s.hasCol = true
	section := s.p.tok
	open := append([]byte(nil), s.p.raw()...)
	pieces, tail, err := s.readPieces()
	if err != nil {
		return err
	}
	pieces = s.layOver(pieces, section.prefix)
	s.skipTo(s.p.tok.end)
	if len(pieces) == 0 {
		return nil // the schema allows no empty section
	}
	s.put(openedTag(open))
	for _, piece := range pieces {
		s.put(piece.before)
		s.put(piece.tag)
		s.put(piece.rest)
	}
	if section.closed {
		tail = appendEnd(nil, section.prefix, section.local)
	}
	s.put(tail)
	return nil
}

// readPieces reads the col elements up to the section's end. The tail is what
// follows the last of them, the section's end tag included.
func (s *splicer) readPieces() (pieces []colPiece, tail []byte, err error) {
	inside := s.p.depth()
	from := s.p.tok.end
	for {
		if err := s.p.next(); err != nil {
			return nil, nil, err
		}
		tok := s.p.tok
		if s.p.depth() < inside {
			return pieces, clone(s.p.bytes(from, tok.end)), nil
		}
		if tok.kind != tokenStart || !tok.main || tok.local != "col" {
			continue
		}
		col, err := readCol(s.p, s.p.raw())
		if err != nil {
			return nil, nil, err
		}
		if len(pieces) > 0 && pieces[len(pieces)-1].max >= col.Min {
			return nil, nil, s.p.errorf("column definitions overlap or do not ascend at column %s; the file is damaged, restore it from a copy", ColName(col.Min))
		}
		piece := colPiece{min: col.Min, max: col.Max, tag: clone(s.p.raw()), before: clone(s.p.bytes(from, tok.off))}
		if err := s.p.skip(); err != nil {
			return nil, nil, err
		}
		piece.rest = clone(s.p.bytes(tok.end, s.p.tok.end))
		from = s.p.tok.end
		pieces = append(pieces, piece)
	}
}

// layOver cuts the pieces at the bounds of the edits, drops those to be
// removed, changes those laid over, and fills the gaps of what is laid over.
func (s *splicer) layOver(pieces []colPiece, prefix string) []colPiece {
	for _, c := range s.ed.RemoveCols {
		head, _, rest := cutOut(pieces, c.Min, c.Max)
		pieces = append(head, rest...)
	}
	pieces = s.closeUp(pieces)
	for _, c := range s.ed.Cols {
		head, inside, rest := cutOut(pieces, c.Min, c.Max)
		next := c.Min
		for _, piece := range inside {
			head = appendGap(head, next, piece.min-1, c, prefix)
			piece.tag = layTag(piece.tag, c)
			head = append(head, piece)
			next = piece.max + 1
		}
		head = appendGap(head, next, c.Max, c, prefix)
		pieces = append(head, rest...)
	}
	return pieces
}

// closeUp gives columns that were removed the definition of all columns to the
// edge of the sheet, where that begins just behind them: it was theirs before
// they were laid over.
func (s *splicer) closeUp(pieces []colPiece) []colPiece {
	if len(pieces) == 0 || pieces[len(pieces)-1].max < MaxCol {
		return pieces
	}
	last := &pieces[len(pieces)-1]
	for i := len(s.ed.RemoveCols) - 1; i >= 0; i-- {
		if c := s.ed.RemoveCols[i]; c.Max == last.min-1 {
			*last = last.part(c.Min, last.max)
		}
	}
	return pieces
}

// appendGap defines columns that had no definition.
func appendGap(pieces []colPiece, from, to int, c Col, prefix string) []colPiece {
	if from > to {
		return pieces
	}
	tag := append(appendName([]byte{'<'}, prefix, "col"), "/>"...)
	tag = setTagInt(setTagInt(tag, "min", from), "max", to)
	return append(pieces, colPiece{min: from, max: to, tag: layTag(tag, c)})
}

func layTag(tag []byte, c Col) []byte {
	if c.Width > 0 {
		tag = setTagFloat(tag, "width", c.Width)
	}
	if c.Style >= 0 {
		tag = setTagInt(tag, "style", c.Style)
	}
	tag = setTagBool(tag, "hidden", c.Hidden, false)
	if c.Width > 0 {
		tag = setTagBool(tag, "customWidth", true, false)
	}
	tag = setTagInt(tag, "outlineLevel", c.OutlineLevel)
	return setTagBool(tag, "collapsed", c.Collapsed, false)
}

// cutOut parts the pieces into those before, inside and behind a run of
// columns. One that crosses a bound becomes two.
func cutOut(pieces []colPiece, from, to int) (head, inside, rest []colPiece) {
	for _, piece := range pieces {
		if piece.min < from {
			head = append(head, piece.part(piece.min, min(piece.max, from-1)))
		}
		if piece.max >= from && piece.min <= to {
			inside = append(inside, piece.part(max(piece.min, from), min(piece.max, to)))
		}
		if piece.max > to {
			rest = append(rest, piece.part(max(piece.min, to+1), piece.max))
		}
	}
	return head, inside, rest
}

// part gives the piece cut down; a whole one keeps its bytes.
func (c colPiece) part(from, to int) colPiece {
	if from != c.min {
		c.tag = setTagInt(c.tag, "min", from)
		c.before = nil
	}
	if to != c.max {
		c.tag = setTagInt(c.tag, "max", to)
	}
	c.min, c.max = from, to
	return c
}

func clone(b []byte) []byte { return append([]byte(nil), b...) }
