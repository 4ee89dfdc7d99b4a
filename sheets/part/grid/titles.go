package grid

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// RenameSheets gives a formula with the sheets that it names called as titles
// says; the keys of titles are in lower case. Text in quotes, names of other
// workbooks and headings of tables are left alone. A range over several sheets
// must have one pair of apostrophes round both.
func RenameSheets(formula string, titles map[string]string) string {
	if len(titles) == 0 || !strings.Contains(formula, "!") {
		return formula
	}
	var b strings.Builder
	before := rune(0)
	for i := 0; i < len(formula); {
		end := wordEnd(formula, i)
		tok := formula[i:end]
		if end < len(formula) && formula[end] == '!' && before != ']' {
			tok = renamed(tok, titles)
		}
		b.WriteString(tok)
		before, _ = utf8.DecodeLastRuneInString(formula[:end])
		i = end
	}
	return b.String()
}

// renamed gives a sheet name, as it stands before the exclamation mark, in its
// new spelling.
func renamed(tok string, titles map[string]string) string {
	name := tok
	if len(tok) > 1 && tok[0] == '\'' && tok[len(tok)-1] == '\'' {
		name = strings.ReplaceAll(tok[1:len(tok)-1], "''", "'")
	}
	parts := strings.Split(name, ":")
	changed := false
	for i, p := range parts {
		if to, ok := titles[strings.ToLower(p)]; ok {
			parts[i], changed = to, true
		}
	}
	if !changed {
		return tok
	}
	return QuoteSheet(strings.Join(parts, ":"))
}

// QuoteSheet writes a sheet name as formulas take it, always in apostrophes.
func QuoteSheet(name string) string {
	return "'" + strings.ReplaceAll(name, "'", "''") + "'"
}

// wordEnd gives where the token that begins at i ends: a text, a quoted name,
// a bracketed part, a word, or one other character.
func wordEnd(s string, i int) int {
	switch s[i] {
	case '"', '\'':
		return quoteEnd(s, i)
	case '[':
		return bracketEnd(s, i)
	}
	end := i
	for end < len(s) {
		r, size := utf8.DecodeRuneInString(s[end:])
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune("_.?\\", r) {
			break
		}
		end += size
	}
	if end == i {
		_, size := utf8.DecodeRuneInString(s[i:])
		end += size
	}
	return end
}

// quoteEnd gives the end of what stands between two quotes; two of them in a
// row are one inside.
func quoteEnd(s string, i int) int {
	q := s[i]
	for j := i + 1; j < len(s); j++ {
		if s[j] != q {
			continue
		}
		if j+1 < len(s) && s[j+1] == q {
			j++
			continue
		}
		return j + 1
	}
	return len(s)
}

// bracketEnd gives the end of a bracketed part, in which an apostrophe takes
// the meaning from the next character.
func bracketEnd(s string, i int) int {
	depth := 0
	for j := i; j < len(s); j++ {
		switch s[j] {
		case '\'':
			j++
		case '[':
			depth++
		case ']':
			if depth--; depth == 0 {
				return j + 1
			}
		}
	}
	return len(s)
}
