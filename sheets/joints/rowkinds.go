package joints

import (
	"errors"
	"strings"
	"unicode"
	"unicode/utf8"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/part/worksheet"
)

// Why a row with something in it is no joint.
const (
	isHeading = "the headings again"
	isTotal   = "a total"
	isNote    = "a note"
)

// noJoint says why a row is no joint, "" if it is one or has nothing in it. A
// row with an outside diameter or a wall is always a joint, unless it repeats
// the headings or holds nothing but words: a total of sizes makes no sense, and
// a joint must not be lost.
func (ed *Editor) noJoint(r *worksheet.Row, joint bool) string {
	od, wall := ed.Inputs[ed.odAt], ed.Inputs[ed.wallAt]
	if od != nil && od.Kind == worksheet.Text && sameWords(od.Text, ed.L.Heads[od.Col]) {
		return isHeading
	}
	cells, numbers, total := 0, 0, false
	for i := range r.Cells {
		c := &r.Cells[i]
		if !Filled(c) || ed.OurCell(c.Col) {
			continue
		}
		cells++
		if c.Kind == worksheet.Number && ed.At[min(c.Col, len(ed.At)-1)] < 0 {
			numbers++
		}
		total = total || c.Kind == worksheet.Text && ed.b.totalWord(c.Text) || sumsUp(c.Formula)
	}
	switch {
	case joint && cells == 1 && (ed.onlyWords(ed.odAt) || ed.onlyWords(ed.wallAt)):
		return isNote // in a column of sizes, but no size
	case Filled(od) || Filled(wall) || joint && ed.sizesMerged(r.Num):
		return ""
	case total:
		return isTotal
	case joint && cells == 1 && numbers == 0, joint && ed.signsOff():
		return isNote
	}
	return ""
}

// onlyWords reports whether the cell of an input holds a text that is no
// quantity of any kind.
func (ed *Editor) onlyWords(input int) bool {
	c := ed.Inputs[input]
	if !Filled(c) || c.Kind != worksheet.Text {
		return false
	}
	first, _ := utf8.DecodeRuneInString(strings.TrimSpace(c.Text))
	if unicode.IsLetter(first) || !strings.ContainsAny(c.Text, "0123456789") {
		_, err := ed.b.Measures.Quantity(c.Text, ed.Cols[input].Reader.Want)
		return err != nil
	}
	return false
}

// signsOff reports whether a row without sizes tells of a joint by its kind
// alone, and by a word there that is no kind: "Checked by", and who did.
func (ed *Editor) signsOff() bool {
	for i, c := range ed.Inputs {
		if !Filled(c) || !tellsOfJoint(ed.Cols[i].Q.Key) {
			continue
		}
		if ed.Cols[i].Q.Key != "kind" {
			return false
		}
		_, _, err := ed.b.Words.Read("kind", book.CellText(*c), ed.b.TableNames(ed.Cols[i].Reader.table))
		var u *entry.Unknown
		if !errors.As(err, &u) || u.Question != "" || u.Nearest != "" {
			return false
		}
	}
	return true
}

// sizesMerged reports whether the outside diameter or the wall of a row is
// merged with those of a row of joints above it.
func (ed *Editor) sizesMerged(row int) bool {
	for _, i := range [...]int{ed.odAt, ed.wallAt} {
		if r, is := ed.L.mergedAt(row, ed.Cols[i].Reader.Shop.Col); is && r.Row1 >= ed.L.DataRow && r.Row1 < row {
			return true
		}
	}
	return false
}

func (ed *Editor) OurCell(col int) bool { return col < len(ed.At) && ed.At[col] > 0 }

func Filled(c *worksheet.Cell) bool {
	return c != nil && (c.Kind != worksheet.Empty || c.HasFormula) && !BlankText(c)
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
func (b *Lists) totalWord(s string) bool {
	first, _, _ := strings.Cut(strings.TrimSpace(s), " ")
	first = strings.ToLower(strings.TrimRight(first, ":.-"))
	for _, w := range b.Words.List("total") {
		if first == w {
			return true
		}
	}
	return false
}
