package tell

import (
	"fmt"
	"io"
	"math"
	"path/filepath"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"seamtally/sheets/audit"
)

// Audited tells what an audit has found, which is what was asked for and goes
// to standard output.
func (v Voice) Audited(r *audit.Report) error {
	if v.JSON {
		return auditJSON(v.Out, r)
	}
	p := message.NewPrinter(language.English)
	var lines []string
	count := map[audit.Grade]int{}
	for _, f := range r.Faults {
		count[f.Grade]++
		for _, line := range faultLines(p, f, r.Currency) {
			lines = append(lines, plain(line))
		}
	}
	head := p.Sprintf("%s: %d calculated cells of %d joints worked out afresh", plain(filepath.Base(r.Input)), r.Cells, r.Rows)
	if r.Against != "" {
		head += ", held against " + plain(filepath.Base(r.Against))
	}
	lines = append([]string{head, p.Sprintf("as it should be: cost %.2f, price %.2f (%s)", r.Cost, r.Price, r.Currency)}, lines...)
	lines = append(lines, verdict(r.Verdict)...)
	last := "nothing found"
	if len(r.Faults) > 0 {
		last = fmt.Sprintf("found: %d wrong, %d doubtful, %d worth knowing", count[audit.Wrong], count[audit.Doubtful], count[audit.WorthKnowing])
	}
	if r.Unweighed > 0 {
		last += fmt.Sprintf("; of %d of them it is not worked out what they do: mend the others first", r.Unweighed)
	}
	return say(v.Out, append(lines, last)...)
}

// faultLines are the lines about one fault: the place and what it is, what is
// there and what should be, what it does, what to do.
func faultLines(p *message.Printer, f audit.Fault, currency string) []string {
	place := f.Cell
	if f.More > 0 {
		place = p.Sprintf("%s and %d more", place, f.More)
	}
	out := []string{fmt.Sprintf("%s: %s: %s: %s", f.Grade, place, f.Rule, f.What)}
	add := func(what, text string) {
		if text != "" {
			out = append(out, fmt.Sprintf("   %-8s %s", what, text))
		}
	}
	add("there", f.Found)
	add("should", f.Expected)
	switch {
	case math.IsNaN(f.Price):
	case f.Price != 0:
		add("effect", p.Sprintf("price %.2f, without it %.2f; cost %+.2f (%s)", f.With, f.Without, f.Cost, currency))
	case f.Cost != 0:
		add("effect", p.Sprintf("the price is not moved; cost %+.2f (%s)", f.Cost, currency))
	case f.Grade != audit.WorthKnowing:
		add("effect", "the price is not moved")
	}
	add("to do", f.Fix)
	return out
}

// auditJSON writes the audit for other programs. An effect that cannot be told
// is null.
func auditJSON(w io.Writer, r *audit.Report) error {
	number := func(x float64) any {
		if math.IsNaN(x) {
			return nil
		}
		return x
	}
	faults := []object{}
	for _, f := range r.Faults {
		faults = append(faults, object{
			"grade": f.Grade, "kind": f.Rule, "cell": f.Cell, "more": f.More, "what": f.What, "found": f.Found,
			"expected": f.Expected, "fix": f.Fix, "effect": object{"order_cost": number(f.Cost), "order_price": number(f.Price), "price_with": number(f.With), "price_without": number(f.Without)},
		})
	}
	return writeJSON(w, object{
		"input": r.Input, "against": r.Against, "currency": r.Currency, "cells": r.Cells, "rows": r.Rows,
		"order": object{"order_cost": r.Cost, "order_price": r.Price}, "faults": faults, "unweighed": r.Unweighed, "clean": r.Clean(), "complete": r.Complete, "reasons": reasons(r.Verdict),
	})
}
