package page

import (
	"encoding/binary"
	"math"

	"seamtally/sheets/look"
	"seamtally/sheets/part/worksheet"
)

// A long sheet is planned whole before it is written, since any cell of it may name any
// other. So that this takes little memory, a row is packed once cells are put on another
// row: a tenth of what its cells would take. Its texts are parts of the packed one.

// looksSeen numbers the looks of packed cells.
type looksSeen struct {
	all []look.Style
	no  map[look.Style]int
}

func (l *looksSeen) number(s look.Style) uint64 {
	no, known := l.no[s]
	if !known {
		if l.no == nil {
			l.no = map[look.Style]int{}
		}
		no = len(l.all)
		l.no[s], l.all = no, append(l.all, s)
	}
	return uint64(no)
}

// What a packed cell says of itself in a byte.
const (
	packedNum = 1 << iota
	packedText
	packedFormula
	packedFresh
	packedRecord
	packedAnew
	packedGone
)

// pack packs the cells of a row, if nothing but what they hold hangs at any of them.
func (r *Row) pack(buf []byte) []byte {
	for i := range r.cells {
		if c := &r.cells[i]; c.Means != nil || c.Raw != nil {
			return buf
		}
	}
	out := append(buf[:0], r.packed...)
	for i := range r.cells {
		c := &r.cells[i]
		out = binary.AppendUvarint(out, uint64(c.Col))
		out = binary.AppendUvarint(out, r.looks.number(c.Style))
		has := byte(0)
		for i, is := range [...]bool{math.Float64bits(c.Num) != 0, c.Text != "", c.Formula != "", c.Fresh, c.Record, c.Anew, c.Gone} {
			if is {
				has |= 1 << i
			}
		}
		out = append(out, has, byte(c.Kind), byte(c.Owner))
		if has&packedNum != 0 {
			out = binary.LittleEndian.AppendUint64(out, math.Float64bits(c.Num))
		}
		for _, text := range [...]string{c.Text, c.Formula} {
			if text != "" {
				out = append(binary.AppendUvarint(out, uint64(len(text))), text...)
			}
		}
	}
	r.packed, r.cells = string(out), nil
	return out
}

// appendTo appends the cells of a row, in the order in which they were put there.
func (r *Row) appendTo(out []Cell) []Cell {
	at := r.packed
	number := func() int {
		x, shift := uint64(0), 0
		for {
			b := at[0]
			at = at[1:]
			if x |= uint64(b&0x7f) << shift; b < 0x80 {
				return int(x)
			}
			shift += 7
		}
	}
	text := func() (s string) {
		n := number()
		s, at = at[:n], at[n:]
		return s
	}
	for at != "" {
		c := Cell{Col: number(), Style: r.looks.all[number()]}
		has := at[0]
		c.Kind, c.Owner, at = worksheet.Kind(at[1]), Owner(at[2]), at[3:]
		c.Fresh, c.Record, c.Anew, c.Gone = has&packedFresh != 0, has&packedRecord != 0, has&packedAnew != 0, has&packedGone != 0
		if has&packedNum != 0 {
			bits := uint64(0)
			for i := range 8 {
				bits |= uint64(at[i]) << (8 * i)
			}
			c.Num, at = math.Float64frombits(bits), at[8:]
		}
		if has&packedText != 0 {
			c.Text = text()
		}
		if has&packedFormula != 0 {
			c.Formula = text()
		}
		out = append(out, c)
	}
	return append(out, r.cells...)
}

// cellsOf are the cells of a row, until those of another are asked for.
func (p *Plan) cellsOf(row int) []Cell {
	r := p.Rows[row]
	if r == nil {
		return nil
	}
	p.unpacked = r.appendTo(p.unpacked[:0])
	return p.unpacked
}

// Cells are those of the row, to be looked at and changed.
func (r *Row) Cells() []Cell {
	if r.packed != "" {
		r.cells = r.appendTo(nil)
		r.packed = ""
	}
	return r.cells
}

// SetCells gives the row other cells.
func (r *Row) SetCells(cells []Cell) { r.cells, r.packed = cells, "" }

// Filled reports whether the row has any cells.
func (r *Row) Filled() bool { return len(r.cells) > 0 || r.packed != "" }
