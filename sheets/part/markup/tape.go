package markup

import (
	"bytes"
	"errors"
	"io"
)

// maxHeld bounds the bytes held at one time, that is one row with all its
// cells. A full row of the longest texts a cell may hold is about 500 MB; real
// rows stay under 2 MB.
const maxHeld = 64 << 20

// tape is a window on a part: the bytes since a mark, up to what has been read
// ahead, so that what the tokens were made of can be copied.
type tape struct {
	r    io.Reader
	buf  []byte
	pos  int   // where the next token begins
	base int64 // offset of buf[0] in the part
	mark int64 // bytes from here on are kept
	err  error // what the source ended in
}

func newTape(r io.Reader) *tape { return &tape{r: r, buf: make([]byte, 0, 64<<10)} }

// offset is where in the part the next token begins.
func (t *tape) offset() int64 { return t.base + int64(t.pos) }

// ahead gives what has been read from the next token on.
func (t *tape) ahead() []byte { return t.buf[t.pos:] }

// bytes gives the kept bytes from one offset to another. The slice holds until
// the next token is read.
func (t *tape) bytes(from, to int64) []byte { return t.buf[from-t.base : to-t.base] }

// more reads on, letting go of the bytes before the mark.
func (t *tape) more() error {
	if t.err != nil {
		return t.err
	}
	if drop := int(min(t.mark, t.offset()) - t.base); drop > 0 && len(t.buf) == cap(t.buf) {
		t.buf = t.buf[:copy(t.buf, t.buf[drop:])]
		t.base += int64(drop)
		t.pos -= drop
	}
	if len(t.buf) == cap(t.buf) {
		if len(t.buf) >= maxHeld {
			t.err = errors.New("one row or element is longer than 64 MB; save the workbook anew from the spreadsheet program")
			return t.err
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
	t.err = io.ErrNoProgress
	return t.err
}

// find gives the length of what is ahead up to and with the given bytes, which
// are looked for behind the first skip ones. At the end of the part it is the
// length of what there is, and io.EOF.
func (t *tape) find(what string, skip int) (int, error) {
	for {
		b := t.ahead()
		if skip < len(b) {
			if i := bytes.Index(b[skip:], []byte(what)); i >= 0 {
				return skip + i + len(what), nil
			}
			skip = max(skip, len(b)-len(what)+1)
		}
		if err := t.more(); err != nil {
			return len(t.ahead()), err
		}
	}
}

// need makes sure of n bytes ahead if the part has so many.
func (t *tape) need(n int) ([]byte, error) {
	for len(t.ahead()) < n {
		if err := t.more(); err != nil {
			return t.ahead(), err
		}
	}
	return t.ahead(), nil
}
