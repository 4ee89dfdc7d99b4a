package page

import (
	"strconv"
	"strings"
)

// RowMark stands in a printed formula where the number of the row goes.
const RowMark = "\x00"

// Template is a formula of a column, cut where the number of the row goes.
type Template struct {
	pieces []string
}

// NewTemplate cuts a printed formula where it has [RowMark].
func NewTemplate(text string) Template {
	return Template{pieces: strings.Split(text, RowMark)}
}

// At is the formula on a row.
func (t Template) At(row int) string {
	if len(t.pieces) == 1 {
		return t.pieces[0]
	}
	return string(t.AppendAt(nil, strconv.Itoa(row)))
}

// Gives reports whether the formula on a row, whose number is given as text, is just this.
func (t Template) Gives(text, row string) bool {
	for i, p := range t.pieces {
		found := true
		if i > 0 {
			text, found = strings.CutPrefix(text, row)
		}
		if found {
			text, found = strings.CutPrefix(text, p)
		}
		if !found {
			return false
		}
	}
	return text == ""
}

// AppendAt appends the formula on a row, whose number is given as text.
func (t Template) AppendAt(dst []byte, row string) []byte {
	for i, p := range t.pieces {
		if i > 0 {
			dst = append(dst, row...)
		}
		dst = append(dst, p...)
	}
	return dst
}
