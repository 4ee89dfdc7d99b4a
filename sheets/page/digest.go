package page

import (
	"encoding/binary"
	"fmt"
	"hash"
	"hash/fnv"
	"math"
	"slices"

	"seamtally/sheets/part/worksheet"
)

// Digest is one of what cells hold, row after row, be they planned or standing on the
// sheet: not of how they look.
type Digest struct{ h hash.Hash64 }

// NewDigest is that of no cells.
func NewDigest() Digest { return Digest{fnv.New64a()} }

func (d Digest) add(row, col int, kind worksheet.Kind, num float64, text, formula string) {
	if kind == worksheet.Empty && formula == "" {
		return
	}
	var b [25]byte
	binary.BigEndian.PutUint64(b[0:], uint64(row))
	binary.BigEndian.PutUint64(b[8:], uint64(col))
	binary.BigEndian.PutUint64(b[16:], math.Float64bits(num))
	b[24] = byte(kind)
	d.h.Write(b[:]) // never fails
	d.h.Write([]byte(text + "\x00" + formula + "\x00"))
}

// Standing adds the cells of a row as it stands, up to a column.
func (d Digest) Standing(r *worksheet.Row, last int) {
	for _, c := range r.Cells {
		if c.Col <= last {
			d.add(r.Num, c.Col, c.Kind, c.Num, c.Text, c.Formula)
		}
	}
}

// Planned adds the cells of planned rows, up to a column.
func (d Digest) Planned(p *Plan, rows Rows, last int) {
	for row := rows.First; row <= rows.Last(); row++ {
		cells := slices.Clone(p.cellsOf(row))
		slices.SortStableFunc(cells, func(a, b Cell) int { return a.Col - b.Col })
		for _, c := range cells {
			if c.Col <= last {
				d.add(row, c.Col, c.Kind, c.Num, c.Text, c.Formula)
			}
		}
	}
}

func (d Digest) String() string { return fmt.Sprintf("%016x", d.h.Sum64()) }
