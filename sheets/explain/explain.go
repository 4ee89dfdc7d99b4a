package explain

import (
	"context"
	"fmt"

	"seamtally/compute/model"
	"seamtally/sheets"
)

// Options says what Explain is to explain.
type Options struct {
	In       string // the shop's workbook, priced or not
	Password string // of an encrypted workbook
	Mark     string // a joint's mark, Sheet!14 or Sheet!F14, a car's name, order, or a figure of it
	Figure   string // a figure's name or heading; "" = all of them
}

// What an Explanation can be of.
const (
	OfJoint = "joint"
	OfCar   = "car"
	OfOrder = "order"
)

// Explanation is the working of one joint, one car or the order, as the
// workbook stands.
type Explanation struct {
	Input    string
	System   model.System
	Currency string
	Of       string // OfJoint, OfCar or OfOrder
	Name     string // the mark, or the car; "" for the order
	Car      string // of a joint
	Sheet    string // of a joint
	Row      int    // of a joint
	Figure   string // the one that was asked for; "" = all
	Priced   bool   // the cells are there; else they are those that pricing will fill
	Notes    []string
	Groups   []Group
	Brief    Brief
}

// Group is a group of figures, in the order in which they are worked
// out.
type Group struct {
	Title   string
	Figures []Figure
}

// Figure is one figure, or one value that the estimator has set. Texts with
// numbers in them come twice: to full precision, and for a person to read.
type Figure struct {
	Key     string
	Heading string
	Line    string // of a table: what its line is called
	Cell    string // Coupe!AF14; "" where it has none
	Unit    string // of Value; a count has its word
	Value   any    // float64 or string; nil for a blank and for what has no value
	Shown   string // Value with its unit, for a person
	Stored  string // what the cell shows, if that is something else
	Check   bool   // a check of the row
	Raised  bool   // and it is raised
	Working
	Made
}

// Working is how a figure is worked out, in words.
type Working struct {
	Formula     string // in names; "" for what is typed
	WithNumbers string // the formula with numbers and units put in, to full precision
	Reads       string // the same, rounded for a person
	From        string // where it comes from
	Basis       string // of an assumption, as the workbook has it
	Why, Source string // as the model has them
}

// Made is what a figure is made of.
type Made struct {
	Uses  []Use
	Sums  []Sum
	Terms []Part // what the formula adds up, if it is a sum of them
}

// Use is a value that a figure is worked out from.
type Use struct {
	Key, Cell, Unit string
	Value           any
	Shown           string
}

// Sum is what a sum in a formula adds up, the largest first.
type Sum struct {
	Of    string // sum(lines.labour, car_no)
	Unit  string
	Total float64
	Shown string
	Count int // of all that is added up
	Parts []Part
	// The rest, which is not listed.
	More      int
	MoreTotal float64
	MoreShown string
}

// Part is one row's share in a sum: Value is what its cell holds times
// Times, the cars ordered; Times is 0 where a row counts once.
type Part struct {
	Name, Cell string
	Words      string // for a name that is a formula's; else ""
	Value      float64
	Times      float64
	Shown      string
}

// Figures works a workbook out in memory, as it stands, and gives the working
// of one joint, one car or the order. Nothing is written. An error says what
// was not found, and what is near to it.
func Figures(ctx context.Context, o Options) (*Explanation, error) {
	t, err := sheets.Read(ctx, o.In, o.Password)
	if err != nil {
		return nil, err
	}
	defer t.Close()
	x, err := explain(t, o)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", o.In, err)
	}
	return x, nil
}

func explain(t *sheets.Run, o Options) (*Explanation, error) {
	w, only, err := asked(t, o)
	if err != nil {
		return nil, err
	}
	to := w.to
	out := &Explanation{
		Input: o.In, System: t.Model.System, Currency: t.Currency(), Of: to.of, Name: to.name,
		Priced: t.Own.Workings != "", Notes: to.notes,
	}
	if to.row != nil {
		out.Car, out.Sheet, out.Row = to.row.Car, to.row.Sheet, to.row.Row
	}
	all := w.targets()
	if only != nil {
		all, out.Figure = []place{*only}, w.keyOf(*only)
	}
	for _, p := range all {
		if err := w.visit(p); err != nil {
			return nil, err
		}
	}
	switch {
	case !out.Priced:
		out.Notes = append(out.Notes, "the workbook is not priced yet: the cells are those that pricing will fill")
	case to.row != nil && w.isNewRow():
		out.Notes = append(out.Notes, "the row has no figures yet: pricing again will fill its cells")
	}
	out.Groups = w.grouped()
	out.Brief, err = w.brief(out)
	return out, err
}
