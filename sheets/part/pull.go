package part

import (
	"bytes"
	"fmt"
	"io"
	"strings"
)

// SheetError is a fault in a part that is read as a stream. Offset counts bytes
// from the start of the part; Where, if the reader of a sheet knows it, is the
// cell or row, as in "cell B3".
type SheetError struct {
	Where  string
	Offset int64
	What   string
}

func (e *SheetError) Error() string {
	if e.Where == "" {
		return fmt.Sprintf("byte %d of the part: %s", e.Offset, e.What)
	}
	return fmt.Sprintf("%s (byte %d of the part): %s", e.Where, e.Offset, e.What)
}

// tokenKind is the sort of a token.
type tokenKind uint8

// The sorts of token.
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
	held    bool // by keep
}

// openTag is an element by its name.
type openTag struct {
	prefix, local string
	main          bool
}

// newPull reads a part from its beginning.
func newPull(r io.Reader) *pull {
	return &pull{tape: newTape(r), names: make(map[string]openTag)}
}

// depth is the number of open elements, the one just started included and the
// one just ended not.
func (p *pull) depth() int { return len(p.open) }

// above is the element so many levels over the one just started, the root at the
// most.
func (p *pull) above(levels int) openTag { return p.open[max(0, len(p.open)-1-levels)] }

// hasRoot says whether the root element has begun.
func (p *pull) hasRoot() bool { return p.rooted }

// keep holds the bytes from an offset on for the caller, who moves it on; without
// it each token lets go of the last.
func (p *pull) keep(from int64) { p.held, p.tape.mark = true, from }

// bytes gives the bytes kept from one offset to another, until the next token.
func (p *pull) bytes(from, to int64) []byte { return p.tape.bytes(from, to) }

// raw gives the bytes of the current token, until the next one.
func (p *pull) raw() []byte { return p.bytes(p.tok.off, p.tok.end) }

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
