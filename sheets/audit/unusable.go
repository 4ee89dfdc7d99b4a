package audit

import (
	"fmt"
	"math"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
)

// unusableFaults tells of the values of the shop that no order can be worked out with: it
// is worked out with those of the last run. What a number there does is weighed; what a
// text does cannot be told.
func (a *auditor) unusableFaults() {
	for _, f := range a.Run.Report.Findings {
		if of(f, book.FindUnreadable) && a.byKey[f.Rule+" "+f.Cell] == nil {
			a.add(f.Rule+" "+f.Cell, Fault{Grade: Wrong, Rule: book.FindUnreadable, Cell: f.Cell, What: f.What, Fix: f.Fix})
		}
	}
	for _, u := range a.Unusable {
		f, q := a.byKey[book.FindUnreadable+" "+u.Cell], u.Quantity
		if f == nil || q.IsText() || math.IsNaN(u.Num) {
			continue
		}
		w, err := a.scales.Otherwise(func(v *compute.Values) {
			if q.Scope == a.Model.Singles {
				v.Singles.Num[q.Slot] = u.Num
			} else {
				v.Rows(q.Scope).Frames[u.Line].Num[q.Slot] = u.Num
			}
		}, nil, nil)
		if err == nil && w != nil && w.Refused == 0 && !math.IsNaN(w.Price) {
			f.effect(w.Cost, w.Price)
		}
	}
}

// passFollowing takes off the list what follows from such a value in a workbook that was
// worked out with it: its errors, and figures other than those of the last run. Which
// are faults of their own can be told once it is mended.
func (a *auditor) passFollowing() error {
	for _, u := range a.Unusable {
		f := a.byKey[book.FindUnreadable+" "+u.Cell]
		with, err := a.workedOutWith(u, f)
		if err != nil {
			return err
		}
		if !with {
			continue
		}
		kept, n := a.found[:0:0], len(a.differ)
		for _, o := range a.found {
			if o.Rule == RuleErrorValue {
				n += 1 + o.More
			} else {
				kept = append(kept, o)
			}
		}
		a.found, a.differ = kept, map[cellAt]*differing{}
		f.What += fmt.Sprintf("; %d cells show what comes of it, and are judged once it is mended", n)
		return nil
	}
	return nil
}

// workedOutWith reports whether cells show what comes of a value: several of a row, or
// the value's own, an error; the price none, or that with it; or a cell of the value's
// row something else.
func (a *auditor) workedOutWith(u assumptions.Unusable, f *auditFault) (bool, error) {
	for at := range a.differ {
		if at.sheet == a.Own.Assumptions && at.row == u.Row {
			return true, nil
		}
	}
	errors := false
	for _, o := range a.found {
		if o.Rule == RuleErrorValue {
			errors = true
			if o.More > 0 || o.Cell == a.Own.Assumptions+"!"+grid.Ref(u.Row, book.AssumeUsed) {
				return true, nil
			}
		}
	}
	with, _ := a.scales.Beside(f.Price, false)
	price, is, err := a.OldPrice()
	return !is && errors || is && f.Price != 0 && !math.IsNaN(f.Price) && book.Near(price, model.Cents(with)), err
}
