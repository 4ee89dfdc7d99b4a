package offer

import (
	"cmp"
	"context"
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/disk"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// Options says what Offer is to do.
type Options struct {
	In       string // the shop's workbook, priced or not
	Out      string // where the customer's copy goes
	Password string // of an encrypted input
	Force    bool   // an existing output is replaced
	Draft    bool   // an incomplete order is offered too, and every copy says DRAFT
	Picture  string // the sheet whose picture goes on top, or the cell at which it stands; "" for none

	Date   string // of the offer, as in 2026-11-25, if the header has none
	Chosen bool   // Date was asked for, and beats the header's
}

// Report is what an offer says, and what its estimator should know of it.
type Report struct {
	Input, Output string
	Date          string
	Currency      string
	Draft         bool
	Cars          []Car
	Extra         float64 // what the total is over the cars' prices, in money
	ExtraWhat     string  // why; "" where there is none
	Total         float64 // money
	Fields        []Field
	Blank         []Field // what could be on it and is not filled in

	Priced    bool // the input has a sheet of assumptions
	Encrypted bool // the input is; the offer is not
	LeftOut   int  // joint rows without a price
	sheets.Verdict
	Findings []book.Finding
	Told     []Told // figures behind the price that the shop's words give away
	picture  *picture
}

// Car is a car with the price that it is offered at, in money.
type Car struct {
	compute.OfferedCar
	Car     string
	Ordered float64
	Cost    float64
	Rows    float64 // joint rows
}

// Field is one thing that the shop has typed on Assumptions.
type Field struct{ Key, Label, Text, Cell string }

// Make works a workbook out and writes of it what the customer is to see, as a
// workbook of its own: prices, and what the shop has typed about the order. It
// holds no formula, no cost, no rate and no hours. An error means that nothing
// was written.
func Make(ctx context.Context, o Options) (*Report, error) {
	to, err := disk.Apart(o.Out, o.Force, "an offer is", "the offer would replace the workbook that it is made of", o.In)
	if err != nil {
		return nil, err
	}
	words, err := readOfferWords()
	if err != nil {
		return nil, err
	}
	t, err := sheets.Read(ctx, o.In, o.Password)
	if err != nil {
		return nil, err
	}
	defer t.Close()
	r := gather(t, o, words)
	if o.Picture != "" {
		if r.picture, err = pictureOf(t, o.Picture); err != nil {
			return nil, fmt.Errorf("%s: %w", o.In, err)
		}
	}
	if why := r.lacks(); why != "" && !o.Draft {
		return nil, &sheets.RefusedError{In: o.In, Not: "offered", Why: why, Reasons: r.Reasons}
	}
	data, err := offerBook(r, words, book.PaperOf(t.Model.System))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", o.Out, err)
	}
	if err := t.SaveOpen(to, data); err != nil {
		return nil, err
	}
	r.Output = o.Out
	return r, nil
}

// lacks says why the order cannot be offered as it stands, "" if it can.
func (r *Report) lacks() string {
	var without []string
	for _, c := range r.Cars {
		if c.Each == 0 {
			without = append(without, c.Car)
		}
	}
	switch why := r.Verdict.Lacks(); {
	case why != "":
		return why
	case len(r.Cars) == 0:
		return "there is no car to offer"
	case len(without) > 0:
		return "there is no price of " + strings.Join(without, ", ")
	}
	return ""
}

// gather gathers what goes onto the offer.
func gather(t *sheets.Run, o Options, words *offerWords) *Report {
	r := &Report{
		Input: o.In, Draft: o.Draft, Currency: t.Currency(), Date: o.Date,
		Priced: t.Own.Assumptions != "", Encrypted: t.Container != nil,
		LeftOut: t.Report.LeftOut, Verdict: t.Report.Verdict, Findings: t.Report.Findings,
	}
	for _, f := range words.fields {
		cell := &worksheet.Cell{}
		if row := t.Own.Keys[f.Key]; row > 0 {
			cell = t.Own.Cell(row, book.AssumeValue)
			f.Cell = t.Own.Assumptions + "!" + grid.Ref(row, book.AssumeValue)
		} else if key, head := strings.CutPrefix(f.Key, book.HeadPrefix); head {
			for _, h := range t.Model.Heads {
				if h.Key == key {
					cell = t.HeadValue(h)
				}
			}
		}
		f.Text = shown(t.Sheet.Lists.Book, cell)
		if f.Key == dateField {
			if o.Chosen || f.Text == "" {
				f.Text = o.Date
			}
			r.Date = f.Text
		}
		if f.Text == "" {
			f.Label = labelOf(t.Sheet.Lists.Book, f)
			r.Blank = append(r.Blank, f)
			continue
		}
		r.Fields = append(r.Fields, f)
	}
	offerPrices(t, r, words)
	r.Told = toldBy(t, r)
	return r
}

// labelOf is what a field is called on Assumptions.
func labelOf(b *book.Book, f Field) string {
	for prefix, heads := range map[string][]model.Head{book.HeadPrefix: b.Model.Heads, book.BasisPrefix: b.Model.Basis} {
		for _, h := range heads {
			if prefix+h.Key == f.Key {
				name, _, _ := strings.Cut(h.What, ":")
				return name
			}
		}
	}
	return f.Label
}

// shown is a cell as the shop sees it: a day as a day.
func shown(b *book.Book, c *worksheet.Cell) string {
	if c.Kind == worksheet.Number && b.IsDate(c.Style) {
		if day, err := excelize.ExcelDateToTime(c.Num, b.Workbook.Date1904); err == nil {
			return day.Format("2006-01-02")
		}
	}
	return book.CellText(*c)
}

// offerPrices gathers the prices.
func offerPrices(t *sheets.Run, r *Report, words *offerWords) {
	o := t.Order.Offered()
	for i, c := range t.Report.Cars {
		r.Cars = append(r.Cars, Car{OfferedCar: o.Cars[i], Car: c.Car, Ordered: c.Ordered, Cost: c.Figures["cost_car"], Rows: c.Figures["rows"]})
	}
	r.Total, r.Extra = o.Total, o.Extra
	switch {
	case o.Extra == 0:
	case o.Least:
		r.ExtraWhat = words.text["least"]
	default:
		r.ExtraWhat = words.text["rounding"]
	}
}

// field is one of the fields that stand on the offer, "" where it is blank.
func (r *Report) field(key string) string {
	for _, f := range r.Fields {
		if f.Key == key {
			return f.Text
		}
	}
	return ""
}

// name is what the offer is called in the file: the order, or its reference.
func (r *Report) name() string {
	return cmp.Or(r.field(book.HeadPrefix+"order"), r.field(book.HeadPrefix+"reference"))
}
