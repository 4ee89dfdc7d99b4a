package worksheet

import (
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
)

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
	s.put(markup.AppendStart(nil, prefix, "cols", false))
	for _, piece := range s.layOver(nil, prefix) {
		s.put(piece.tag)
	}
	s.put(markup.AppendEnd(nil, prefix, "cols"))
	return nil
}

// cols takes in the section just started and writes it with the changes.
func (s *splicer) cols() error {
	if len(s.ed.Cols) == 0 && len(s.ed.RemoveCols) == 0 {
		return s.copyElement()
	}
	if s.hasCol {
		return s.p.Errorf("a second section of column definitions; save the workbook anew from the spreadsheet program")
	}
	s.hasCol = true
	section := s.p.Tok
	open := append([]byte(nil), s.p.Raw()...)
	pieces, tail, err := s.readPieces()
	if err != nil {
		return err
	}
	pieces = s.layOver(pieces, section.Prefix)
	s.skipTo(s.p.Tok.End)
	if len(pieces) == 0 {
		return nil // the schema allows no empty section
	}
	s.put(markup.OpenedTag(open))
	for _, piece := range pieces {
		s.put(piece.before)
		s.put(piece.tag)
		s.put(piece.rest)
	}
	if section.Closed {
		tail = markup.AppendEnd(nil, section.Prefix, section.Local)
	}
	s.put(tail)
	return nil
}

// readPieces reads the col elements up to the section's end. The tail is what
// follows the last of them, the section's end tag included.
func (s *splicer) readPieces() (pieces []colPiece, tail []byte, err error) {
	inside := s.p.Depth()
	from := s.p.Tok.End
	for {
		if err := s.p.Next(); err != nil {
			return nil, nil, err
		}
		tok := s.p.Tok
		if s.p.Depth() < inside {
			return pieces, clone(s.p.Bytes(from, tok.End)), nil
		}
		if tok.Kind != markup.Start || !tok.Main || tok.Local != "col" {
			continue
		}
		col, err := readCol(s.p, s.p.Raw())
		if err != nil {
			return nil, nil, err
		}
		if len(pieces) > 0 && pieces[len(pieces)-1].max >= col.Min {
			return nil, nil, s.p.Errorf("column definitions overlap or do not ascend at column %s; the file is damaged, restore it from a copy", grid.ColName(col.Min))
		}
		piece := colPiece{min: col.Min, max: col.Max, tag: clone(s.p.Raw()), before: clone(s.p.Bytes(from, tok.Off))}
		if err := s.p.Skip(); err != nil {
			return nil, nil, err
		}
		piece.rest = clone(s.p.Bytes(tok.End, s.p.Tok.End))
		from = s.p.Tok.End
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
	if len(pieces) == 0 || pieces[len(pieces)-1].max < grid.MaxCol {
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
	tag := append(markup.AppendName([]byte{'<'}, prefix, "col"), "/>"...)
	tag = markup.SetTagInt(markup.SetTagInt(tag, "min", from), "max", to)
	return append(pieces, colPiece{min: from, max: to, tag: layTag(tag, c)})
}

func layTag(tag []byte, c Col) []byte {
	if c.Width > 0 {
		tag = markup.SetTagFloat(tag, "width", c.Width)
	}
	if c.Style >= 0 {
		tag = markup.SetTagInt(tag, "style", c.Style)
	}
	tag = markup.SetTagBool(tag, "hidden", c.Hidden, false)
	if c.Width > 0 {
		tag = markup.SetTagBool(tag, "customWidth", true, false)
	}
	tag = markup.SetTagInt(tag, "outlineLevel", c.OutlineLevel)
	return markup.SetTagBool(tag, "collapsed", c.Collapsed, false)
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
		c.tag = markup.SetTagInt(c.tag, "min", from)
		c.before = nil
	}
	if to != c.max {
		c.tag = markup.SetTagInt(c.tag, "max", to)
	}
	c.min, c.max = from, to
	return c
}

func clone(b []byte) []byte { return append([]byte(nil), b...) }
