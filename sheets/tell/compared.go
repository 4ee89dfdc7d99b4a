package tell

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"seamtally/compute/model"
	"seamtally/sheets/compare"
)

// Compared tells what moved a figure from one revision of an order to the next.
func (v Voice) Compared(r *compare.Report) error {
	if v.JSON {
		if err := compareJSON(v.Out, r); err != nil {
			return err
		}
	} else if err := Bridge(v.Out, r); err != nil {
		return err
	}
	lines := compareNotes(r)
	if r.Output != "" {
		lines = append(lines, "wrote "+plain(r.Output))
	}
	return say(v.Err, lines...)
}

// compareNotes is the talk: what the two orders lack, and how far the shares
// can be trusted.
func compareNotes(r *compare.Report) []string {
	var lines []string
	for i, path := range []string{r.Old, r.New} {
		base := plain(filepath.Base(path))
		switch {
		case r.LeftOut[i] > 0:
			lines = append(lines, fmt.Sprintf("%s: %s left out, and not compared; see: seamtally check %s", base, counted(r.LeftOut[i], "row"), base))
		case r.Incomplete[i]:
			lines = append(lines, fmt.Sprintf("%s: warning: its price is not complete (as where a price is missing); see: seamtally check %s", base, base))
		}
	}
	if was, now := r.Models[0], r.Models[1]; was != now && was != "" && now != "" {
		lines = append(lines, fmt.Sprintf("%s and %s: note: they were worked out by different versions of the program (formulas %s and %s); here both are by this one",
			plain(filepath.Base(r.Old)), plain(filepath.Base(r.New)), plain(was), plain(now)))
	}
	if r.Fell > 0 {
		lines = append(lines, fmt.Sprintf("note: %s cannot be worked out with some of the changes made and others not; there it counts as left out", counted(r.Fell, "joint")))
	}
	if r.Orders > 0 {
		p, places := message.NewPrinter(language.English), bridgePlaces(r)
		most, at := r.LargestError()*percent(r), "at most"
		if least := math.Pow10(-places); most < least/2 {
			most, at = least, "under"
		}
		lines = append(lines, p.Sprintf("note: the shares are means over %d orders of making the changes, drawn by chance; the standard error of a share is %s %.*f %s",
			r.Orders, at, places, most, bridgeUnit(r)))
	}
	return lines
}

// bridgeWide is how much of a line the words of a change take.
const bridgeWide = 68

// Bridge writes the order's totals in both revisions, then a line a change with
// its share of the gap and the figure reached so far, largest share first, and
// last what changed without effect; or one line, where nothing has changed. The
// error is one of writing.
func Bridge(w io.Writer, r *compare.Report) error {
	p := message.NewPrinter(language.English)
	if r.Same() {
		return say(w, fmt.Sprintf("nothing has changed from %s to %s: %s %s", plain(filepath.Base(r.Old)), plain(filepath.Base(r.New)),
			headed(model.Uncapped(plain(r.Total.Heading)), bridgeUnit(r)), number(p, r.Total.New*percent(r), bridgePlaces(r))))
	}
	head := [][]string{{"The order", "Old", "New", "Change"}}
	for _, t := range r.Others {
		places := 2
		if t.Unit == "ft³" || t.Unit == "L" {
			places = 1
		}
		head = append(head, []string{headed(t.Heading, unitOf(r, t.Unit)), number(p, t.Old, places), number(p, t.New, places), signed(p, t.New-t.Old, places)})
	}
	lines := append(aligned(head), "")
	places, scale := bridgePlaces(r), percent(r)
	rows := [][]string{
		{"What moved it: " + model.Uncapped(plain(r.Total.Heading)), headed("Share", bridgeUnit(r)), headed("Comes to", bridgeUnit(r))},
		{plain(filepath.Base(r.Old)), "", number(p, r.Total.Old*scale, places)},
	}
	for _, c := range r.Changes {
		for i, line := range changeLines(c, bridgeWide) {
			row := []string{line, "", ""}
			if i == 0 {
				row[1], row[2] = signed(p, c.Share*scale, places), number(p, c.Running*scale, places)
			}
			rows = append(rows, row)
		}
	}
	rows = append(rows, []string{plain(filepath.Base(r.New)), signed(p, r.Gap*scale, places), number(p, r.Total.New*scale, places)})
	for _, line := range aligned(rows) {
		lines = append(lines, strings.TrimRight(line, " "))
	}
	for _, c := range r.NoEffect {
		c.Name = "no effect: " + c.Name
		lines = append(lines, changeLines(c, lineWide)...)
	}
	return say(w, lines...)
}

// changeLines is a change in words, "Coupe J-4: wall 0.049 in -> 0.065 in", a
// value to a line where they do not fit on one.
func changeLines(c compare.Change, wide int) []string {
	var out []string
	line := plain(c.Name) + ":"
	for k, i := range c.Items {
		words := i.Old + " -> " + i.New
		if i.Old == "" {
			words = i.New
		}
		words = plain(strings.TrimSpace(i.Name + " " + words))
		if k < len(c.Items)-1 {
			words += ","
		}
		if k > 0 && utf8.RuneCountInString(line+" "+words) > wide {
			out, line = append(out, atBlanks(line, wide)...), "   "
		}
		line += " " + words
	}
	return append(out, atBlanks(line, wide)...)
}

// atBlanks breaks a text at blanks; lines after the first are set in.
func atBlanks(s string, wide int) []string {
	const in = "    "
	var out []string
	line, empty := "", true
	for word := range strings.SplitSeq(s, " ") {
		if !empty && utf8.RuneCountInString(line+" "+word) > wide {
			out, line, empty = append(out, line), in, true
		}
		if !empty {
			line += " "
		}
		line, empty = line+word, false
	}
	return append(out, line)
}

func headed(s, unit string) string {
	if unit == "" {
		return s
	}
	return s + ", " + unit
}

// unitOf is a unit with the book's sign for money.
func unitOf(r *compare.Report, unit string) string {
	if r.Currency != "" {
		unit = strings.ReplaceAll(unit, "$", r.Currency)
	}
	if unit == "1" {
		return ""
	}
	return plain(unit)
}

func bridgeUnit(r *compare.Report) string { return unitOf(r, r.Total.Unit) }

// percent is what a share of a whole is shown times.
func percent(r *compare.Report) float64 {
	if r.Total.Unit == "%" {
		return 100
	}
	return 1
}

func bridgePlaces(r *compare.Report) int {
	if r.Money {
		return 2
	}
	return 3
}

// signed is a number with its sign before it; nothing has none.
func signed(p *message.Printer, x float64, places int) string {
	text := number(p, x, places)
	if x > 0 && strings.ContainsAny(text, "123456789") {
		return "+" + text
	}
	return text
}

// compareJSON writes the comparison for other programs, keys sorted; keys may
// be added. Shares and "running" are in the unit of the figure, money to the
// cent; the shares add up to "gap". "orders" is 0 where they are exact, else how
// many orders of making the changes were drawn.
func compareJSON(w io.Writer, r *compare.Report) error {
	side := func(i int, path string) object {
		totals := model.Figures{}
		for _, t := range append([]compare.Total{r.Total}, r.Others...) {
			totals[t.Key] = []float64{t.Old, t.New}[i]
		}
		return object{"input": path, "complete": !r.Incomplete[i], "left_out": r.LeftOut[i], "formulas": r.Models[i], "order": flat(totals)}
	}
	changes := func(all []compare.Change, moved bool) []object {
		out := []object{}
		for _, c := range all {
			items := []object{}
			for _, i := range c.Items {
				items = append(items, object{"name": i.Name, "old": i.Old, "new": i.New})
			}
			o := object{"kind": c.Kind, "name": c.Name, "items": items}
			if moved {
				o["share"], o["running"], o["standard_error"] = c.Share, c.Running, c.Error
			}
			out = append(out, o)
		}
		return out
	}
	unit := r.Total.Unit
	if unit == "%" {
		unit = "1"
	}
	return writeJSON(w, object{
		"figure": r.Total.Key, "unit": unit, "gap": r.Gap, "old": side(0, r.Old), "new": side(1, r.New), "output": r.Output,
		"changes": changes(r.Changes, true), "no_effect": changes(r.NoEffect, false),
		"orders": r.Orders, "largest_standard_error": r.LargestError(), "left_out_between": r.Fell,
	})
}
