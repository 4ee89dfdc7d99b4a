package tell

import (
	"fmt"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"seamtally/sheets/explain"
	"seamtally/sheets/screen"
)

// Explained tells the working of a joint, a car or the order. It is what was
// asked for, and goes to standard output.
func (v Voice) Explained(x *explain.Explanation) error {
	if v.JSON {
		return explainedJSON(v, x)
	}
	if !v.All {
		return say(v.Out, briefLines(x)...)
	}
	lines := wrapped(title(x), workingIndent)
	for _, n := range x.Notes {
		lines = append(lines, wrapped("note: "+n, 0)...)
	}
	for _, g := range x.Groups {
		lines = append(lines, "", plain(g.Title))
		lines = append(lines, groupLines(x, g)...)
	}
	return say(v.Out, lines...)
}

// title says what is explained.
func title(x *explain.Explanation) string {
	file := filepath.Base(x.Input)
	what := "the whole order"
	switch x.Of {
	case explain.OfCar:
		what = "car " + cut(x.Name, longestPartRow)
	case explain.OfJoint:
		what = fmt.Sprintf("joint %s of %s", cut(x.Name, longestPartRow), cut(x.Car, longestPartRow))
		file = fmt.Sprintf("%s:%s!%d", file, x.Sheet, x.Row)
	}
	if x.Figure != "" {
		what += ", " + x.Figure
	}
	return plain(fmt.Sprintf("%s: %s, %s units", file, what, x.System))
}

// Widths of the working of a figure.
const (
	explainedWide  = 100
	leastNameWide  = 30
	workingIndent  = 6
	partsIndent    = 8
	longestPartRow = 40
)

// groupLines are the figures of a group: name, cell and result in columns, the
// working below.
func groupLines(x *explain.Explanation, g explain.Group) []string {
	cellWide, shownWide := 0, 0
	for _, f := range g.Figures {
		cellWide = max(cellWide, utf8.RuneCountInString(plain(f.Cell)))
		if n := utf8.RuneCountInString(plain(f.Shown)); n <= longestPartRow {
			shownWide = max(shownWide, n)
		}
	}
	nameWide := max(leastNameWide, explainedWide-2-2-cellWide-2-shownWide)
	var out, quiet []string
	line := ""
	for _, f := range g.Figures {
		if f.Check && !f.Raised && x.Figure != f.Key {
			quiet = append(quiet, plain(f.Heading))
			continue
		}
		if f.Line != line && f.Line != "" {
			line = f.Line
			out = append(out, "  "+plain(line))
		}
		out = append(out, headLines(f, nameWide, cellWide, shownWide)...)
		out = append(out, working(f)...)
	}
	if len(quiet) > 0 {
		out = append(out, wrapped("  not raised: "+strings.Join(quiet, "; "), 4)...)
	}
	return out
}

// headLines are the name of a figure, its cell and its result.
func headLines(f explain.Figure, nameWide, cellWide, shownWide int) []string {
	names := screen.BrokenAt(plain(f.Key)+"  "+plain(f.Heading), nameWide)
	shown := plain(f.Shown)
	first := "  " + padded(names[0], nameWide) + "  " + padded(plain(f.Cell), cellWide) + "  "
	var out []string
	if room := explainedWide - utf8.RuneCountInString(first); utf8.RuneCountInString(shown) <= max(room, shownWide) {
		out = append(out, first+strings.Repeat(" ", max(0, shownWide-utf8.RuneCountInString(shown)))+shown)
	} else {
		out = append(out, strings.TrimRight(first, " "))
	}
	for _, n := range names[1:] {
		out = append(out, "    "+n)
	}
	if !strings.HasSuffix(out[0], shown) {
		out = append(out, wrapped(strings.Repeat(" ", workingIndent)+"= "+shown, workingIndent+2)...)
	}
	return out
}

// comesFrom adds where a figure comes from, and its formula in names and in numbers.
func comesFrom(f explain.Figure, add func(lead, text string)) {
	from := f.From
	if f.Basis != "" {
		from = strings.TrimPrefix(from+"; basis: "+f.Basis, "; ")
	}
	add("", from)
	add("= ", f.Formula)
	if f.Reads != f.Shown && f.Reads != f.Formula {
		add("= ", f.Reads)
	}
}

// working is how a figure comes about.
func working(f explain.Figure) []string {
	pad := strings.Repeat(" ", workingIndent)
	var out []string
	add := func(lead, text string) {
		if text != "" {
			out = append(out, wrapped(pad+lead+plain(text), workingIndent+2)...)
		}
	}
	add("! ", f.Stored)
	comesFrom(f, add)
	for _, s := range f.Sums {
		out = append(out, sumLines(s)...)
	}
	add("why: ", f.Why)
	add("source: ", f.Source)
	return out
}

// sumLines are the rows that a sum adds up.
func sumLines(s explain.Sum) []string {
	pad := strings.Repeat(" ", partsIndent)
	if len(s.Parts) == 0 {
		return wrapped(fmt.Sprintf("%s%s: %s, together 0", pad, s.Of, counted(s.Count, "row")), partsIndent+2)
	}
	out := wrapped(fmt.Sprintf("%s%s: %s, together %s", pad, s.Of, counted(s.Count, "row"), plain(s.Shown)), partsIndent+2)
	name, cell, shown := 0, 0, 0
	for _, p := range s.Parts {
		name = min(max(name, utf8.RuneCountInString(plain(p.Name))), longestPartRow)
		cell = max(cell, utf8.RuneCountInString(plain(p.Cell)))
		shown = max(shown, utf8.RuneCountInString(plain(p.Shown)))
	}
	for _, p := range s.Parts {
		times := ""
		if p.Times != 0 {
			times = fmt.Sprintf("  (%g × the cell)", p.Times)
		}
		text := plain(p.Shown)
		out = append(out, fmt.Sprintf("%s  %s  %s  %s%s%s", pad, padded(cut(plain(p.Name), name), name), padded(plain(p.Cell), cell),
			strings.Repeat(" ", shown-utf8.RuneCountInString(text)), text, times))
	}
	if s.More > 0 {
		out = append(out, fmt.Sprintf("%s  and %d more, together %s", pad, s.More, plain(s.MoreShown)))
	}
	return out
}

// cut shortens a text that is wider than its column.
func cut(s string, wide int) string {
	if r := []rune(s); len(r) > wide {
		return string(r[:wide-1]) + "…"
	}
	return s
}

// wrapped breaks a line at its blanks, and indents what follows the first.
func wrapped(s string, indent int) []string {
	lead := s[:len(s)-len(strings.TrimLeft(s, " "))]
	lines := screen.BrokenAt(s[len(lead):], explainedWide-max(len(lead), indent))
	out := []string{lead + lines[0]}
	for _, l := range lines[1:] {
		out = append(out, strings.Repeat(" ", indent)+l)
	}
	return out
}

// explainedJSON writes the working for other programs; keys may be added:
//
//	{
//	  "car":    of a joint,
//	  "figure": the one that was asked for, or "",
//	  "groups": [{"title", "figures": [{
//	      "basis", "cell", "formula", "from", "heading", "key", "line", "source", "stored", "unit",
//	      "value": number, text or null, "why", "with_numbers",
//	      "uses": [{"cell", "key", "unit", "value"}],
//	      "sums": [{"count", "more", "more_value", "of", "unit", "value",
//	                "parts": [{"cell", "name", "times", "value"}]}]}]}],
//	  "input":  file,
//	  "name":   the mark, or the car,
//	  "notes":  [text],
//	  "of":     "joint", "car" or "order",
//	  "priced": whether the cells are there,
//	  "row":    of a joint,
//	  "sheet":  of a joint
//	}
//
// As in the figures of "price", money has the unit "$" and a share the unit "1";
// in formulas a share is written in per cent. "times" is 0 where a row counts
// once.
func explainedJSON(v Voice, x *explain.Explanation) error {
	groups := []object{}
	for _, g := range x.Groups {
		figures := []object{}
		for _, f := range g.Figures {
			figures = append(figures, explainedObject(f))
		}
		groups = append(groups, object{"title": g.Title, "figures": figures})
	}
	return writeJSON(v.Out, object{
		"input": x.Input, "system": x.System.String(), "of": x.Of, "name": x.Name, "car": x.Car, "sheet": x.Sheet, "row": x.Row,
		"figure": x.Figure, "priced": x.Priced, "notes": append([]string{}, x.Notes...), "groups": groups,
	})
}

func explainedObject(f explain.Figure) object {
	uses := []object{}
	for _, u := range f.Uses {
		uses = append(uses, object{"key": u.Key, "cell": u.Cell, "unit": shareAsOne(u.Unit), "value": u.Value})
	}
	sums := []object{}
	for _, s := range f.Sums {
		parts := []object{}
		for _, p := range s.Parts {
			parts = append(parts, object{"name": p.Name, "cell": p.Cell, "value": p.Value, "times": p.Times})
		}
		sums = append(sums, object{
			"of": s.Of, "unit": shareAsOne(s.Unit), "value": s.Total, "count": s.Count, "parts": parts, "more": s.More, "more_value": s.MoreTotal,
		})
	}
	return object{
		"key": f.Key, "heading": f.Heading, "line": f.Line, "cell": f.Cell, "unit": shareAsOne(f.Unit), "value": f.Value,
		"formula": f.Formula, "with_numbers": f.WithNumbers, "from": f.From, "basis": f.Basis, "why": f.Why, "source": f.Source,
		"stored": f.Stored, "uses": uses, "sums": sums,
	}
}

// shareAsOne is the unit of a value in JSON: a share is itself, whatever a
// cell's format makes of it.
func shareAsOne(unit string) string {
	if unit == "%" {
		return "1"
	}
	return unit
}
