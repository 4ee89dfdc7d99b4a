package assumptions

import (
	"regexp"
	"strings"

	"seamtally/sheets/revisions"
)

// StatePair is a line of a record and the line of a later one that it has
// become; nil where there is none.
type StatePair struct{ Was, Now *StateLine }

// numbered is what tells lines of a table apart that are called alike.
var numbered = regexp.MustCompile(` \([0-9]+\)$`)

// PairStates finds what has become of each line of a record: those of the later
// one in their order, then what is gone. Lines of a table that are called alike
// are told apart by what they hold, for their numbers change when one goes.
func PairStates(was, now []StateLine) []StatePair {
	var keys, contents [2][]string
	for side, lines := range [2][]StateLine{revisions.Old: was, revisions.New: now} {
		for _, s := range lines {
			name := strings.ToLower(s.Name)
			switch s.What {
			case StateSingle, StateList, StateFormulas, StateOrder:
			default:
				name = numbered.ReplaceAllString(name, "")
			}
			keys[side] = append(keys[side], s.What+"\x00"+name)
			contents[side] = append(contents[side], s.Value)
		}
	}
	out := make([]StatePair, len(now))
	for i := range now {
		out[i].Now = &now[i]
	}
	gone := make([]bool, len(was))
	for _, p := range revisions.Paired(keys, contents) {
		switch {
		case p[revisions.New] == revisions.None:
			gone[p[revisions.Old]] = true
		case p[revisions.Old] != revisions.None:
			out[p[revisions.New]].Was = &was[p[revisions.Old]]
		}
	}
	for i := range was {
		if gone[i] {
			out = append(out, StatePair{Was: &was[i]})
		}
	}
	return out
}
