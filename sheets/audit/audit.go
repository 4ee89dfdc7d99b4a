package audit

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"seamtally/compute/model"
	"seamtally/sheets"
)

// Grade says how much a finding of an audit weighs.
type Grade string

// The grades, from the heaviest. A wrong figure is not what its formula and its
// inputs come to; a doubtful one needs a look; the rest is worth knowing.
const (
	Wrong        Grade = "wrong"
	Doubtful     Grade = "doubtful"
	WorthKnowing Grade = "worth knowing"
)

// Options says what Audit is to do.
type Options struct {
	In       string // a priced workbook
	Against  string // the workbook that it is held against; "" for none
	Password string // of either, if encrypted
}

// Fault is one thing that an audit has found.
type Fault struct {
	Grade    Grade
	Rule     string // what kind of fault, in words that do not change
	Cell     string // Sheet!F14; of several, the first
	More     int    // how many cells more have the same fault
	What     string
	Found    string // what stands there
	Expected string // what should
	Fix      string
	// Cost and Price are what the fault does to the order's: as the workbook
	// stands, less as it should be, in the book's currency. NaN where that
	// cannot be told.
	Cost, Price float64
	// With and Without are the price of the order with the fault, and without it;
	// of other faults they know nothing.
	With, Without float64
}

// Report is what an audit has found.
type Report struct {
	Input, Against string
	Currency       string
	System         model.System
	Cells          int     // calculated cells that were worked out afresh and compared
	Rows           int     // joint rows among them
	Cost, Price    float64 // of the order, as they should be
	LeftOut        int     // joint rows that the price lacks
	sheets.Verdict
	Unweighed int     // faults too many to say what each does
	Faults    []Fault // what does most to the price first; what is worth knowing last
}

// Clean reports whether nothing is wrong or doubtful.
func (r *Report) Clean() bool {
	for _, f := range r.Faults {
		if f.Grade != WorthKnowing {
			return false
		}
	}
	return true
}

// Workbook works a priced workbook out afresh from its inputs and compares. It
// writes nothing. What a changed cell does to the price is told by the number
// that the cell shows: formulas that somebody has typed are not worked out.
func Workbook(ctx context.Context, o Options) (*Report, error) {
	a := &auditor{o: o}
	if err := a.priced(ctx); err != nil {
		return nil, err
	}
	defer a.Close()
	if err := a.asItStands(ctx); err != nil {
		return nil, err
	}
	if err := a.weigh(); err != nil {
		return nil, err
	}
	if err := a.lookAround(); err != nil {
		return nil, err
	}
	if err := a.leftOutFaults(); err != nil {
		return nil, err
	}
	a.fold()
	if o.Against != "" {
		if err := a.against(ctx); err != nil {
			return nil, err
		}
	}
	return a.sorted(), nil
}

// sorted is what was found, the heaviest first: what moves the price most.
func (a *auditor) sorted() *Report {
	r := &Report{
		Input: a.o.In, Against: a.o.Against, Currency: a.Currency(), System: a.Model.System,
		Cells: a.cells, Rows: len(a.Joints), Cost: a.scales.Cost, Price: a.scales.Price, Unweighed: a.scales.Unweighed,
		LeftOut: a.Run.Report.LeftOut, Verdict: a.Run.Report.Verdict,
	}
	for _, f := range a.found {
		if math.IsNaN(f.Price) && a.nothingRestsOn(f) {
			f.effect(0, 0)
		}
		f.With, f.Without = a.scales.Beside(f.Price, f.counted)
		r.Faults = append(r.Faults, f.Fault)
	}
	slices.SortStableFunc(r.Faults, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.place(), b.place()), -cmp.Compare(a.size(), b.size()), cmp.Compare(a.heavy(), b.heavy()))
	})
	return r
}

// heavy is the place of the fault's grade, the heaviest first.
func (f *Fault) heavy() int {
	return slices.Index([]Grade{Wrong, Doubtful, WorthKnowing}, f.Grade)
}

// size is what a fault does, as far as that is known.
func (f *Fault) size() float64 {
	if math.IsNaN(f.Price) {
		return 0
	}
	return math.Max(math.Abs(f.Price), math.Abs(f.Cost))
}

// place puts what is wrong or doubtful before what is worth knowing; and of it what
// moves the price first, whatever its grade, then what is wrong without its being
// known what it does.
func (f *Fault) place() int {
	switch {
	case f.Grade == WorthKnowing:
		return 3
	case f.size() > 0:
		return 0
	case f.Grade == Wrong && math.IsNaN(f.Price):
		return 1
	}
	return 2
}

// effect says what the order costs, and at what price it stands, more than it
// should.
func (f *auditFault) effect(cost, price float64) {
	f.Cost, f.Price = model.Cents(cost), model.Cents(price)
}

// notPriced is why an audit has nothing to compare with.
func notPriced(path string) error {
	return fmt.Errorf("%s: was never priced, so there is nothing to compare; price it first", path)
}
