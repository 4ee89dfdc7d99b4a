package worksheet

import (
	"fmt"
	"slices"
	"strconv"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
)

// sheetData goes over the rows. Its start tag is the current token.
func (s *splicer) sheetData(data markup.Token) error {
	if data.Closed {
		s.lead = markup.OpenedTag(clone(s.p.Raw()))
		if err := s.putRows(0, grid.MaxRow+1, data.Prefix); err != nil {
			return err
		}
		if s.lead == nil {
			s.put(markup.AppendEnd(nil, data.Prefix, data.Local))
			s.skipTo(data.End)
		}
		s.lead = nil
		return s.p.Next() // the end that comes with it
	}
	inside := s.p.Depth()
	last := 0
	for {
		if err := s.p.Next(); err != nil {
			return err
		}
		tok := s.p.Tok
		switch {
		case s.p.Depth() < inside:
			s.upTo(tok.Off)
			return s.putRows(last, grid.MaxRow+1, data.Prefix)
		case tok.Kind == markup.Start && tok.Main && tok.Local == "row":
			s.upTo(tok.Off)
			if err := s.rows.read(); err != nil {
				return err
			}
			num := s.rows.row.Num
			if err := s.putRows(last, num, data.Prefix); err != nil {
				return err
			}
			if err := s.row(); err != nil {
				return err
			}
			last = num
		case tok.Kind == markup.Start:
			if err := s.copyElement(); err != nil {
				return err
			}
		default:
			s.upTo(tok.End)
		}
	}
}

// newSheetData writes the section where the sheet has none, which the schema
// does not allow but files have.
func (s *splicer) newSheetData(prefix string) error {
	s.put(markup.AppendStart(nil, prefix, "sheetData", false))
	if err := s.putRows(0, grid.MaxRow+1, prefix); err != nil {
		return err
	}
	s.put(markup.AppendEnd(nil, prefix, "sheetData"))
	return nil
}

// putRows writes the rows that the Editor wants between two that there are.
func (s *splicer) putRows(after, before int, prefix string) error {
	for after < before {
		num, err := s.nextRow(after)
		if err != nil || num == 0 || num >= before {
			return err
		}
		if s.buf, err = s.newRow(s.buf[:0], num, prefix); err != nil {
			return err
		}
		if len(s.buf) > 0 {
			s.put(s.lead)
			s.lead = nil
			s.put(s.buf)
		}
		after = num
	}
	return nil
}

func (s *splicer) nextRow(after int) (int, error) {
	num := s.ed.Editor.Next(after)
	if num != 0 && (num <= after || num > grid.MaxRow) {
		return 0, fmt.Errorf("the row after %d cannot be %d", after, num)
	}
	return num, nil
}

// newRow writes a row that the sheet does not have; nothing if nothing is to
// be in it.
func (s *splicer) newRow(dst []byte, num int, prefix string) ([]byte, error) {
	edit, err := s.ed.Editor.Row(&Row{Num: num})
	if err != nil {
		return dst, err
	}
	if err := edit.check(num); err != nil {
		return dst, err
	}
	tag := append(markup.AppendName([]byte{'<'}, prefix, "row"), ` r="`+strconv.Itoa(num)+`"/>`...)
	bare := len(tag)
	tag = edit.apply(tag)
	from := len(dst)
	dst = append(dst, markup.OpenedTag(tag)...)
	empty := len(dst)
	for i := range edit.Cells {
		c := &edit.Cells[i]
		if !c.creates() {
			continue
		}
		if err := s.notInArray(num, c.Col); err != nil {
			return dst, err
		}
		if dst, err = appendCell(dst, prefix, num, c, max(c.Style, 0)); err != nil {
			return dst, err
		}
	}
	switch {
	case len(dst) > empty:
		return markup.AppendEnd(dst, prefix, "row"), nil
	case len(tag) > bare:
		return append(dst[:from], tag...), nil
	}
	return dst[:from], nil
}

// creates says whether the operation makes a cell where there is none.
func (c *NewCell) creates() bool { return c.Op == Set || c.Op == Clear && c.Style >= 0 }

// check refuses an edit whose cells do not ascend.
func (e *RowEdit) check(num int) error {
	last := 0
	for i := range e.Cells {
		col := e.Cells[i].Col
		if col <= last || col > grid.MaxCol {
			return fmt.Errorf("row %d: an edit of column %d after column %d; edits must ascend, up to %d", num, col, last, grid.MaxCol)
		}
		last = col
	}
	return nil
}

// row edits the row that has been read; its bytes are all on the tape.
func (s *splicer) row() error {
	r := s.rows
	edit, err := s.ed.Editor.Row(&r.row)
	if err != nil {
		return err
	}
	if err := edit.check(r.row.Num); err != nil {
		return err
	}
	s.noteArrays()
	opened, emptied := s.rowTag(&edit)
	if emptied {
		s.skipTo(r.end)
		return s.markRemoved()
	}
	if err := s.mergeCells(&edit); err != nil {
		return err
	}
	if opened {
		s.upTo(r.tagEnd)
		s.put(markup.AppendEnd(nil, r.prefix, "row"))
	}
	s.upTo(r.end)
	return nil
}

// mergeCells goes over the row's cells and the edits side by side.
func (s *splicer) mergeCells(edit *RowEdit) error {
	r := s.rows
	s.gap = false
	i := 0
	for k := range edit.Cells {
		c := &edit.Cells[k]
		for i < len(r.spans) && r.row.Cells[i].Col < c.Col {
			s.keepCell(i)
			i++
		}
		var err error
		if i < len(r.spans) && r.row.Cells[i].Col == c.Col {
			err = s.replaceCell(i, c)
			i++
		} else if c.creates() {
			err = s.insertCell(i, c)
		}
		if err != nil {
			return err
		}
	}
	for ; i < len(r.spans); i++ {
		s.keepCell(i)
	}
	return nil
}

// keepCell leaves a cell to be copied, unless its place was counted from a cell
// that is gone, or its formula was another cell's that is gone.
func (s *splicer) keepCell(i int) {
	r := s.rows
	sp, c := &r.spans[i], &r.row.Cells[i]
	if s.gap && !sp.hasRef {
		s.putRef(sp, c)
	}
	s.gap = false
	if sp.group != nil && !sp.master && sp.group.replaced {
		s.upTo(sp.fStart)
		s.put(appendFormula(nil, r.prefix, c.Formula))
		s.skipTo(sp.fEnd)
	}
}

// putRef gives a cell the reference that it did without.
func (s *splicer) putRef(sp *cellSpan, c *Cell) {
	s.upTo(sp.start)
	s.put(markup.SetTagAttr(s.p.Bytes(sp.start, sp.tagEnd), "r", grid.Ref(c.Row, c.Col)))
	s.skipTo(sp.tagEnd)
}

// insertCell writes a cell before existing cell i.
func (s *splicer) insertCell(i int, c *NewCell) error {
	r := s.rows
	if err := s.notInArray(r.row.Num, c.Col); err != nil {
		return err
	}
	switch {
	case i < len(r.spans):
		s.upTo(r.spans[i].start)
	case i > 0:
		s.upTo(r.spans[i-1].end)
	default:
		s.upTo(r.tagEnd)
	}
	return s.putCell(c, max(c.Style, 0))
}

func (s *splicer) putCell(c *NewCell, style int) error {
	var err error
	if s.buf, err = appendCell(s.buf[:0], s.rows.prefix, s.rows.row.Num, c, style); err != nil {
		return err
	}
	s.put(s.buf)
	return nil
}

// replaceCell writes, clears or removes existing cell i. One that is already
// as it should be keeps its bytes.
func (s *splicer) replaceCell(i int, c *NewCell) error {
	r := s.rows
	sp, old := &r.spans[i], &r.row.Cells[i]
	style := c.Style
	if style < 0 {
		style = old.Style
	}
	if c.Op != Remove && sp.holds(old, c, style) {
		s.keepCell(i)
		return nil
	}
	if err := s.notInArray(old.Row, old.Col); err != nil {
		return err
	}
	if sp.master {
		if sp.group.early {
			return &SharedMasterError{Cell: grid.Ref(old.Row, old.Col)}
		}
		sp.group.replaced = true
	}
	s.upTo(sp.start)
	s.gap = c.Op == Remove
	if !s.gap {
		if err := s.putCell(c, style); err != nil {
			return err
		}
	}
	s.skipTo(sp.end)
	return nil
}

// holds says whether the cell is what the edit would make it.
func (sp *cellSpan) holds(old *Cell, c *NewCell, style int) bool {
	if old.Style != style || sp.odd {
		return false
	}
	if c.Op == Clear {
		return old.Kind == Empty && !old.HasFormula
	}
	if old.Kind != c.Kind || old.Formula != c.Formula || old.HasFormula != (c.Formula != "") {
		return false
	}
	switch c.Kind {
	case Number:
		return old.Num == c.Num
	case Bool:
		return (old.Num != 0) == (c.Num != 0)
	case Text, Error:
		return old.Text == c.Text
	}
	return true
}

// markRemoved notes which shared formulas went with a row that lost all.
func (s *splicer) markRemoved() error {
	for i := range s.rows.spans {
		sp, c := &s.rows.spans[i], &s.rows.row.Cells[i]
		if err := s.notInArray(c.Row, c.Col); err != nil {
			return err
		}
		if sp.master {
			if sp.group.early {
				return &SharedMasterError{Cell: grid.Ref(c.Row, c.Col)}
			}
			sp.group.replaced = true
		}
	}
	return nil
}

// noteArrays remembers the arrays that begin in the row and forgets those that
// ended above it.
func (s *splicer) noteArrays() {
	num := s.rows.row.Num
	s.arrays = slices.DeleteFunc(s.arrays, func(a grid.Range) bool { return a.Row2 < num })
	for i := range s.rows.spans {
		if a := s.rows.spans[i].array; a != (grid.Range{}) {
			s.arrays = append(s.arrays, a)
		}
	}
}

func (s *splicer) notInArray(row, col int) error {
	for _, a := range s.arrays {
		if a.Contains(row, col) {
			return &ArrayError{Cell: grid.Ref(row, col), Array: a.String()}
		}
	}
	return nil
}
