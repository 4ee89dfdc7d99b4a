package unread

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"seamtally/sheets/headings"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
)

// profile is what stands on a sheet that is not read.
type profile struct {
	of     *Workbook
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
			if p.of.Doubtful[strings.ToLower(strings.TrimSpace(c.Text))] && car == "" {
				car, at = strings.TrimSpace(c.Text), c.Col
			}
			if x, _, _, ok := p.of.Quantity(c.Text); ok {
				p.number(r.Num, c.Col, x)
			}
		case worksheet.Number:
			if p.of.IsDate(c.Style) {
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
