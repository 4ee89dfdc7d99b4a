package markup

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
	SheetNS       = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	StrictSheetNS = "http://purl.oclc.org/ooxml/spreadsheetml/main"
	RelNS         = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	StrictRelNS   = "http://purl.oclc.org/ooxml/officeDocument/relationships"
	PkgRelNS      = "http://schemas.openxmlformats.org/package/2006/relationships"
	TypesNS       = "http://schemas.openxmlformats.org/package/2006/content-types"
)

// Patch gathers changes to a tree and applies them to its bytes: all else
// stays as it was, byte for byte.
type Patch struct {
	Tree  *Tree
	cuts  []Cut
	inner map[*Node]*bytes.Buffer // what goes inside self-closed elements
}

// Cut replaces src[from:to] by text.
type Cut struct {
	From, To int
	Text     string
}

// Patch begins changes to the part.
func (t *Tree) Patch() *Patch { return &Patch{Tree: t, inner: map[*Node]*bytes.Buffer{}} }

// AppendChild puts xml into n behind its last child.
func (p *Patch) AppendChild(n *Node, xml string) {
	if n.selfShut {
		if p.inner[n] == nil {
			p.inner[n] = &bytes.Buffer{}
		}
		p.inner[n].WriteString(xml)
		return
	}
	at := n.startEnd
	if len(n.Children) > 0 {
		at = n.Children[len(n.Children)-1].end
	}
	p.cuts = append(p.cuts, Cut{at, at, xml})
}

// InsertInOrder puts xml, an element called local, among n's children behind
// the last one that order puts before it.
func (p *Patch) InsertInOrder(n *Node, local string, order []string, xml string) {
	rank := func(name string) int {
		for i, o := range order {
			if o == name {
				return i
			}
		}
		return len(order)
	}
	if n.selfShut {
		p.AppendChild(n, xml)
		return
	}
	at := n.startEnd
	for _, c := range n.Children {
		if c.Space == n.Space && rank(c.Local) < rank(local) {
			at = c.end
		}
	}
	p.cuts = append(p.cuts, Cut{at, at, xml})
}

// Forget drops the changes that lie inside n.
func (p *Patch) Forget(n *Node) {
	p.cuts = slices.DeleteFunc(p.cuts, func(c Cut) bool { return c.From >= n.start && c.To <= n.end })
}

// Remove takes n out, start tag to end tag.
func (p *Patch) Remove(n *Node) {
	p.cuts = append(p.cuts, Cut{n.start, n.end, ""})
}

// SetAttr gives n's attribute local (without a prefix) the value.
func (p *Patch) SetAttr(n *Node, local, value string) {
	if a := n.Attr(local); a != nil {
		p.SetValue(a, value)
		return
	}
	at := n.start + 1 + len(n.qname())
	if len(n.Attrs) > 0 {
		at = n.Attrs[len(n.Attrs)-1].end
	}
	p.cuts = append(p.cuts, Cut{at, at, " " + local + `="` + Escape(value, true) + `"`})
}

// SetValue gives the attribute a the value.
func (p *Patch) SetValue(a *Attr, value string) {
	if a.Value != value {
		p.cuts = append(p.cuts, Cut{a.valStart, a.valEnd, Escape(value, true)})
	}
}

// SetInt is SetAttr for a whole number.
func (p *Patch) SetInt(n *Node, local string, value int) {
	p.SetAttr(n, local, strconv.Itoa(value))
}

// SetCount brings a count attribute up to date; a list without one gets none.
func (p *Patch) SetCount(n *Node, count int) {
	if n.Attr("count") != nil {
		p.SetInt(n, "count", count)
	}
}

// RemoveAttr takes the attribute local (without a prefix) out, if there.
func (p *Patch) RemoveAttr(n *Node, local string) {
	a := n.Attr(local)
	if a == nil {
		return
	}
	from := a.start
	for from > n.start && strings.IndexByte(" \t\r\n", p.Tree.src[from-1]) >= 0 {
		from--
	}
	p.cuts = append(p.cuts, Cut{from, a.end, ""})
}

// SetText makes text the whole content of n.
func (p *Patch) SetText(n *Node, text string) {
	if n.selfShut {
		p.AppendChild(n, Escape(text, false))
		return
	}
	p.cuts = append(p.cuts, Cut{n.startEnd, n.endStart, Escape(text, false)})
}

// Bytes applies the changes. Changes at one place keep the order in which
// they were made; changes that overlap are an error of the program.
func (p *Patch) Bytes() ([]byte, error) {
	cuts := append([]Cut(nil), p.cuts...)
	for n, in := range p.inner {
		if in.Len() > 0 {
			cuts = append(cuts, Cut{n.startEnd - 2, n.startEnd, ">" + in.String() + "</" + n.qname() + ">"})
		}
	}
	if len(cuts) == 0 {
		return p.Tree.src, nil
	}
	sort.SliceStable(cuts, func(i, j int) bool {
		if cuts[i].From != cuts[j].From {
			return cuts[i].From < cuts[j].From
		}
		return cuts[i].To < cuts[j].To
	})
	var out bytes.Buffer
	if err := ApplyCuts(&out, bytes.NewReader(p.Tree.src), cuts); err != nil {
		return nil, fmt.Errorf("%s: %w", p.Tree.part, err)
	}
	return out.Bytes(), nil
}

// ApplyCuts copies src with the cuts, which ascend, made.
func ApplyCuts(dst io.Writer, src io.Reader, cuts []Cut) error {
	at := 0
	for _, c := range cuts {
		if c.From < at {
			return fmt.Errorf("byte %d: two changes overlap; please report this", c.From)
		}
		if _, err := io.CopyN(dst, src, int64(c.From-at)); err != nil {
			return err
		}
		if _, err := io.CopyN(io.Discard, src, int64(c.To-c.From)); err != nil {
			return err
		}
		if _, err := io.WriteString(dst, c.Text); err != nil {
			return err
		}
		at = c.To
	}
	_, err := io.Copy(dst, src)
	return err
}

// Escape writes s as XML text, or as the text of an attribute in double
// quotes. What XML cannot hold becomes U+FFFD.
func Escape(s string, inAttr bool) string {
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

// Bool reads an xsd:boolean; missing or odd text is def.
func Bool(s string, def bool) bool {
	switch strings.TrimSpace(s) {
	case "1", "true", "on":
		return true
	case "0", "false", "off":
		return false
	}
	return def
}

// Int reads a whole number attribute; missing or odd text is def.
func Int(s string, def int) int {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil {
		return def
	}
	return n
}
