package model

// Behind are all quantities that some figures are worked out from, through
// joint lines, tables, cars and the order; the figures themselves are among
// them.
func (m *Model) Behind(figures ...*Quantity) map[*Quantity]bool {
	return reached(figures, (*Quantity).needs)
}

// Moved are all quantities that may be other when some are; these themselves
// are among them.
func (m *Model) Moved(changed ...*Quantity) map[*Quantity]bool {
	used := map[*Quantity][]*Quantity{}
	for _, s := range m.scopes() {
		for _, q := range s.Quantities {
			for _, u := range q.needs() {
				used[u] = append(used[u], q)
			}
		}
	}
	return reached(changed, func(q *Quantity) []*Quantity { return used[q] })
}

// reached are all quantities that are come to from some, these included.
func reached(from []*Quantity, next func(*Quantity) []*Quantity) map[*Quantity]bool {
	out := map[*Quantity]bool{}
	var mark func([]*Quantity)
	mark = func(list []*Quantity) {
		for _, q := range list {
			if !out[q] {
				out[q] = true
				mark(next(q))
			}
		}
	}
	mark(from)
	return out
}
