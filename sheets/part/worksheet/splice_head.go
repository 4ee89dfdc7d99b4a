package worksheet

import (
	"fmt"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
)

// The sections before the cells: what splice.go finds or has to put in.

// startTag gives a copy of the current token's start tag and leaves it out of
// what is copied.
func (s *splicer) startTag() []byte {
	tag := append([]byte(nil), s.p.Raw()...)
	s.skipTo(s.p.Tok.End)
	return tag
}

// editTag copies the element just started with its start tag changed.
func (s *splicer) editTag(change func(tag []byte) []byte) error {
	s.put(change(s.startTag()))
	return s.copyElement()
}

func (s *splicer) sheetPr() error {
	if s.ed.Print != nil && s.ed.Print.Remove && s.ed.Print.Setup {
		return s.unfit()
	}
	right := s.ed.SummaryRight == nil || *s.ed.SummaryRight
	fits := s.ed.fits()
	if s.ed.SummaryRight == nil && !fits {
		return s.copyElement()
	}
	tok := s.p.Tok
	tag := append([]byte(nil), s.p.Raw()...)
	if tok.Closed && right && !fits {
		return s.copyElement()
	}
	if tok.Closed {
		s.put(markup.OpenedTag(tag))
		s.putPr(tok.Prefix, !right, fits)
		s.put(markup.AppendEnd(nil, tok.Prefix, tok.Local))
		s.skipTo(tok.End)
		return s.p.Next()
	}
	return s.outlineIn(tok, right, fits)
}

// putPr puts in what a sheetPr lacks.
func (s *splicer) putPr(prefix string, outline, fits bool) {
	if outline {
		s.put(outlinePr(prefix))
	}
	if fits {
		s.put(fitPr(prefix))
	}
}

// outlineIn finds the outlinePr and the pageSetUpPr of the sheetPr just started, or
// their places: behind tabColor, and one behind the other.
func (s *splicer) outlineIn(sheetPr markup.Token, right, fits bool) error {
	outline := !right // true is the default, so nothing to put in
	inside := s.p.Depth()
	for {
		if err := s.p.Next(); err != nil {
			return err
		}
		tok := s.p.Tok
		switch {
		case s.p.Depth() < inside:
			s.upTo(tok.Off)
			s.putPr(sheetPr.Prefix, outline, fits)
			s.upTo(tok.End)
			return nil
		case tok.Kind != markup.Start || s.p.Depth() != inside+1 || !tok.Main:
		case tok.Local == "outlinePr":
			s.upTo(tok.Off)
			if s.ed.SummaryRight != nil {
				s.put(markup.SetTagBool(s.startTag(), "summaryRight", right, true))
			}
			outline = false
		case tok.Local == "pageSetUpPr":
			s.upTo(tok.Off)
			s.putPr(sheetPr.Prefix, outline, false)
			if fits {
				s.put(markup.SetTagBool(s.startTag(), "fitToPage", true, false))
			}
			outline, fits = false, false
		case tok.Local != "tabColor" && outline:
			s.upTo(tok.Off)
			s.putPr(sheetPr.Prefix, outline, false)
			outline = false
		}
	}
}

func outlinePr(prefix string) []byte {
	return append(markup.AppendName([]byte{'<'}, prefix, "outlinePr"), ` summaryRight="0"/>`...)
}

func (s *splicer) newSheetPr(prefix string) error {
	s.put(markup.AppendStart(nil, prefix, "sheetPr", false))
	s.putPr(prefix, s.ed.SummaryRight != nil && !*s.ed.SummaryRight, s.ed.fits())
	s.put(markup.AppendEnd(nil, prefix, "sheetPr"))
	return nil
}

// dimension grows the declared range over the extent of the edits.
func (s *splicer) dimension() error {
	if s.ed.Extent == "" {
		return s.copyElement()
	}
	return s.editTag(func(tag []byte) []byte {
		text, _ := markup.TagAttr(tag, "ref")
		extent, _ := grid.ParseRange(s.ed.Extent) // checked at the start
		have, err := grid.ParseRange(text)
		if err != nil {
			return markup.SetTagAttr(tag, "ref", extent.String())
		}
		if s.ed.Shrink {
			if have == extent {
				return tag
			}
			return markup.SetTagAttr(tag, "ref", extent.String())
		}
		if all := have.Union(extent); all != have {
			return markup.SetTagAttr(tag, "ref", all.String())
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
	if text, _ := markup.TagAttr(tag, "outlineLevelCol"); s.ed.Shrink && markup.Int(text, 0) > s.ed.Outline {
		tag = markup.DropTagAttr(tag, "outlineLevelCol")
		tag = raiseTagInt(tag, "outlineLevelCol", s.ed.Outline)
	}
	tag = raiseTagInt(tag, "outlineLevelRow", s.ed.OutlineLevelRow)
	return raiseTagInt(tag, "outlineLevelCol", s.outlineCols())
}

func raiseTagInt(tag []byte, name string, least int) []byte {
	text, _ := markup.TagAttr(tag, name)
	if markup.Int(text, 0) >= least {
		return tag
	}
	return markup.SetTagInt(tag, name, least)
}

// newSheetFormat needs a default row height by the schema; 15 points is what
// spreadsheet programs write for their usual font.
func (s *splicer) newSheetFormat(prefix string) error {
	b := markup.AppendName([]byte{'<'}, prefix, "sheetFormatPr")
	s.put(s.outlineLevels(append(b, ` defaultRowHeight="15"/>`...)))
	return nil
}

// autoFilter changes the range of the filter there is.
func (s *splicer) autoFilter() error {
	return s.editTag(func(tag []byte) []byte {
		have, _ := markup.TagAttr(tag, "ref")
		if s.ed.AutoFilterRef == "" || s.ed.AutoFilterRef == have {
			return tag
		}
		return markup.SetTagAttr(tag, "ref", markup.Escape(s.ed.AutoFilterRef, true))
	})
}

func (s *splicer) newAutoFilter(prefix string) error {
	b := markup.AppendName([]byte{'<'}, prefix, "autoFilter")
	s.put(fmt.Appendf(b, ` ref="%s"/>`, markup.Escape(s.ed.AutoFilterRef, true)))
	return nil
}
