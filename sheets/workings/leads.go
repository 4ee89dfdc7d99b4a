package workings

import (
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// arrow is what a link beside a check shows.
const arrow = "→"

// lead writes, left of a check, the link to what it is about; where there was one and
// there is none any more it goes. Labels keep their cells, by which they are found.
func (s *Sheet) lead(q *model.Quantity, row int) {
	var c page.Cell
	switch to := s.leadsTo(q); {
	case to != "":
		c = page.Link(book.SumNo, to, arrow, page.Ours)
		c.Style.Align = look.Centre
	case s.notes.cells[row][book.SumNo].HasFormula:
		c = page.Empty(book.SumNo, look.Style{Role: look.Label}, page.Ours)
	default:
		return
	}
	c.Record = true // as of the run
	s.P.Put(row, c)
}

// leadsTo is the cell where a check was found not to hold, else the name of what it
// counts; "" if it counts what has no place.
func (s *Sheet) leadsTo(q *model.Quantity) string {
	if cell := s.FoundAt[q.Key]; cell != "" {
		i := strings.LastIndex(cell, "!")
		return grid.QuoteSheet(cell[:i]) + cell[i:]
	}
	for _, cell := range q.Cells {
		table, column, _ := strings.Cut(cell, ".")
		return book.ColumnName(s.Names, s.Model.Table(table), column)
	}
	for _, t := range q.Reaches() {
		of := t.Quantity.Scope
		switch {
		case t.Quantity == s.Model.Roles.BlankPoints:
			return s.Names.Use(book.NameBlanks)
		case of == s.Model.OrderOf:
			return s.Names.Use(t.Quantity.Key)
		case slices.Contains(s.Model.Tables, of):
			return book.ColumnName(s.Names, of, t.Quantity.Key)
		}
		if bl, _ := s.blockOf(t.Quantity); bl != nil {
			return s.Names.Use(book.NameBlock + bl.Key)
		}
	}
	return ""
}
