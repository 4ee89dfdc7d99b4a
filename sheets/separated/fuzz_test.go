package separated

import (
	"strings"
	"testing"
)

// Whatever bytes there are, a list or a reason comes of them; a list, written anew in
// quotes, is the same list.
func FuzzRead(f *testing.F) {
	for _, s := range []string{"OD,Wall\n3,0.047\n", "a;b\r\n1,5;\"x\"\"\ny\"\n", "sep=|\na|b", "\xEF\xBB\xBFa\tb\n", "\"", "a,b\n\"1\"2", "=1+1,-1,007\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		l, err := Read(data)
		if err != nil {
			if l == nil && err.Error() == "" {
				t.Fatal("no reason")
			}
			return
		}
		var b strings.Builder
		for _, r := range l.Rows {
			for i, cell := range r.Cells {
				if i > 0 {
					b.WriteRune(l.Separator)
				}
				b.WriteString(`"` + strings.ReplaceAll(cell, `"`, `""`) + `"`)
				l.Number(cell)
			}
			b.WriteString("\n")
		}
		again, err := split(b.String(), l.Separator, 1)
		if err != nil {
			t.Fatal(err)
		}
		if len(again) != len(l.Rows) {
			t.Fatalf("%d rows, then %d", len(l.Rows), len(again))
		}
		for i, r := range again {
			if strings.Join(r.Cells, "\x00") != strings.Join(l.Rows[i].Cells, "\x00") {
				t.Fatalf("row %d: %q, then %q", i+1, l.Rows[i].Cells, r.Cells)
			}
		}
	})
}
