package totals

import (
	"slices"
	"strings"
	"unicode"

	"seamtally/sheets/joints"
)

// Rows are the joints of a list, as far as a total may give them again: the pieces of a
// size, in a block below the list or between others, or on a row that is named unlike all
// others.
type Rows struct {
	row    int            // the last joint
	always uint64         // inputs that all rows but bare ones have
	shapes map[string]int // how marks are written, and how often
	block  []Row          // bare rows one below the other
	inside bool           // they follow a joint, without a break between
	list   joints.Tally   // pieces of the whole list, totals aside
	since  joints.Tally   // those since the last total
	rows   map[joints.Size]int
	blocks []Block
	named  []Row // bare rows with a mark
	sums   sums
}

// Row is what a joint says that a total may say too.
type Row struct {
	Num       int
	Cell      string // of its diameter
	Mark      string
	Size      joints.Size
	Pieces    float64
	HasPieces bool
	Sums      bool   // the pieces are those of rows above
	Has       uint64 // the inputs that it gives, a bit each
	More      bool   // it gives more than size and pieces
}

// Block is a block of bare rows that may be a total, by its first cell. One row among
// joints that gives what one other says may be a joint; two such rows are totals.
type Block struct {
	Cell string
	Rows int
	sure bool
}

// mostShapes bounds how many ways to write a mark are kept, mostNamed how many bare rows
// with a mark.
const mostShapes, mostNamed = 20, 50

// Take takes a joint into the account, and counts its pieces.
func (p *Rows) Take(row Row) {
	apart := row.Num != p.row+1
	if p.row = row.Num; apart {
		p.Break()
	}
	if row.Mark != "" {
		if p.shapes == nil {
			p.shapes = map[string]int{}
		}
		if shape := shapeOf(row.Mark); len(p.shapes) < mostShapes || p.shapes[shape] > 0 {
			p.shapes[shape]++
		}
	}
	bare := !row.More && row.Mark == ""
	if apart || !bare {
		p.endBlock()
	}
	if len(p.block) == 0 {
		p.inside = !apart
	}
	switch {
	case row.More && p.always == 0:
		p.always = row.Has
	case row.More:
		p.always &= row.Has
	case row.Mark != "" && len(p.named) < mostNamed:
		p.named = append(p.named, row)
	}
	if bare {
		p.block = append(p.block, row)
	}
	if !row.HasPieces {
		row.Pieces = 1
	}
	p.list.Add(row.Size, row.Pieces)
	p.since.Add(row.Size, row.Pieces)
	if p.rows == nil {
		p.rows = map[joints.Size]int{}
	}
	p.rows[row.Size]++
}

// endBlock judges the bare rows since the last break or joint, which may be a total of
// each size.
func (p *Rows) endBlock() {
	if len(p.block) > 0 && p.totalOfSizes() {
		first := p.block[0]
		p.blocks = append(p.blocks, Block{first.Cell, len(p.block), !p.inside || len(p.block) > 1 || p.rows[first.Size] > 2})
		for _, row := range p.block {
			p.list.Add(row.Size, -row.Pieces)
		}
		p.since, p.rows = joints.Tally{}, nil
	}
	p.block = nil
}

// OfSizes are the blocks that may be totals, at the end of the list.
func (p *Rows) OfSizes() []Block {
	p.endBlock()
	return slices.DeleteFunc(slices.Clone(p.blocks), func(t Block) bool { return !t.sure && len(p.blocks) == 1 })
}

// totalOfSizes reports whether a block of bare rows gives the pieces of each size above.
func (p *Rows) totalOfSizes() bool {
	given := map[joints.Size]bool{}
	lacks := true
	for _, row := range p.block {
		if !row.HasPieces || given[row.Size] || p.list.Of[row.Size] != 2*row.Pieces && p.since.Of[row.Size] != 2*row.Pieces {
			return false
		}
		given[row.Size] = true
		lacks = lacks && (p.always&^row.Has != 0 || row.Mark == "" && len(p.shapes) > 0)
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

// Unlike are the rows that may be totals by their names, at the end of the list.
func (p *Rows) Unlike() (out []Row) {
	others := 0
	for _, n := range p.shapes {
		others += n
	}
	for _, row := range p.named {
		alone := p.shapes[shapeOf(row.Mark)] == 1 && len(p.shapes) == 2 && others > 2
		if alone && (!row.HasPieces || row.Sums) && (row.HasPieces || p.always == 0 || p.always&^row.Has != 0) {
			out = append(out, row)
		}
	}
	return out
}

// Alike reports whether a text is written as marks of joints above are.
func (p *Rows) Alike(mark string) bool { return mark != "" && p.shapes[shapeOf(mark)] > 0 }

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
