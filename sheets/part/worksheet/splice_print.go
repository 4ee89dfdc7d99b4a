package worksheet

import (
	"fmt"
	"strconv"
	"strings"

	"seamtally/sheets/part/markup"
)

// Print is a page setup to be put into a sheet that has none of its own, or to be
// set anew or taken out where it is the one that was put in. What anybody has changed
// in it stays: so much of it is theirs.
type Print struct {
	New       bool // the sheet has none
	Setup     bool // it has the one that was put in
	Remove    bool // that is taken out, and with it all that came with it
	Landscape bool
	Wide      int    // pages side by side, at most; as many as it takes from top to bottom
	Footer    string // "" leaves that which is there
	// Ours says of a footer whether it was put in.
	Ours func(footer string) bool
	// Breaks, if set, gives the rows that begin a new page, where it is ok: those that
	// there are go. It is asked where the sheet has a footer, as without one its pages
	// are somebody else's. paper is the size that the sheet names (ECMA-376 part 1,
	// 18.3.1.63), 0 for none.
	Breaks func(paper int) (rows []int, ok bool)
}

// Margins of our pages in inches: what every common printer can reach, with room for the
// footer, which stands as far from the edge as the last of them.
const (
	EdgeMargin   = 0.4
	FootMargin   = 0.6
	FooterMargin = 0.3
)

// ourMargins go with a page setup into a sheet that has none.
func ourMargins() string {
	return fmt.Sprintf(` left="%g" right="%[1]g" top="%[1]g" bottom="%g" header="%g" footer="%[3]g"`, EdgeMargin, FootMargin, FooterMargin)
}

// IsOurSetup reports whether a page setup is as it was put in: a program that has
// saved the sheet, or somebody who has changed it, writes more or other than that.
func IsOurSetup(tag string) bool {
	wide, err := strconv.Atoi(between(tag, ` fitToWidth="`, `"`))
	if err != nil {
		return false
	}
	attrs := tag[strings.IndexByte(tag, ' '):]
	return attrs == setupAttrs(true, wide)+"/>" || attrs == setupAttrs(false, wide)+"/>"
}

func between(s, from, to string) string {
	_, s, _ = strings.Cut(s, from)
	s, _, _ = strings.Cut(s, to)
	return s
}

func setupAttrs(landscape bool, wide int) string {
	way := "portrait"
	if landscape {
		way = "landscape"
	}
	return ` orientation="` + way + `" fitToWidth="` + strconv.Itoa(wide) + `" fitToHeight="0"`
}

// printSections are what a new page setup puts in, with those that come before the cells.
func (s *splicer) printSections() {
	p := s.ed.Print
	if p == nil || !p.New {
		return
	}
	empty := func(local, attrs string) {
		s.todo = append(s.todo, section{local, func(prefix string) error {
			s.put(append(markup.AppendName([]byte{'<'}, prefix, local), attrs+"/>"...))
			return nil
		}})
	}
	empty("pageMargins", ourMargins())
	empty("pageSetup", setupAttrs(p.Landscape, p.Wide))
	s.todo = append(s.todo, section{"headerFooter", func(prefix string) error {
		s.put(markup.AppendStart(nil, prefix, "headerFooter", false))
		s.put(markup.AppendStart(nil, prefix, "oddFooter", false))
		s.put([]byte(markup.Escape(p.Footer, false)))
		s.put(markup.AppendEnd(nil, prefix, "oddFooter"))
		s.put(markup.AppendEnd(nil, prefix, "headerFooter"))
		return nil
	}})
}

// fits reports whether the sheet is to be fitted to a number of pages.
func (ed *Edit) fits() bool { return ed.Print != nil && ed.Print.New }

// fitPr says that pages are fitted. The longer spelling tells a tag that was put in
// from one that had been there without the attribute.
func fitPr(prefix string) []byte {
	return append(markup.AppendName([]byte{'<'}, prefix, "pageSetUpPr"), ` fitToPage="true"/>`...)
}

// pageSetup deals with the sheet's.
func (s *splicer) pageSetup() error {
	p := s.ed.Print
	paper, _ := markup.TagAttr(s.p.Raw(), "paperSize")
	s.paper, _ = strconv.Atoi(paper) // none: 0
	switch {
	case p == nil || !p.Setup || !IsOurSetup(string(s.p.Raw())):
		return s.copyElement()
	case p.Remove:
		return s.leaveOut()
	}
	return s.editTag(func(tag []byte) []byte {
		return append(append([]byte(nil), tag[:strings.IndexByte(string(tag), ' ')]...), setupAttrs(p.Landscape, p.Wide)+"/>"...)
	})
}

func (s *splicer) pageMargins() error {
	p, tag := s.ed.Print, string(s.p.Raw())
	if p == nil || !p.Remove || !p.Setup || tag[strings.IndexByte(tag+" ", ' '):] != ourMargins()+"/>" {
		return s.copyElement()
	}
	return s.leaveOut()
}

// leaveOut copies nothing of the element just started.
func (s *splicer) leaveOut() error {
	if err := s.p.Skip(); err != nil {
		return err
	}
	s.skipTo(s.p.Tok.End)
	return nil
}

// headerFooter sets the footer anew, or takes it out where there is nothing beside it.
func (s *splicer) headerFooter() error {
	p := s.ed.Print
	if p == nil || p.Ours == nil {
		return s.copyElement()
	}
	inside, from := s.p.Depth(), s.p.Tok.Off
	var foot [2]int64
	children, ours, beside := 0, false, len(s.p.Raw()) > len(markup.AppendStart(nil, s.p.Tok.Prefix, "headerFooter", false))
	for s.p.Depth() >= inside {
		if err := s.p.Next(); err != nil {
			return err
		}
		tok := s.p.Tok
		if tok.Kind != markup.Start || s.p.Depth() != inside+1 {
			continue
		}
		children++
		if !tok.Main || tok.Local != "oddFooter" || tok.Closed {
			continue
		}
		was, err := s.p.Text(nil)
		if err != nil {
			return err
		}
		ours, foot = p.Ours(string(was)), [2]int64{tok.End, s.p.Tok.Off}
		if ours && string(was) == p.Footer {
			ours = p.Remove
		}
	}
	switch {
	case ours && p.Remove && children == 1 && !beside:
		s.skipTo(s.p.Tok.End)
	case ours && !p.Remove && p.Footer != "":
		s.put(clone(s.p.Bytes(from, foot[0])))
		s.put([]byte(markup.Escape(p.Footer, false)))
		s.skipTo(foot[1])
	}
	s.upTo(s.p.Tok.End)
	return nil
}

// breakRows sets where pages begin, now that the footer has been dealt with.
func (s *splicer) breakRows(prefix string) {
	p := s.ed.Print
	if p == nil || p.Breaks == nil {
		return
	}
	if rows, ok := p.Breaks(s.paper); ok {
		s.breaks = rowBreaks(prefix, rows)
		s.todo = append(s.todo, section{"rowBreaks", func(string) error {
			s.put(s.breaks)
			return nil
		}})
	}
}

// rowBreaks puts others in the place of those just started.
func (s *splicer) rowBreaks() error {
	if s.breaks == nil {
		return s.copyElement()
	}
	s.put(s.breaks)
	return s.leaveOut()
}

func rowBreaks(prefix string, rows []int) []byte {
	b := []byte{}
	if len(rows) == 0 {
		return b
	}
	b = fmt.Appendf(markup.AppendName(append(b, '<'), prefix, "rowBreaks"), ` count="%d" manualBreakCount="%[1]d">`, len(rows))
	for _, row := range rows {
		b = fmt.Appendf(markup.AppendName(append(b, '<'), prefix, "brk"), ` id="%d" max="16383" man="1"/>`, row-1)
	}
	return markup.AppendEnd(b, prefix, "rowBreaks")
}

func hasAttrs(tag []byte) bool {
	a := markup.AttrsOf(tag)
	return a.Next()
}

// unfit takes the fitting of pages out of the sheetPr just started, which goes with it
// where it holds nothing else.
func (s *splicer) unfit() error {
	first, inside := s.p.Tok, s.p.Depth()
	if first.Closed {
		return s.copyElement()
	}
	open := clone(s.p.Raw())
	from, children := first.End, 0
	var before, tag, after []byte
	for s.p.Depth() >= inside {
		if err := s.p.Next(); err != nil {
			return err
		}
		tok := s.p.Tok
		if tok.Kind != markup.Start || s.p.Depth() != inside+1 {
			continue
		}
		children++
		if fit, has := markup.TagAttr(s.p.Raw(), "fitToPage"); tok.Main && tok.Local == "pageSetUpPr" && has {
			before, tag = append([]byte{}, s.p.Bytes(from, tok.Off)...), markup.DropTagAttr(clone(s.p.Raw()), "fitToPage")
			if fit == "true" && !hasAttrs(tag) && tok.Closed {
				tag, children = nil, children-1
			}
			from = tok.End
		}
	}
	after = clone(s.p.Bytes(from, s.p.Tok.End))
	s.skipTo(s.p.Tok.End)
	switch end := markup.AppendEnd(nil, first.Prefix, first.Local); {
	case tag == nil && before == nil || children > 0 || string(before)+string(after) != string(end):
		s.put(open)
		s.put(before)
		s.put(tag)
		s.put(after)
	case hasAttrs(open):
		s.put(append(open[:len(open)-1], "/>"...))
	}
	return nil
}
