package explain

import (
	"fmt"
	"math"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// storedCells are the cells of the workbook that figures may be compared with:
// by sheet and reference.
type storedCells map[string]map[string]worksheet.Cell

// readStored reads the joint's row and our own sheets as they stand.
func (w *explainer) readStored() (storedCells, error) {
	out := storedCells{}
	read := func(name string, only int) error {
		i := w.Workbook.Sheet(name)
		if i < 0 {
			return nil
		}
		cells := map[string]worksheet.Cell{}
		_, err := w.ReadPart(w.Workbook.Sheets[i].PartName, func(r *worksheet.Row) error {
			for _, c := range r.Cells {
				if only == 0 || r.Num == only {
					cells[grid.Ref(c.Row, c.Col)] = c
				}
			}
			return nil
		})
		out[name] = cells
		return err
	}
	if r := w.to.row; r != nil {
		if err := read(r.Sheet, r.Row); err != nil {
			return nil, err
		}
	}
	for _, name := range []string{w.Own.Assumptions, w.Own.Workings} {
		if name == "" {
			continue
		}
		if err := read(name, 0); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// CellAt is the stored cell of a place.
func (w *explainer) cellAt(p place) (c worksheet.Cell, ok bool) {
	sheet, row, col, ok := w.position(p)
	if !ok {
		return c, false
	}
	c, ok = w.stored[sheet][grid.Ref(row, col)]
	return c, ok && (c.Kind != worksheet.Empty || c.HasFormula)
}

// compareStored says of a figure whose cell shows something else what it shows,
// and why that may be.
func (w *explainer) compareStored(p place, e *Figure) error {
	if w.isShops(p) || w.pending(p) {
		return nil
	}
	c, ok := w.cellAt(p)
	if !ok {
		if _, _, _, has := w.position(p); has {
			e.Stored = "the cell is blank; pricing again will fill it"
		}
		return nil
	}
	if !c.HasFormula && p.q.Scope == w.Model.Line {
		return nil // typed over, and used
	}
	want, known, err := w.expected(p)
	if err != nil {
		return err
	}
	changed := known && !book.SameFormula(c.Formula, want)
	same := alikeStored(p, &c)
	switch {
	case same && changed && w.Own.Model == w.Fingerprint:
		e.Stored = "the formula in the cell was changed; it shows the same"
	case same:
	default:
		e.Stored = fmt.Sprintf("the cell shows %s (%s)", w.storedText(p, &c), w.whyOther(&c, changed))
	}
	return nil
}

// isShops reports whether the cell of a place is what the shop has typed, and
// so cannot show anything else.
func (w *explainer) isShops(p place) bool { return p.q.Role == model.Column }

// pending reports whether the cell is not there yet at all.
func (w *explainer) pending(p place) bool {
	if w.Own.Workings == "" {
		return true
	}
	return p.q.Scope == w.Model.Line && w.isNewRow()
}

// isNewRow reports whether nothing of ours stands in the joint's row.
func (w *explainer) isNewRow() bool {
	for _, q := range w.Model.Line.Quantities {
		if _, ok := w.cellAt(place{q: q}); ok {
			return false
		}
	}
	return true
}

// whyOther is why a cell may show something else than is worked out.
func (w *explainer) whyOther(c *worksheet.Cell, changed bool) string {
	switch {
	case !c.HasFormula:
		return "typed over; pricing again puts the formula back"
	case changed && w.Own.Model != w.Fingerprint:
		return "a formula of another version of the program"
	case changed:
		return "formula changed"
	}
	return "not worked out again since something changed"
}

// expected is the formula that pricing would write into the cell of a place;
// known is false where that is not told here.
func (w *explainer) expected(p place) (text string, known bool, err error) {
	switch s := p.q.Scope; {
	case p.q.Role == model.Input:
		return "", false, nil // it depends on the cell that it reads
	case s == w.Model.Line:
		text, err := p.q.Formula().Print(w.cells)
		if p.q.Role == model.Check {
			text = "IF(" + text + ",1,0)"
		}
		return page.NewTemplate(text).At(w.to.row.Row), true, err
	case s == w.Model.OrderOf || s.Of != nil:
		text, err := p.q.Formula().Print(w.summary.Cells(s, p.no))
		if err != nil && w.Own.Model != w.Fingerprint {
			return "NA()", true, nil // it rests on a figure that the earlier version did not show
		}
		return text, true, err
	}
	return "", false, nil
}

func alikeStored(p place, c *worksheet.Cell) bool {
	if p.q.IsText() {
		return book.CellText(*c) == p.q.Text(p.f)
	}
	x := p.q.Num(p.f)
	if formula.IsBlank(x) {
		return c.Kind == worksheet.Empty || c.Kind == worksheet.Text && c.Text == ""
	}
	if math.IsNaN(x) {
		return c.Kind == worksheet.Error
	}
	return c.Kind == worksheet.Number && book.Near(c.Num, x)
}

// storedText is what the cell shows.
func (w *explainer) storedText(p place, c *worksheet.Cell) string {
	switch {
	case c.Kind == worksheet.Number:
		return w.plain.number(p.q.Unit, c.Num)
	case book.CellText(*c) == "":
		return nothingText
	}
	return book.CellText(*c)
}
