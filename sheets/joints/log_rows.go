package joints

import (
	"encoding/binary"
	"hash/fnv"
	"math"
)

// orderBy has the place of a row count; any large odd number will do.
const orderBy = 0x9e3779b97f4a7c15

// digestRow adds what a joint row says to the digest of its list: its inputs
// and the figures that were typed over, not what is worked out from them or
// comes by default, so that an assumption that changes does not change it. The
// rows' digests are added up: a list that was sorted has the same one. It gives that of
// the row.
func (ed *Editor) digestRow(leftOut bool) uint64 {
	h := fnv.New64a() // it need not withstand anybody, and runs for every row
	var number [8]byte
	for i := range ed.Cols {
		q := ed.Cols[i].Q
		if !ed.Line.Given(q) {
			continue
		}
		h.Write([]byte(q.Key))
		if q.IsText() {
			h.Write([]byte("\x00" + q.Text(&ed.Line.Frame) + "\x00"))
			continue
		}
		binary.BigEndian.PutUint64(number[:], math.Float64bits(ed.Line.Frame.Num[q.Slot]))
		h.Write(number[:])
	}
	if leftOut {
		h.Write([]byte(LeftOutText))
	}
	ed.L.Rows.Digest += h.Sum64()
	ed.L.Rows.Order = ed.L.Rows.Order*orderBy + h.Sum64()
	return h.Sum64()
}
