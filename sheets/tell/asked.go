package tell

import (
	"math"
	"strings"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"seamtally/sheets"
	"seamtally/sheets/whatif"
)

// Asked tells what an order would come to with some cells typed otherwise.
func (v Voice) Asked(r *whatif.Report) error {
	if v.JSON {
		return askedJSON(v, r)
	}
	lines := []string{"what would be typed:"}
	rows := [][]string{}
	for _, c := range r.Cells {
		rows = append(rows, []string{"  " + c.At, c.Name, c.Old + " -> " + c.New})
	}
	lines = append(lines, left(rows)...)
	lines = append(lines, "", "as it is: "+verdict(r.Was.Verdict)[0]+"; as it would be: "+verdict(r.Would.Verdict)[0])
	lines = append(lines, reasonLines(newReasons(r))...)
	table := [][]string{changeHead("Whole order")}
	table = append(table, changeRows(r, r.Order, true)...)
	same := []string{}
	for _, c := range r.Cars {
		rows := changeRows(r, c.Figures, false)
		if len(rows) == 0 {
			same = append(same, plain(c.Car))
			continue
		}
		table = append(table, []string{""}, changeHead("One car: "+plain(c.Car)))
		table = append(table, rows...)
	}
	for i, row := range table {
		table[i] = append(row, make([]string, 4-len(row))...)
	}
	lines = append(lines, "")
	for _, line := range aligned(table) {
		lines = append(lines, strings.TrimRight(line, " "))
	}
	if len(same) > 0 {
		lines = append(lines, "", "the price of one car stays as it is: "+strings.Join(same, ", "))
	}
	if err := say(v.Out, lines...); err != nil {
		return err
	}
	said := *r.Would
	said.Findings = r.New
	talk := v.findings(&said)
	if !v.Quiet {
		talk = append(talk, "nothing is written")
	}
	return say(v.Err, talk...)
}

// left joins cells to lines, each column to the left.
func left(rows [][]string) (out []string) {
	width := map[int]int{}
	for _, row := range rows {
		for i, cell := range row {
			width[i] = max(width[i], len([]rune(plain(cell))))
		}
	}
	for _, row := range rows {
		line := ""
		for i, cell := range row {
			line += padded(plain(cell), width[i]) + "  "
		}
		out = append(out, strings.TrimRight(line, " "))
	}
	return out
}

func changeHead(of string) []string { return []string{of, "As it is", "As it would be", "Difference"} }

// changeRows are a line a figure. Of a car only what would change is told, of the order
// all.
func changeRows(r *whatif.Report, of []whatif.Change, all bool) (out [][]string) {
	p := message.NewPrinter(language.English)
	for _, c := range of {
		if !all && !c.Differs() {
			continue
		}
		unit, places, times := strings.ReplaceAll(c.Unit, "$", r.Was.Currency), 0, 1.0
		switch c.Unit {
		case "$", "h":
			places = 2
		case "days":
			places = 1
		case "%":
			places, times = 2, 100
		}
		name := plain(c.Heading)
		if places > 0 && c.Unit != "days" {
			name = headed(name, plain(unit))
		}
		row := []string{"  " + name, number(p, c.Was*times, places), number(p, c.Would*times, places), "-"}
		if c.Differs() && !math.IsNaN(c.Was) && !math.IsNaN(c.Would) {
			row[3] = signed(p, (c.Would-c.Was)*times, places)
		}
		if !all && row[1] == row[2] {
			continue // it is less than is shown
		}
		out = append(out, row)
	}
	return out
}

// newReasons are those for which the order would not be complete, and is now.
func newReasons(r *whatif.Report) (out []sheets.Reason) {
	was := map[string]float64{}
	for _, reason := range r.Was.Reasons {
		was[reason.Check] = reason.Count
	}
	for _, reason := range r.Would.Reasons {
		if count, there := was[reason.Check]; !there || count != reason.Count {
			out = append(out, reason)
		}
	}
	return out
}

// askedJSON writes the same for other programs; keys may be added:
//
//	{
//	  "cells":   [{"cell", "name", "old", "new"}],
//	  "order":   {figure: {"was", "would", "difference", "unit"}},
//	  "cars":    [{"car", and the figures of one car, as those of the order}],
//	  "input":   file,
//	  "was":     {"complete"},
//	  "would":   {"complete", "reasons"}
//	}
//
// A figure that there is none of is null. Money has the unit "$", a share "1".
func askedJSON(v Voice, r *whatif.Report) error {
	figures := func(of []whatif.Change) object {
		out := object{}
		for _, c := range of {
			o := object{"unit": shareAsOne(c.Unit), "was": nil, "would": nil, "difference": nil}
			if !math.IsNaN(c.Was) {
				o["was"] = c.Was
			}
			if !math.IsNaN(c.Would) {
				o["would"] = c.Would
			}
			if d := c.Would - c.Was; !math.IsNaN(d) {
				o["difference"] = d
			}
			out[c.Key] = o
		}
		return out
	}
	cells, cars := []object{}, []object{}
	for _, c := range r.Cells {
		cells = append(cells, object{"cell": c.At, "name": c.Name, "old": c.Old, "new": c.New})
	}
	for _, c := range r.Cars {
		o := figures(c.Figures)
		o["car"] = c.Car
		cars = append(cars, o)
	}
	return writeJSON(v.Out, object{
		"input": r.Was.Input, "cells": cells, "order": figures(r.Order), "cars": cars,
		"was":   object{"complete": r.Was.Complete},
		"would": object{"complete": r.Would.Complete, "reasons": reasons(r.Would.Verdict)},
	})
}
