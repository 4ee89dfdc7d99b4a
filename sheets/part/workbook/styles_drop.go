package workbook

import (
	"slices"
	"strings"

	"seamtally/sheets/part/markup"
)

// WithoutOurs gives the part without the cell formats that Import and Beside have
// added and that nothing has any more, and without the fonts, fills, borders and
// number formats that only those had. What stands before something that stays keeps
// its number, so nothing else has to follow. Had has the numbers that cells, rows
// and columns have; codes says whether number formats may go, too. Formats for
// conditions stay: too much may point at them.
func (s *Styles) WithoutOurs(had []bool, codes bool) ([]byte, error) {
	p := s.t.Patch()
	if len(s.required) > 0 { // one reader's numbers are not another's
		return p.Bytes()
	}
	xfs := s.lists["cellXfs"].items
	left := len(xfs)
	for left > 1 && (left > len(had) || !had[left-1]) && ours(xfs[left-1]) {
		left--
	}
	gone := xfs[left:]
	stays := map[*markup.Node]bool{}
	s.t.Root.Walk(func(n *markup.Node) { stays[n] = true })
	for _, n := range gone {
		stays[n] = false
	}
	for _, of := range []struct{ list, key, by string }{
		{"cellXfs", "", ""}, {"fonts", "fontId", ""}, {"fills", "fillId", ""}, {"borders", "borderId", ""}, {"numFmts", "numFmtId", "numFmtId"},
	} {
		drop := gone
		if of.key != "" {
			drop = s.onlyOf(of.list, of.key, of.by, gone, stays)
		}
		if of.list == "numFmts" && !codes {
			drop = nil
		}
		s.dropLast(p, of.list, drop)
	}
	return p.Bytes()
}

// ours says whether a cell format was written by addFormat: in the order of names,
// with all four flags, as no other program does.
func ours(xf *markup.Node) bool {
	for _, flag := range []string{"applyNumberFormat", "applyFont", "applyFill", "applyBorder"} {
		if xf.Get(flag) != "1" {
			return false
		}
	}
	return slices.IsSortedFunc(xf.Attrs, func(a, b markup.Attr) int { return strings.Compare(a.Local, b.Local) })
}

// onlyOf gives the last items of a list which formats that go have, and nothing
// that stays. Key is where they are pointed at, by where they say their own number,
// "" where it is their place.
func (s *Styles) onlyOf(list, key, by string, gone []*markup.Node, stays map[*markup.Node]bool) []*markup.Node {
	items := s.lists[list].items
	had, needed := map[int]bool{}, map[int]bool{}
	own := make(map[*markup.Node]bool, len(items))
	for _, n := range items {
		own[n] = true
	}
	for _, n := range gone {
		had[markup.Int(n.Get(key), 0)] = true
	}
	for n, stay := range stays {
		if stay && n.Attr(key) != nil && !own[n] {
			needed[markup.Int(n.Get(key), 0)] = true
		}
	}
	left := len(items)
	for left > 0 {
		id := left - 1
		if by != "" {
			id = markup.Int(items[id].Get(by), 0)
		}
		if !had[id] || needed[id] {
			break
		}
		left--
	}
	return items[left:]
}

// dropLast takes the last items out of a list. An empty list stays: the workbook may
// have had one, as some programs write it.
func (s *Styles) dropLast(p *markup.Patch, list string, drop []*markup.Node) {
	if len(drop) == 0 {
		return
	}
	for _, n := range drop {
		p.Remove(n)
	}
	l := s.lists[list]
	p.SetCount(l.places[0].node, len(l.items)-len(drop))
}
