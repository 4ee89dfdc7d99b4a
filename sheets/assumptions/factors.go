package assumptions

import (
	"seamtally/compute/model"
	"seamtally/sheets/logbook"
)

// OwnFactors are the shop's own factors on hours and argon that are not as shipped,
// each with its value.
func (b *Sheet) OwnFactors() (out []string) {
	stages := model.StageFactors()
	for _, key := range append(stages[:], model.GasFactor) {
		if q := b.Model.Singles.Quantity(key); q.Num(b.Values.Singles) != q.Value {
			out = append(out, key+" "+logbook.ValueOf(q, b.Values.Singles))
		}
	}
	return out
}
