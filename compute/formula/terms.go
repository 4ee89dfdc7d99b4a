package formula

// Term is one of the things that a formula adds up.
type Term struct {
	Node  Node
	Minus bool // it is taken away
}

// Terms are what the formula adds up, in its order; itself alone, where it is no sum.
func (f *Formula) Terms() []Term {
	var out []Term
	var add func(n Node, minus bool)
	add = func(n Node, minus bool) {
		switch n := n.(type) {
		case *Paren:
			add(n.X, minus)
			return
		case *Binary:
			if n.Op == Add || n.Op == Sub {
				add(n.L, minus)
				add(n.R, minus != (n.Op == Sub))
				return
			}
		}
		out = append(out, Term{n, minus})
	}
	add(f.node, false)
	return out
}
