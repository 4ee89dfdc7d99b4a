package sheets

import (
	"encoding/binary"
	"hash/fnv"
	"math"
)

// digestRow adds what a joint row says to the digest of its list: its inputs
// and the figures that were typed over, not what is worked out from them or
// comes by default, so that an assumption that changes does not change it. The
// rows' digests are added up: a list that was sorted has the same one.
func (ed *listEditor) digestRow(leftOut bool) {
	h := fnv.New64a() // it need not withstand anybody, and runs for every row
	var number [8]byte
	for i := range ed.cols {
		q := ed.cols[i].q
		if !ed.line.Given(q) {
			continue
		}
		h.Write([]byte(q.Key))
		if q.IsText() {
			h.Write([]byte("\x00" + ed.line.Frame.Text[q.Slot] + "\x00"))
			continue
		}
		binary.BigEndian.PutUint64(number[:], math.Float64bits(ed.line.Frame.Num[q.Slot]))
		h.Write(number[:])
	}
	if leftOut {
		h.Write([]byte(leftOutText))
	}
	ed.l.digest += h.Sum64()
}
