package sheets

import (
	"fmt"
	"math"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
)

// storedNear is how far, of itself, a stored value may be from the worked-out one:
// another spreadsheet adds up in another order.
const storedNear = 1e-9

// storedCells are the cells of the workbook that figures may be compared with:
// by sheet and reference.
type storedCells map[string]map[string]part.Cell

// readStored reads the joint's row and our own sheets as they stand.
func (w *explainer) readStored() (storedCells, error) {
	out := storedCells{}
	read := func(name string, only int) error {
		i := w.wb.Sheet(name)
		if i < 0 {
			return nil
		}
		cells := map[string]part.Cell{}
		_, err := w.readPart(w.wb.Sheets[i].PartName, func(r *part.Row) error {
			for _, c := range r.Cells {
				if only == 0 || r.Num == only {
					cells[part.Ref(c.Row, c.Col)] = c
				}
			}
			return nil
		})
		out[name] = cells
		return err
	}
	if r := w.to.row; r != nil {
		if err := read(r.list.title, r.row); err != nil {
			return nil, err
		}
	}
	for _, name := range []string{w.own.assumptions, w.own.summary} {
		if name == "" {
			continue
		}
		if err := read(name, 0); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// cellAt is the stored cell of a place.
func (w *explainer) cellAt(p place) (c part.Cell, ok bool) {
	sheet, row, col, ok := w.position(p)
	if !ok {
		return c, false
	}
	c, ok = w.stored[sheet][part.Ref(row, col)]
	return c, ok && (c.Kind != part.Empty || c.HasFormula)
}

// compareStored says of a figure whose cell shows something else what it shows,
// and why that may be.
func (w *explainer) compareStored(p place, e *Explained) error {
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
	if !c.HasFormula && p.q.Scope == w.model.Line {
		return nil // typed over, and used
	}
	want, known, err := w.expected(p)
	if err != nil {
		return err
	}
	changed := known && !sameFormula(c.Formula, want)
	same := alikeStored(p, &c)
	switch {
	case same && changed && w.own.model == w.fingerprint:
		e.Stored = "the formula in the cell was changed; it shows the same"
	case same:
	default:
		e.Stored = fmt.Sprintf("the cell shows %s (%s)", w.storedText(p, &c), w.whyOther(&c, changed))
	}
	return nil
}

// isShops reports whether the cell of a place is what the shop has typed, and
// so cannot show anything else.
func (w *explainer) isShops(p place) bool { return p.q.Role == compute.Column }

// pending reports whether the cell is not there yet at all.
func (w *explainer) pending(p place) bool {
	if w.own.assumptions == "" {
		return true
	}
	return p.q.Scope == w.model.Line && w.isNewRow()
}

// isNewRow reports whether nothing of ours stands in the joint's row.
func (w *explainer) isNewRow() bool {
	for _, q := range w.model.Line.Quantities {
		if _, ok := w.cellAt(place{q: q}); ok {
			return false
		}
	}
	return true
}

// whyOther is why a cell may show something else than is worked out.
func (w *explainer) whyOther(c *part.Cell, changed bool) string {
	switch {
	case !c.HasFormula:
		return "typed over; pricing again puts the formula back"
	case changed && w.own.model != w.fingerprint:
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
	case p.q.Role == compute.Input:
		return "", false, nil // it depends on the cell that it reads
	case s == w.model.Line:
		text, err := p.q.Formula().Print(w.cells)
		if p.q.Role == compute.Check {
			text = "IF(" + text + ",1,0)"
		}
		return page.NewTemplate(text).At(w.to.row.row), true, err
	case s == w.model.OrderOf || s.Of != nil:
		text, err := p.q.Formula().Print(w.summary.cells(s, p.no))
		return text, true, err
	}
	return "", false, nil
}

func alikeStored(p place, c *part.Cell) bool {
	if p.q.IsText() {
		return cellText(*c) == p.q.Text(p.f)
	}
	x := p.q.Num(p.f)
	if formula.IsBlank(x) {
		return c.Kind == part.Empty || c.Kind == part.Text && c.Text == ""
	}
	if math.IsNaN(x) {
		return c.Kind == part.Error
	}
	return c.Kind == part.Number && nearStored(c.Num, x)
}

// nearStored compares two numbers. Where one is 0, dust that amounts leave which
// cancel is none: some spreadsheets take it away, some do not.
func nearStored(a, b float64) bool {
	if a == 0 || b == 0 {
		return math.Abs(a-b) <= storedNear
	}
	return math.Abs(a-b) <= storedNear*math.Max(math.Abs(a), math.Abs(b))
}

// storedText is what the cell shows.
func (w *explainer) storedText(p place, c *part.Cell) string {
	switch {
	case c.Kind == part.Number:
		return w.plain.number(p.q.Unit, c.Num)
	case cellText(*c) == "":
		return nothingText
	}
	return cellText(*c)
}
