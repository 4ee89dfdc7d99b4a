package assumptions

import "seamtally/compute"

// assumed is a single assumption beside what is usual.
func (b *Sheet) assumed(q *compute.Quantity, at *Places) compute.Assumed {
	if q.IsText() {
		return compute.Assumed{Quantity: q, Words: b.ChoicesOf(q)}
	}
	low, high := b.RangeOf(q, at)
	return compute.Assumed{Quantity: q, Low: low, High: high}
}

// Found tells the order what its checks ask of this sheet.
func (b *Sheet) Found(at *Places) {
	var outside, changed, below float64
	v, roles := b.Values, &b.Model.Roles
	for _, q := range b.Model.Singles.Quantities {
		if q.Role != compute.Assumption {
			continue
		}
		a := b.assumed(q, at)
		if a.In(v.Singles) == compute.WordOutside {
			outside++
		}
		if a.Since(v.Singles) == compute.WordChanged {
			changed++
		}
	}
	for _, t := range b.Model.Tables {
		if !t.Closed && b.below(t, at) {
			below++
		}
	}
	v.Find(roles.Outside, outside)
	v.Find(roles.Changed, changed)
	v.Find(roles.Moved, 0) // every run sets the names right
	v.Find(roles.BelowRoom, below)
	v.Find(roles.BlankPoints, float64(b.countBasisBlanks(at)))
}
