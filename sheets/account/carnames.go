package account

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
)

// tellNames tells of cars whose names may be those of others: spelled otherwise, or
// two cars in one cell. A car of which somebody has said how many are ordered is meant.
func (b *Ledger) tellNames() {
	type named struct {
		at   carPlace
		list *account
	}
	var cars []named
	seen := map[string]bool{}
	for _, l := range b.accounts {
		for _, key := range slices.SortedFunc(maps.Keys(l.cars), func(x, y string) int { return l.cars[x].row - l.cars[y].row }) {
			if !seen[key] {
				seen[key] = true
				cars = append(cars, named{l.cars[key], l})
			}
		}
	}
	for i, n := range cars {
		if !b.doubtful[strings.ToLower(n.at.name)] || n.list.L.Shop["car"].Col == 0 {
			continue
		}
		cell := n.list.L.Ref(n.at.row, n.at.col)
		if parts := severalNames(n.at.name); len(parts) > 1 {
			b.unsettled(book.CheckCars, "cars in a cell", cell, fmt.Sprintf("%q may name %d cars, and is taken for one", n.at.name, len(parts)),
				"write the joint once for each car; if it is one car, type on Assumptions, under Cars, how many are ordered, with your basis beside it")
			continue
		}
		if b.FirstWord("several", n.at.name) && len(cars) > 1 {
			b.unsettled(book.CheckCars, "cars in a cell", cell, fmt.Sprintf("%q may mean several cars, and is taken for one of that name", n.at.name),
				"write the joint once for each car; if it is one car, type on Assumptions, under Cars, how many are ordered, with your basis beside it")
			continue
		}
		for k, o := range cars {
			if k == i || k > i && b.doubtful[strings.ToLower(o.at.name)] || !sameName(n.at.name, o.at.name) {
				continue
			}
			b.unsettled(book.CheckCars, "car spelled", cell, fmt.Sprintf("%q may be %q of %s, spelled otherwise, and both are priced", n.at.name, o.at.name, o.list.L.Ref(o.at.row, o.at.col)),
				"spell the car in one way; if they are two, type on Assumptions, under Cars, how many of each are ordered, with your basis beside it")
			break
		}
	}
}

// severalNames are the names in a text that are set apart as those of several cars are,
// one if they are not.
func severalNames(text string) (parts []string) {
	for _, p := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(",;&+/\n", r) }) {
		for _, p := range strings.Split(p, " and ") {
			if p = strings.TrimSpace(p); p != "" {
				parts = append(parts, p)
			}
		}
	}
	return parts
}

// sameName reports whether two names may be spellings of one: they differ in case,
// spaces and signs only, or in a letter of one longer word.
func sameName(a, b string) bool {
	bare := func(s string) string {
		return strings.Map(func(r rune) rune {
			if unicode.IsLetter(r) || unicode.IsDigit(r) {
				return unicode.ToLower(r)
			}
			return -1
		}, s)
	}
	if bare(a) == bare(b) {
		return true
	}
	x, y := entry.WordsIn(a), entry.WordsIn(b)
	if len(x) != len(y) {
		return false
	}
	slips := 0
	for i := range x {
		if x[i] == y[i] {
			continue
		}
		if slips++; !oneSlip(x[i], y[i]) {
			return false
		}
	}
	return slips == 1
}

// leastSpelled is how long a word is in which a letter may be wrong: of shorter ones
// the letter may be all that tells two cars apart.
const leastSpelled = 4

// oneSlip reports whether two words without digits differ in one letter: another, one
// more, or two that have changed places.
func oneSlip(a, b string) bool {
	x, y := []rune(a), []rune(b)
	if len(x) > len(y) {
		x, y = y, x
	}
	if len(x) < leastSpelled || len(y) > len(x)+1 || slices.ContainsFunc(append(slices.Clone(x), y...), unicode.IsDigit) {
		return false
	}
	i := 0
	for i < len(x) && x[i] == y[i] {
		i++
	}
	rest, other := x[i:], y[i:]
	if len(x) < len(y) {
		return slices.Equal(rest, other[1:])
	}
	return slices.Equal(rest[1:], other[1:]) || len(rest) > 1 && rest[0] == other[1] && rest[1] == other[0] && slices.Equal(rest[2:], other[2:])
}
