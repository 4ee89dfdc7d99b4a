package markup

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// maxDepth bounds how deep elements of a small part may nest; no part of a
// workbook comes near it, and the walks over the tree recurse.
const maxDepth = 256

// maxElements bounds how many elements a small part may have. A tree of so many
// takes some 300 MB; the styles of a workbook with all the cell formats that it
// may have (65,490) come to under 300,000, and 500,000 were seen.
const maxElements = 600_000

// Tree is one small XML part with the byte range of everything in it.
type Tree struct {
	part string // part name, for errors
	src  []byte
	Root *Node
}

// Node is one element. Its start tag is src[start:startEnd], its end tag
// src[endStart:end]; a self-closed element has startEnd == endStart == end.
type Node struct {
	Parent   *Node
	Children []*Node
	Prefix   string // as written, "" for none
	Local    string
	Space    string // namespace that the prefix stands for
	Attrs    []Attr
	Text     string // its own character data, children left out
	raw      []byte // text while it is gathered: comments may cut it into many
	selfShut bool

	start, startEnd, endStart, end int
}

// Attr is one attribute: src[start:end] is its name to its closing quote,
// src[valStart:valEnd] the text between the quotes.
type Attr struct {
	Prefix, Local, Space, Value  string
	start, valStart, valEnd, end int
}

// Parse reads a part into a tree. It refuses what is not well-formed XML
// (tags that do not match, a second root, text outside it), DTDs, which the
// package standard forbids, and encodings other than UTF-8.
func Parse(part string, src []byte) (*Tree, error) {
	if LooksUTF16(src) {
		return nil, fmt.Errorf("%s: %w", part, encodingError("UTF-16"))
	}
	t := &Tree{part: part, src: src}
	dec := xml.NewDecoder(bytes.NewReader(src))
	dec.CharsetReader = onlyUTF8
	var open *Node
	depth, elements := 0, 0
	for {
		at := int(dec.InputOffset())
		tok, err := dec.RawToken()
		if errors.Is(err, io.EOF) && open == nil && t.Root != nil {
			return t, nil
		}
		if errors.Is(err, io.EOF) {
			err = io.ErrUnexpectedEOF
		}
		if wrong := encodingError(""); errors.As(err, &wrong) {
			return nil, fmt.Errorf("%s: %w", part, wrong)
		}
		if err != nil {
			return nil, t.errorf(at, "%w; the file is damaged, restore it from a copy", shortened(err))
		}
		after := int(dec.InputOffset())
		switch tok := tok.(type) {
		case xml.StartElement:
			if open == nil && t.Root != nil {
				return nil, t.errorf(at, "a second root element <%s>; restore the file from a copy", tok.Name.Local)
			}
			if depth++; depth > maxDepth {
				return nil, t.errorf(at, "elements nest deeper than %d, as in no real workbook; restore the file from a copy", maxDepth)
			}
			if elements++; elements > maxElements {
				return nil, t.errorf(at, "more than %d elements, as in no real workbook; save the workbook anew from the spreadsheet program", maxElements)
			}
			if len(tok.Attr) > maxAttrs {
				return nil, t.errorf(at, "a tag with more than %d attributes; the file is damaged, restore it from a copy", maxAttrs)
			}
			n, err := newNode(src, open, tok, at, after)
			if err != nil {
				return nil, t.errorf(at, "%w", err)
			}
			if open == nil {
				t.Root = n
			} else {
				open.Children = append(open.Children, n)
			}
			open = n
		case xml.EndElement:
			if open == nil || open.Local != tok.Name.Local || open.Prefix != tok.Name.Space {
				return nil, t.errorf(at, "</%s> closes nothing that is open; the file is damaged, restore it from a copy", tok.Name.Local)
			}
			open.endStart, open.end = at, after
			open.Text, open.raw = string(open.raw), nil
			depth--
			open = open.Parent
		case xml.CharData:
			if open != nil {
				open.raw = append(open.raw, tok...)
			} else if s := strings.TrimPrefix(string(tok), "\ufeff"); strings.TrimSpace(s) != "" {
				return nil, t.errorf(at, "text outside the root element; the file is damaged, restore it from a copy")
			}
		case xml.Directive:
			return nil, t.errorf(at, "a document type declaration, which workbooks may not have; save the workbook anew from the spreadsheet program")
		}
	}
}

// ParseRoot is Parse for a part whose root must be local in one of spaces.
func ParseRoot(part string, src []byte, local string, spaces ...string) (*Tree, error) {
	t, err := Parse(part, src)
	if err != nil {
		return nil, err
	}
	if t.Root.Local == local {
		for _, s := range spaces {
			if t.Root.Space == s {
				return t, nil
			}
		}
	}
	return nil, fmt.Errorf("%s: root element is <%s> of %q, want <%s> of %q; restore the file from a copy", part, t.Root.Local, t.Root.Space, local, spaces[0])
}

func (t *Tree) errorf(at int, format string, args ...any) error {
	return fmt.Errorf("%s: byte %d: %w", t.part, at, fmt.Errorf(format, args...))
}

// shortened is an error of the decoder, which may quote all of what it was given.
func shortened(err error) error {
	if text := []rune(err.Error()); len(text) > 2*maxQuoted {
		return errors.New(string(text[:2*maxQuoted]) + "...")
	}
	return err
}

// newNode makes the node of a start tag. The decoder has found the tag to be
// well-formed, and gives the decoded values; the ranges are found here.
func newNode(src []byte, parent *Node, tok xml.StartElement, at, after int) (*Node, error) {
	n := &Node{Parent: parent, Prefix: tok.Name.Space, Local: tok.Name.Local, start: at, startEnd: after}
	n.selfShut = bytes.HasSuffix(src[at:after], []byte("/>"))
	if len(tok.Attr) > 0 {
		n.Attrs = make([]Attr, 0, len(tok.Attr))
	}
	tag := src[at:after]
	pos := 1 + len(n.qname())
	for i, a := range tok.Attr {
		pos = skipBlank(tag, pos)
		from := pos
		eq := bytes.IndexByte(tag[pos:], '=')
		if eq < 0 {
			return nil, errors.New("an attribute without a value")
		}
		pos = skipBlank(tag, pos+eq+1)
		if pos >= len(tag) || tag[pos] != '"' && tag[pos] != '\'' {
			return nil, errors.New("an attribute value without quotes")
		}
		val := pos + 1
		shut := bytes.IndexByte(tag[val:], tag[pos])
		if shut < 0 {
			return nil, errors.New("an attribute value that does not end")
		}
		pos = val + shut + 1
		for _, other := range tok.Attr[:i] {
			if other.Name == a.Name {
				return nil, fmt.Errorf("attribute %.*s twice; the file is damaged, restore it from a copy", maxQuoted, a.Name.Local)
			}
		}
		n.Attrs = append(n.Attrs, Attr{
			Prefix: a.Name.Space, Local: a.Name.Local, Value: a.Value,
			start: at + from, valStart: at + val, valEnd: at + val + shut, end: at + pos,
		})
	}
	n.Space = n.lookup(n.Prefix)
	for i, a := range n.Attrs {
		if a.Prefix != "" {
			n.Attrs[i].Space = n.lookup(a.Prefix)
		}
	}
	return n, nil
}

func skipBlank(b []byte, i int) int {
	for i < len(b) && (b[i] == ' ' || b[i] == '\t' || b[i] == '\n' || b[i] == '\r') {
		i++
	}
	return i
}

// lookup gives the namespace that prefix stands for at n, "" if none.
func (n *Node) lookup(prefix string) string {
	if prefix == "xml" {
		return xmlNS
	}
	for ; n != nil; n = n.Parent {
		for _, a := range n.Attrs {
			if prefix == "" && a.Prefix == "" && a.Local == "xmlns" || prefix != "" && a.Prefix == "xmlns" && a.Local == prefix {
				return a.Value
			}
		}
	}
	return ""
}

// PrefixOf gives a prefix (never the empty one) that stands for one of spaces
// at n.
func (n *Node) PrefixOf(spaces ...string) (string, bool) {
	for at := n; at != nil; at = at.Parent {
		for _, a := range at.Attrs {
			if a.Prefix != "xmlns" || n.lookup(a.Local) != a.Value {
				continue
			}
			for _, s := range spaces {
				if a.Value == s {
					return a.Local, true
				}
			}
		}
	}
	return "", false
}

// qname is the element's name as written.
func (n *Node) qname() string { return n.Tag(n.Local) }

// Tag is local under the element's own prefix: the name of a new child or
// sibling in the same namespace.
func (n *Node) Tag(local string) string {
	if n.Prefix == "" {
		return local
	}
	return n.Prefix + ":" + local
}

// Child gives the first child called local in n's own namespace, or nil.
func (n *Node) Child(local string) *Node {
	if n == nil {
		return nil
	}
	for _, c := range n.Children {
		if c.Local == local && c.Space == n.Space {
			return c
		}
	}
	return nil
}

// All gives the children called local in n's own namespace; a nil n has none.
func (n *Node) All(local string) []*Node {
	if n == nil {
		return nil
	}
	var list []*Node
	for _, c := range n.Children {
		if c.Local == local && c.Space == n.Space {
			list = append(list, c)
		}
	}
	return list
}

// Attr gives the attribute called local that has no prefix, or nil.
func (n *Node) Attr(local string) *Attr {
	if n == nil {
		return nil
	}
	for i := range n.Attrs {
		if n.Attrs[i].Prefix == "" && n.Attrs[i].Local == local {
			return &n.Attrs[i]
		}
	}
	return nil
}

// Get is the value of attribute local, "" where it is missing.
func (n *Node) Get(local string) string {
	if a := n.Attr(local); a != nil {
		return a.Value
	}
	return ""
}

// RelID is the value of the attribute local of the relationships namespace.
func (n *Node) RelID(local string) string {
	for _, a := range n.Attrs {
		if a.Local == local && (a.Space == RelNS || a.Space == StrictRelNS) {
			return a.Value
		}
	}
	return ""
}

// HasRelID says whether n has a relationship attribute called local, be it empty.
func (n *Node) HasRelID(local string) bool {
	return slices.ContainsFunc(n.Attrs, func(a Attr) bool {
		return a.Local == local && (a.Space == RelNS || a.Space == StrictRelNS)
	})
}

// Walk calls visit for n and everything in it, in document order.
func (n *Node) Walk(visit func(*Node)) {
	visit(n)
	for _, c := range n.Children {
		c.Walk(visit)
	}
}
