package part

import (
	"bytes"
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

// pull reads the tokens of a part and checks that it is well-formed: tags that
// match, one root, nothing behind it.
type pull struct {
	tape    *tape
	tok     token
	open    []openTag
	binds   []binding
	last    binding // the latest lookup, if cached
	cached  bool
	names   map[string]openTag // names taken apart
	scratch []byte             // decoded text of the current token
	attrs   [][]byte           // names of the current tag's attributes
	rooted  bool
	held    bool // the caller moves the tape's mark; else each token lets go of the last
}

type openTag struct {
	prefix, local string
	main          bool
}

func newPull(r io.Reader) *pull {
	return &pull{tape: newTape(r), names: make(map[string]openTag)}
}

// depth is the number of open elements, the one just started included and the
// one just ended not.
func (p *pull) depth() int { return len(p.open) }

// raw gives the bytes of the current token, until the next one.
func (p *pull) raw() []byte { return p.tape.bytes(p.tok.off, p.tok.end) }

// pop closes the innermost element; the current token is its end.
func (p *pull) pop() {
	top := p.open[len(p.open)-1]
	p.open = p.open[:len(p.open)-1]
	for n := len(p.binds); n > 0 && p.binds[n-1].depth > len(p.open); n-- {
		p.binds = p.binds[:n-1]
		p.cached = false
	}
	p.tok.prefix, p.tok.local, p.tok.main = top.prefix, top.local, top.main
}

func (p *pull) bind(prefix, uri string) {
	p.binds = append(p.binds, binding{
		depth:  len(p.open) + 1,
		prefix: prefix,
		main:   uri == sheetNS || uri == strictSheetNS,
		strict: uri == strictSheetNS,
	})
	p.cached = false
}

// lookup finds what a prefix stands for; nothing where it is not declared.
func (p *pull) lookup(prefix string) binding {
	if !p.cached || p.last.prefix != prefix {
		p.last, p.cached = p.find(prefix), true
	}
	return p.last
}

func (p *pull) find(prefix string) binding {
	for i := len(p.binds) - 1; i >= 0; i-- {
		if p.binds[i].prefix == prefix {
			return p.binds[i]
		}
	}
	return binding{prefix: prefix}
}

// maxQuoted bounds what a message quotes of a part.
const maxQuoted = 100

// errorf is a fault at the current token.
func (p *pull) errorf(format string, args ...any) error {
	for i, arg := range args {
		switch arg := arg.(type) {
		case []byte:
			args[i] = arg[:min(len(arg), maxQuoted)]
		case string:
			args[i] = strings.ToValidUTF8(arg[:min(len(arg), maxQuoted)], "?")
		}
	}
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
			return false, p.errorf("the root element is <%s>, not a spreadsheet's <%s>; the file is damaged, restore it from a copy", qualified(p.tok.prefix, p.tok.local), local)
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
