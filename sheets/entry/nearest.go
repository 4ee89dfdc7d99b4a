package entry

import "unicode/utf8"

// distance is the number of single-character slips (one left out, one too
// many, one wrong, two neighbours swapped) that turn a into b: the optimal
// string alignment distance. It gives up, with most+1, where it is over most.
func distance(a, b string, most int) int {
	s, t := []rune(a), []rune(b)
	var rows [3][longestCompared + 4]int // no text that is compared in bulk needs more
	before, last, row := rows[0][:], rows[1][:], rows[2][:]
	if len(t) >= len(row) {
		before, last, row = make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	}
	before, last, row = before[:len(t)+1], last[:len(t)+1], row[:len(t)+1]
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(s); i++ {
		row[0] = i
		fewest := i
		for j := 1; j <= len(t); j++ {
			wrong := 1
			if s[i-1] == t[j-1] {
				wrong = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+wrong)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
			fewest = min(fewest, row[j])
		}
		// A later row has at least as many slips as this one, or (a swap
		// reaches back two rows) one more than the row before, which is at
		// most one under this.
		if fewest > most+1 {
			return most + 1
		}
		before, last, row = last, row, before
	}
	return min(last[len(t)], most+1)
}

// nearEnough bounds the slips for which a known spelling is still worth
// naming: one in four characters, at most three.
func nearEnough(text string) int { return min(utf8.RuneCountInString(text)/4, 3) }

// longestCompared bounds the texts, in bytes, that are searched for a near
// spelling: the search takes time with the square of the length, and a note
// is no heading.
const longestCompared = 60

// nearest is the first of known with the fewest slips from text, if these are
// few enough; its index, or -1.
func nearest(text string, known []string) int {
	best, most := -1, nearEnough(text)
	if len(text) > longestCompared {
		return best
	}
	length := utf8.RuneCountInString(text)
	for i, k := range known {
		// A difference in length is at least as many slips.
		if longer := utf8.RuneCountInString(k) - length; max(longer, -longer) > most {
			continue
		}
		if d := distance(text, k, most); d <= most {
			best, most = i, d-1
		}
	}
	return best
}
