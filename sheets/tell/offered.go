package tell

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/offer"
)

// Offered tells of the customer's copy of an order.
func (v Voice) Offered(r *offer.Report) error {
	if v.JSON {
		if err := offerJSON(v.Out, r); err != nil {
			return err
		}
	} else if err := Offer(v.Out, r); err != nil {
		return err
	}
	return say(v.Err, append(offerNotes(r), "wrote "+plain(r.Output))...)
}

// Offer writes the prices that are offered, a line a car, and their total. The
// error is one of writing.
func Offer(w io.Writer, r *offer.Report) error {
	p := message.NewPrinter(language.English)
	rows := [][]string{{"Offered", "Cars", headed("Price each", plain(r.Currency)), headed("Price", plain(r.Currency))}}
	cars := 0.0
	for _, c := range r.Cars {
		cars += c.Ordered
		row := []string{plain(c.Car), number(p, c.Ordered, 0), "-", "-"}
		if c.Each > 0 {
			row[2], row[3] = number(p, c.Each, 2), number(p, c.All, 2)
		}
		rows = append(rows, row)
	}
	if r.Extra != 0 {
		rows = append(rows, []string{plain(r.ExtraWhat), "", "", number(p, r.Extra, 2)})
	}
	return say(w, aligned(append(rows, []string{"Total", number(p, cars, 0), "", number(p, r.Total, 2)}))...)
}

// offerNotes is the talk: what to look at before the offer is sent.
func offerNotes(r *offer.Report) []string {
	p := message.NewPrinter(language.English)
	base := plain(filepath.Base(r.Input))
	var lines []string
	warn := func(where, format string, args ...any) {
		if where != "" {
			where = ":" + where
		}
		lines = append(lines, plain(base+where+": warning: "+fmt.Sprintf(format, args...)))
	}
	note := func(format string, args ...any) {
		lines = append(lines, plain(base+": note: "+fmt.Sprintf(format, args...)))
	}
	if !r.Complete {
		lines = append(lines, verdict(r.Verdict)...)
	}
	if !r.Priced {
		warn("", "it has no sheet of assumptions, so every rate is as shipped and not the shop's; price it, set the rates, and offer that workbook")
	}
	for _, c := range r.Cars {
		switch {
		case c.Each == 0:
			warn("", "there is no price of %s; the draft has none", c.Car)
		case c.Rows == 0:
			warn("", "%s has no joint; its price is of other work only", c.Car)
		}
		if c.Bid && c.Worked != c.Each {
			note("%s is offered at its bid, %s, and not at the price worked out, %s", c.Car, number(p, c.Each, 2), number(p, c.Worked, 2))
		}
		if c.Each > 0 && c.Each < c.Cost {
			warn("", "%s is offered under its cost", c.Car)
		}
	}
	for _, t := range r.Told {
		warn(t.Cell, "the customer will read %s, which is: %s; reword the cell, price again, and offer again", t.Number, model.Uncapped(t.Figure))
	}
	warnings := 0
	for _, f := range r.Findings {
		if f.Level == book.LevelWarning {
			warnings++
		}
	}
	if warnings > 0 {
		note("pricing it gives %s; see: seamtally check %s", counted(warnings, "warning"), base)
	}
	if len(r.Blank) > 0 && r.Priced {
		var labels []string
		for _, f := range r.Blank {
			labels = append(labels, model.Uncapped(f.Label))
		}
		note("blank on the assumptions sheet, and so not on the offer: %s", strings.Join(labels, ", "))
	}
	if r.Encrypted {
		note("the offer is not encrypted; the password of the workbook is not for the customer")
	}
	return lines
}

// offerJSON writes what is offered for other programs, keys sorted; keys may be
// added. A price that is not known is left out. "price_car" is what one car is
// offered at, a bid or not.
func offerJSON(w io.Writer, r *offer.Report) error {
	cars := []object{}
	for _, c := range r.Cars {
		o := object{"car": c.Car, "car_qty": c.Ordered, "is_bid": c.Bid}
		if c.Each > 0 {
			o["price_car"], o["price_all"] = c.Each, c.All
		}
		cars = append(cars, o)
	}
	fields, blank := object{}, []string{}
	for _, f := range r.Fields {
		fields[f.Key] = f.Text
	}
	for _, f := range r.Blank {
		blank = append(blank, f.Key)
	}
	return writeJSON(w, object{
		"input": r.Input, "output": r.Output, "date": r.Date, "currency": r.Currency, "draft": r.Draft,
		"complete": r.Complete, "reasons": reasons(r.Verdict), "left_out": r.LeftOut,
		"cars": cars, "extra": r.Extra, "order_price": r.Total, "fields": fields, "blank": blank,
	})
}
