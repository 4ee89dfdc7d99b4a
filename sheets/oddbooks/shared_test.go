package oddbooks_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// filledDown makes the formulas of a column of ours shared ones, as a
// spreadsheet writes a column that was filled down: the first cell holds the
// formula, the others point to it.
func filledDown(t *testing.T, path, col string, first, last int) string {
	t.Helper()
	return shop.Repacked(t, path, "xl/worksheets/sheet1.xml", func(s string) string {
		for row := first; row <= last; row++ {
			cell := regexp.MustCompile(fmt.Sprintf(`(<c r="%s%d"[^>]*>)<f>([^<]*)</f>`, col, row))
			m := cell.FindStringSubmatch(s)
			require.NotNil(t, m, "%s%d", col, row)
			f := `<f t="shared" si="0"/>`
			if row == first {
				f = fmt.Sprintf(`<f t="shared" ref="%s%d:%s%d" si="0">%s</f>`, col, first, col, last, m[2])
			}
			s = strings.Replace(s, m[0], m[1]+f, 1)
		}
		return s
	})
}

func TestOurColumnFilledDown(t *testing.T) {
	joint := func(mark string, od any) shop.Row {
		r := shop.Butt(mark)
		r[4] = od
		return r
	}
	clean, first := shop.Price(t, shop.Small(t, joint("J-1", 3), joint("J-2", 2.5), joint("J-3", 2)))
	col := shop.OurColumn(t, sheetstest.Read(t, clean), "Joints", "arc_time")
	shared := filledDown(t, clean, col, 2, 4)

	again, rep := shop.Price(t, shared)
	assert.Equal(t, first.Order, rep.Order)
	assert.Empty(t, rep.Findings, "a formula shared is no formula changed")
	assert.True(t, shop.Content(t, shared) == shop.Content(t, again), "shared formulas that say the same stay as they are")

	// The row that holds the formula of all is not priced any more: theirs must
	// be spelled out.
	out, rep := shop.Price(t, typeInPart(t, shared, "E2", ""))
	require.Equal(t, 1, rep.LeftOut, "%v", rep.Findings)
	was, is := sheetstest.Read(t, clean)["Joints"], sheetstest.Read(t, out)["Joints"]
	assert.Empty(t, is[col+"2"].Formula)
	for _, row := range []string{"3", "4"} {
		assert.Equal(t, was[col+row].Formula, is[col+row].Formula)
		assert.Equal(t, was[col+row].Num, is[col+row].Num)
	}

	back := sheetstest.Read(t, shop.Cleared(t, shared))["Joints"]
	for ref, v := range back {
		assert.Empty(t, v.Formula, ref)
	}
}

// typeInPart puts a value, "" for none, into a cell that holds a number, at the
// level of the file: a library would spell out what is shared.
func typeInPart(t *testing.T, path, ref, value string) string {
	t.Helper()
	return shop.Repacked(t, path, "xl/worksheets/sheet1.xml", func(s string) string {
		cell := regexp.MustCompile(`<c r="` + ref + `"[^>]*><v>[^<]*</v></c>`)
		require.True(t, cell.MatchString(s), ref)
		if value == "" {
			return cell.ReplaceAllString(s, "")
		}
		return cell.ReplaceAllString(s, `<c r="`+ref+`"><v>`+value+`</v></c>`)
	})
}

// An array formula of the shop's over several cells of ours cannot be written
// into: the workbook is refused, with the cell.
func TestArrayFormulaOverOurCells(t *testing.T) {
	clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")))
	col := shop.OurColumn(t, sheetstest.Read(t, clean), "Joints", "arc_time")
	in := shop.Repacked(t, clean, "xl/worksheets/sheet1.xml", func(s string) string {
		for row, f := range map[int]string{2: fmt.Sprintf(`<f t="array" ref="%s2:%s3">{1;2}</f><v>1</v>`, col, col), 3: "<v>2</v>"} {
			cell := regexp.MustCompile(fmt.Sprintf(`<c r="%s%d"[^>]*>.*?</c>`, col, row))
			s = strings.Replace(s, cell.FindString(s), fmt.Sprintf(`<c r="%s%d">%s</c>`, col, row, f), 1)
		}
		return s
	})
	_, err := shop.PriceOrNot(t, in)
	require.ErrorContains(t, err, col+"2")
}
