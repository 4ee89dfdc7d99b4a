package audit

import (
	"maps"
	"slices"

	"seamtally/compute"
	"seamtally/compute/weigh"
	"seamtally/sheets/page"
)

// nothingRestsOn reports whether the price does not move for a fault: it is about how
// something looks, or what rests on nothing, or stands on a sheet from which no price
// comes.
func (a *auditor) nothingRestsOn(f *auditFault) bool {
	sheet, _, _ := page.SplitRef(f.Cell)
	switch f.Rule {
	case RuleDisguised, RuleHidden, RuleHiddenSheet, RuleHiddenRow, RuleTouched, RuleNoBasis:
		return true
	}
	return f.still || a.ofBid(sheet)
}

// undo weighs a fault by what the order comes to without it.
func (a *auditor) undo(f *auditFault, values func(*compute.Values), change func(*compute.Joint, *compute.Line) bool) {
	f.counted = true
	if w, err := a.scales.Otherwise(values, nil, change); err == nil && w != nil && w.Refused == 0 {
		f.effect(-w.Cost, -w.Price)
	}
}

// weigh works out what every fault does to the cost and the price.
func (a *auditor) weigh() error {
	for _, f := range a.found {
		if len(f.shown)+len(f.held)+len(f.gone)+len(f.freed) == 0 {
			continue
		}
		w, err := a.weighed(f)
		switch {
		case err != nil:
			return err
		case w == nil:
		case len(f.freed) > 0:
			f.counted = true
			f.effect(-w.Cost, -w.Price) // as it stands is with the typed figure
		default:
			f.effect(w.Cost, w.Price)
		}
	}
	return nil
}

// weighed is what the order comes to with what a fault does, or without what is
// typed over.
func (a *auditor) weighed(f *auditFault) (*weigh.Weight, error) {
	var values func(*compute.Values)
	if len(f.held) > 0 {
		values = f.hold
	}
	otherwise := a.scales.AsShown
	if len(f.freed) > 0 {
		otherwise = a.scales.Otherwise // what a run makes of it without what is typed
	}
	return otherwise(values, f.rows(), func(r *compute.Joint, line *compute.Line) bool {
		at := weigh.Row{List: r.List, Row: r.Row}
		for q, x := range f.shown[at] {
			line.Set(q, x)
		}
		for _, q := range f.freed[at] {
			line.Release(q)
		}
		return !f.gone[at]
	})
}

// rows are those that a fault is in.
func (f *auditFault) rows() []weigh.Row {
	out := slices.AppendSeq([]weigh.Row{}, maps.Keys(f.shown))
	out = slices.AppendSeq(out, maps.Keys(f.freed))
	return slices.AppendSeq(out, maps.Keys(f.gone))
}
