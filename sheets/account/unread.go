package account

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"unicode"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// tellUnread goes through the sheets that were not read, and says of which it is
// not settled that they hold neither joints nor cars ordered.
func (b *Ledger) tellUnread() error {
	for i := range b.Unread {
		u := &b.Unread[i]
		if b.SettledSheet(u.Sheet.Name) {
			continue
		}
		p := profile{b: b, near: &u.Near, cols: map[int]*colProfile{}}
		said, side := carsSaid{b: b, times: map[string]int{}}, turned{b: b, keys: map[int]map[string]bool{}}
		if _, err := b.ReadPart(u.Sheet.PartName, func(r *worksheet.Row) error {
			p.row(r)
			said.row(r)
			side.row(r)
			return nil
		}); err != nil {
			return fmt.Errorf("sheet %q: %w", u.Sheet.Name, err)
		}
		what, cell := p.may()
		if what == "" {
			what, cell = side.what, side.cell
		}
		if what == "" && len(b.doubtful) > 0 {
			what, cell = said.what, said.cell
		}
		if what == "" {
			continue
		}
		b.whole = append(b.whole, u.Sheet.Name)
		b.unsettled(book.CheckSheets, "sheet", u.Sheet.Name+"!"+cell, "the sheet is not read, and may be part of the order: "+what,
			"mend its headings, or say that it is none of the price's business: "+joints.SettleAs(u.Sheet.Name, joints.OwnWord))
	}
	return nil
}

// profile is what stands on a sheet that is not read.
type profile struct {
	b      *Ledger
	near   *joints.NearHeadings
	cols   map[int]*colProfile
	car    string // a car whose number ordered is not said, beside a whole number
	carRef string
}

// colProfile counts what stands in a column.
type colProfile struct {
	below        int // quantities below the near headings
	walls, sizes int // numbers that are usual walls, and those that may be diameters
	broken       bool
	numbers      int
	first        int
}

func (p *profile) row(r *worksheet.Row) {
	car, whole := "", false
	at := 0
	for i := range r.Cells {
		c := &r.Cells[i]
		if !joints.Filled(c) {
			continue
		}
		switch c.Kind {
		case worksheet.Text:
			if p.b.doubtful[strings.ToLower(strings.TrimSpace(c.Text))] && car == "" {
				car, at = strings.TrimSpace(c.Text), c.Col
			}
			if x, _, _, ok := p.b.looseQuantity(c.Text); ok {
				p.number(r.Num, c.Col, x)
			}
		case worksheet.Number:
			if p.b.IsDate(c.Style) {
				continue
			}
			whole = whole || c.Num == math.Trunc(c.Num) && c.Num >= 1 && c.Num <= mostCars
			p.number(r.Num, c.Col, c.Num)
		}
	}
	if car != "" && whole && p.car == "" {
		p.car, p.carRef = car, grid.Ref(r.Num, at)
	}
}

// mostCars bounds the numbers that are taken for cars ordered.
const mostCars = 500

func (p *profile) number(row, col int, x float64) {
	c := p.cols[col]
	if c == nil {
		c = &colProfile{first: row}
		p.cols[col] = c
	}
	c.numbers++
	if p.near.Row > 0 && row > p.near.Row {
		c.below++
	}
	if usualWall(x) {
		c.walls++
		c.broken = c.broken || x != math.Trunc(x)
	}
	if x >= 1 && x <= 8 || x >= 25 && x <= 200 {
		c.sizes++
	}
}

// usualWall reports whether a number is a wall that thin tube is sold in, in inches
// or millimetres (common practice, no source).
func usualWall(x float64) bool {
	for _, w := range [...]float64{0.02, 0.028, 0.035, 0.039, 0.047, 0.049, 0.058, 0.059, 0.063, 0.065, 0.083, 0.095, 0.12, 0.125,
		0.5, 0.7, 0.8, 0.9, 1, 1.2, 1.25, 1.5, 1.6, 1.65, 2, 2.1, 2.5, 3} {
		if x == w {
			return true
		}
	}
	return false
}

// leastAlike is how many numbers make a column of walls or diameters without a
// heading that says so.
const leastAlike = 3

// may says why a sheet may be part of the order, "" if nothing speaks for it.
func (p *profile) may() (what, cell string) {
	n := p.near
	filled := func(col int) bool { return p.cols[col] != nil && p.cols[col].below > 0 }
	sized, asked, known := false, 0, 0
	for key, col := range n.Keys {
		if filled(col) && (key == "od" || key == "wall") {
			sized = true
		}
		known++
	}
	for col := range n.Asked {
		if filled(col) {
			asked++
		}
	}
	_, mark := n.Keys["mark"]
	_, kind := n.Keys["kind"]
	_, qty := n.Keys["qty"]
	if sized || asked > 0 && known > 1 || mark && kind || known > 2 && (kind || qty) {
		return n.Words(), grid.Ref(n.Row, n.Cols[0])
	}
	for _, wall := range slices.Sorted(maps.Keys(p.cols)) {
		w := p.cols[wall]
		if w.walls < leastAlike || w.walls < w.numbers || !w.broken {
			continue
		}
		for _, od := range slices.Sorted(maps.Keys(p.cols)) {
			if s := p.cols[od]; od != wall && s.sizes >= leastAlike && s.sizes == s.numbers {
				return fmt.Sprintf("columns %s and %s hold what look like diameters and walls, and no heading says so", grid.ColName(od), grid.ColName(wall)), grid.Ref(s.first, od)
			}
		}
	}
	if p.car != "" {
		return fmt.Sprintf("it names the car %q beside a whole number, and how many of it are ordered is said nowhere", p.car), p.carRef
	}
	return "", ""
}

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

// Account says what of the workbook is not settled, once its joints are read.
func (b *Ledger) Account() error {
	b.findDoubtful()
	b.tellTwice()
	b.tellCars()
	b.tellUnsaid()
	b.tellNames()
	b.tellAsides()
	for i, ed := range b.accounts {
		if i+1 < len(b.All) && b.All[i+1].Part == ed.L.Part {
			ed.endsAt(b.All[i+1])
		}
		ed.tellTitles()
	}
	return b.tellUnread()
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

// tellCars tells of cars that the shop's list of cars leaves open.
func (b *Ledger) tellCars() {
	if b.Cars == nil {
		return
	}
	for _, o := range b.Cars.Open {
		if !o.IfListed || b.listedCar(o.Name) {
			b.unsettled(book.CheckCars, "cars", b.Cars.Title+"!"+o.Cell, o.What, o.Fix)
		}
	}
	var names []string
	for _, e := range b.Cars.Entries {
		names = append(names, e.Name)
	}
	told := map[string]bool{}
	for _, ed := range b.accounts {
		l := ed.L
		for _, car := range slices.Sorted(maps.Keys(ed.cars)) {
			if b.Cars.Entry(car) != nil || told[car] || !b.doubtful[car] {
				continue
			}
			told[car] = true
			fix := fmt.Sprintf("add it to the list of cars on %s, or spell it as there", b.Cars.Title)
			if near := entry.Near(car, names); len(near) > 0 {
				fix = fmt.Sprintf("if it is %q, spell it so; else add it to the list of cars on %s", near[0], b.Cars.Title)
			}
			b.unsettled(book.CheckCars, "car not listed", l.Ref(ed.cars[car].row, ed.cars[car].col), fmt.Sprintf("the car %q has joints, and is not on the list of cars", ed.cars[car].name), fix)
		}
	}
	for _, e := range b.Cars.Entries {
		left := slices.ContainsFunc(b.accounts, func(ed *account) bool { return ed.left[strings.ToLower(e.Name)] })
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
	for _, ed := range b.accounts {
		l := ed.L
		for _, car := range slices.Sorted(maps.Keys(ed.cars)) {
			at := ed.cars[car]
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
		"type it on Assumptions, under Cars, with your basis beside it; take a list that is no part of the order out: "+joints.SettleAs(b.All[len(b.All)-1].Title, joints.OwnWord))
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
	for _, ed := range b.accounts {
		if _, has := ed.cars[strings.ToLower(name)]; has {
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

// mostAlike bounds how many joints of a list are held against those of others.
const mostAlike = 2000
