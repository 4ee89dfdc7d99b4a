package separated

import (
	"fmt"
	"strings"
	"testing"
)

// BenchmarkWorkbook is a list of ten thousand rows read, and made a workbook.
func BenchmarkWorkbook(b *testing.B) {
	var text strings.Builder
	text.WriteString("Mark,Car,Kind,Qty,OD (in),Wall (in),Bend,Note\n")
	for i := range 10000 {
		fmt.Fprintf(&text, "J%d,Demo car,butt,2,3,0.049,,note %d\n", i, i)
	}
	for b.Loop() {
		l, err := Read([]byte(text.String()))
		if err != nil {
			b.Fatal(err)
		}
		if _, err := l.Workbook("Joints"); err != nil {
			b.Fatal(err)
		}
	}
}
