package part

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// This file takes the tokens apart. The standard decoder does the same and is
// what the tests hold it to; but it makes some fifteen small allocations a
// cell, and a list that has been worked out before (100,000 rows, thirteen
// million cells) took four times as long with it. Rare things are left to it.

// maxAttrs bounds the attributes of one tag; worksheets have under twenty.
const maxAttrs = 256

// next moves to the next token; io.EOF after the last of a whole document.
func (p *pull) next() error {
	t := p.tape
	if p.tok.closed {
		p.tok = token{kind: tokenEnd, off: p.tok.end, end: p.tok.end}
		p.pop()
		return nil
	}
	off := t.offset()
	if !p.held {
		t.mark = off
	}
	p.tok = token{off: off, end: off}
	b, err := t.need(2)
	if len(b) == 0 {
		return p.ended(err)
	}
	if err != nil && err != io.EOF {
		return p.ended(err)
	}
	var n int
	switch {
	case b[0] != '<':
		n, err = p.lexText()
	case len(b) == 1:
		return p.ended(io.EOF)
	case b[1] == '/':
		n, err = p.lexEnd()
	case b[1] == '!':
		n, err = p.lexMarked()
	case b[1] == '?':
		n, err = p.lexInstruction()
	default:
		n, err = p.lexStart()
	}
	if err != nil {
		return err
	}
	t.pos += n
	p.tok.end = off + int64(n)
	return nil
}

// ended is the end of the source, whole or not, or a failure of it.
func (p *pull) ended(err error) error {
	if err != io.EOF {
		return fmt.Errorf("byte %d of the part: %w", p.tok.off, err)
	}
	if len(p.open) > 0 {
		top := p.open[len(p.open)-1]
		return p.errorf("the part ends inside <%s>; the file is damaged, restore it from a copy", qualified(top.prefix, top.local))
	}
	if len(p.tape.ahead()) > 0 {
		return p.malformed("the part ends inside a tag")
	}
	if !p.rooted {
		return p.errorf("the part has no content; the file is damaged, restore it from a copy")
	}
	return io.EOF
}

func (p *pull) malformed(format string, args ...any) error {
	if p.tape.base == 0 && looksUTF16(p.tape.buf) {
		return p.errorf("the part is in UTF-16; save the workbook anew, programs of today write UTF-8")
	}
	return p.errorf("not well-formed XML: "+format+"; the file is damaged, restore it from a copy", args...)
}

func (p *pull) lexText() (int, error) {
	n, err := p.tape.find("<", 0)
	switch {
	case err == nil:
		n-- // the bracket begins the next token
	case err != io.EOF:
		return n, p.ended(err)
	}
	raw := p.tape.ahead()[:n]
	p.tok.kind = tokenText
	if len(p.open) == 0 {
		p.tok.text = raw
		if !blank(raw, p.tok.off == 0) {
			return n, p.malformed("text outside of the root element")
		}
		return n, nil
	}
	simple, fault := checkText(raw)
	if fault == "" && bytes.Contains(raw, []byte("]]>")) {
		fault = "]]> in a text"
	}
	if fault == "" && !simple {
		p.scratch, fault = decodeEntities(p.scratch[:0], raw, true)
		raw = p.scratch
	}
	if fault != "" {
		return n, p.malformed("%s", fault)
	}
	p.tok.text = raw
	return n, nil
}

func (p *pull) lexMarked() (int, error) {
	b, err := p.tape.need(len("<![CDATA["))
	switch {
	case bytes.HasPrefix(b, []byte("<!--")):
		return p.lexComment()
	case bytes.HasPrefix(b, []byte("<![CDATA[")) && len(p.open) > 0:
		return p.lexCDATA()
	case err != nil && err != io.EOF:
		return 0, p.ended(err)
	case bytes.HasPrefix(b, []byte("<!D")):
		return 0, p.errorf("a document type declaration, which parts must not have (ISO/IEC 29500-2); save the workbook anew from the spreadsheet program")
	}
	return 0, p.malformed("<! begins nothing known")
}

func (p *pull) lexComment() (int, error) {
	n, err := p.tape.find("--", len("<!--"))
	if err == nil {
		var b []byte
		if b, err = p.tape.need(n + 1); err == nil && b[n] != '>' {
			return n, p.malformed("-- inside a comment")
		}
		n++
	}
	if err != nil {
		return n, p.ended(err)
	}
	p.tok.kind = tokenOther
	if _, fault := checkText(p.tape.ahead()[:n]); fault != "" {
		return n, p.malformed("%s", fault)
	}
	return n, nil
}

func (p *pull) lexCDATA() (int, error) {
	n, err := p.tape.find("]]>", len("<![CDATA["))
	if err != nil {
		return n, p.ended(err)
	}
	raw := p.tape.ahead()[len("<![CDATA[") : n-len("]]>")]
	p.tok.kind, p.tok.text = tokenText, raw
	if _, fault := checkText(raw); fault != "" {
		return n, p.malformed("%s", fault)
	}
	if bytes.IndexByte(raw, '\r') >= 0 {
		p.scratch, _ = decodeEntities(p.scratch[:0], raw, false)
		p.tok.text = p.scratch
	}
	return n, nil
}

// lexInstruction leaves the little there is to the standard decoder, which
// refuses encodings other than UTF-8.
func (p *pull) lexInstruction() (int, error) {
	n, err := p.tape.find("?>", len("<?"))
	if err != nil {
		return n, p.ended(err)
	}
	p.tok.kind = tokenOther
	if _, err := xml.NewDecoder(bytes.NewReader(p.tape.ahead()[:n])).RawToken(); err != nil {
		return n, p.malformed("%v", err)
	}
	return n, nil
}

func (p *pull) lexEnd() (int, error) {
	n, err := p.tape.find(">", 2)
	if err != nil {
		return n, p.ended(err)
	}
	name := p.tape.ahead()[2 : n-1]
	for len(name) > 0 && isBlank(name[len(name)-1]) {
		name = name[:len(name)-1]
	}
	if len(p.open) == 0 {
		return n, p.malformed("</%s> closes nothing", name)
	}
	top := p.open[len(p.open)-1]
	local := name
	if top.prefix != "" && len(name) > len(top.prefix) && string(name[:len(top.prefix)]) == top.prefix && name[len(top.prefix)] == ':' {
		local = name[len(top.prefix)+1:]
	} else if top.prefix != "" {
		local = nil
	}
	if string(local) != top.local {
		return n, p.malformed("</%s> where </%s> was expected", name, qualified(top.prefix, top.local))
	}
	p.tok.kind = tokenEnd
	p.pop()
	return n, nil
}

func (p *pull) lexStart() (int, error) {
	n, err := p.tagLength()
	if err != nil {
		return n, err
	}
	tag := p.tape.ahead()[:n]
	nameEnd := 1
	for !isBlank(tag[nameEnd]) && tag[nameEnd] != '>' && tag[nameEnd] != '/' {
		nameEnd++
	}
	prefix, local, ok := p.name(tag[1:nameEnd])
	if !ok {
		return n, p.malformed("%q is no name of an element", tag[1:nameEnd])
	}
	if len(p.open) == 0 && p.rooted {
		return n, p.malformed("a second root element <%s>", local)
	}
	if len(p.open) >= maxDepth {
		return n, p.errorf("elements nest deeper than %d, as in no real workbook; restore the file from a copy", maxDepth)
	}
	p.rooted = true
	if err := p.lexAttrs(tag); err != nil {
		return n, err
	}
	p.tok.kind, p.tok.prefix, p.tok.local = tokenStart, prefix, local
	p.tok.main = p.lookup(prefix).main
	p.tok.closed = tag[n-2] == '/'
	p.open = append(p.open, openTag{prefix, local, p.tok.main})
	return n, nil
}

// tagLength finds the end of the start tag ahead: the first bracket that is
// not in quotes.
func (p *pull) tagLength() (int, error) {
	i, quote := 1, byte(0)
	for {
		b := p.tape.ahead()
		for ; i < len(b); i++ {
			switch ch := b[i]; {
			case ch == '<':
				return i, p.malformed("< inside a tag")
			case quote != 0:
				if ch == quote {
					quote = 0
				}
			case ch == '"' || ch == '\'':
				quote = ch
			case ch == '>':
				return i + 1, nil
			}
		}
		if err := p.tape.more(); err != nil {
			return i, p.ended(err)
		}
	}
}

// lexAttrs checks the attributes of a start tag and takes in namespaces.
func (p *pull) lexAttrs(tag []byte) error {
	a := attrsOf(tag)
	p.attrs = p.attrs[:0]
	for a.next() {
		if a.from < len(tag) && !isBlank(tag[a.from]) {
			return p.malformed("no blank before attribute %q", a.name)
		}
		prefix, local, ok := p.name(a.name)
		if !ok {
			return p.malformed("%q is no name of an attribute", a.name)
		}
		if _, fault := checkText(a.value); fault != "" {
			return p.malformed("attribute %s: %s", a.name, fault)
		}
		if bytes.IndexByte(a.value, '&') >= 0 {
			if _, fault := decodeEntities(nil, a.value, true); fault != "" {
				return p.malformed("attribute %s: %s", a.name, fault)
			}
		}
		for _, other := range p.attrs {
			if bytes.Equal(other, a.name) {
				return p.malformed("attribute %s twice", a.name)
			}
		}
		if len(p.attrs) == maxAttrs {
			return p.errorf("a tag with more than %d attributes; the file is damaged, restore it from a copy", maxAttrs)
		}
		p.attrs = append(p.attrs, a.name)
		switch {
		case prefix == "" && local == "xmlns":
			p.bind("", attrText(a.value))
		case prefix == "xmlns":
			p.bind(local, attrText(a.value))
		}
	}
	end := a.skipBlank(a.at)
	if rest := tag[end:]; string(rest) != ">" && string(rest) != "/>" {
		return p.malformed("a tag with %q in it", rest)
	}
	return nil
}

// name takes a name apart at its colon. Names come again and again, so the
// strings are kept.
func (p *pull) name(b []byte) (prefix, local string, ok bool) {
	if n, known := p.names[string(b)]; known {
		return n.prefix, n.local, true
	}
	s := string(b)
	if !isName(s) {
		return "", "", false
	}
	prefix, local, colon := strings.Cut(s, ":")
	if !colon {
		prefix, local = "", s
	}
	if colon && (prefix == "" || !isName(local)) || strings.Contains(local, ":") {
		return "", "", false
	}
	if len(p.names) < maxNames {
		p.names[s] = openTag{prefix: prefix, local: local}
	}
	return prefix, local, true
}

// maxNames bounds the names that are kept.
const maxNames = 1000

// isName says whether s is an XML name. Letters beyond ASCII are left to the
// standard decoder's tables.
func isName(s string) bool {
	if s == "" {
		return false
	}
	for i := range len(s) {
		ch := s[i]
		switch {
		case ch >= utf8.RuneSelf:
			_, err := xml.NewDecoder(strings.NewReader("<" + s + "/>")).RawToken()
			return err == nil && !strings.ContainsAny(s, " \t\r\n/>=")
		case ch >= 'a' && ch <= 'z', ch >= 'A' && ch <= 'Z', ch == '_', ch == ':':
		case i > 0 && (ch >= '0' && ch <= '9' || ch == '-' || ch == '.'):
		default:
			return false
		}
	}
	return true
}
