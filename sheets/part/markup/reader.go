package markup

import (
	"bytes"
	"fmt"
	"io"
	"strings"
)

// Fault is a fault in a part that is read as a stream. Offset counts bytes
// from the start of the part; Where, if the reader of a sheet knows it, is the
// cell or row, as in "cell B3".
type Fault struct {
	Where  string
	Offset int64
	What   string
}

func (e *Fault) Error() string {
	if e.Where == "" {
		return fmt.Sprintf("byte %d of the part: %s", e.Offset, e.What)
	}
	return fmt.Sprintf("%s (byte %d of the part): %s", e.Where, e.Offset, e.What)
}

// Kind is the sort of a token.
type Kind uint8

// The sorts of token.
const (
	Start Kind = iota
	End
	Text
	Other // a comment or processing instruction
)

// Token is one token and the bytes it was made of. A self-closed element gives
// a start with closed set, and then an end of no bytes.
type Token struct {
	Kind     Kind
	Off, End int64
	Local    string
	Prefix   string
	Main     bool   // the element is of the spreadsheet namespace
	Closed   bool   // start tag ends in "/>"
	Text     []byte // of a text token, decoded
}

// binding is a namespace declaration in force.
type binding struct {
	depth  int
	prefix string
	main   bool
	strict bool
}

// Reader reads the tokens of a part and checks that it is well-formed: tags that
// match, one root, nothing behind it.
type Reader struct {
	tape    *tape
	Tok     Token
	open    []Element
	binds   []binding
	last    binding // the latest lookup, if cached
	cached  bool
	names   map[string]Element // names taken apart
	scratch []byte             // decoded text of the current token
	attrs   []RawAttr          // of the current token, if it is a start
	rooted  bool
	held    bool // by keep
}

// Element is an element by its name.
type Element struct {
	Prefix, Local string
	Main          bool
}

// NewReader reads a part from its beginning.
func NewReader(r io.Reader) *Reader {
	return &Reader{tape: newTape(r), names: make(map[string]Element)}
}

// Depth is the number of open elements, the one just started included and the
// one just ended not.
func (p *Reader) Depth() int { return len(p.open) }

// Above is the element so many levels over the one just started, the root at the
// most.
func (p *Reader) Above(levels int) Element { return p.open[max(0, len(p.open)-1-levels)] }

// HasRoot says whether the root element has begun.
func (p *Reader) HasRoot() bool { return p.rooted }

// Keep holds the bytes from an offset on for the caller, who moves it on; without
// it each token lets go of the last.
func (p *Reader) Keep(from int64) { p.held, p.tape.mark = true, from }

// Bytes gives the bytes kept from one offset to another, until the next token.
func (p *Reader) Bytes(from, to int64) []byte { return p.tape.bytes(from, to) }

// Raw gives the bytes of the current token, until the next one.
func (p *Reader) Raw() []byte { return p.Bytes(p.Tok.Off, p.Tok.End) }

// Attrs are those of the start tag that is the current token, until the next one.
func (p *Reader) Attrs() []RawAttr { return p.attrs }

// pop closes the innermost element; the current token is its end.
func (p *Reader) pop() {
	top := p.open[len(p.open)-1]
	p.open = p.open[:len(p.open)-1]
	for n := len(p.binds); n > 0 && p.binds[n-1].depth > len(p.open); n-- {
		p.binds = p.binds[:n-1]
		p.cached = false
	}
	p.Tok.Prefix, p.Tok.Local, p.Tok.Main = top.Prefix, top.Local, top.Main
}

func (p *Reader) bind(prefix, uri string) {
	p.binds = append(p.binds, binding{
		depth:  len(p.open) + 1,
		prefix: prefix,
		main:   uri == SheetNS || uri == StrictSheetNS,
		strict: uri == StrictSheetNS,
	})
	p.cached = false
}

// lookup finds what a prefix stands for; nothing where it is not declared.
func (p *Reader) lookup(prefix string) binding {
	if !p.cached || p.last.prefix != prefix {
		p.last, p.cached = p.find(prefix), true
	}
	return p.last
}

func (p *Reader) find(prefix string) binding {
	for i := len(p.binds) - 1; i >= 0; i-- {
		if p.binds[i].prefix == prefix {
			return p.binds[i]
		}
	}
	return binding{prefix: prefix}
}

// maxQuoted bounds what a message quotes of a part.
const maxQuoted = 100

// Errorf is a fault at the current token.
func (p *Reader) Errorf(format string, args ...any) error {
	for i, arg := range args {
		switch arg := arg.(type) {
		case []byte:
			args[i] = arg[:min(len(arg), maxQuoted)]
		case string:
			args[i] = strings.ToValidUTF8(arg[:min(len(arg), maxQuoted)], "?")
		}
	}
	return &Fault{Offset: p.Tok.Off, What: fmt.Sprintf(format, args...)}
}

// Root moves to the root element, which must have the given name and be of the
// spreadsheet namespace. The second result is true for the strict form.
func (p *Reader) Root(local string) (bool, error) {
	for {
		if err := p.Next(); err != nil {
			return false, err
		}
		if p.Tok.Kind != Start {
			continue
		}
		if p.Tok.Local != local || !p.Tok.Main {
			return false, p.Errorf("the root element is <%s>, not a spreadsheet's <%s>; the file is damaged, restore it from a copy", qualified(p.Tok.Prefix, p.Tok.Local), local)
		}
		return p.lookup(p.Tok.Prefix).strict, nil
	}
}

// Skip reads to the end of the element just started.
func (p *Reader) Skip() error {
	for depth := p.Depth() - 1; p.Depth() > depth; {
		if err := p.Next(); err != nil {
			return err
		}
	}
	return nil
}

// Text appends the character data of the element just started, up to its end.
// Elements inside count as nothing.
func (p *Reader) Text(dst []byte) ([]byte, error) {
	if text, ok := p.plainText(); ok {
		return append(dst, text...), nil
	}
	inside := p.Depth()
	for {
		if err := p.Next(); err != nil {
			return dst, err
		}
		if p.Tok.Kind == Text && p.Depth() == inside {
			dst = append(dst, p.Tok.Text...)
		}
		if p.Depth() < inside {
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

// Blank says whether text is white space only. At the very start of a part a
// byte order mark is allowed before it.
func Blank(b []byte, atStart bool) bool {
	if atStart {
		b = bytes.TrimPrefix(b, []byte("\uFEFF"))
	}
	return len(bytes.TrimLeft(b, " \t\r\n")) == 0
}
