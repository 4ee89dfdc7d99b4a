package account

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/alike"
	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/joints"
)

// keepAlike notes what a priced joint says.
func (ac *account) keepAlike() {
	f := &ac.Line.Frame
	ac.alike.Add(alike.Joint{
		Car: strings.ToLower(ac.lastCar), Mark: strings.ToLower(ac.Came.Mark), Kind: ac.b.Model.Line.Quantity("kind").Text(f),
		Sizes:  fmt.Sprintf("%g|%g", ac.Cols[ac.OdAt].Q.Num(f), ac.Cols[ac.WallAt].Q.Num(f)),
		Pieces: ac.Cols[ac.QtyAt].Q.Num(f), Whole: ac.wholeJoint(),
	})
}

// wholeJoint is all that the joint of a row says, but for its mark, its place and its car.
func (ac *account) wholeJoint() string {
	var out strings.Builder
	for _, c := range ac.Cols {
		if c.Q.Role != model.Input || joints.OnlyNames(c.Q.Key) || c.Q.Key == "car" {
			continue
		}
		if c.Q.IsText() {
			out.WriteString(c.Q.Text(&ac.Line.Frame))
		} else {
			out.WriteString(formula.GeneralText(c.Q.Num(&ac.Line.Frame)))
		}
		out.WriteByte('|')
	}
	return out.String()
}

// tellTwice tells of joint lists that say what another one says: another revision,
// a copy, an example. Where both cars are known to be ordered, they are meant.
func (b *Ledger) tellTwice() {
	for i, l := range b.accounts {
		for _, k := range b.accounts[:i] {
			n, what := l.alike.Again(&k.alike, alike.Of{
				Doubt: b.inDoubt(k, l), Revision: b.isRevision(k.L.Title) || b.isRevision(l.L.Title),
				Places: b.namesPlace(k.L.Title) && b.namesPlace(l.L.Title), Meant: l.L.Shop["mark"].Settled,
			})
			if n == 0 {
				continue
			}
			both := "give the joints marks of their own, or type how many of each car are ordered"
			if what == alike.UnderOtherMarks && l.L.Shop["mark"].Col > 0 {
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

// namesPlace reports whether a title says where on a car joints are: lists of both sides
// of a car are alike, and no copies.
func (b *Ledger) namesPlace(title string) bool {
	return slices.ContainsFunc(entry.WordsIn(title), func(w string) bool { return b.texts.OneOf("place", w) != "" })
}
