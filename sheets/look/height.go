package look

import (
	"math"
	"unicode/utf8"
)

// RowHeight estimates the height, in points, of a row that holds text in a cell
// of role r in a column of the given width in characters. Some spreadsheet
// programs do not fit rows to wrapped words when they open a file, so a row
// with more than one line, or with large letters, needs its height in the file.
//
// The estimate counts a line as 1.36 times the size of its letters (from the metrics of
// common screen fonts, no source).
func (b *Book) RowHeight(r Role, text string, width float64) float64 {
	x := b.format(Style{Role: r})
	size, rows := x.Font.Size, 1
	if x.Alignment.WrapText && width > 0 {
		rows = Lines(text, width*b.size/size)
	}
	return math.Ceil(float64(rows)*size*1.36*4)/4 + 1
}

// Across is how wide a text is in the letters of role r, in digits of the usual ones.
func (b *Book) Across(r Role, text string) float64 {
	return Digits(text) * b.format(Style{Role: r}).Font.Size / b.size
}

// edges of a cell are left free on both sides of its words, in digits.
const edges = 0.75

// Lines counts those of a text that is broken in a column of so many digits: at blanks, and
// behind a hyphen, as some programs do.
func Lines(text string, across float64) int {
	across = math.Max(across-edges, 1)
	lines, used := 1, 0.0
	word := ""
	end := func(blank float64) {
		w := Digits(word)
		word = ""
		if used > 0 && used+w > across {
			lines, used = lines+1, 0
		}
		if w > across { // broken within
			lines += int(math.Ceil(w/across)) - 1
			w = math.Mod(w, across)
		}
		used += w + blank
	}
	for len(text) > 0 {
		r, n := utf8.DecodeRuneInString(text)
		text = text[n:]
		switch r {
		case '\n':
			end(0)
			lines, used = lines+1, 0
		case ' ':
			end(Digits(" "))
		default:
			word += string(r)
			if r == '-' {
				end(0)
			}
		}
	}
	end(0)
	return lines
}
