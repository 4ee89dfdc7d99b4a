package worksheet

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamtally/sheets/part/markup"
)

// apply changes the row's own attributes.
func (e *RowEdit) apply(tag []byte) []byte {
	if e.Height > 0 {
		tag = markup.SetTagBool(markup.SetTagFloat(tag, "ht", e.Height), "customHeight", true, false)
	}
	if e.Hidden != nil {
		tag = markup.SetTagBool(tag, "hidden", *e.Hidden, false)
	}
	if e.OutlineLevel != nil {
		tag = markup.SetTagInt(tag, "outlineLevel", *e.OutlineLevel)
	}
	if e.Collapsed != nil {
		tag = markup.SetTagBool(tag, "collapsed", *e.Collapsed, false)
	}
	return tag
}

// rowTag writes the row's start tag if it changes. A row that closes itself is
// opened up for cells; one that loses all it had closes itself.
func (s *splicer) rowTag(edit *RowEdit) (opened, emptied bool) {
	r := s.rows
	was := s.p.Bytes(r.start, r.tagEnd)
	tag := edit.apply(was)
	left, lo, hi := len(r.row.Cells), 0, 0
	for i := range edit.Cells {
		c := &edit.Cells[i]
		_, exists := slices.BinarySearchFunc(r.row.Cells, c.Col, func(c Cell, col int) int { return c.Col - col })
		switch {
		case exists && c.Op == Remove:
			left--
		case !exists && c.creates():
			left++
			if hi = c.Col; lo == 0 {
				lo = c.Col
			}
		}
	}
	if lo > 0 {
		tag = growSpans(tag, lo, hi)
	}
	opened = r.closed && left > 0
	emptied = !r.closed && left == 0 && len(r.row.Cells) > 0 && !r.other
	switch {
	case opened:
		tag = markup.OpenedTag(tag)
	case emptied:
		tag = markup.ClosedTag(tag)
	}
	if !bytes.Equal(tag, was) {
		s.put(tag)
		s.skipTo(r.tagEnd)
	}
	return opened, emptied
}

// growSpans widens a row's spans, a hint of the columns that it uses, where it
// has any ("1:20", or several apart).
func growSpans(tag []byte, lo, hi int) []byte {
	text, ok := markup.TagAttr(tag, "spans")
	if !ok {
		return tag
	}
	from, to := lo, hi
	covered := 0
	for _, span := range strings.Fields(text) {
		a, b, _ := strings.Cut(span, ":")
		first, errA := strconv.Atoi(a)
		last, errB := strconv.Atoi(b)
		if errA != nil || errB != nil {
			continue
		}
		if first <= lo && hi <= last {
			covered++
		}
		from, to = min(from, first), max(to, last)
	}
	if covered > 0 {
		return tag
	}
	return markup.SetTagAttr(tag, "spans", fmt.Sprintf("%d:%d", from, to))
}
