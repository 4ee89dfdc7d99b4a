package account

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/sayings"
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
		means := ""
		if parts := sayings.SeveralNames(n.at.name); len(parts) > 1 {
			means = fmt.Sprintf("name %d cars", len(parts))
		} else if b.FirstWord("several", n.at.name) && len(cars) > 1 {
			means = "mean several cars"
		}
		if means != "" {
			b.unsettled(book.CheckCars, "cars in a cell", cell, fmt.Sprintf("%q may %s, and is taken for one", n.at.name, means),
				"write the joint once for each car; if it is one car, type on Assumptions, under Cars, how many are ordered, with your basis beside it")
			continue
		}
		for k, o := range cars {
			if k == i || k > i && b.doubtful[strings.ToLower(o.at.name)] || !sayings.SameName(n.at.name, o.at.name) {
				continue
			}
			b.unsettled(book.CheckCars, "car spelled", cell, fmt.Sprintf("%q may be %q of %s, spelled otherwise, and both are priced", n.at.name, o.at.name, o.list.L.Ref(o.at.row, o.at.col)),
				"spell the car in one way; if they are two, type on Assumptions, under Cars, how many of each are ordered, with your basis beside it")
			break
		}
	}
}
