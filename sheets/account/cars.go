package account

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
)

// findDoubtful gathers the cars of which nobody has said how many are ordered: their
// lines on Assumptions came with the joints, and are as they came.
func (b *Ledger) findDoubtful() {
	b.doubtful = map[string]bool{}
	t := b.Model.Table("cars")
	for _, f := range b.Values.Rows(t).Frames {
		if strings.HasPrefix(t.Quantity("basis").Text(f), defaultBasis) && t.Quantity("ordered").Num(f) == 1 {
			b.doubtful[strings.ToLower(t.Quantity("name").Text(f))] = true
		}
	}
}

// defaultBasis begins the basis of a line that came with a joint.
const defaultBasis = "default: "

// tellCars tells of cars that the shop's list of cars leaves open.
func (b *Ledger) tellCars() {
	if b.Cars == nil {
		return
	}
	alone := !slices.ContainsFunc(b.All, func(l *joints.List) bool { return strings.EqualFold(l.Title, b.Cars.Title) }) // no column of joints too
	for _, o := range b.Cars.Open {
		if o.Col > 0 && alone {
			if b.ColumnIsOwn(b.Cars.Title, b.Cars.HeadRow, o.Col, o.Head) {
				continue
			}
			o.Fix += ", or settle it: " + book.SettleAs(b.Cars.Title+"!"+grid.ColName(o.Col), book.OwnWord)
		}
		if !o.IfListed || b.listedCar(o.Name) {
			b.unsettled(book.CheckCars, "cars", b.Cars.Title+"!"+o.Cell, o.What, o.Fix)
		}
	}
	b.tellCarWords()
	var names []string
	for _, e := range b.Cars.Entries {
		names = append(names, e.Name)
	}
	told := map[string]bool{}
	for _, ac := range b.accounts {
		l := ac.L
		for _, car := range slices.Sorted(maps.Keys(ac.cars)) {
			if b.Cars.Entry(car) != nil || b.Cars.Asks(car) || told[car] || !b.doubtful[car] {
				continue
			}
			told[car] = true
			fix := fmt.Sprintf("add it to the list of cars on %s, or spell it as there", b.Cars.Title)
			if near := entry.Near(car, names); len(near) > 0 {
				fix = fmt.Sprintf("if it is %q, spell it so; else add it to the list of cars on %s", near[0], b.Cars.Title)
			}
			b.unsettled(book.CheckCars, "car not listed", l.Ref(ac.cars[car].row, ac.cars[car].col), fmt.Sprintf("the car %q has joints, and is not on the list of cars", ac.cars[car].name), fix)
		}
	}
	for _, e := range b.Cars.Entries {
		left := slices.ContainsFunc(b.accounts, func(ac *account) bool { return ac.left[strings.ToLower(e.Name)] })
		if e.Ordered.Num > 0 && !b.listedCar(e.Name) && !left {
			b.Fails(book.CheckNoJoints, FindUnsettled+"car without joints", b.Cars.Title+"!"+grid.Ref(e.Row, e.Col), fmt.Sprintf("%q is on the list of cars, and has no joints", e.Name),
				"spell it as beside its joints, or add these; if it is no car, as a sum or a spare part, take it out of the list")
		}
	}
}

// tellUnsaid tells of cars of which nobody has said how many are ordered, where
// several sheets have joint lists: one may be an example, a copy, or another
// order's.
func (b *Ledger) tellUnsaid() {
	if b.Cars != nil {
		return // told there
	}
	sheets := map[string]bool{}
	for _, l := range b.All {
		sheets[l.Part] = true
	}
	var unsaid []string
	first := ""
	for _, ac := range b.accounts {
		l := ac.L
		for _, car := range slices.Sorted(maps.Keys(ac.cars)) {
			at := ac.cars[car]
			if b.doubtful[car] && !slices.Contains(unsaid, at.name) {
				if first == "" {
					first = l.Ref(at.row, at.col)
				}
				unsaid = append(unsaid, at.name)
			}
		}
	}
	if len(sheets) < 2 || len(unsaid) == 0 {
		return
	}
	b.unsettled(book.CheckCars, "unsaid", first,
		fmt.Sprintf("%d sheets have joint lists, and how many are ordered of %s is said nowhere; 1 of each is taken", len(sheets), strings.Join(unsaid, ", ")),
		"type it on Assumptions, under Cars, with your basis beside it; take a list that is no part of the order out: "+book.SettleAs(b.All[len(b.All)-1].Title, book.OwnWord))
}

// namesCar reports whether words are those of a car: one that is known, or headed so.
func (b *Ledger) namesCar(words string) bool {
	if b.Cars.Entry(words) != nil || b.listedCar(words) {
		return true
	}
	head, _, _ := strings.Cut(words, ":")
	if m := b.Quick.Recognise(head); m.Key == "car" && head != words {
		return true
	}
	first, _, _ := strings.Cut(words, " ")
	m := b.Quick.Recognise(first)
	return m.Key == "car" && m.Exact
}

// listedCar reports whether a car has joints.
func (b *Ledger) listedCar(name string) bool {
	for _, ac := range b.accounts {
		if _, has := ac.cars[strings.ToLower(name)]; has {
			return true
		}
	}
	return false
}

// carPlace is where a car is met first on a list.
type carPlace struct {
	name     string
	row, col int
}

// carOfRow is the car of the joint on the row.
func (ac *account) carOfRow() string { return ac.b.Model.Line.Quantity("car").Text(&ac.Line.Frame) }

// keepCar notes what a priced joint says of its car.
func (ac *account) keepCar(row int) {
	car := ac.carOfRow()
	if car == ac.lastCar && len(ac.cars) > 0 {
		return
	}
	ac.lastCar = strings.Clone(car)
	low := strings.ToLower(ac.lastCar)
	if _, has := ac.cars[low]; !has {
		ac.cars[low] = carPlace{ac.lastCar, row, max(ac.L.Shop["car"].Col, 1)}
	}
}
