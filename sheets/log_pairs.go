package sheets

import (
	"regexp"
	"strings"
)

// statePair is a line of a record and the line of a later one that it has
// become; nil where there is none.
type statePair struct{ was, now *stateLine }

// numbered is what tells lines of a table apart that are called alike.
var numbered = regexp.MustCompile(` \([0-9]+\)$`)

// pairStates finds what has become of each line of a record: those of the later
// one in their order, then what is gone. Lines of a table that are called alike
// are told apart by what they hold, for their numbers change when one goes.
func pairStates(was, now []stateLine) []statePair {
	var keys, contents [2][]string
	for side, lines := range [2][]stateLine{sideOld: was, sideNew: now} {
		for _, s := range lines {
			name := strings.ToLower(s.name)
			switch s.what {
			case stateSingle, stateList, stateFormulas, stateOrder:
			default:
				name = numbered.ReplaceAllString(name, "")
			}
			keys[side] = append(keys[side], s.what+"\x00"+name)
			contents[side] = append(contents[side], s.value)
		}
	}
	out := make([]statePair, len(now))
	for i := range now {
		out[i].now = &now[i]
	}
	gone := make([]bool, len(was))
	for _, p := range paired(keys, contents) {
		switch {
		case p[sideNew] == none:
			gone[p[sideOld]] = true
		case p[sideOld] != none:
			out[p[sideNew]].was = &was[p[sideOld]]
		}
	}
	for i := range was {
		if gone[i] {
			out = append(out, statePair{was: &was[i]})
		}
	}
	return out
}
