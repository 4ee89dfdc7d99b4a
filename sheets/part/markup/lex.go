package markup

import (
	"bytes"
	"encoding/xml"
	"errors"
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

// Next moves to the next token; io.EOF after the last of a whole document.
func (p *Reader) Next() error {
	t := p.tape
	if p.Tok.Closed {
		p.Tok = Token{Kind: End, Off: p.Tok.End, End: p.Tok.End}
		p.pop()
		return nil
	}
	off := t.offset()
	if !p.held {
		t.mark = off
	}
	p.Tok = Token{Off: off, End: off}
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
	p.Tok.End = off + int64(n)
	return nil
}

// ended is the end of the source, whole or not, or a failure of it.
func (p *Reader) ended(err error) error {
	if err != io.EOF {
		return fmt.Errorf("byte %d of the part: %w", p.Tok.Off, err)
	}
	if len(p.open) > 0 {
		top := p.open[len(p.open)-1]
		return p.Errorf("the part ends inside <%s>; the file is damaged, restore it from a copy", qualified(top.Prefix, top.Local))
	}
	if len(p.tape.ahead()) > 0 {
		return p.malformed("the part ends inside a tag")
	}
	if !p.rooted {
		return p.Errorf("the part has no content; the file is damaged, restore it from a copy")
	}
	return io.EOF
}

func (p *Reader) malformed(format string, args ...any) error {
	if p.tape.base == 0 && LooksUTF16(p.tape.buf) {
		return p.Errorf("%v", encodingError("UTF-16"))
	}
	return p.Errorf("not well-formed XML: "+format+"; the file is damaged, restore it from a copy", args...)
}

func (p *Reader) lexText() (int, error) {
	n, err := p.tape.find("<", 0)
	switch {
	case err == nil:
		n-- // the bracket begins the next token
	case err != io.EOF:
		return n, p.ended(err)
	}
	raw := p.tape.ahead()[:n]
	p.Tok.Kind = Text
	if len(p.open) == 0 {
		p.Tok.Text = raw
		if !Blank(raw, p.Tok.Off == 0) {
			return n, p.malformed("text outside of the root element")
		}
		if bytes.IndexByte(raw, '\r') >= 0 {
			p.scratch, _ = decodeEntities(p.scratch[:0], raw, false)
			p.Tok.Text = p.scratch
		}
		return n, nil
	}
	text, fault := p.decoded(raw)
	if fault != "" {
		return n, p.malformed("%s", fault)
	}
	p.Tok.Text = text
	return n, nil
}

// decoded is the text of an element as it is meant, and what is wrong with it, "" for
// nothing. It holds until the next is decoded.
func (p *Reader) decoded(raw []byte) (text []byte, fault string) {
	simple, fault := checkText(raw)
	switch {
	case fault != "":
		return nil, fault
	case bytes.Contains(raw, []byte("]]>")):
		return nil, "]]> in a text"
	case simple:
		return raw, ""
	}
	p.scratch, fault = decodeEntities(p.scratch[:0], raw, true)
	return p.scratch, fault
}

// plainText moves to the end of the element just started where what it holds, and
// its end tag, have been read ahead, and it holds text alone: nearly every formula
// and value. Else, or where there is something wrong with it, nothing moves.
func (p *Reader) plainText() ([]byte, bool) {
	top := p.open[len(p.open)-1]
	if top.Prefix != "" || p.Tok.Closed {
		return nil, false
	}
	text, ok := p.textUpTo(top.Local, 0)
	if ok {
		p.pop()
	}
	return text, ok
}

// Leaf moves over a child of the innermost element, where the part goes on with one of the
// name that has no prefix and no attributes and holds text alone, as nearly every formula
// and value does. from is where it begins. Else nothing moves, and it is not ok.
func (p *Reader) Leaf(local string) (text []byte, from int64, ok bool) {
	b, from := p.tape.ahead(), p.tape.offset()
	n := len("<") + len(local)
	if p.Tok.Closed || n >= len(b) || b[0] != '<' || b[n] != '>' || string(b[1:n]) != local || !p.lookup("").main {
		return nil, 0, false
	}
	if text, ok = p.textUpTo(local, n+1); ok {
		p.Tok.Local, p.Tok.Main = local, true
	}
	return text, from, ok
}

// textUpTo moves to the end of an element of the name, whose text begins so far ahead.
func (p *Reader) textUpTo(local string, from int) ([]byte, bool) {
	t := p.tape
	b := t.ahead()
	n := bytes.IndexByte(b[from:], '<')
	if n < 0 {
		return nil, false
	}
	n += from
	end := n + len("</") + len(local) + len(">")
	if end > len(b) || b[n+1] != '/' || b[end-1] != '>' || string(b[n+2:end-1]) != local {
		return nil, false
	}
	text, fault := p.decoded(b[from:n])
	if fault != "" {
		return nil, false
	}
	off := t.offset()
	p.Tok = Token{Kind: End, Off: off + int64(n), End: off + int64(end)}
	t.pos += end
	if !p.held {
		t.mark = p.Tok.Off
	}
	return text, true
}

func (p *Reader) lexMarked() (int, error) {
	b, err := p.tape.need(len("<![CDATA["))
	switch {
	case bytes.HasPrefix(b, []byte("<!--")):
		return p.lexComment()
	case bytes.HasPrefix(b, []byte("<![CDATA[")) && len(p.open) > 0:
		return p.lexCDATA()
	case err != nil && err != io.EOF:
		return 0, p.ended(err)
	case bytes.HasPrefix(b, []byte("<!D")):
		return 0, p.Errorf("a document type declaration, which parts must not have (ISO/IEC 29500-2); save the workbook anew from the spreadsheet program")
	}
	return 0, p.malformed("<! begins nothing known")
}

func (p *Reader) lexComment() (int, error) {
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
	p.Tok.Kind = Other
	if _, fault := checkText(p.tape.ahead()[:n]); fault != "" {
		return n, p.malformed("%s", fault)
	}
	return n, nil
}

func (p *Reader) lexCDATA() (int, error) {
	n, err := p.tape.find("]]>", len("<![CDATA["))
	if err != nil {
		return n, p.ended(err)
	}
	raw := p.tape.ahead()[len("<![CDATA[") : n-len("]]>")]
	p.Tok.Kind, p.Tok.Text = Text, raw
	if _, fault := checkText(raw); fault != "" {
		return n, p.malformed("%s", fault)
	}
	if bytes.IndexByte(raw, '\r') >= 0 {
		p.scratch, _ = decodeEntities(p.scratch[:0], raw, false)
		p.Tok.Text = p.scratch
	}
	return n, nil
}

// lexInstruction leaves the little there is to the standard decoder, which
// refuses encodings other than UTF-8.
func (p *Reader) lexInstruction() (int, error) {
	n, err := p.tape.find("?>", len("<?"))
	if err != nil {
		return n, p.ended(err)
	}
	p.Tok.Kind = Other
	dec := xml.NewDecoder(bytes.NewReader(p.tape.ahead()[:n]))
	dec.CharsetReader = onlyUTF8
	_, err = dec.RawToken()
	if wrong := encodingError(""); errors.As(err, &wrong) {
		return n, p.Errorf("%v", wrong)
	}
	if err != nil {
		return n, p.malformed("%v", err)
	}
	return n, nil
}

func (p *Reader) lexEnd() (int, error) {
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
	if top.Prefix != "" && len(name) > len(top.Prefix) && string(name[:len(top.Prefix)]) == top.Prefix && name[len(top.Prefix)] == ':' {
		local = name[len(top.Prefix)+1:]
	} else if top.Prefix != "" {
		local = nil
	}
	if string(local) != top.Local {
		return n, p.malformed("</%s> where </%s> was expected", name, qualified(top.Prefix, top.Local))
	}
	p.Tok.Kind = End
	p.pop()
	return n, nil
}

func (p *Reader) lexStart() (int, error) {
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
		return n, p.Errorf("elements nest deeper than %d, as in no real workbook; restore the file from a copy", maxDepth)
	}
	p.rooted = true
	if err := p.lexAttrs(tag); err != nil {
		return n, err
	}
	p.Tok.Kind, p.Tok.Prefix, p.Tok.Local = Start, prefix, local
	p.Tok.Main = p.lookup(prefix).main
	p.Tok.Closed = tag[n-2] == '/'
	p.open = append(p.open, Element{prefix, local, p.Tok.Main})
	return n, nil
}

// tagLength finds the end of the start tag ahead: the first bracket that is
// not in quotes.
func (p *Reader) tagLength() (int, error) {
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
func (p *Reader) lexAttrs(tag []byte) error {
	a := AttrsOf(tag)
	p.attrs = p.attrs[:0]
	for a.Next() {
		if a.from < len(tag) && !isBlank(tag[a.from]) {
			return p.malformed("no blank before attribute %q", a.Name)
		}
		prefix, local, ok := p.name(a.Name)
		if !ok {
			return p.malformed("%q is no name of an attribute", a.Name)
		}
		if _, fault := checkText(a.Value); fault != "" {
			return p.malformed("attribute %s: %s", a.Name, fault)
		}
		if bytes.IndexByte(a.Value, '&') >= 0 {
			if _, fault := decodeEntities(nil, a.Value, true); fault != "" {
				return p.malformed("attribute %s: %s", a.Name, fault)
			}
		}
		for _, other := range p.attrs {
			if bytes.Equal(other.Name, a.Name) {
				return p.malformed("attribute %s twice", a.Name)
			}
		}
		if len(p.attrs) == maxAttrs {
			return p.Errorf("a tag with more than %d attributes; the file is damaged, restore it from a copy", maxAttrs)
		}
		p.attrs = append(p.attrs, a.RawAttr)
		switch {
		case prefix == "" && local == "xmlns":
			p.bind("", AttrText(a.Value))
		case prefix == "xmlns":
			p.bind(local, AttrText(a.Value))
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
func (p *Reader) name(b []byte) (prefix, local string, ok bool) {
	if len(b) == 1 && 'a' <= b[0] && b[0] <= 'z' { // as cells and most of what they have
		return "", letters[b[0]-'a':][:1], true
	}
	if n, known := p.names[string(b)]; known {
		return n.Prefix, n.Local, true
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
		p.names[s] = Element{Prefix: prefix, Local: local}
	}
	return prefix, local, true
}

const letters = "abcdefghijklmnopqrstuvwxyz"

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
