package tell

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"seamtally/compute/floor"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/outcome"
)

// Outcome tells what came of a quote.
func (v Voice) Outcome(r *outcome.Report) error {
	var err error
	if v.JSON {
		err = outcomeJSON(v.Out, r)
	} else {
		err = say(v.Out, outcomeLines(r)...)
	}
	if err != nil {
		return err
	}
	var talk []string
	if !r.Complete {
		talk = verdict(r.Verdict)
	}
	for _, level := range []book.Level{book.LevelError, book.LevelWarning, book.LevelNote} {
		for _, f := range r.Findings {
			if f.Level == level {
				talk = append(talk, calibrateNote(f))
			}
		}
	}
	return say(v.Err, talk...)
}

// outcomeLines are the tables: hours by car and stage, argon and rods, price.
func outcomeLines(r *outcome.Report) []string {
	p := message.NewPrinter(language.English)
	over := func(x float64) string {
		if math.IsNaN(x) {
			return "-"
		}
		return p.Sprintf("%+.1f", x)
	}
	hours := [][]string{{"Hours", "Quoted", "Saw", "Bench", "Weld", "All else", "Logged"}}
	money := [][]string{{"", headed("Price", plain(r.Currency)), "An hour earns, quoted", "An hour earned"}}
	add := func(name string, c floor.Done) {
		hours = append(hours, []string{name, number(p, c.Quoted, 1), over(c.Stages[0]), over(c.Stages[1]), over(c.Stages[2]), over(c.Else), number(p, c.Logged, 1)})
		money = append(money, []string{name, number(p, c.Price, 2), number(p, c.EarnedQuoted, 2), number(p, c.Earned, 2)})
	}
	for _, c := range r.Cars {
		name := plain(c.Name)
		if c.Number > 0 {
			name += " " + strconv.Itoa(c.Number)
		}
		add(name, c)
	}
	if r.Counted > 0 {
		add(fmt.Sprintf("In all, %s", counted(r.Counted, "car")), r.Sum)
	}
	used := [][]string{{"Used up", "Cars", "Quoted", "Logged"}}
	if a := r.Gas; a.Cars > 0 {
		used = append(used, []string{headed("Argon", plain(r.GasUnit)), number(p, float64(a.Cars), 0), number(p, a.Quoted, 0), number(p, a.Logged, 0)})
	}
	if r.Rods.Cars > 0 {
		used = append(used, []string{"Rods", number(p, float64(r.Rods.Cars), 0), number(p, r.Rods.Quoted, 1), number(p, r.Rods.Logged, 1)})
	}
	lines := aligned(hours)
	if len(used) > 1 {
		lines = append(append(lines, ""), aligned(used)...)
	}
	return append(append(lines, ""), aligned(money)...)
}

// outcomeJSON writes the same for other programs; what is not known is left out. Hours
// over are those logged over those quoted: they add up.
func outcomeJSON(w io.Writer, r *outcome.Report) error {
	car := func(c floor.Done) object {
		o := flat(model.Figures{
			"quoted_h": c.Quoted, "logged_h": c.Logged, "over_else_h": c.Else,
			"over_saw_h": c.Stages[0], "over_bench_h": c.Stages[1], "over_weld_h": c.Stages[2],
			"price": c.Price, "earned_quoted": c.EarnedQuoted, "earned": c.Earned,
		})
		if c.Name != "" {
			o["car"], o["number"] = c.Name, c.Number
		}
		return o
	}
	amount := func(a floor.Amount, unit string) object {
		return object{"cars": a.Cars, "quoted": a.Quoted, "logged": a.Logged, "unit": unit}
	}
	cars, found := []object{}, []object{}
	for _, c := range r.Cars {
		cars = append(cars, car(c))
	}
	for _, f := range r.Findings {
		if f.Level != book.LevelNote {
			found = append(found, object{"cell": f.Cell, "level": f.Level, "what": f.What, "fix": f.Fix})
		}
	}
	return writeJSON(w, object{
		"input": r.Quote, "complete": r.Complete, "reasons": reasons(r.Verdict), "currency": r.Currency,
		"cars": cars, "counted": r.Counted, "sum": car(r.Sum), "argon": amount(r.Gas, r.GasUnit), "rods": amount(r.Rods, "rods"), "findings": found,
	})
}
