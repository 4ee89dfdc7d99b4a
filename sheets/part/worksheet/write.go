package worksheet

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
)

// MaxCellText is the longest text a cell may hold, in UTF-16 units; the same
// for every current spreadsheet program.
const MaxCellText = 32767

// appendCell writes a cell element. Style 0 needs no attribute.
func appendCell(dst []byte, prefix string, row int, c *NewCell, style int) ([]byte, error) {
	if err := c.check(); err != nil {
		return dst, &markup.Fault{Where: "cell " + grid.Ref(row, c.Col), What: err.Error()}
	}
	dst = markup.AppendName(append(dst, '<'), prefix, "c")
	dst = append(dst, ` r="`...)
	dst = append(grid.AppendRef(dst, row, c.Col), '"')
	if style > 0 {
		dst = append(dst, ` s="`...)
		dst = append(strconv.AppendInt(dst, int64(style), 10), '"')
	}
	if c.Op == Clear || c.Kind == Empty && c.Formula == "" {
		return append(dst, "/>"...), nil
	}
	dst = append(dst, typeAttr(c)...)
	dst = append(dst, '>')
	if c.Formula != "" {
		dst = appendFormula(dst, prefix, c.Formula)
	}
	dst = appendValue(dst, prefix, c)
	return markup.AppendEnd(dst, prefix, "c"), nil
}

// check refuses what a cell cannot hold.
func (c *NewCell) check() error {
	switch {
	case c.Op != Set:
		return nil
	case c.Kind == Number && (math.IsNaN(c.Num) || math.IsInf(c.Num, 0)):
		return fmt.Errorf("%v is no number that a cell can hold", c.Num)
	case c.Kind > Error:
		return fmt.Errorf("there is no %v cell", c.Kind)
	case c.Kind == Text && len(c.Text) > MaxCellText && utf16Len(c.Text) > MaxCellText:
		return fmt.Errorf("the text has more than %d characters", MaxCellText)
	case c.Kind == Error && c.Text == "":
		return errors.New("an error value without its text, as in #N/A")
	case !markup.Writable(c.Formula):
		return errors.New("the formula has a character that a file cannot hold")
	}
	return nil
}

func utf16Len(s string) int {
	n := 0
	for _, r := range s {
		if n++; r > 0xFFFF {
			n++
		}
	}
	return n
}

func typeAttr(c *NewCell) string {
	switch c.Kind {
	case Text:
		if c.Formula != "" {
			return ` t="str"`
		}
		return ` t="inlineStr"`
	case Bool:
		return ` t="b"`
	case Error:
		return ` t="e"`
	}
	return ""
}

func appendValue(dst []byte, prefix string, c *NewCell) []byte {
	switch {
	case c.Kind == Empty:
		return dst
	case c.Kind == Text && c.Formula == "":
		dst = markup.AppendStart(dst, prefix, "is", false)
		dst = markup.AppendStart(dst, prefix, "t", markup.KeepsBlanks(c.Text))
		dst = markup.AppendText(dst, c.Text)
		dst = markup.AppendEnd(dst, prefix, "t")
		return markup.AppendEnd(dst, prefix, "is")
	}
	dst = markup.AppendStart(dst, prefix, "v", c.Kind == Text && markup.KeepsBlanks(c.Text))
	switch c.Kind {
	case Number:
		dst = markup.AppendNumber(dst, c.Num)
	case Bool:
		if c.Num != 0 {
			dst = append(dst, '1')
		} else {
			dst = append(dst, '0')
		}
	default:
		dst = markup.AppendText(dst, c.Text)
	}
	return markup.AppendEnd(dst, prefix, "v")
}

// appendFormula writes a plain f element. Formulas carry no _xHHHH_ escapes:
// programs differ in whether they decode them there.
func appendFormula(dst []byte, prefix, formula string) []byte {
	dst = markup.AppendStart(dst, prefix, "f", markup.KeepsBlanks(formula))
	from := 0
	for i := range len(formula) {
		if as := markup.EscapeByte(formula[i]); as != "" {
			dst = append(append(dst, formula[from:i]...), as...)
			from = i + 1
		}
	}
	return markup.AppendEnd(append(dst, formula[from:]...), prefix, "f")
}
