package part

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
)

// SheetError is a fault in a part that is read as a stream. Row is 0 and Cell
// is "" where the fault lies outside of them. Offset counts bytes from the
// start of the part.
type SheetError struct {
	Row    int
	Cell   string
	Offset int64
	What   string
	Err    error // underlying error, may be nil
}

func (e *SheetError) Error() string {
	switch {
	case e.Cell != "":
		return fmt.Sprintf("cell %s (byte %d of the part): %s", e.Cell, e.Offset, e.What)
	case e.Row > 0:
		return fmt.Sprintf("row %d (byte %d of the part): %s", e.Row, e.Offset, e.What)
	}
	return fmt.Sprintf("byte %d of the part: %s", e.Offset, e.What)
}

// Unwrap gives the underlying error.
func (e *SheetError) Unwrap() error { return e.Err }

// maxHeld bounds the bytes held at one time, that is one row with all its
// cells. A full row of the longest texts a cell may hold is about 500 MB; real
// rows stay under 2 MB.
const maxHeld = 256 << 20

// tape reads a part byte by byte and keeps the bytes since a mark, so that
// what the tokens were made of can be copied.
type tape struct {
	r    io.Reader
	buf  []byte
	pos  int   // next byte to hand out
	base int64 // offset of buf[0] in the part
	mark int64 // bytes from here on are kept
	err  error
}

func newTape(r io.Reader) *tape { return &tape{r: r, buf: make([]byte, 0, 64<<10)} }

// ReadByte makes tape an io.ByteReader, from which the XML decoder takes one
// byte at a time, so that its offset is exact.
func (t *tape) ReadByte() (byte, error) {
	if t.pos == len(t.buf) {
		if err := t.fill(); err != nil {
			return 0, err
		}
	}
	b := t.buf[t.pos]
	t.pos++
	return b, nil
}

// Read is never called by the decoder; io.Reader wants it.
func (t *tape) Read(b []byte) (int, error) {
	if len(b) == 0 {
		return 0, nil
	}
	ch, err := t.ReadByte()
	if err != nil {
		return 0, err
	}
	b[0] = ch
	return 1, nil
}

func (t *tape) fill() error {
	if t.err != nil {
		return t.err
	}
	if drop := int(min(t.mark, t.base+int64(t.pos)) - t.base); drop > 0 {
		t.buf = t.buf[:copy(t.buf, t.buf[drop:])]
		t.base += int64(drop)
		t.pos -= drop
	}
	if len(t.buf) == cap(t.buf) {
		if len(t.buf) >= maxHeld {
			return errors.New("one row or element is longer than 256 MB")
		}
		t.buf = append(make([]byte, 0, 2*cap(t.buf)), t.buf...)
	}
	for range 100 {
		n, err := t.r.Read(t.buf[len(t.buf):cap(t.buf)])
		t.buf = t.buf[:len(t.buf)+n]
		t.err = err
		if n > 0 {
			return nil
		}
		if err != nil {
			return err
		}
	}
	return io.ErrNoProgress
}

// bytes gives the kept bytes from one offset to another. The slice holds until
// the next read.
func (t *tape) bytes(from, to int64) []byte { return t.buf[from-t.base : to-t.base] }

type tokenKind uint8

const (
	tokenStart tokenKind = iota
	tokenEnd
	tokenText
	tokenOther // a comment or processing instruction
)

// token is one token and the bytes it was made of. A self-closed element gives
// a start with closed set, and then an end of no bytes.
type token struct {
	kind     tokenKind
	off, end int64
	local    string
	prefix   string
	main     bool   // the element is of the spreadsheet namespace
	closed   bool   // start tag ends in "/>"
	text     []byte // of a text token, decoded
}

// binding is a namespace declaration in force.
type binding struct {
	depth  int
	prefix string
	main   bool
	strict bool
}

// pull reads the tokens of a part and checks what xml.Decoder.RawToken leaves
// to its caller: matching tags, one root, nothing behind it.
type pull struct {
	tape   *tape
	dec    *xml.Decoder
	tok    token
	open   []openTag
	binds  []binding
	rooted bool
	held   bool // the caller moves the tape's mark; else each token lets go of the last
}

type openTag struct {
	prefix, local string
	main          bool
}

func newPull(r io.Reader) *pull {
	t := newTape(r)
	return &pull{tape: t, dec: xml.NewDecoder(t)}
}

// depth is the number of open elements, the one just started included and the
// one just ended not.
func (p *pull) depth() int { return len(p.open) }

// raw gives the bytes of the current token, until the next one.
func (p *pull) raw() []byte { return p.tape.bytes(p.tok.off, p.tok.end) }

// next moves to the next token; io.EOF after the last of a whole document.
func (p *pull) next() error {
	off := p.dec.InputOffset()
	if !p.held {
		p.tape.mark = off
	}
	t, err := p.dec.RawToken()
	if err != nil {
		if err == io.EOF {
			return p.atEnd(off)
		}
		return p.readError(off, err)
	}
	p.tok = token{off: off, end: p.dec.InputOffset()}
	switch t := t.(type) {
	case xml.StartElement:
		return p.start(t)
	case xml.EndElement:
		return p.finish(t)
	case xml.CharData:
		p.tok.kind, p.tok.text = tokenText, t
		if len(p.open) == 0 && !blank(t, off == 0) {
			return p.errorf("text outside of the root element")
		}
	case xml.Directive:
		return p.errorf("a document type declaration, which parts must not have (ISO/IEC 29500-2)")
	default:
		p.tok.kind = tokenOther
	}
	return nil
}

func (p *pull) start(t xml.StartElement) error {
	if len(p.open) == 0 && p.rooted {
		return p.errorf("a second root element <%s>", t.Name.Local)
	}
	if len(p.open) >= maxDepth {
		return p.errorf("elements nest deeper than %d", maxDepth)
	}
	p.rooted = true
	for _, a := range t.Attr {
		switch {
		case a.Name.Space == "" && a.Name.Local == "xmlns":
			p.bind("", a.Value)
		case a.Name.Space == "xmlns":
			p.bind(a.Name.Local, a.Value)
		}
	}
	raw := p.raw()
	p.tok.kind = tokenStart
	p.tok.prefix, p.tok.local = t.Name.Space, t.Name.Local
	p.tok.main = p.lookup(t.Name.Space).main
	p.tok.closed = len(raw) > 2 && raw[len(raw)-2] == '/'
	p.open = append(p.open, openTag{t.Name.Space, t.Name.Local, p.tok.main})
	return nil
}

func (p *pull) finish(t xml.EndElement) error {
	if len(p.open) == 0 {
		return p.errorf("</%s> closes nothing", t.Name.Local)
	}
	top := p.open[len(p.open)-1]
	if top.prefix != t.Name.Space || top.local != t.Name.Local {
		return p.errorf("</%s> where </%s> was expected", qualified(t.Name.Space, t.Name.Local), qualified(top.prefix, top.local))
	}
	p.open = p.open[:len(p.open)-1]
	for n := len(p.binds); n > 0 && p.binds[n-1].depth > len(p.open); n-- {
		p.binds = p.binds[:n-1]
	}
	p.tok.kind = tokenEnd
	p.tok.prefix, p.tok.local, p.tok.main = top.prefix, top.local, top.main
	return nil
}

func (p *pull) bind(prefix, uri string) {
	p.binds = append(p.binds, binding{
		depth:  len(p.open) + 1,
		prefix: prefix,
		main:   uri == sheetNS || uri == strictSheetNS,
		strict: uri == strictSheetNS,
	})
}

func (p *pull) lookup(prefix string) binding {
	for i := len(p.binds) - 1; i >= 0; i-- {
		if p.binds[i].prefix == prefix {
			return p.binds[i]
		}
	}
	return binding{}
}

func (p *pull) atEnd(off int64) error {
	p.tok = token{off: off, end: off}
	if len(p.open) > 0 {
		top := p.open[len(p.open)-1]
		return p.errorf("the part ends inside <%s>; the file is damaged, restore it from a copy", qualified(top.prefix, top.local))
	}
	if !p.rooted {
		return p.errorf("the part has no content")
	}
	return io.EOF
}

// readError words what the decoder or the source reported.
func (p *pull) readError(off int64, err error) error {
	e := &SheetError{Offset: off, What: err.Error(), Err: err}
	if p.tape.err != nil && p.tape.err != io.EOF && !isSyntax(err) {
		return fmt.Errorf("byte %d of the part: %w", off, err)
	}
	switch head := p.tape.buf; {
	case p.tape.base == 0 && looksUTF16(head):
		e.What = "the part is in UTF-16; save the workbook anew, programs of today write UTF-8"
	case isSyntax(err):
		var syn *xml.SyntaxError
		errors.As(err, &syn)
		e.What = "not well-formed XML: " + syn.Msg
	}
	return e
}

func isSyntax(err error) bool {
	var syn *xml.SyntaxError
	return errors.As(err, &syn)
}

// errorf is a fault at the current token.
func (p *pull) errorf(format string, args ...any) error {
	return &SheetError{Offset: p.tok.off, What: fmt.Sprintf(format, args...)}
}

// root moves to the root element, which must have the given name and be of the
// spreadsheet namespace. The second result is true for the strict form.
func (p *pull) root(local string) (bool, error) {
	for {
		if err := p.next(); err != nil {
			return false, err
		}
		if p.tok.kind != tokenStart {
			continue
		}
		if p.tok.local != local || !p.tok.main {
			return false, p.errorf("the root element is <%s>, not a spreadsheet's <%s>", qualified(p.tok.prefix, p.tok.local), local)
		}
		return p.lookup(p.tok.prefix).strict, nil
	}
}

// skip reads to the end of the element just started.
func (p *pull) skip() error {
	for depth := p.depth() - 1; p.depth() > depth; {
		if err := p.next(); err != nil {
			return err
		}
	}
	return nil
}

// text appends the character data of the element just started, up to its end.
// Elements inside count as nothing.
func (p *pull) text(dst []byte) ([]byte, error) {
	inside := p.depth()
	for {
		if err := p.next(); err != nil {
			return dst, err
		}
		if p.tok.kind == tokenText && p.depth() == inside {
			dst = append(dst, p.tok.text...)
		}
		if p.depth() < inside {
			return dst, nil
		}
	}
}

// rich appends the text of the rich text container just started (si or is):
// its own t and that of its runs; phonetic runs are left out.
func (p *pull) rich(dst []byte) ([]byte, error) {
	inside := p.depth()
	for {
		err := p.next()
		if err != nil {
			return dst, err
		}
		if p.depth() < inside {
			return dst, nil
		}
		if p.tok.kind != tokenStart || !p.tok.main {
			continue
		}
		switch p.tok.local {
		case "t":
			dst, err = p.text(dst)
		case "rPh":
			err = p.skip()
		}
		if err != nil {
			return dst, err
		}
	}
}

func qualified(prefix, local string) string {
	if prefix == "" {
		return local
	}
	return prefix + ":" + local
}

// blank says whether text is white space only. At the very start of a part a
// byte order mark is allowed before it.
func blank(b []byte, atStart bool) bool {
	if atStart {
		b = bytes.TrimPrefix(b, []byte("\uFEFF"))
	}
	return len(bytes.TrimLeft(b, " \t\r\n")) == 0
}

// unescapeText decodes the _xHHHH_ escapes of a stored text (ST_Xstring,
// ISO/IEC 29500-1, 22.9.2.19).
func unescapeText(b []byte) string {
	s := string(b)
	if strings.Contains(s, "_x") {
		return decodeEscapes(s)
	}
	return s
}
