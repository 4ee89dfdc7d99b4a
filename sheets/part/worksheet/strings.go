package worksheet

import (
	"fmt"
	"io"
	"strings"

	"seamtally/sheets/part/markup"
)

// Strings is the table of shared strings. The zero value is an empty table.
type Strings struct {
	all string
	end []int
}

// Len is the number of strings.
func (s Strings) Len() int { return len(s.end) }

// At gives string i, counting from 0.
func (s Strings) At(i int) (string, bool) {
	if i < 0 || i >= len(s.end) {
		return "", false
	}
	from := 0
	if i > 0 {
		from = s.end[i-1]
	}
	return s.all[from:s.end[i]], true
}

// The most that a table of shared strings may hold, as it is held in memory:
// bytes of text, and strings.
const (
	maxSharedText = 128 << 20
	maxShared     = 8 << 20
)

// ReadStrings reads a shared strings part: rich text flattened, phonetic
// runs left out, _xHHHH_ escapes decoded. A table of more than 128 MB of text,
// or of more than 8 million strings, is an error.
func ReadStrings(r io.Reader) (Strings, error) {
	p := markup.NewReader(r)
	if _, err := p.Root("sst"); err != nil {
		return Strings{}, fmt.Errorf("shared strings: %w", err)
	}
	var all strings.Builder
	var end []int
	var buf []byte
	for {
		err := p.Next()
		if err == io.EOF {
			return Strings{all: all.String(), end: end}, nil
		}
		if err == nil && p.Tok.Kind == markup.Start && p.Tok.Main && p.Tok.Local == "si" && p.Depth() == 2 {
			if buf, err = rich(p, buf[:0]); err == nil {
				all.WriteString(markup.UnescapeText(buf))
				end = append(end, all.Len())
			}
			if err == nil && (all.Len() > maxSharedText || len(end) > maxShared) {
				err = p.Errorf("more than %d MB of text, or %d strings; split the workbook", maxSharedText>>20, maxShared)
			}
		}
		if err != nil {
			return Strings{}, fmt.Errorf("shared strings: %w", err)
		}
	}
}

// rich appends the text of the rich text container just started (si or is):
// its own t and that of its runs; phonetic runs are left out.
func rich(p *markup.Reader, dst []byte) ([]byte, error) {
	inside := p.Depth()
	for {
		err := p.Next()
		if err != nil {
			return dst, err
		}
		if p.Depth() < inside {
			return dst, nil
		}
		if p.Tok.Kind != markup.Start || !p.Tok.Main {
			continue
		}
		switch p.Tok.Local {
		case "t":
			dst, err = p.Text(dst)
		case "rPh":
			err = p.Skip()
		}
		if err != nil {
			return dst, err
		}
	}
}
