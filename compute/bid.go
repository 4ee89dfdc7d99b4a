package compute

import (
	"slices"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// Bid works out what stands on one sheet for the bid, beside an order that is
// worked out. Its rows come from what draws the sheet. It is for one goroutine.
type Bid struct {
	model  *model.Model
	sheet  string
	values *Values
	rows   map[*model.Scope][]*BidRow
	codes  map[*Values]map[*model.Quantity]formula.Code
	beside *formula.Frame // of the row that is being worked out
}

// BidRow is a row of a scope on a sheet for the bid.
type BidRow struct {
	*formula.Frame
	of     *model.Scope
	in     *Values        // in which it is worked out
	beside *formula.Frame // the row of the table that it follows
	lacks  map[*model.Quantity]bool
}

// Lacks reports whether the run has brought no amount for a given, or for one that
// a figure rests on.
func (r *BidRow) Lacks(q *model.Quantity) bool {
	if q.Role == model.Given {
		return !q.IsText() && formula.IsBlank(r.Num[q.Slot])
	}
	return r.lacks[q]
}

// lack notes whether a figure cannot be worked out for that reason, or as what
// only scenes have is not there in the order itself.
func (r *BidRow) lack(q *model.Quantity, order *Values) bool {
	lacks := slices.ContainsFunc(q.Reaches(), func(t model.Target) bool {
		return t.Scope == r.of && t.Reach != model.ReachColumn && r.Lacks(t.Quantity) || t.By != nil && t.By.Scope == r.of && r.Lacks(t.By) || t.Scope.Apart && r.in == order
	})
	if lacks && r.lacks == nil {
		r.lacks = map[*model.Quantity]bool{}
	}
	if r.lacks != nil {
		r.lacks[q] = lacks
	}
	return lacks
}

// Of is the scope that the row is of.
func (r *BidRow) Of() *model.Scope { return r.of }

// NewBid makes ready for a sheet. The scopes of one row are there; others have no
// rows yet.
func NewBid(v *Values, sheet string) *Bid {
	b := &Bid{model: v.Model, sheet: sheet, values: v, rows: map[*model.Scope][]*BidRow{}, codes: map[*Values]map[*model.Quantity]formula.Code{}}
	for _, s := range b.Scopes() {
		v.rows[s] = &model.Rows{}
		if s.Once() {
			v.once[s] = b.Add(s, nil, nil).Frame
		}
	}
	return b
}

// Scopes are those of the sheet, in the order of the model file.
func (b *Bid) Scopes() []*model.Scope {
	var out []*model.Scope
	for _, s := range b.model.Bids {
		if s.Sheet == b.sheet {
			out = append(out, s)
		}
	}
	return out
}

// Add adds a row. It is worked out in other values than those of the order where
// some are given: the figures of cars and order are then theirs. beside is the
// row of the table that the scope follows.
func (b *Bid) Add(s *model.Scope, in *Values, beside *formula.Frame) *BidRow {
	if in == nil {
		in = b.values
	}
	if b.codes[in] == nil {
		b.codes[in] = map[*model.Quantity]formula.Code{}
		for _, s := range b.Scopes() {
			in.once[s] = b.values.once[s]
			if in.rows[s] = b.values.rows[s]; s.Apart || in.rows[s] == nil {
				in.rows[s] = &model.Rows{}
			}
		}
	}
	r := &BidRow{Frame: s.NewFrame(), of: s, in: in, beside: beside}
	if s.By != "" {
		r.Num[s.Quantity(s.By).Slot] = beside.Num[s.Beside.Quantity(s.By).Slot]
	}
	in.rows[s].Frames = append(in.rows[s].Frames, r.Frame)
	b.rows[s] = append(b.rows[s], r)
	return r
}

// Rows are those that a scope has.
func (b *Bid) Rows(s *model.Scope) []*BidRow { return b.rows[s] }

// Work works out all figures of the sheet, on every row that there is. It may be
// asked again, when rows or amounts have come.
func (b *Bid) Work() error {
	for _, q := range b.model.BidOrder {
		for _, r := range b.rows[q.Scope] {
			if r.lack(q, b.values) {
				q.Blank(r.Frame)
				continue
			}
			code, known := b.codes[r.in][q]
			if !known {
				f, err := q.Formula().With(&model.View{Model: b.model, Scope: q.Scope, Values: r.in, Beside: &b.beside})
				if err != nil {
					return err
				}
				if code, err = f.Compile(); err != nil {
					return err
				}
				b.codes[r.in][q] = code
			}
			b.beside = r.beside
			run(q, code, r.Frame)
		}
	}
	return nil
}

// BidCheck is a check on one row.
type BidCheck struct {
	*model.Quantity
	Row *BidRow
}

// Holds reports whether the two amounts are equal.
func (c BidCheck) Holds() bool { return c.Verdict(c.Num(c.Row.Frame)) == model.WordOK }

// Checks are those of the sheet, on every row.
func (b *Bid) Checks() []BidCheck {
	var out []BidCheck
	for _, s := range b.Scopes() {
		checks := slices.DeleteFunc(slices.Clone(s.Quantities), func(q *model.Quantity) bool { return q.Role != model.Check })
		for _, r := range b.rows[s] {
			for _, q := range checks {
				out = append(out, BidCheck{q, r})
			}
		}
	}
	return out
}
