package part

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
)

// maxDepth bounds how deep elements of a small part may nest; no part of a
// workbook comes near it, and the walks over the tree recurse.
const maxDepth = 256

// maxElements bounds how many elements a small part may have. A tree of so many
// takes some 250 MB; the styles of a workbook with all the cell formats that it
// may have (65,490) come to under 300,000.
const maxElements = 500_000

// tree is one small XML part with the byte range of everything in it.
type tree struct {
	part string // part name, for errors
	src  []byte
	root *node
}

// node is one element. Its start tag is src[start:startEnd], its end tag
// src[endStart:end]; a self-closed element has startEnd == endStart == end.
type node struct {
	parent   *node
	children []*node
	prefix   string // as written, "" for none
	local    string
	space    string // namespace that the prefix stands for
	attrs    []attr
	text     string // its own character data, children left out
	raw      []byte // text while it is gathered: comments may cut it into many
	selfShut bool

	start, startEnd, endStart, end int
}

// attr is one attribute: src[start:end] is its name to its closing quote,
// src[valStart:valEnd] the text between the quotes.
type attr struct {
	prefix, local, space, value  string
	start, valStart, valEnd, end int
}

// scanTree reads a part into a tree. It refuses what is not well-formed XML
// (tags that do not match, a second root, text outside it), DTDs, which the
// package standard forbids, and encodings other than UTF-8.
func scanTree(part string, src []byte) (*tree, error) {
	if looksUTF16(src) {
		return nil, fmt.Errorf("%s: is written in UTF-16; save the workbook again from a spreadsheet program, which writes UTF-8", part)
	}
	t := &tree{part: part, src: src}
	dec := xml.NewDecoder(bytes.NewReader(src))
	dec.CharsetReader = func(charset string, in io.Reader) (io.Reader, error) {
		for _, b := range src {
			if b >= 0x80 {
				return nil, fmt.Errorf("encoding %q; save the workbook again from a spreadsheet program, which writes UTF-8", charset)
			}
		}
		return in, nil // plain ASCII reads the same in all of them
	}
	var open *node
	depth, elements := 0, 0
	for {
		at := int(dec.InputOffset())
		tok, err := dec.RawToken()
		if errors.Is(err, io.EOF) && open == nil && t.root != nil {
			return t, nil
		}
		if errors.Is(err, io.EOF) {
			err = io.ErrUnexpectedEOF
		}
		if err != nil {
			return nil, t.errorf(at, "%w; the file is damaged, restore it from a copy", shortened(err))
		}
		after := int(dec.InputOffset())
		switch tok := tok.(type) {
		case xml.StartElement:
			if open == nil && t.root != nil {
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
				t.root = n
			} else {
				open.children = append(open.children, n)
			}
			open = n
		case xml.EndElement:
			if open == nil || open.local != tok.Name.Local || open.prefix != tok.Name.Space {
				return nil, t.errorf(at, "</%s> closes nothing that is open; the file is damaged, restore it from a copy", tok.Name.Local)
			}
			open.endStart, open.end = at, after
			open.text, open.raw = string(open.raw), nil
			depth--
			open = open.parent
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

// scanRoot is scanTree for a part whose root must be local in one of spaces.
func scanRoot(part string, src []byte, local string, spaces ...string) (*tree, error) {
	t, err := scanTree(part, src)
	if err != nil {
		return nil, err
	}
	if t.root.local == local {
		for _, s := range spaces {
			if t.root.space == s {
				return t, nil
			}
		}
	}
	return nil, fmt.Errorf("%s: root element is <%s> of %q, want <%s> of %q; restore the file from a copy", part, t.root.local, t.root.space, local, spaces[0])
}

func (t *tree) errorf(at int, format string, args ...any) error {
	return fmt.Errorf("%s: byte %d: %w", t.part, at, fmt.Errorf(format, args...))
}

// shortened is an error of the decoder, which may quote all of what it was given.
func shortened(err error) error {
	if text := []rune(err.Error()); len(text) > 2*maxQuoted {
		return errors.New(string(text[:2*maxQuoted]) + "...")
	}
	return err
}

// looksUTF16 says whether text begins as in UTF-16.
func looksUTF16(src []byte) bool {
	if len(src) < 2 {
		return false
	}
	return src[0] == 0xFE && src[1] == 0xFF || src[0] == 0xFF && src[1] == 0xFE ||
		src[0] == 0 && src[1] == '<' || src[0] == '<' && src[1] == 0
}

// newNode makes the node of a start tag. The decoder has found the tag to be
// well-formed, and gives the decoded values; the ranges are found here.
func newNode(src []byte, parent *node, tok xml.StartElement, at, after int) (*node, error) {
	n := &node{parent: parent, prefix: tok.Name.Space, local: tok.Name.Local, start: at, startEnd: after}
	n.selfShut = bytes.HasSuffix(src[at:after], []byte("/>"))
	if len(tok.Attr) > 0 {
		n.attrs = make([]attr, 0, len(tok.Attr))
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
		n.attrs = append(n.attrs, attr{
			prefix: a.Name.Space, local: a.Name.Local, value: a.Value,
			start: at + from, valStart: at + val, valEnd: at + val + shut, end: at + pos,
		})
	}
	n.space = n.lookup(n.prefix)
	for i, a := range n.attrs {
		if a.prefix != "" {
			n.attrs[i].space = n.lookup(a.prefix)
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
func (n *node) lookup(prefix string) string {
	if prefix == "xml" {
		return xmlNS
	}
	for ; n != nil; n = n.parent {
		for _, a := range n.attrs {
			if prefix == "" && a.prefix == "" && a.local == "xmlns" || prefix != "" && a.prefix == "xmlns" && a.local == prefix {
				return a.value
			}
		}
	}
	return ""
}

// prefixOf gives a prefix (never the empty one) that stands for one of spaces
// at n.
func (n *node) prefixOf(spaces ...string) (string, bool) {
	for at := n; at != nil; at = at.parent {
		for _, a := range at.attrs {
			if a.prefix != "xmlns" || n.lookup(a.local) != a.value {
				continue
			}
			for _, s := range spaces {
				if a.value == s {
					return a.local, true
				}
			}
		}
	}
	return "", false
}

// qname is the element's name as written.
func (n *node) qname() string { return n.tag(n.local) }

// tag is local under the element's own prefix: the name of a new child or
// sibling in the same namespace.
func (n *node) tag(local string) string {
	if n.prefix == "" {
		return local
	}
	return n.prefix + ":" + local
}

// child gives the first child called local in n's own namespace, or nil.
func (n *node) child(local string) *node {
	if n == nil {
		return nil
	}
	for _, c := range n.children {
		if c.local == local && c.space == n.space {
			return c
		}
	}
	return nil
}

// all gives the children called local in n's own namespace; a nil n has none.
func (n *node) all(local string) []*node {
	if n == nil {
		return nil
	}
	var list []*node
	for _, c := range n.children {
		if c.local == local && c.space == n.space {
			list = append(list, c)
		}
	}
	return list
}

// attr gives the attribute called local that has no prefix, or nil.
func (n *node) attr(local string) *attr {
	if n == nil {
		return nil
	}
	for i := range n.attrs {
		if n.attrs[i].prefix == "" && n.attrs[i].local == local {
			return &n.attrs[i]
		}
	}
	return nil
}

// get is the value of attribute local, "" where it is missing.
func (n *node) get(local string) string {
	if a := n.attr(local); a != nil {
		return a.value
	}
	return ""
}

// relID is the value of the attribute local of the relationships namespace.
func (n *node) relID(local string) string {
	for _, a := range n.attrs {
		if a.local == local && (a.space == relNS || a.space == strictRelNS) {
			return a.value
		}
	}
	return ""
}

// walk calls visit for n and everything in it, in document order.
func (n *node) walk(visit func(*node)) {
	visit(n)
	for _, c := range n.children {
		c.walk(visit)
	}
}
