package sheetstest

import (
	"archive/zip"
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"sort"
	"strings"
)

// node is a piece of an XML part, spelled as in the file: prefixes are kept,
// entities are read, the order of attributes and the form of an empty element
// make no difference.
type node struct {
	kind  nodeKind
	name  string // of an element, without its prefix
	full  string // with it
	space string // the namespace that the prefix stands for
	attrs [][2]string
	text  string
	kids  []*node
}

type nodeKind int

const (
	document nodeKind = iota
	element
	text
	other // comment, instruction, declaration
)

func treeOf(f *zip.File) (*node, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close() // reading to the end has already told of any fault
	return readTree(r)
}

func readTree(r io.Reader) (*node, error) { return readTreeBut(r, nil) }

// readTreeBut is readTree without the elements that took says it has taken, when
// they are complete: a sheet may have too many rows to hold.
func readTreeBut(r io.Reader, took func(n *node) bool) (*node, error) {
	d := xml.NewDecoder(r)
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil }
	top := &node{}
	open := []*node{top}
	for {
		tok, err := d.RawToken()
		if err == io.EOF {
			if len(open) != 1 {
				return nil, io.ErrUnexpectedEOF
			}
			return top, nil
		}
		if err != nil {
			return nil, err
		}
		in := open[len(open)-1]
		var n *node
		switch t := tok.(type) {
		case xml.StartElement:
			n = &node{kind: element, name: t.Name.Local, full: fullName(t.Name)}
			for _, a := range t.Attr {
				n.attrs = append(n.attrs, [2]string{fullName(a.Name), a.Value})
			}
			sort.Slice(n.attrs, func(i, j int) bool { return n.attrs[i][0] < n.attrs[j][0] })
			open = append(open, n)
			n.space = spaceIn(open, t.Name.Space)
		case xml.EndElement:
			if in.full != fullName(t.Name) || len(open) == 1 {
				return nil, fmt.Errorf("</%s> closes <%s>", fullName(t.Name), in.full)
			}
			open = open[:len(open)-1]
			if up := open[len(open)-1]; took != nil && took(in) {
				up.kids = up.kids[:len(up.kids)-1]
			}
			continue
		case xml.CharData:
			if last := len(in.kids) - 1; last >= 0 && in.kids[last].kind == text {
				in.kids[last].text += string(t)
				continue
			}
			n = &node{kind: text, text: string(t)}
		case xml.Comment:
			n = &node{kind: other, text: "comment " + string(t)}
		case xml.ProcInst:
			n = &node{kind: other, text: t.Target + " " + string(t.Inst)}
		case xml.Directive:
			n = &node{kind: other, text: string(t)}
		}
		in.kids = append(in.kids, n)
	}
}

// spaceIn gives the namespace of a prefix within the innermost of elements.
func spaceIn(open []*node, prefix string) string {
	decl := "xmlns"
	if prefix != "" {
		decl += ":" + prefix
	}
	for i := len(open) - 1; i >= 0; i-- {
		for _, a := range open[i].attrs {
			if a[0] == decl {
				return a[1]
			}
		}
	}
	return ""
}

func fullName(n xml.Name) string {
	if n.Space == "" {
		return n.Local
	}
	return n.Space + ":" + n.Local
}

// root is the outermost element.
func (n *node) root() *node {
	for _, k := range n.kids {
		if k.kind == element {
			return k
		}
	}
	return &node{kind: element}
}

func (n *node) attr(name string) string {
	for _, a := range n.attrs {
		if a[0] == name {
			return a[1]
		}
	}
	return ""
}

func (n *node) drop(names ...string) {
	kept := n.attrs[:0]
	for _, a := range n.attrs {
		if !slices.Contains(names, a[0]) {
			kept = append(kept, a)
		}
	}
	n.attrs = kept
}

// child is the first child element of a name, nil if there is none.
func (n *node) child(name string) *node {
	for _, k := range n.kids {
		if k.kind == element && k.name == name {
			return k
		}
	}
	return nil
}

// tag is the start of an element, for messages and for comparing.
func (n *node) tag() string {
	if n.kind != element {
		return fmt.Sprintf("%.60q", n.text)
	}
	var b strings.Builder
	b.WriteString("<" + n.full)
	for _, a := range n.attrs {
		fmt.Fprintf(&b, " %s=%q", a[0], a[1])
	}
	return b.String() + ">"
}
