package account

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/worksheet"
)

// repeats finds rows that look like joints and give again what the rows above say: the
// pieces of a size, in a block below the list or between others, or on a row that is
// named unlike all others.
type repeats struct {
	row    int            // the last joint
	always uint64         // inputs that all rows but bare ones have
	shapes map[string]int // how marks are written, and how often
	block  []bareRow      // bare rows one below the other
	inside bool           // they follow a joint, without a break between
	list   joints.Tally   // pieces of the whole list, totals aside
	since  joints.Tally   // those since the last total
	rows   map[joints.Size]int
	totals []totalBlock
	named  []bareRow // bare rows with a mark
}

// totalBlock is a block of bare rows that may be a total. One row among joints that
// gives what one other says may be a joint; two such rows are totals.
type totalBlock struct {
	cell string
	rows int
	sure bool
}

// bareRow is a row that says a size, perhaps with pieces and a mark, and no more.
type bareRow struct {
	cell, mark string
	size       joints.Size
	pieces     float64
	hasPieces  bool
	sums       bool // the pieces are those of rows above
	has        uint64
}

// mostShapes bounds how many ways to write a mark are kept.
const mostShapes = 20

// lookAtRepeats takes a joint into the account, and counts its pieces.
func (ac *account) lookAtRepeats(r *worksheet.Row) {
	mark := ac.Came.Mark
	p := &ac.repeats
	apart := r.Num != p.row+1
	p.row = r.Num
	row := bareRow{cell: ac.L.Ref(r.Num, ac.L.Shop["od"].Col), mark: mark, size: ac.SizeOfRow()}
	more := false
	for i, c := range ac.Inputs {
		if joints.Filled(c) {
			row.has |= 1 << i
			more = more || i != ac.OdAt && i != ac.WallAt && i != ac.QtyAt
		}
	}
	row.pieces, row.hasPieces = ac.Number(ac.QtyAt)
	row.sums = ac.Came.Sums
	if mark != "" {
		if p.shapes == nil {
			p.shapes = map[string]int{}
		}
		if shape := shapeOf(mark); len(p.shapes) < mostShapes || p.shapes[shape] > 0 {
			p.shapes[shape]++
		}
	}
	bare := !more && mark == ""
	if apart || !bare {
		ac.endBlock()
	}
	if len(p.block) == 0 {
		p.inside = !apart
	}
	switch {
	case more && p.always == 0:
		p.always = row.has
	case more:
		p.always &= row.has
	case mark != "" && len(p.named) < mostTexts:
		p.named = append(p.named, row)
	}
	if bare {
		p.block = append(p.block, row)
	}
	if !row.hasPieces {
		row.pieces = 1
	}
	p.list.Add(row.size, row.pieces)
	p.since.Add(row.size, row.pieces)
	if p.rows == nil {
		p.rows = map[joints.Size]int{}
	}
	p.rows[row.size]++
}

// endBlock judges the bare rows since the last break or joint, which may be a total of
// each size.
func (ac *account) endBlock() {
	p := &ac.repeats
	if len(p.block) > 0 && ac.totalOfSizes() {
		first := p.block[0]
		p.totals = append(p.totals, totalBlock{first.cell, len(p.block), !p.inside || len(p.block) > 1 || p.rows[first.size] > 2})
		for _, row := range p.block {
			p.list.Add(row.size, -row.pieces)
		}
		p.since, p.rows = joints.Tally{}, nil
	}
	p.block = nil
}

// tellTotals tells of the blocks that may be totals.
func (ac *account) tellTotals() {
	for _, t := range ac.repeats.totals {
		if !t.sure && len(ac.repeats.totals) == 1 {
			continue
		}
		what := "the row gives a size again, with as many pieces as the rows above have of it; a total is no joint"
		if t.rows > 1 {
			what = fmt.Sprintf("the %d rows from here on give each size once, with as many pieces as the rows above have of it; a total of each size is no joint", t.rows)
		}
		ac.b.unsettled(book.CheckInputs, "total of each size", t.cell, what,
			`delete such rows, or write "Total" beside each; if they are joints, give them marks and kinds as the others have`)
	}
}

// totalOfSizes reports whether a block of bare rows gives the pieces of each size above.
func (ac *account) totalOfSizes() bool {
	p := &ac.repeats
	given := map[joints.Size]bool{}
	lacks := true
	for _, row := range p.block {
		if !row.hasPieces || given[row.size] || p.list.Of[row.size] != 2*row.pieces && p.since.Of[row.size] != 2*row.pieces {
			return false
		}
		given[row.size] = true
		lacks = lacks && (p.always&^row.has != 0 || row.mark == "" && len(p.shapes) > 0)
	}
	if lacks {
		return true
	}
	for size := range p.list.Of {
		if size.Wall != "" && !given[size] {
			return false
		}
	}
	return true
}

// tellRepeats tells of rows that may be totals, at the end of the list.
func (ac *account) tellRepeats() {
	ac.endBlock()
	ac.tellTotals()
	p := &ac.repeats
	if ac.L.Shop["mark"].Settled {
		return
	}
	for _, row := range p.named {
		shape := shapeOf(row.mark)
		others := 0
		for _, n := range p.shapes {
			others += n
		}
		alone := p.shapes[shape] == 1 && len(p.shapes) == 2 && others > 2
		switch {
		case !alone || row.hasPieces && !row.sums:
		case row.hasPieces || p.always == 0 || p.always&^row.has != 0:
			ac.b.unsettled(book.CheckInputs, "row that may be a total", row.cell,
				fmt.Sprintf("%q is named unlike the others, and says no more than a size; a total is no joint", row.mark),
				`delete the row, or begin its name with "Total"; if it is a joint, name it as the others are`)
		}
	}
}

// shapeOf is how a mark is written: its letters, digits and signs, whatever they are.
func shapeOf(mark string) string {
	var out []byte
	for _, r := range strings.TrimSpace(mark) {
		ch := byte('.')
		switch {
		case unicode.IsLetter(r):
			ch = 'a'
		case unicode.IsDigit(r):
			ch = '9'
		case unicode.IsSpace(r):
			ch = ' '
		case r < 128:
			ch = byte(r)
		}
		if ch == '.' || len(out) == 0 || out[len(out)-1] != ch {
			out = append(out, ch)
		}
	}
	return string(slices.Compact(out))
}
