package joints

import (
	"fmt"
	"strconv"

	"seamtally/compute/model"
	"seamtally/sheets/book"
)

// compareFormulas looks for formulas that are not those which this run writes.
// If another version of the program wrote them, the figures are noted; else
// somebody has changed a formula, and is told that it is put back.
func (ed *Editor) compareFormulas(row int, number string) {
	for i, c := range ed.Cols {
		p := ed.Present[i]
		if c.Reader != nil || p == nil || !p.HasFormula || c.formula.Gives(p.Formula, number) || book.SameFormula(p.Formula, c.formula.At(row)) {
			continue
		}
		if ed.b.Own.Model != ed.b.Fingerprint {
			ed.b.Changed[c.Q] = true
			continue
		}
		ed.b.Note(book.LevelWarning, "formula changed "+c.Q.Key, ed.L.Ref(row, c.col),
			fmt.Sprintf("the formula of %s was changed; the program's own is put back", strconv.Quote(ed.L.Heads[c.col])), "to keep a value of your own, type a number over the formula")
	}
}

// ChangedFigures is the set that compareFormulas fills.
type ChangedFigures map[*model.Quantity]bool
