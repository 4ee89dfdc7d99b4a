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
// The estimate counts a letter as the width of a digit, a little more than most
// are, and a line as 1.36 times the size of its letters (from the metrics of
// common screen fonts, no source).
func (b *Book) RowHeight(r Role, text string, width float64) float64 {
	x := b.format(Style{Role: r})
	size, rows := x.Font.Size, 1.0
	if x.Alignment.WrapText && width > 0 {
		across := width * b.size / size
		if x.Font.Bold {
			across *= 0.92
		}
		rows = wrapped(text, math.Max(across, 1))
	}
	return math.Ceil(rows*size*1.36*4)/4 + 1
}

// wrapped counts the lines of text that is broken at blanks to lines of so many
// letters.
func wrapped(text string, across float64) float64 {
	lines, used := 1.0, 0.0
	word := 0
	end := func(blank float64) {
		w := float64(word)
		word = 0
		if used > 0 && used+w > across {
			lines, used = lines+1, 0
		}
		if w > across { // broken within
			lines += math.Ceil(w/across) - 1
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
			end(1)
		default:
			word++
		}
	}
	end(0)
	return lines
}
