package part

import (
	"sort"
	"strings"
)

// copyOf writes n, from another part, in this part's prefix. Attributes and
// children of other namespaces are extensions, and stay behind.
func (s *Styles) copyOf(n *node) string {
	tag := s.t.root.tag(n.local)
	open := "<" + tag
	for _, a := range n.attrs {
		if a.prefix == "" && a.local != "xmlns" {
			open += " " + a.local + `="` + escape(a.value, true) + `"`
		}
	}
	inner := ""
	if strings.TrimSpace(n.text) != "" {
		inner = escape(n.text, false)
	}
	for _, c := range n.children {
		if c.space == n.space && c.local != "extLst" {
			inner += s.copyOf(c)
		}
	}
	if inner == "" {
		return open + "/>"
	}
	return open + ">" + inner + "</" + tag + ">"
}

// canonical writes n such that equal items give equal text: names without
// prefix, attributes sorted, blank text left out. Anything of a namespace other
// than n's own is named with it.
func canonical(n *node) string {
	var b strings.Builder
	canonicalTo(&b, n, n.space)
	return b.String()
}

func canonicalTo(b *strings.Builder, n *node, own string) {
	name := n.local
	if n.space != own {
		name = n.space + " " + name
	}
	attrs := map[string]string{}
	for _, a := range n.attrs {
		if a.prefix == "xmlns" || a.prefix == "" && a.local == "xmlns" {
			continue
		}
		key := a.local
		if a.prefix != "" {
			key = a.space + " " + key
		}
		attrs[key] = a.value
	}
	b.WriteString("<" + name + sortedAttrs(attrs) + ">")
	if strings.TrimSpace(n.text) != "" {
		b.WriteString(escape(n.text, false))
	}
	for _, c := range n.children {
		canonicalTo(b, c, own)
	}
	b.WriteString("</>")
}

func sortedAttrs(attrs map[string]string) string {
	keys := make([]string, 0, len(attrs))
	for k := range attrs {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	var b strings.Builder
	for _, k := range keys {
		b.WriteString(" " + k + `="` + escape(attrs[k], true) + `"`)
	}
	return b.String()
}
