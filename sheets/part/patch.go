package part

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Namespaces of ECMA-376: the transitional ones, and the strict ones of its
// part 1 (ISO/IEC 29500-1).
const (
	xmlNS         = "http://www.w3.org/XML/1998/namespace"
	sheetNS       = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	strictSheetNS = "http://purl.oclc.org/ooxml/spreadsheetml/main"
	relNS         = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	strictRelNS   = "http://purl.oclc.org/ooxml/officeDocument/relationships"
	pkgRelNS      = "http://schemas.openxmlformats.org/package/2006/relationships"
	typesNS       = "http://schemas.openxmlformats.org/package/2006/content-types"
)

// patch gathers changes to a tree and applies them to its bytes: all else
// stays as it was, byte for byte.
type patch struct {
	t     *tree
	cuts  []cut
	inner map[*node]*bytes.Buffer // what goes inside self-closed elements
}

// cut replaces src[from:to] by text.
type cut struct {
	from, to int
	text     string
}

// patch begins changes to the part.
func (t *tree) patch() *patch { return &patch{t: t, inner: map[*node]*bytes.Buffer{}} }

// appendChild puts xml into n behind its last child.
func (p *patch) appendChild(n *node, xml string) {
	if n.selfShut {
		if p.inner[n] == nil {
			p.inner[n] = &bytes.Buffer{}
		}
		p.inner[n].WriteString(xml)
		return
	}
	at := n.startEnd
	if len(n.children) > 0 {
		at = n.children[len(n.children)-1].end
	}
	p.cuts = append(p.cuts, cut{at, at, xml})
}

// insertInOrder puts xml, an element called local, among n's children behind
// the last one that order puts before it.
func (p *patch) insertInOrder(n *node, local string, order []string, xml string) {
	rank := func(name string) int {
		for i, o := range order {
			if o == name {
				return i
			}
		}
		return len(order)
	}
	if n.selfShut {
		p.appendChild(n, xml)
		return
	}
	at := n.startEnd
	for _, c := range n.children {
		if c.space == n.space && rank(c.local) < rank(local) {
			at = c.end
		}
	}
	p.cuts = append(p.cuts, cut{at, at, xml})
}

// forget drops the changes that lie inside n.
func (p *patch) forget(n *node) {
	p.cuts = slices.DeleteFunc(p.cuts, func(c cut) bool { return c.from >= n.start && c.to <= n.end })
}

// remove takes n out, start tag to end tag.
func (p *patch) remove(n *node) {
	p.cuts = append(p.cuts, cut{n.start, n.end, ""})
}

// setAttr gives n's attribute local (without a prefix) the value.
func (p *patch) setAttr(n *node, local, value string) {
	if a := n.attr(local); a != nil {
		p.setValue(a, value)
		return
	}
	at := n.start + 1 + len(n.qname())
	if len(n.attrs) > 0 {
		at = n.attrs[len(n.attrs)-1].end
	}
	p.cuts = append(p.cuts, cut{at, at, " " + local + `="` + escape(value, true) + `"`})
}

// setValue gives the attribute a the value.
func (p *patch) setValue(a *attr, value string) {
	if a.value != value {
		p.cuts = append(p.cuts, cut{a.valStart, a.valEnd, escape(value, true)})
	}
}

// setInt is setAttr for a whole number.
func (p *patch) setInt(n *node, local string, value int) {
	p.setAttr(n, local, strconv.Itoa(value))
}

// setCount brings a count attribute up to date; a list without one gets none.
func (p *patch) setCount(n *node, count int) {
	if n.attr("count") != nil {
		p.setInt(n, "count", count)
	}
}

// removeAttr takes the attribute local (without a prefix) out, if there.
func (p *patch) removeAttr(n *node, local string) {
	a := n.attr(local)
	if a == nil {
		return
	}
	from := a.start
	for from > n.start && strings.IndexByte(" \t\r\n", p.t.src[from-1]) >= 0 {
		from--
	}
	p.cuts = append(p.cuts, cut{from, a.end, ""})
}

// setText makes text the whole content of n.
func (p *patch) setText(n *node, text string) {
	if n.selfShut {
		p.appendChild(n, escape(text, false))
		return
	}
	p.cuts = append(p.cuts, cut{n.startEnd, n.endStart, escape(text, false)})
}

// bytes applies the changes. Changes at one place keep the order in which
// they were made; changes that overlap are an error of the program.
func (p *patch) bytes() ([]byte, error) {
	cuts := append([]cut(nil), p.cuts...)
	for n, in := range p.inner {
		if in.Len() > 0 {
			cuts = append(cuts, cut{n.startEnd - 2, n.startEnd, ">" + in.String() + "</" + n.qname() + ">"})
		}
	}
	if len(cuts) == 0 {
		return p.t.src, nil
	}
	sort.SliceStable(cuts, func(i, j int) bool {
		if cuts[i].from != cuts[j].from {
			return cuts[i].from < cuts[j].from
		}
		return cuts[i].to < cuts[j].to
	})
	var out bytes.Buffer
	if err := applyCuts(&out, bytes.NewReader(p.t.src), cuts); err != nil {
		return nil, fmt.Errorf("%s: %w", p.t.part, err)
	}
	return out.Bytes(), nil
}

// applyCuts copies src with the cuts, which ascend, made.
func applyCuts(dst io.Writer, src io.Reader, cuts []cut) error {
	at := 0
	for _, c := range cuts {
		if c.from < at {
			return fmt.Errorf("byte %d: two changes overlap; please report this", c.from)
		}
		if _, err := io.CopyN(dst, src, int64(c.from-at)); err != nil {
			return err
		}
		if _, err := io.CopyN(io.Discard, src, int64(c.to-c.from)); err != nil {
			return err
		}
		if _, err := io.WriteString(dst, c.text); err != nil {
			return err
		}
		at = c.to
	}
	_, err := io.Copy(dst, src)
	return err
}

// escape writes s as XML text, or as the text of an attribute in double
// quotes. What XML cannot hold becomes U+FFFD.
func escape(s string, inAttr bool) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '&':
			b.WriteString("&amp;")
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r == '"' && inAttr:
			b.WriteString("&quot;")
		case r == '\r', (r == '\n' || r == '\t') && inAttr:
			fmt.Fprintf(&b, "&#%d;", r)
		case r == '\n', r == '\t', r >= ' ' && r != 0xFFFE && r != 0xFFFF:
			b.WriteRune(r)
		default:
			b.WriteRune(utf8.RuneError)
		}
	}
	return b.String()
}

// xmlBool reads an xsd:boolean; missing or odd text is def.
func xmlBool(s string, def bool) bool {
	switch strings.TrimSpace(s) {
	case "1", "true", "on":
		return true
	case "0", "false", "off":
		return false
	}
	return def
}

// xmlInt reads a whole number attribute; missing or odd text is def.
func xmlInt(s string, def int) int {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil {
		return def
	}
	return n
}
