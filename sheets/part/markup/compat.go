package markup

import (
	"slices"
	"strings"
)

// CompatNS is the namespace of markup compatibility (ECMA-376 part 3), the same in
// the transitional and the strict form.
const CompatNS = "http://schemas.openxmlformats.org/markup-compatibility/2006"

// Requires gives the namespaces that a reader must know to take n, "" for a
// prefix that stands for none, which nobody knows.
func (n *Node) Requires() []string {
	var all []string
	for _, prefix := range strings.Fields(n.Get("Requires")) {
		all = append(all, n.lookup(prefix))
	}
	return all
}

// Seen gives the children of n as a reader has them that does not know the
// namespaces of unknown: for mc:AlternateContent those of the first mc:Choice
// that it knows all of, else those of mc:Fallback, else none.
func (n *Node) Seen(unknown []string) []*Node {
	var list []*Node
	for _, c := range n.Children {
		if c.Space != CompatNS || c.Local != "AlternateContent" {
			list = append(list, c)
			continue
		}
		for _, b := range c.Children {
			strange := func(ns string) bool { return ns == "" || slices.Contains(unknown, ns) }
			if b.Space != CompatNS || b.Local == "Choice" && slices.ContainsFunc(b.Requires(), strange) {
				continue
			}
			list = append(list, b.Seen(unknown)...)
			break
		}
	}
	return list
}
