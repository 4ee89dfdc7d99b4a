package book

import (
	"strings"

	"seamtally/compute/formula"
	"seamtally/sheets/part/worksheet"
)

// IsDate reports whether a cell format shows a number as a date or a time.
func (b *Book) IsDate(xf int) bool {
	is, known := b.dates[xf]
	if !known {
		is = dateFormat(b.Styles.NumFmt(xf))
		b.dates[xf] = is
	}
	return is
}

func dateFormat(id int, code string) bool {
	if id >= 14 && id <= 22 || id >= 45 && id <= 47 {
		return true
	}
	inQuotes, inBrackets := false, false
	for i := 0; i < len(code); i++ {
		switch c := code[i]; {
		case c == '"':
			inQuotes = !inQuotes
		case c == '[':
			inBrackets = true
		case c == ']':
			inBrackets = false
		case c == '\\' || c == '_' || c == '*':
			i++
		case !inQuotes && !inBrackets && strings.IndexByte("yYdDhHsSmM", c) >= 0:
			return !strings.EqualFold(code, "General")
		}
	}
	return false
}

// CellText is a cell as text, a number as a spreadsheet joins it to a text.
func CellText(c worksheet.Cell) string {
	switch c.Kind {
	case worksheet.Text:
		return strings.TrimSpace(c.Text)
	case worksheet.Number:
		return formula.GeneralText(c.Num)
	}
	return ""
}

// Beside is what a cell format writes beside a number: its words, and a percent sign.
func (b *Book) Beside(xf int) string {
	said, known := b.beside[xf]
	if !known {
		_, code := b.Styles.NumFmt(xf)
		said = besideNumber(code)
		b.beside[xf] = said
	}
	return said
}

// besideNumber is what a format's first section writes beside the number.
func besideNumber(code string) string {
	var out strings.Builder
	inQuotes, inBrackets := false, false
	for i := 0; i < len(code); i++ {
		c := code[i]
		switch {
		case c == '"':
			inQuotes = !inQuotes
		case inQuotes:
			out.WriteByte(c)
		case c == ';' && !inBrackets:
			return strings.TrimSpace(out.String())
		case c == '[':
			inBrackets = true
		case c == ']':
			inBrackets = false
		case c == '_' || c == '*':
			i++
		case c == '\\' && i+1 < len(code):
			i++
			out.WriteByte(code[i])
		case c == '%' && !inBrackets:
			out.WriteByte(c)
		}
	}
	return strings.TrimSpace(out.String())
}
