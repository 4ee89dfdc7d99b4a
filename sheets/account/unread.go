package account

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/headings"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
)

// tellUnread goes through the sheets that were not read, and says of which it is
// not settled that they hold neither joints nor cars ordered.
func (b *Ledger) tellUnread() error {
	marks := b.marksRead()
	for i := range b.Unread {
		u := &b.Unread[i]
		if b.Own.SettledSheet(u.Sheet.Name) {
			continue
		}
		p := profile{b: b, near: &u.Near, cols: map[int]*colProfile{}}
		said, side := carsSaid{b: b, times: map[string]int{}}, turned{b: b, keys: map[int]map[string]bool{}}
		others := elsewhere{b: b, marks: marks, found: map[string]bool{}, cols: map[int]*beside{}}
		if _, err := b.ReadPart(u.Sheet.PartName, func(r *worksheet.Row) error {
			p.row(r)
			said.row(r)
			side.row(r)
			others.row(r)
			return nil
		}); err != nil {
			return fmt.Errorf("sheet %q: %w", u.Sheet.Name, err)
		}
		what, cell := p.may()
		if what == "" {
			what, cell = side.what, side.cell
		}
		if what == "" {
			what, cell = others.may()
		}
		if what == "" && len(b.doubtful) > 0 {
			what, cell = said.what, said.cell
		}
		if what == "" {
			continue
		}
		b.whole = append(b.whole, u.Sheet.Name)
		b.unsettled(book.CheckSheets, "sheet", u.Sheet.Name+"!"+cell, "the sheet is not read, and may be part of the order: "+what,
			"mend its headings, or say that it is none of the price's business: "+book.SettleAs(u.Sheet.Name, book.OwnWord))
	}
	return nil
}

// profile is what stands on a sheet that is not read.
type profile struct {
	b      *Ledger
	near   *headings.Near
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
			if x, _, _, ok := p.b.texts.Quantity(c.Text); ok {
				p.number(r.Num, c.Col, x)
			}
		case worksheet.Number:
			if p.b.IsDate(c.Style) {
				continue
			}
			whole = whole || c.Num == math.Trunc(c.Num) && c.Num >= 1 && c.Num <= sayings.MostCars
			p.number(r.Num, c.Col, c.Num)
		}
	}
	if car != "" && whole && p.car == "" {
		p.car, p.carRef = car, grid.Ref(r.Num, at)
	}
}

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
	if sayings.UsualWall(x) {
		c.walls++
		c.broken = c.broken || x != math.Trunc(x)
	}
	if x >= 1 && x <= 8 || x >= 25 && x <= 200 {
		c.sizes++
	}
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
