package worksheet

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"seamtally/sheets/part/markup"
)

// PaperSize is the size of paper that a worksheet part names (ECMA-376 part 1, 18.3.1.63),
// 0 where it names none.
func PaperSize(src []byte) int {
	at := bytes.LastIndex(src, []byte("pageSetup "))
	if at < 0 {
		return 0
	}
	tag, _, _ := strings.Cut(string(src[at:min(at+500, len(src))]), ">")
	n, _ := strconv.Atoi(between(tag, ` paperSize="`, `"`)) // none: 0
	return n
}

// SetFooter gives a worksheet part the footer of its pages, if it has one
// already; without one it stays as it is. name is for messages. The cells, of which
// there may be very many, are passed over as a stream.
func SetFooter(name string, src []byte, footer string) ([]byte, error) {
	r := markup.NewReader(bytes.NewReader(src))
	_, err := r.Root("worksheet")
	for err == nil {
		if err = r.Next(); err != nil || r.Depth() == 0 {
			break
		}
		t := r.Tok
		switch {
		case t.Kind != markup.Start, r.Depth() == 2 && t.Main && t.Local == "headerFooter":
		case r.Depth() == 3 && t.Main && t.Local == "oddFooter":
			cut := markup.Cut{From: int(t.End), Text: markup.Escape(footer, false)}
			was, err := r.Text(nil)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", name, err)
			}
			if string(was) == footer || t.Closed { // the shop has emptied it
				return src, nil
			}
			var out bytes.Buffer
			cut.To = int(r.Tok.Off)
			err = markup.ApplyCuts(&out, bytes.NewReader(src), []markup.Cut{cut})
			return out.Bytes(), err
		default:
			err = r.Skip()
		}
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return src, nil
}
