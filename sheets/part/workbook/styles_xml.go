package workbook

import (
	"sort"
	"strings"

	"seamtally/sheets/part/markup"
)

// copyOf writes n, from another part, in this part's prefix. Attributes and
// children of other namespaces are extensions, and stay behind.
func (s *Styles) copyOf(n *markup.Node) string {
	tag := s.t.Root.Tag(n.Local)
	open := "<" + tag
	for _, a := range n.Attrs {
		if a.Prefix == "" && a.Local != "xmlns" {
			open += " " + a.Local + `="` + markup.Escape(a.Value, true) + `"`
		}
	}
	inner := ""
	if strings.TrimSpace(n.Text) != "" {
		inner = markup.Escape(n.Text, false)
	}
	for _, c := range n.Children {
		if c.Space == n.Space && c.Local != "extLst" {
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
func canonical(n *markup.Node) string {
	var b strings.Builder
	canonicalTo(&b, n, n.Space)
	return b.String()
}

func canonicalTo(b *strings.Builder, n *markup.Node, own string) {
	name := n.Local
	if n.Space != own {
		name = n.Space + " " + name
	}
	attrs := map[string]string{}
	for _, a := range n.Attrs {
		if a.Prefix == "xmlns" || a.Prefix == "" && a.Local == "xmlns" {
			continue
		}
		key := a.Local
		if a.Prefix != "" {
			key = a.Space + " " + key
		}
		attrs[key] = a.Value
	}
	b.WriteString("<" + name + sortedAttrs(attrs) + ">")
	if strings.TrimSpace(n.Text) != "" {
		b.WriteString(markup.Escape(n.Text, false))
	}
	for _, c := range n.Children {
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
		b.WriteString(" " + k + `="` + markup.Escape(attrs[k], true) + `"`)
	}
	return b.String()
}
