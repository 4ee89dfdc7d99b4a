package part

import "fmt"

// The sections before the cells: what splice.go finds or has to put in.

// startTag gives a copy of the current token's start tag and leaves it out of
// what is copied.
func (s *splicer) startTag() []byte {
	tag := append([]byte(nil), s.p.raw()...)
	s.skipTo(s.p.tok.end)
	return tag
}

// editTag copies the element just started with its start tag changed.
func (s *splicer) editTag(change func(tag []byte) []byte) error {
	s.put(change(s.startTag()))
	return s.copyElement()
}

func (s *splicer) sheetPr() error {
	if s.ed.SummaryRight == nil {
		return s.copyElement()
	}
	right := *s.ed.SummaryRight
	tok := s.p.tok
	tag := append([]byte(nil), s.p.raw()...)
	if tok.closed && right {
		return s.copyElement()
	}
	if tok.closed {
		s.put(openedTag(tag))
		s.put(outlinePr(tok.prefix))
		s.put(appendEnd(nil, tok.prefix, tok.local))
		s.skipTo(tok.end)
		return s.p.next()
	}
	return s.outlineIn(tok, right)
}

// outlineIn finds the outlinePr of the sheetPr just started, or its place:
// behind tabColor.
func (s *splicer) outlineIn(sheetPr token, right bool) error {
	done := right // true is the default, so nothing to put in
	inside := s.p.depth()
	for {
		if err := s.p.next(); err != nil {
			return err
		}
		tok := s.p.tok
		switch {
		case s.p.depth() < inside:
			s.upTo(tok.off)
			if !done {
				s.put(outlinePr(sheetPr.prefix))
			}
			s.upTo(tok.end)
			return nil
		case tok.kind != tokenStart || s.p.depth() != inside+1 || !tok.main:
		case tok.local == "outlinePr":
			s.upTo(tok.off)
			s.put(setTagBool(s.startTag(), "summaryRight", right, true))
			done = true
		case tok.local != "tabColor" && !done:
			s.upTo(tok.off)
			s.put(outlinePr(sheetPr.prefix))
			done = true
		}
	}
}

func outlinePr(prefix string) []byte {
	return append(appendName([]byte{'<'}, prefix, "outlinePr"), ` summaryRight="0"/>`...)
}

func (s *splicer) newSheetPr(prefix string) error {
	s.put(appendStart(nil, prefix, "sheetPr", false))
	s.put(outlinePr(prefix))
	s.put(appendEnd(nil, prefix, "sheetPr"))
	return nil
}

// dimension grows the declared range over the extent of the edits.
func (s *splicer) dimension() error {
	if s.ed.Extent == "" {
		return s.copyElement()
	}
	return s.editTag(func(tag []byte) []byte {
		text, _ := tagAttr(tag, "ref")
		extent, _ := ParseRange(s.ed.Extent) // checked at the start
		have, err := ParseRange(text)
		if err != nil {
			return setTagAttr(tag, "ref", extent.String())
		}
		if s.ed.Shrink {
			if have == extent {
				return tag
			}
			return setTagAttr(tag, "ref", extent.String())
		}
		if all := have.Union(extent); all != have {
			return setTagAttr(tag, "ref", all.String())
		}
		return tag
	})
}

// outlineCols is the depth of outline that the new columns need.
func (s *splicer) outlineCols() int {
	level := 0
	for _, c := range s.ed.Cols {
		level = max(level, c.OutlineLevel)
	}
	return level
}

func (s *splicer) sheetFormat() error {
	return s.editTag(s.outlineLevels)
}

func (s *splicer) outlineLevels(tag []byte) []byte {
	if text, _ := tagAttr(tag, "outlineLevelCol"); s.ed.Shrink && xmlInt(text, 0) > s.ed.Outline {
		tag = dropTagAttr(tag, "outlineLevelCol")
		tag = raiseTagInt(tag, "outlineLevelCol", s.ed.Outline)
	}
	tag = raiseTagInt(tag, "outlineLevelRow", s.ed.OutlineLevelRow)
	return raiseTagInt(tag, "outlineLevelCol", s.outlineCols())
}

func raiseTagInt(tag []byte, name string, least int) []byte {
	text, _ := tagAttr(tag, name)
	if xmlInt(text, 0) >= least {
		return tag
	}
	return setTagInt(tag, name, least)
}

// newSheetFormat needs a default row height by the schema; 15 points is what
// spreadsheet programs write for their usual font.
func (s *splicer) newSheetFormat(prefix string) error {
	b := appendName([]byte{'<'}, prefix, "sheetFormatPr")
	s.put(s.outlineLevels(append(b, ` defaultRowHeight="15"/>`...)))
	return nil
}

// autoFilter changes the range of the filter there is.
func (s *splicer) autoFilter() error {
	return s.editTag(func(tag []byte) []byte {
		have, _ := tagAttr(tag, "ref")
		if s.ed.AutoFilterRef == "" || s.ed.AutoFilterRef == have {
			return tag
		}
		return setTagAttr(tag, "ref", escape(s.ed.AutoFilterRef, true))
	})
}

func (s *splicer) newAutoFilter(prefix string) error {
	b := appendName([]byte{'<'}, prefix, "autoFilter")
	s.put(fmt.Appendf(b, ` ref="%s"/>`, escape(s.ed.AutoFilterRef, true)))
	return nil
}
