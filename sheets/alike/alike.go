// Package alike holds joint lists against each other: whether one says what another says,
// as another revision does, a copy, or an example. It knows neither workbook nor messages.
package alike

import (
	"fmt"
	"strings"
	"unicode"
)

// Joint is what a joint says, in small letters where case means nothing.
type Joint struct {
	Car, Mark, Kind, Sizes string
	Pieces                 float64
	Whole                  string // all that it says, but for mark, place and car
}

// List is what the joints of a list say, each with how often.
type List struct {
	n      int            // joints
	joints map[string]int // mark, kind and sizes, the car aside
	marks  map[string]int // car and mark, where the mark is more than a number
	bare   map[string]int // of joints without a mark: car, sizes and pieces
	shapes map[string]int // car, kind and sizes, whatever the mark
	whole  map[string]int
}

// NewList is one without joints.
func NewList() List {
	return List{0, map[string]int{}, map[string]int{}, map[string]int{}, map[string]int{}, map[string]int{}}
}

// mostJoints bounds how many joints of a list are held against those of others.
const mostJoints = 2000

// Add takes a joint in.
func (l *List) Add(j Joint) {
	if l.n++; l.n > mostJoints {
		return
	}
	l.shapes[j.Car+"|"+j.Kind+"|"+j.Sizes]++
	l.whole[j.Whole]++
	if j.Mark == "" {
		l.bare[fmt.Sprintf("%s|%s|%g", j.Car, j.Sizes, j.Pieces)]++
		return
	}
	l.joints[j.Mark+"|"+j.Kind+"|"+j.Sizes]++
	if strings.ContainsFunc(j.Mark, unicode.IsLetter) {
		l.marks[j.Car+"|"+j.Mark]++
	}
}

// Of says of two lists what does not stand in their joints.
type Of struct {
	Doubt    bool // they are of one car, or of cars of which nobody has said that they are ordered
	Revision bool // a title says that there are others of it
	Places   bool // both titles say where on a car they are
	Meant    bool // the shop has settled that the marks of the later are its own
}

// UnderOtherMarks is how lists are the same that are so in all but their marks.
const UnderOtherMarks = "are as those on %s in all but their marks"

// Again is how many joints of a list may be those of an earlier one, and by what, with the
// earlier one's title to be put in; 0 where it is no other revision, copy or example.
func (l *List) Again(earlier *List, of Of) (n int, what string) {
	most, least := max(l.n, earlier.n, 1), max(min(l.n, earlier.n), 1)
	n = shared(l.joints, earlier.joints)
	if 2*n >= most && (n >= leastAlike || of.Revision) && of.Doubt {
		return n, "are those of the list on %s too, marks and all"
	}
	if n = shared(l.marks, earlier.marks); 2*n >= least {
		return n, "have marks that joints of the same car on %s have"
	}
	if n = shared(l.shapes, earlier.shapes); 2*n >= most && of.Revision {
		return n, "are of the same car, kinds and sizes as those on %s, and a sheet's title says that there are others of it"
	}
	if n = shared(l.bare, earlier.bare); n == least && n >= leastBare {
		return n, "are as joints of the same car on %s are, and without marks"
	}
	if n = l.copies(earlier); n > 0 && of.Doubt && !of.Places && !of.Meant {
		return n, UnderOtherMarks
	}
	return 0, ""
}

// leastAlike is how many joints make lists the same, marks and all; leastBare how many
// without marks do; leastDifferent how many different joints make a list that is likely no
// other by chance.
const leastAlike, leastBare, leastDifferent = 3, 2, 3

// copies is how many joints of a list are those of an earlier one under other marks. What
// it was copied from shows in all that its joints say besides: nearly all of them, and of
// several kinds or sizes, are as on the other list, down to the pieces.
func (l *List) copies(earlier *List) int {
	n, different := shared(l.whole, earlier.whole), 0
	for key := range l.whole {
		if earlier.whole[key] > 0 {
			different++
		}
	}
	if different < leastDifferent || 5*n < 4*max(l.n, earlier.n) {
		return 0
	}
	return n
}

// shared is how many of two lists are the same.
func shared(a, b map[string]int) (n int) {
	for key, k := range a {
		n += min(k, b[key])
	}
	return n
}
