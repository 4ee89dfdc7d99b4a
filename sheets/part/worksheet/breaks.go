package worksheet

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"seamtally/sheets/part/markup"
)

// SetRowBreaks gives a worksheet part the rows that begin a new page in print; none
// takes those out that there are. A part without a footer stays as it is: its pages are
// somebody else's. name is for messages.
func SetRowBreaks(name string, src []byte, rows []int) ([]byte, error) {
	r := markup.NewReader(bytes.NewReader(src))
	_, err := r.Root("worksheet")
	var cut *markup.Cut
	prefix := ""
	for err == nil {
		if err = r.Next(); err != nil || r.Depth() == 0 {
			break
		}
		t := r.Tok
		if t.Kind != markup.Start {
			continue
		}
		local := t.Local
		err = r.Skip()
		switch {
		case err != nil || !t.Main:
		case local == "headerFooter":
			cut, prefix = &markup.Cut{From: int(r.Tok.End), To: int(r.Tok.End)}, t.Prefix
		case local == "rowBreaks" && cut != nil:
			cut = &markup.Cut{From: int(t.Off), To: int(r.Tok.End)}
		}
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if cut == nil {
		return src, nil
	}
	cut.Text = rowBreaks(prefix, rows)
	if string(src[cut.From:cut.To]) == cut.Text {
		return src, nil
	}
	var out bytes.Buffer
	err = markup.ApplyCuts(&out, bytes.NewReader(src), []markup.Cut{*cut})
	return out.Bytes(), err
}

func rowBreaks(prefix string, rows []int) string {
	if len(rows) == 0 {
		return ""
	}
	n := strconv.Itoa(len(rows))
	var b strings.Builder
	b.Write(markup.AppendName([]byte{'<'}, prefix, "rowBreaks"))
	b.WriteString(` count="` + n + `" manualBreakCount="` + n + `">`)
	for _, row := range rows {
		b.Write(markup.AppendName([]byte{'<'}, prefix, "brk"))
		b.WriteString(` id="` + strconv.Itoa(row-1) + `" max="16383" man="1"/>`)
	}
	b.Write(markup.AppendEnd(nil, prefix, "rowBreaks"))
	return b.String()
}
