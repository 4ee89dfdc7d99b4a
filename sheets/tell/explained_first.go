package tell

import (
	"fmt"
	"math"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/explain"
)

// mostOdd bounds how much of what is odd is told before the whole working is asked for.
const mostOdd = 5

// mostColumn is how wide a text may be that moves the columns behind it.
const mostColumn = 52

// briefLines are the answer, then what it is made of by size; the whole working is had
// with --all.
func briefLines(x *explain.Explanation) []string {
	lines := wrapped(title(x), workingIndent)
	for _, n := range x.Notes {
		lines = append(lines, wrapped("note: "+n, 0)...)
	}
	lines = append(lines, "")
	if x.Figure != "" && len(x.Brief.Answers) > 0 {
		lines = append(lines, answerLines(x.Brief.Answers[0])...)
	} else {
		var rows [][]string
		for _, f := range x.Brief.Answers {
			rows = append(rows, []string{plain(f.Heading), plain(f.Shown), plain(f.Cell)})
		}
		lines = append(lines, columned(rows, 1)...)
	}
	lines = append(lines, oddLines(x)...)
	for _, s := range x.Brief.Steps {
		lines = append(lines, "")
		lines = append(lines, stepLines(s, s.Of.Key == x.Figure)...)
	}
	name := x.Name
	if x.Of == explain.OfOrder {
		name = explain.OfOrder
	}
	lines = append(lines, "", strings.TrimSpace(fmt.Sprintf("the whole working: seamtally explain --all %s %s %s",
		quoted(x.Input), quoted(name), x.Figure)))
	return lines
}

// quoted is a word as it is typed at a shell.
func quoted(s string) string {
	if s = plain(s); strings.ContainsAny(s, " '!&;|<>()$`\\*?") {
		return `"` + s + `"`
	}
	return s
}

// answerLines are a figure, what it is, and how it comes about.
func answerLines(f explain.Figure) []string {
	head := plain(f.Heading) + ": " + plain(f.Shown)
	if f.Line != "" {
		head = plain(f.Line) + ", " + head
	}
	out := wrapped(head, workingIndent)
	add := func(lead, text string) {
		if text != "" {
			out = append(out, wrapped("  "+lead+plain(text), workingIndent)...)
		}
	}
	add("", f.Why)
	add("in ", f.Cell)
	comesFrom(f, add)
	add("source: ", f.Source)
	return out
}

// oddLines are what the cells show otherwise, and the checks that are raised.
func oddLines(x *explain.Explanation) []string {
	var out []string
	more := 0
	for _, g := range x.Groups {
		for _, f := range g.Figures {
			text := ""
			switch {
			case f.Stored != "":
				text = fmt.Sprintf("! %s: %s", f.Cell, f.Stored)
			case f.Shown == explain.Raised && f.Key != x.Figure:
				text = "! " + f.Heading
			}
			switch {
			case text == "":
			case len(out) < mostOdd:
				out = append(out, wrapped(plain(text), 2)...)
			default:
				more++
			}
		}
	}
	if more > 0 {
		out = append(out, fmt.Sprintf("! and %d more", more))
	}
	return out
}

// stepLines are what a figure is made of; it is not named again where it stands above.
func stepLines(s explain.Step, above bool) []string {
	from, made := "worked out from", "made up of"
	if !above {
		of := fmt.Sprintf("%s, %s, is ", plain(model.Uncapped(s.Of.Heading)), plain(s.Of.Shown))
		from, made = of+from, of+made
	}
	if len(s.Parts) == 0 {
		var rows [][]string
		for _, f := range s.From {
			rows = append(rows, []string{"  " + plain(f.Heading), plain(f.Shown), plain(f.Key), plain(f.Cell)})
		}
		return append(wrapped(from, workingIndent), columned(rows, 1)...)
	}
	var rows [][]string
	for _, p := range s.Parts {
		name := p.Heading
		if name == "" {
			name = p.Key
		}
		rows = append(rows, []string{"  " + cut(plain(name), mostColumn-2), plain(p.Shown), share(p.Of), plain(p.Cell)})
	}
	if s.More.Count > 0 {
		rows = append(rows, []string{fmt.Sprintf("  %d more", s.More.Count), plain(s.More.Shown), share(s.More.Of), ""})
	}
	return append(wrapped(made, workingIndent), columned(rows, 1, 2)...)
}

// share is a part of a whole in per cent.
func share(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return fmt.Sprintf("%.1f %%", 100*x)
}

// columned joins cells to lines, the columns named to the right and the others to the
// left. A text that is far wider than the others does not move them.
func columned(rows [][]string, right ...int) []string {
	width := map[int]int{}
	for _, row := range rows {
		for i, cell := range row {
			if n := len([]rune(cell)); n <= mostColumn {
				width[i] = max(width[i], n)
			}
		}
	}
	isRight := map[int]bool{}
	for _, i := range right {
		isRight[i] = true
	}
	var out []string
	for _, row := range rows {
		var b strings.Builder
		for i, cell := range row {
			if i > 0 {
				b.WriteString("  ")
			}
			if isRight[i] {
				b.WriteString(strings.Repeat(" ", max(0, width[i]-len([]rune(cell)))))
				b.WriteString(cell)
				continue
			}
			b.WriteString(padded(cell, width[i]))
		}
		out = append(out, strings.TrimRight(b.String(), " "))
	}
	return out
}
