package sheets

import (
	"context"
	"fmt"
	"maps"
	"math"

	"seamtally/compute"
	"seamtally/sheets/part"
)

// lineAt is a joint row: the number of its list, and the row on the sheet.
type lineAt struct{ list, row int }

// auditFault is a fault with what the workbook does otherwise because of it.
type auditFault struct {
	Fault
	shown map[lineAt]map[*compute.Quantity]float64 // figures of lines as their cells show them
	freed map[lineAt][]*compute.Quantity           // figures that were typed over
	gone  map[lineAt]bool                          // rows that the workbook does not count
	held  []func(*compute.Values)                  // other figures as their cells show them
}

// auditor is one audit.
type auditor struct {
	*taken
	o           AuditOptions
	cells       int
	cost, price float64
	found       []*auditFault
	byKey       map[string]*auditFault
	differ      map[cellAt]*differing // cells whose formula is right and whose value is not
	order       []cellAt              // of differ
	sums        []shopSum
	leftOut     []takenRow // rows that cannot be priced, as far as they were read
	unweighed   int        // faults of which nothing is said of what they do
	worked      int        // lines that were worked out again to weigh faults
	rowErrors   bool       // a joint row shows an error, and so what rests on it
}

// cellAt is a cell of the workbook.
type cellAt struct {
	sheet    string
	row, col int
}

func (c cellAt) String() string { return c.sheet + "!" + part.Ref(c.row, c.col) }

// differing is a calculated cell whose stored value is not what its formula
// comes to.
type differing struct {
	have, want part.Cell
	what       string
	line       lineAt
	q          *compute.Quantity // of a line
	holds      func(*compute.Values, float64)
}

// add notes a fault; one of the same key is the same fault in one cell more.
func (a *auditor) add(key string, f Fault) *auditFault {
	if was := a.byKey[key]; was != nil {
		was.More++
		return was
	}
	f.Cost, f.Price = math.NaN(), math.NaN()
	fault := &auditFault{
		Fault: f, shown: map[lineAt]map[*compute.Quantity]float64{},
		freed: map[lineAt][]*compute.Quantity{}, gone: map[lineAt]bool{},
	}
	a.byKey[key] = fault
	a.found = append(a.found, fault)
	return fault
}

func (f *auditFault) show(at lineAt, q *compute.Quantity, x float64) {
	if f.shown[at] == nil {
		f.shown[at] = map[*compute.Quantity]float64{}
	}
	f.shown[at][q] = x
}

// priced works the workbook out from its inputs, and compares every calculated
// cell.
func (a *auditor) priced(ctx context.Context) error {
	a.byKey, a.differ = map[string]*auditFault{}, map[cellAt]*differing{}
	t, err := takeWith(ctx, a.o.In, a.o.Password, func(t *taken) {
		a.taken = t
		t.see.row = a.seeRow
		t.see.plan = a.seePlan
		t.lenient = true
	})
	if err != nil {
		return err
	}
	a.taken = t
	switch {
	case t.own.assumptions == "" || t.own.summary == "":
		t.close()
		return notPriced(a.o.In)
	case t.own.model != t.fingerprint:
		t.close()
		return fmt.Errorf("%s: was priced by another version of the program (formulas %s, now %s), so its formulas cannot be compared; price a copy of it, and audit that", a.o.In, t.own.model, t.fingerprint)
	}
	a.cost = a.sumOf(t.values, "order_cost")
	a.price = a.sumOf(t.values, "order_price")
	return nil
}

func (a *auditor) sumOf(v *compute.Values, key string) float64 {
	return round2(a.model.OrderOf.Quantity(key).Num(v.Order))
}

// asItStands works the workbook out once more with every changed figure at the
// number that its cell shows: what follows from a changed figure is not stale.
func (a *auditor) asItStands(ctx context.Context) error {
	if shown, gone := a.allShown(); len(a.differ) > 0 && a.anyShown() {
		t, err := takeWith(ctx, a.o.In, a.o.Password, func(t *taken) {
			t.lenient = true
			t.see.row = func(ed *listEditor, r *part.Row, cells []part.NewCell) {
				for _, n := range cells {
					a.settle(cellAt{ed.l.title, r.Num, n.Col}, n)
				}
			}
			t.see.plan = func(title string, r *part.Row, _ *part.Cell, _ planCell, n part.NewCell) {
				a.settle(cellAt{title, r.Num, n.Col}, n)
			}
			t.pass = func(l *list, row int) bool { return gone[lineAt{l.no, row}] }
			t.hold = func(l *list, row int, line *compute.Line) {
				for q, x := range shown[lineAt{l.no, row}] {
					line.Set(t.model.Line.Quantity(q.Key), x)
				}
			}
			ready := t.ready
			t.ready = func() {
				ready()
				for _, f := range a.found {
					for _, hold := range f.held {
						hold(t.values)
					}
				}
			}
		})
		if err != nil {
			return err
		}
		t.close()
	}
	a.stale()
	return nil
}

// allShown is what the cells of all changed figures of lines show, and which
// rows the workbook does not count.
func (a *auditor) allShown() (all map[lineAt]map[*compute.Quantity]float64, gone map[lineAt]bool) {
	all, gone = map[lineAt]map[*compute.Quantity]float64{}, map[lineAt]bool{}
	for _, f := range a.found {
		maps.Copy(gone, f.gone)
		for at, figures := range f.shown {
			if all[at] == nil {
				all[at] = map[*compute.Quantity]float64{}
			}
			maps.Copy(all[at], figures)
		}
	}
	return all, gone
}

func (a *auditor) anyShown() bool {
	for _, f := range a.found {
		if len(f.shown)+len(f.held)+len(f.gone) > 0 {
			return true
		}
	}
	return false
}

// settle takes a cell that follows from a changed figure off the list.
func (a *auditor) settle(at cellAt, n part.NewCell) {
	if d := a.differ[at]; d != nil && asStored(&d.have, n) {
		delete(a.differ, at)
	}
}

// mostWeighed is how many lines are worked out again, at the most, to weigh
// faults: a workbook with thousands of them is to be told of in seconds.
const mostWeighed = 2_000_000

// mayWeigh reports whether one fault more can be weighed.
func (a *auditor) mayWeigh() bool {
	if a.worked += len(a.rows); a.worked <= mostWeighed {
		return true
	}
	a.unweighed++
	return false
}

// weigh works out what every fault does to the cost and the price.
func (a *auditor) weigh() error {
	for _, f := range a.found {
		if len(f.shown)+len(f.held)+len(f.gone)+len(f.freed) == 0 || !a.mayWeigh() {
			continue
		}
		v := a.set.Clone()
		for _, hold := range f.held {
			hold(v)
		}
		_, err := a.reworkWith(v, func(r *takenRow, line *compute.Line) bool {
			at := lineAt{r.list.no, r.row}
			for q, x := range f.shown[at] {
				line.Set(q, x)
			}
			for _, q := range f.freed[at] {
				line.Release(q)
			}
			return !f.gone[at]
		})
		if err != nil {
			return err
		}
		cost, price := a.sumOf(v, "order_cost")-a.cost, a.sumOf(v, "order_price")-a.price
		if len(f.freed) > 0 {
			cost, price = -cost, -price // as it stands is with the typed figure
		}
		f.effect(cost, price)
	}
	return nil
}
