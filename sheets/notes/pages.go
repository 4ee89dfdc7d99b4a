package notes

import (
	"strings"
	"unicode/utf8"

	"seamtally/sheets/look"
	"seamtally/sheets/part/worksheet"
)

// OnPages are the lines that the shop has printed above and below a sheet.
func OnPages(pages worksheet.Pages) (out []string) {
	for _, text := range pages.Words {
		if look.IsFooter(text) {
			continue
		}
		for line := range strings.Lines(plain(text)) {
			if line = oneLine(line); line != "" {
				out = append(out, line)
			}
		}
	}
	return out
}

// plain is the text of a header or a footer without the codes in it, each of which begins
// with &: the three places on a line of their own, and a blank for what is filled in when
// it is printed (ECMA-376 part 1, 18.3.1.46).
func plain(text string) string {
	var b strings.Builder
	for text != "" {
		before, code, more := strings.Cut(text, "&")
		b.WriteString(before)
		if !more || code == "" {
			break
		}
		text = code[1:]
		switch at := code[0]; {
		case at == '&':
			b.WriteByte('&')
		case strings.IndexByte("LCRlcr", at) >= 0:
			b.WriteByte('\n')
		case at == '"': // a font
			_, text, _ = strings.Cut(text, `"`)
		case at >= '0' && at <= '9': // a size
			text = strings.TrimLeft(text, "0123456789")
		case at == 'K': // a colour
			text = strings.TrimLeft(text[:min(6, len(text))], "0123456789ABCDEFabcdef+-") + text[min(6, len(text)):]
		case at == 'P' || at == 'N':
			if strings.HasPrefix(text, "+") || strings.HasPrefix(text, "-") { // so many pages on
				text = strings.TrimLeft(text[1:], "0123456789")
			}
			b.WriteByte(' ')
		case at >= utf8.RuneSelf:
			b.WriteByte('&')
			text = code
		case strings.IndexByte("DTFAZG", at) >= 0:
			b.WriteByte(' ')
		}
	}
	return b.String()
}
