package joints

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/part/worksheet"
)

// Why a row with something in it is no joint.
const (
	IsHeading = "the headings again"
	IsTotal   = "a total"
	IsNote    = "a note"
)

// noJoint says why a row is no joint, "" if it is one or has nothing in it. A
// row with an outside diameter or a wall is always a joint, unless it repeats
// the headings or holds nothing but words: a total of sizes makes no sense, and
// a joint must not be lost.
func (ed *Editor) noJoint(r *worksheet.Row, joint bool) string {
	od, wall := ed.Inputs[ed.OdAt], ed.Inputs[ed.WallAt]
	if od != nil && od.Kind == worksheet.Text && (entry.SameWords(od.Text, ed.L.Heads[od.Col]) || entry.SameWords(od.Text, ed.L.Shop["od"].Head)) {
		return IsHeading
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
		total = total || c.Kind == worksheet.Text && ed.b.totalWord(c.Text) || sumsUp(c.Formula, r.Num)
	}
	switch {
	case joint && cells == 1 && (ed.onlyWords(ed.OdAt) || ed.onlyWords(ed.WallAt)):
		return IsNote // in a column of sizes, but no size
	case joint && ed.saysADay(r):
		return IsNote
	case total && (Filled(od) || Filled(wall)) && ed.sumsBlock():
		return IsTotal
	case Filled(od) || Filled(wall) || joint && ed.sizesMerged(r.Num):
		return ""
	case total:
		return IsTotal
	case joint && cells == 1 && numbers == 0, joint && ed.signsOff():
		return IsNote
	}
	return ""
}

// doubt says why a row with sizes may be no joint after all, "" if nothing speaks
// for it. Such a row is left out until the shop has settled it.
func (ed *Editor) doubt(r *worksheet.Row) (what, fix string) {
	if od := ed.Inputs[ed.OdAt]; od != nil && ed.b.Styles.Struck(od.Style) {
		return "the row is struck out", "delete it, or take the line through it off"
	}
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Kind != worksheet.Text || ed.OurCell(c.Col) {
			continue
		}
		if why := ed.unmeant(c); why != "" {
			fix := "delete the row, or take the word out"
			if ed.Keys[c.Col] == "" {
				fix += "; if all such rows are meant: " + book.SettleAs(ed.L.ColumnName(c.Col), book.OwnWord)
			}
			return fmt.Sprintf("%q stands beside it, as for a joint that %s", strings.TrimSpace(c.Text), why), fix
		}
		if ed.isName(c.Col) && ed.b.totalWord(c.Text) {
			return fmt.Sprintf("%q is the word for a total, and the row has sizes", strings.TrimSpace(c.Text)), "take the sizes out if it is a total; else give the joint another name"
		}
	}
	return "", ""
}

// unmeant says what a word beside a joint says of it, "" for nothing: that it is none
// any more, or may be none. In a column that the shop has settled to be its own, words
// say nothing.
func (ed *Editor) unmeant(c *worksheet.Cell) string {
	switch ed.Keys[c.Col] {
	case "", "mark", "section":
	default:
		return ""
	}
	why := ""
	has := ed.b.FirstWord
	if ed.Keys[c.Col] == "mark" {
		has = ed.b.anyWord // "J9 dropped"
	}
	switch {
	case has("dropped", c.Text):
		why = "is none any more"
	case has("optional", c.Text):
		why = "may not be meant"
	}
	if why != "" && book.IsOwn(Settled(&ed.b.Own, ed.L, c.Col).SettledAs) { // asked last: few cells say so
		return ""
	}
	return why
}

// isName reports whether a column holds what names a joint: its mark, its kind, or
// none of the inputs.
func (ed *Editor) isName(col int) bool {
	switch ed.Keys[col] {
	case "mark", "kind":
		return true
	case "":
		return col < ed.L.Shop["od"].Col
	}
	return false
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
	for _, i := range [...]int{ed.OdAt, ed.WallAt} {
		if r, is := ed.L.mergedAt(row, ed.Cols[i].Reader.Shop.Col); is && r.Row1 >= ed.L.DataRow && r.Row1 < row {
			return true
		}
	}
	return false
}

// OurCell reports whether a column is ours, or was an earlier version's.
func (ed *Editor) OurCell(col int) bool {
	return col < len(ed.At) && ed.At[col] > 0 || ed.L.Retired(col)
}

func Filled(c *worksheet.Cell) bool {
	return c != nil && (c.Kind != worksheet.Empty || c.HasFormula) && !BlankText(c)
}

// sumsUp reports whether a formula adds up cells of other rows, as the row below a list
// does. A sum of cells beside it, or of typed numbers, is no total.
func sumsUp(formula string, row int) bool {
	f := strings.ToUpper(formula)
	return (strings.HasPrefix(f, "SUM(") || strings.HasPrefix(f, "SUBTOTAL(")) && namesOtherRows(f, row)
}

// totalWord reports whether a text begins with the word for a total.
func (b *Lists) totalWord(s string) bool { return b.FirstWord("total", s) }

// FirstWord reports whether a text begins with a word, or two, of a list. Columns hold
// few different texts, so each is looked up once.
func (b *Lists) FirstWord(list, s string) bool {
	s = strings.TrimSpace(s)
	first, rest, _ := strings.Cut(s, " ")
	if strings.ContainsAny(first, "0123456789") || len(s) > mostFirstWords {
		return false
	}
	key := list + ":" + s
	is, known := b.firsts[key]
	if !known {
		second, _, _ := strings.Cut(strings.TrimSpace(rest), " ")
		for _, words := range [...]string{first, first + " " + second} {
			if _, _, err := b.Words.Read(list, words, nil); err == nil {
				is = true
			}
		}
		if b.firsts == nil {
			b.firsts = map[string]bool{}
		}
		if len(b.firsts) < mostKnown {
			b.firsts[key] = is
		}
	}
	return is
}

// anyWord reports whether a word of a text, or two or three one behind the other, stand
// in a list. A text without a blank is a mark and no more.
func (b *Lists) anyWord(list, s string) bool {
	if b.FirstWord(list, s) || !strings.ContainsAny(s, " -(") {
		return b.FirstWord(list, s)
	}
	words := entry.WordsIn(s)
	for i := range words {
		for n := i + 1; n <= min(i+3, len(words)); n++ {
			if strings.ContainsAny(words[n-1], "0123456789") {
				break // no such word has a number in it, and there are many
			}
			if b.FirstWord(list, strings.Join(words[i:n], " ")) {
				return true
			}
		}
	}
	return false
}

// mostFirstWords is the longest text that is looked at so, in bytes.
const mostFirstWords = 100

// OnlyNames reports whether an input only says which joint it is.
func OnlyNames(key string) bool { return key == "mark" || key == "section" }
