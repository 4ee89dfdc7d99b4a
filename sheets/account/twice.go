package account

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"seamtally/sheets/book"
	"seamtally/sheets/joints"
)

// alikes are what the joints of a list say, each with how often: it is held against
// what those of another list say.
type alikes struct {
	joints map[string]int // mark, kind and sizes, the car aside
	marks  map[string]int // car and mark, where the mark is more than a number
	bare   map[string]int // of joints without a mark: car, sizes and pieces
	shapes map[string]int // car, kind and sizes, whatever the mark
	whole  map[string]int // all that they say, but for mark, place and car
}

func newAlikes() alikes {
	return alikes{joints: map[string]int{}, marks: map[string]int{}, bare: map[string]int{}, shapes: map[string]int{}, whole: map[string]int{}}
}

// shared is how many of two lists are the same.
func shared(a, b map[string]int) (n int) {
	for key, k := range a {
		n += min(k, b[key])
	}
	return n
}

// keepAlike notes what a priced joint says.
func (ac *account) keepAlike() {
	f := &ac.Line.Frame
	if ac.L.Rows.Priced > mostAlike {
		return
	}
	car, mark := strings.ToLower(ac.lastCar), strings.ToLower(ac.Came.Mark)
	sizes := fmt.Sprintf("%g|%g", ac.Cols[ac.OdAt].Q.Num(f), ac.Cols[ac.WallAt].Q.Num(f))
	ac.alike.shapes[car+"|"+ac.b.Model.Line.Quantity("kind").Text(f)+"|"+sizes]++
	ac.alike.whole[ac.wholeJoint()]++
	if mark == "" {
		ac.alike.bare[fmt.Sprintf("%s|%s|%g", car, sizes, ac.Cols[ac.QtyAt].Q.Num(f))]++
		return
	}
	ac.alike.joints[mark+"|"+ac.b.Model.Line.Quantity("kind").Text(f)+"|"+sizes]++
	if strings.ContainsFunc(mark, unicode.IsLetter) {
		ac.alike.marks[car+"|"+mark]++
	}
}

// tellTwice tells of joint lists that say what another one says: another revision,
// a copy, an example. Where both cars are known to be ordered, they are meant.
func (b *Ledger) tellTwice() {
	for i, l := range b.accounts {
		for _, k := range b.accounts[:i] {
			n, what := b.again(k, l)
			if n == 0 {
				continue
			}
			both := "give the joints marks of their own, or type how many of each car are ordered"
			if what == underOtherMarks && l.L.Shop["mark"].Col > 0 {
				both = "say that its marks are its own: " + book.SettleAs(l.L.ColumnName(l.L.Shop["mark"].Col), "mark")
			}
			b.unsettled(book.CheckSheets, "twice", l.L.Ref(l.L.HeadRow, 1),
				fmt.Sprintf("%d of its %d joints %s: it may be another revision, a copy, or an example, and both are priced", n, l.L.Rows.Priced, fmt.Sprintf(what, k.L.Title)),
				b.oneIsMeant(k.L, l.L, both))
			break
		}
	}
}

// oneIsMeant is what to do about two lists that say the same. Two on one sheet cannot be
// settled as sheets.
func (b *Ledger) oneIsMeant(k, l *joints.List, both string) string {
	both = "if both are, " + both
	if k.Part == l.Part {
		return "if one of them is not meant, delete it; " + both
	}
	return fmt.Sprintf("say which of them is not meant, %s or %s; %s", book.SettleAs(k.Title, book.OwnWord), book.SettleAs(l.Title, book.OwnWord), both)
}

// again is how many joints of a list may be those of an earlier one, and by what.
func (b *Ledger) again(k, l *account) (n int, what string) {
	most, least := max(l.L.Rows.Priced, k.L.Rows.Priced, 1), max(min(l.L.Rows.Priced, k.L.Rows.Priced), 1)
	n = shared(l.alike.joints, k.alike.joints)
	if 2*n >= most && (n >= leastAlike || b.isRevision(k.L.Title) || b.isRevision(l.L.Title)) && b.inDoubt(k, l) {
		return n, "are those of the list on %s too, marks and all"
	}
	if n = shared(l.alike.marks, k.alike.marks); 2*n >= least {
		return n, "have marks that joints of the same car on %s have"
	}
	if n = shared(l.alike.shapes, k.alike.shapes); 2*n >= most && (b.isRevision(k.L.Title) || b.isRevision(l.L.Title)) {
		return n, "are of the same car, kinds and sizes as those on %s, and a sheet's title says that there are others of it"
	}
	if n = shared(l.alike.bare, k.alike.bare); n == least && n >= leastBare {
		return n, "are as joints of the same car on %s are, and without marks"
	}
	if n = b.copies(k, l); n > 0 {
		return n, underOtherMarks
	}
	return 0, ""
}

const underOtherMarks = "are as those on %s in all but their marks"

// leastAlike is how many joints make lists the same, marks and all.
const leastAlike = 3

// leastBare is how many joints without marks make lists the same.
const leastBare = 2

// inDoubt reports whether two lists are of one car, or of cars of which nobody has
// said that they are ordered.
func (b *Ledger) inDoubt(k, l *account) bool {
	for car := range l.cars {
		if _, both := k.cars[car]; both || b.doubtful[car] {
			return true
		}
	}
	for car := range k.cars {
		if b.doubtful[car] {
			return true
		}
	}
	return false
}

// mostAlike bounds how many joints of a list are held against those of others.
const mostAlike = 2000

// isRevision reports whether a sheet's title says that there are others of it: "rev B",
// "old", "copy".
func (b *Ledger) isRevision(title string) bool {
	for _, w := range strings.FieldsFunc(strings.ToLower(title), func(r rune) bool { return !unicode.IsLetter(r) }) {
		if slices.Contains(b.Words.List("revision"), w) {
			return true
		}
	}
	return false
}
