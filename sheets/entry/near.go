package entry

import (
	"slices"
	"strings"
)

// mostNear bounds how many near spellings are named.
const mostNear = 5

// Near lists the known names that a text may have been meant for: those with
// few slips from it, the nearest first; else those that have it in them, or are
// in it, in the order in which they are given. Capitals make no difference.
func Near(text string, known []string) []string {
	text = strings.ToLower(strings.TrimSpace(text))
	if text == "" || len(text) > longestCompared {
		return nil
	}
	most := nearEnough(text)
	type slip struct {
		name  string
		slips int
	}
	var close []slip
	var within []string
	for _, k := range known {
		low := strings.ToLower(k)
		switch d := distance(text, low, most); {
		case d <= most:
			close = append(close, slip{k, d})
		case strings.Contains(low, text), len(low) > 2 && strings.Contains(text, low):
			within = append(within, k)
		}
	}
	slices.SortStableFunc(close, func(a, b slip) int { return a.slips - b.slips })
	var out []string
	for _, c := range close {
		out = append(out, c.name)
	}
	out = append(out, within...)
	return out[:min(len(out), mostNear)]
}
