package model

// Behind are all quantities that some figures are worked out from, through
// joint lines, tables, cars and the order; the figures themselves are among
// them.
func (m *Model) Behind(figures ...*Quantity) map[*Quantity]bool {
	out := map[*Quantity]bool{}
	var mark func(*Quantity)
	mark = func(q *Quantity) {
		if out[q] {
			return
		}
		out[q] = true
		for _, u := range q.needs() {
			mark(u)
		}
	}
	for _, q := range figures {
		mark(q)
	}
	return out
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
	out := map[*Quantity]bool{}
	var mark func(*Quantity)
	mark = func(q *Quantity) {
		if out[q] {
			return
		}
		out[q] = true
		for _, by := range used[q] {
			mark(by)
		}
	}
	for _, q := range changed {
		mark(q)
	}
	return out
}
