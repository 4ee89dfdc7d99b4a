package joints

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"unicode"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// unread is a sheet that is neither a joint list nor the list of cars.
type unread struct {
	sheet workbook.Sheet
	near  nearHeadings
}

// nearHeadings is the row of a sheet that comes nearest to the headings of a joint
// list.
type nearHeadings struct {
	row   int
	cols  []int
	keys  map[string]int // inputs, by their column
	asked map[int]string // headings that are questioned, with the question
	texts map[int]string
}

// listed is how much a row says of joints.
func (n *nearHeadings) listed() int { return 2*len(n.keys) + len(n.asked) }

// mostNear is in how many rows, from the top, headings are looked for on a sheet
// that is no list.
const mostNear = 60

// nearest finds the row of a sheet that comes nearest to a joint list's headings.
func (b *Lists) nearest(rows []headingRow) (best nearHeadings) {
	for _, r := range rows[:min(mostNear, len(rows))] {
		n := nearHeadings{row: r.num, keys: map[string]int{}, asked: map[int]string{}, texts: textsOf(r.cells)}
		for col, text := range n.texts {
			m := b.Quick.Recognise(text)
			desc, known := b.Headings.Column(m.Key)
			switch {
			case m.Question != "":
				n.asked[col] = m.Question
				n.cols = append(n.cols, col)
			case known && desc.Table == "lines" && n.keys[m.Key] == 0:
				n.keys[m.Key] = col
				n.cols = append(n.cols, col)
			}
		}
		slices.Sort(n.cols)
		if n.listed() > best.listed() {
			best = n
		}
	}
	return best
}

// words says what a near heading row has, and what it lacks.
func (n *nearHeadings) words() string {
	var has []string
	for _, col := range n.cols {
		has = append(has, fmt.Sprintf("%q", strings.Join(strings.Fields(n.texts[col]), " ")))
	}
	out := fmt.Sprintf("row %d has headings of a joint list (%s)", n.row, strings.Join(has, ", "))
	var lacks []string
	for _, key := range [...]string{"od", "wall"} {
		if n.keys[key] == 0 {
			lacks = append(lacks, map[string]string{"od": "OD", "wall": "Wall"}[key])
		}
	}
	if len(lacks) > 0 {
		out += ", and lacks " + strings.Join(lacks, " and ")
	}
	for _, col := range n.cols {
		if q := n.asked[col]; q != "" {
			out += fmt.Sprintf("; %q is questioned: %s", n.texts[col], q)
			break
		}
	}
	return out
}

// NearestList says which sheet comes nearest to a joint list, and what it lacks, as
// the end of a sentence.
func (b *Lists) NearestList() string {
	var best *unread
	for i := range b.unread {
		if u := &b.unread[i]; u.near.listed() > 0 && (best == nil || u.near.listed() > best.near.listed()) {
			best = u
		}
	}
	if best == nil {
		return ""
	}
	return fmt.Sprintf(" (nearest comes the sheet %s: %s)", best.sheet.Name, best.near.words())
}

// tellUnread goes through the sheets that were not read, and says of which it is
// not settled that they hold neither joints nor cars ordered.
func (b *Lists) tellUnread() error {
	for i := range b.unread {
		u := &b.unread[i]
		if b.settledSheet(u.sheet.Name) {
			continue
		}
		p := profile{b: b, near: &u.near, cols: map[int]*colProfile{}}
		said, side := carsSaid{b: b, times: map[string]int{}}, turned{b: b, keys: map[int]map[string]bool{}}
		if _, err := b.ReadPart(u.sheet.PartName, func(r *worksheet.Row) error {
			p.row(r)
			said.row(r)
			side.row(r)
			return nil
		}); err != nil {
			return fmt.Errorf("sheet %q: %w", u.sheet.Name, err)
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
		b.Whole = append(b.Whole, u.sheet.Name)
		b.unsettled(book.CheckSheets, "sheet", u.sheet.Name+"!"+cell, "the sheet is not read, and may be part of the order: "+what,
			"mend its headings, or say that it is none of the price's business: "+settling(u.sheet.Name, ownWord))
	}
	return nil
}

// profile is what stands on a sheet that is not read.
type profile struct {
	b      *Lists
	near   *nearHeadings
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
		if !Filled(c) {
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
	if p.near.row > 0 && row > p.near.row {
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
	for key, col := range n.keys {
		if filled(col) && (key == "od" || key == "wall") {
			sized = true
		}
		known++
	}
	for col := range n.asked {
		if filled(col) {
			asked++
		}
	}
	_, mark := n.keys["mark"]
	_, kind := n.keys["kind"]
	_, qty := n.keys["qty"]
	if sized || asked > 0 && known > 1 || mark && kind || known > 2 && (kind || qty) {
		return n.words(), grid.Ref(n.row, n.cols[0])
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
func (b *Lists) findDoubtful() {
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
func (b *Lists) Account() error {
	b.findDoubtful()
	b.tellTwice()
	b.tellCars()
	b.tellUnsaid()
	b.tellNames()
	b.tellAsides()
	for i, l := range b.All {
		if i+1 < len(b.All) && b.All[i+1].Part == l.Part {
			l.endsAt(b.All[i+1])
		}
		b.tellTitles(l)
	}
	return b.tellUnread()
}

// isRevision reports whether a sheet's title says that there are others of it: "rev B",
// "old", "copy".
func (b *Lists) isRevision(title string) bool {
	for _, w := range strings.FieldsFunc(strings.ToLower(title), func(r rune) bool { return !unicode.IsLetter(r) }) {
		if slices.Contains(b.Words.List("revision"), w) {
			return true
		}
	}
	return false
}

// tellCars tells of cars that the shop's list of cars leaves open.
func (b *Lists) tellCars() {
	if b.Cars == nil {
		return
	}
	for _, o := range b.Cars.open {
		if !o.ifListed || b.listedCar(o.name) {
			b.unsettled(book.CheckCars, "cars", b.Cars.Title+"!"+o.cell, o.what, o.fix)
		}
	}
	var names []string
	for _, e := range b.Cars.Entries {
		names = append(names, e.Name)
	}
	told := map[string]bool{}
	for _, l := range b.All {
		for _, car := range slices.Sorted(maps.Keys(l.cars)) {
			if b.Cars.Entry(car) != nil || told[car] || !b.doubtful[car] {
				continue
			}
			told[car] = true
			fix := fmt.Sprintf("add it to the list of cars on %s, or spell it as there", b.Cars.Title)
			if near := entry.Near(car, names); len(near) > 0 {
				fix = fmt.Sprintf("if it is %q, spell it so; else add it to the list of cars on %s", near[0], b.Cars.Title)
			}
			b.unsettled(book.CheckCars, "car not listed", l.Ref(l.cars[car].row, l.cars[car].col), fmt.Sprintf("the car %q has joints, and is not on the list of cars", l.cars[car].name), fix)
		}
	}
	for _, e := range b.Cars.Entries {
		left := slices.ContainsFunc(b.All, func(l *List) bool { return l.leftCars[strings.ToLower(e.Name)] })
		if e.Ordered.Num > 0 && !b.listedCar(e.Name) && !left {
			b.Fails(book.CheckNoJoints, FindUnsettled+"car without joints", b.Cars.Title+"!"+grid.Ref(e.row, e.col), fmt.Sprintf("%q is on the list of cars, and has no joints", e.Name),
				"spell it as beside its joints, or add these; if it is no car, as a sum or a spare part, take it out of the list")
		}
	}
}

// tellUnsaid tells of cars of which nobody has said how many are ordered, where
// several sheets have joint lists: one may be an example, a copy, or another
// order's.
func (b *Lists) tellUnsaid() {
	if b.Cars != nil {
		return // told there
	}
	sheets := map[string]bool{}
	for _, l := range b.All {
		sheets[l.Part] = true
	}
	var unsaid []string
	first := ""
	for _, l := range b.All {
		for _, car := range slices.Sorted(maps.Keys(l.cars)) {
			at := l.cars[car]
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
		"type it on Assumptions, under Cars, with your basis beside it; take a list that is no part of the order out: "+settling(b.All[len(b.All)-1].Title, ownWord))
}

// namesCar reports whether words are those of a car: one that is known, or headed so.
func (b *Lists) namesCar(words string) bool {
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
func (b *Lists) listedCar(name string) bool {
	for _, l := range b.All {
		if _, has := l.cars[strings.ToLower(name)]; has {
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

// keepAccount notes what a priced joint says of its car, and of lists that are
// alike.
func (ed *Editor) keepAccount(row int, mark string) {
	l := ed.L
	if car := ed.Line.Frame.Text[ed.carSlot]; car != ed.lastCar || len(l.cars) == 0 {
		ed.lastCar = strings.Clone(car)
		low := strings.ToLower(ed.lastCar)
		if _, has := l.cars[low]; !has {
			l.cars[low] = carPlace{ed.lastCar, row, max(l.Shop["car"].Col, 1)}
		}
	}
	ed.keepAlike(mark)
}

// mostAlike bounds how many joints of a list are held against those of others.
const mostAlike = 2000
