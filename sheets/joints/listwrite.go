package joints

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamtally/compute/formula"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
)

// clearLeft takes out what an earlier version's figures have left in the row, where
// nothing has been written over it. What was typed over one is told.
func (ed *Editor) clearLeft(row int) {
	for _, c := range ed.left {
		if !c.HasFormula && Filled(c) && row >= ed.L.DataRow {
			ed.b.Note(book.LevelWarning, "figure of before", ed.L.Ref(row, c.Col),
				fmt.Sprintf("%s was typed over %q, which this version does not have; it is taken out and counts no more", book.CellText(*c), ed.L.retired[c.Col]), "if it is still meant, type it over a figure that there is, or as extra time of the joint")
		}
		if !slices.ContainsFunc(ed.Out, func(n worksheet.NewCell) bool { return n.Col == c.Col }) {
			ed.Out = append(ed.Out, worksheet.NewCell{Col: c.Col, Style: -1, Op: worksheet.Remove})
		}
	}
	if len(ed.left) > 0 {
		slices.SortFunc(ed.Out, func(a, b worksheet.NewCell) int { return a.Col - b.Col })
	}
}

// headings writes the headings of columns that are new; one that is there is
// the shop's to reword.
func (ed *Editor) headings(r *worksheet.Row) {
	ed.sortCells(r)
	for i, c := range ed.Cols {
		p := ed.Present[i]
		if p == nil || p.Kind == worksheet.Empty || ed.b.OtherCurrency(c.Q, p) {
			label := ed.Labels[i]
			if h, ok := ed.L.newHeads[c.Q]; ok {
				label = h
			}
			if ed.L.headed == nil {
				ed.L.headed = map[int]string{}
			}
			ed.L.headed[c.col] = ed.L.Written[c.col]
			ed.L.Heads[c.col], ed.L.Written[c.col] = label, label
			style := ed.st.headingRight
			if c.Q.IsText() {
				style = ed.st.heading
			}
			if od := ed.Inputs[ed.OdAt]; c.result && od != nil {
				style = ed.besideShop(od, ed.st.headingWrapped)
			}
			ed.Out = append(ed.Out, worksheet.NewCell{Col: c.col, Style: style, Kind: worksheet.Text, Text: label})
		}
	}
}

// wipe takes our formulas out of a row that is not priced; what was typed stays.
func (ed *Editor) wipe() {
	for i, c := range ed.Cols {
		if p := ed.Present[i]; p != nil && (p.HasFormula || c.Q.Key == "check") {
			ed.Out = append(ed.Out, worksheet.NewCell{Col: c.col, Style: -1, Op: worksheet.Remove})
		}
	}
}

// say writes words of ours into the check cell of a row without figures.
func (ed *Editor) say(words string, style int) {
	for _, c := range ed.Cols {
		if c.Q.Key != "check" {
			continue
		}
		cell := worksheet.NewCell{Col: c.col, Style: style, Kind: worksheet.Text, Text: words}
		for i := range ed.Out {
			if ed.Out[i].Col == c.col {
				ed.Out[i] = cell
				return
			}
		}
		ed.Out = append(ed.Out, cell)
	}
}

// fill writes the figures of a row.
func (ed *Editor) fill(row int) {
	f := &ed.Line.Frame
	ed.text, ed.ends = ed.text[:0], ed.ends[:0]
	number, first := strconv.Itoa(row), len(ed.Out)
	ed.compareFormulas(row, number)
	for i := range ed.Cols {
		c := &ed.Cols[i]
		typed := ed.Line.Given(c.Q) && c.Reader == nil
		if c.Reader != nil {
			p := ed.Present[i]
			typed = !ed.refill && p != nil && !p.HasFormula && p.Kind != worksheet.Empty
		}
		cell := worksheet.NewCell{Col: c.col, Style: c.style}
		if c.result {
			cell.Style = ed.besideShop(ed.Inputs[ed.OdAt], c.style)
		}
		if c.Q.IsText() {
			cell.Kind, cell.Text = worksheet.Text, c.Q.Text(f)
		} else if x := f.Num[c.Q.Slot]; formula.IsBlank(x) {
			cell.Kind = worksheet.Text
		} else {
			cell.Kind, cell.Num = worksheet.Number, x
		}
		switch {
		case typed:
			cell.Style = c.Override
		case ed.special[i] != "":
			ed.text = append(ed.text, ed.specialAt(ed.special[i], number)...)
		case c.Reader != nil:
			ed.text = c.Reader.Plain.AppendAt(ed.text, number)
		default:
			ed.text = c.formula.AppendAt(ed.text, number)
		}
		ed.ends = append(ed.ends, len(ed.text))
		ed.Out = append(ed.Out, cell)
	}
	// One text for the row: a text for each cell took longer than its figures.
	all, from := string(ed.text), 0
	for i, end := range ed.ends {
		ed.Out[first+i].Formula = all[from:end]
		from = end
	}
}

func (ed *Editor) specialAt(text, row string) string {
	text = strings.ReplaceAll(text, odMark, ed.odCell)
	return strings.ReplaceAll(text, page.RowMark, row)
}
