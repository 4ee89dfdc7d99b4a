package entry

// distance is the number of single-character slips (one left out, one too
// many, one wrong, two neighbours swapped) that turn a into b: the optimal
// string alignment distance.
func distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	var before []int
	last := make([]int, len(t)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(s); i++ {
		row := make([]int, len(t)+1)
		row[0] = i
		for j := 1; j <= len(t); j++ {
			wrong := 1
			if s[i-1] == t[j-1] {
				wrong = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+wrong)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(t)]
}

// nearEnough bounds the slips for which a known spelling is still worth
// naming: one in four characters, at most three.
func nearEnough(text string) int { return min(len([]rune(text))/4, 3) }

// longestCompared bounds the texts that are searched for a near spelling: the
// search takes time with the square of the length, and a note is no heading.
const longestCompared = 60

// nearest is the first of known with the fewest slips from text, if these are
// few enough; its index, or -1.
func nearest(text string, known []string) int {
	best, fewest := -1, nearEnough(text)+1
	if len(text) > longestCompared {
		return best
	}
	for i, k := range known {
		if d := distance(text, k); d < fewest {
			best, fewest = i, d
		}
	}
	return best
}
