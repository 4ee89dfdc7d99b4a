package screen

import (
	"strings"
	"unicode/utf8"
)

// BrokenAt breaks a text at its blanks into lines of that width; a longer word
// stays whole.
func BrokenAt(s string, wide int) []string {
	var out []string
	line := ""
	for _, word := range strings.SplitAfter(s, " ") {
		if line != "" && utf8.RuneCountInString(strings.TrimRight(line+word, " ")) > wide {
			out, line = append(out, strings.TrimRight(line, " ")), ""
		}
		line += word
	}
	return append(out, strings.TrimRight(line, " "))
}
