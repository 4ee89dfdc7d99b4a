package part

import (
	"slices"
	"strings"
)

// mcNS is the namespace of markup compatibility (ECMA-376 part 3), the same in
// the transitional and the strict form.
const mcNS = "http://schemas.openxmlformats.org/markup-compatibility/2006"

// requires gives the namespaces that a reader must know to take n, "" for a
// prefix that stands for none, which nobody knows.
func (n *node) requires() []string {
	var all []string
	for _, prefix := range strings.Fields(n.get("Requires")) {
		all = append(all, n.lookup(prefix))
	}
	return all
}

// seen gives the children of n as a reader has them that does not know the
// namespaces of unknown: for mc:AlternateContent those of the first mc:Choice
// that it knows all of, else those of mc:Fallback, else none.
func (n *node) seen(unknown []string) []*node {
	var list []*node
	for _, c := range n.children {
		if c.space != mcNS || c.local != "AlternateContent" {
			list = append(list, c)
			continue
		}
		for _, b := range c.children {
			strange := func(ns string) bool { return ns == "" || slices.Contains(unknown, ns) }
			if b.space != mcNS || b.local == "Choice" && slices.ContainsFunc(b.requires(), strange) {
				continue
			}
			list = append(list, b.seen(unknown)...)
			break
		}
	}
	return list
}
