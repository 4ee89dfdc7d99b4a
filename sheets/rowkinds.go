package sheets

import (
	"strings"

	"seamtally/sheets/part"
)

// Why a row with something in it is no joint.
const (
	isHeading = "the headings again"
	isTotal   = "a total"
	isNote    = "a note"
)

// noJoint says why a row is no joint, "" if it is one or has nothing in it. A
// row with an outside diameter or a wall is always a joint, unless it repeats
// the headings: a total of sizes makes no sense, and a joint must not be lost.
func (ed *listEditor) noJoint(r *part.Row, joint bool) string {
	od, wall := ed.inputs[ed.odAt], ed.inputs[ed.wallAt]
	if od != nil && od.Kind == part.Text && sameWords(od.Text, ed.l.heads[od.Col]) {
		return isHeading
	}
	cells, numbers, digits, total := 0, 0, false, false
	for i := range r.Cells {
		c := &r.Cells[i]
		if !filled(c) || ed.ourCell(c.Col) {
			continue
		}
		cells++
		digits = digits || c.Kind != part.Text || strings.ContainsAny(c.Text, "0123456789")
		if c.Kind == part.Number && ed.at[min(c.Col, len(ed.at)-1)] < 0 {
			numbers++
		}
		total = total || c.Kind == part.Text && ed.b.totalWord(c.Text) || sumsUp(c.Formula)
	}
	switch {
	case joint && cells == 1 && !digits:
		return isNote // also in a column of sizes: without a digit it is none
	case filled(od) || filled(wall):
		return ""
	case total:
		return isTotal
	case joint && cells == 1 && numbers == 0:
		return isNote
	}
	return ""
}

func (ed *listEditor) ourCell(col int) bool { return col < len(ed.at) && ed.at[col] > 0 }

func filled(c *part.Cell) bool {
	return c != nil && (c.Kind != part.Empty || c.HasFormula) && !blankText(c)
}

func sameWords(a, b string) bool {
	return strings.EqualFold(strings.Join(strings.Fields(a), " "), strings.Join(strings.Fields(b), " "))
}

// sumsUp reports whether a formula adds up a column, as the row below a list
// does.
func sumsUp(formula string) bool {
	f := strings.ToUpper(formula)
	return strings.HasPrefix(f, "SUM(") || strings.HasPrefix(f, "SUBTOTAL(")
}

// totalWord reports whether a text begins with the word for a total.
func (b *book) totalWord(s string) bool {
	first, _, _ := strings.Cut(strings.TrimSpace(s), " ")
	first = strings.ToLower(strings.TrimRight(first, ":.-"))
	for _, w := range b.words.List("total") {
		if first == w {
			return true
		}
	}
	return false
}
