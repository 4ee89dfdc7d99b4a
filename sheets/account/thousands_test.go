package account_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/sheets/sheetstest/shop"
)

// A column of numbers with signs between their thousands holds numbers: it may be the
// tube, and is asked about. Words in its place are not.
func TestThousandsInAColumnThatIsNotRead(t *testing.T) {
	for _, c := range []struct {
		cell string
		asks bool
	}{{"1'200", true}, {"1 200", true}, {"1,200", true}, {"1.200", true}, {"~6", true}, {"0.047", true}, {"see drawing", false}} {
		in := workbook(t, tab{"Coupe", []shop.Row{{"Joint", "OD (mm)", "Wall (mm)", "Kind", "Zzz"}, {"J1", 76, 1.2, "butt", c.cell}}})
		open := false
		for _, f := range shop.ReportOf(t, in).Findings {
			open = open || f.Check != "" && f.Cell == "Coupe!E1"
		}
		assert.Equal(t, c.asks, open, c.cell)
	}
}
