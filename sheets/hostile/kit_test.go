package hostile_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// hostile is a text that would like to be more than one.
type hostile struct {
	raw  string // as the XML of a cell has it
	text string // what the cell says then
}

// hostileTexts are what people paste into cells, by mistake or not: what a
// spreadsheet takes for a formula or a command where it is typed or read from a
// list, what would close an XML element or a literal of a formula, what other
// languages take for a template, and characters that are not seen or cannot
// stand in XML (_xHHHH_ is how a workbook writes those: ST_Xstring, ISO/IEC
// 29500-1, 22.9.2.19).
func hostileTexts() []hostile {
	var out []hostile
	for _, s := range []string{
		`=HYPERLINK("http://invalid.example","x")`, `=1+1`, `+1`, `-1`, `@SUM(1)`, `|calc`, `=cmd|' /C x'!A0`,
		`"&A1&"`, `"&HYPERLINK("http://invalid.example")&"`, `'=1`, `''`, `"`, `""`, `"""`, `</t></is><f>1+1</f>`, `&amp;`, `]]>`, `<![CDATA[x]]>`, `{{.}}`, `%s%n`,
		`<>`, `>=0`, `=`, "a\u202Eb", "a\u200Bb", "\u200B", "\uFEFFa", "a\u2028b", "\u00A0", "a\nb", "\n", "a\u0085b",
		"  ", "a", "A ", " a", "A1", "R1C1", "RC", "TRUE", "SUM", "#REF!", "#N/A", "1e5", "0x10", "012", "1,2", "${x}", "$(x)", "`x`", "\\", "{1}", "[1]x!A1", "e\u0301", "é", "日本", "😀",
		"=" + strings.Repeat("long", 40), strings.Repeat("x", 255), strings.Repeat("y", 256), strings.Repeat(`"`, 150), strings.Repeat("w", 32767),
		strings.Repeat(" ", 300), "b" + strings.Repeat(" ", 300),
	} {
		out = append(out, hostile{xmlText.Replace(s), s})
	}
	return append(out, hostile{"&#9;=1+1", "\t=1+1"}, hostile{"_x000D_=1+1", "\r=1+1"}, hostile{"&#61;1+1", "=1+1"},
		hostile{"a_x0000_b", "a\x00b"}, hostile{"a_x0001_b", "a\x01b"}, hostile{"_x0007__x001B_[31m", "\x07\x1b[31m"}, hostile{"_x000B_", "\x0b"}, hostile{"c_x000B_", "c\x0b"}, hostile{"d_x0000_ ", "d\x00 "},
		hostile{"&#x9B;31m", "\u009b31m"}, hostile{"a_xD83D_b", ""}, hostile{"a_xFFFF_b", "a\uFFFFb"}, hostile{"_x005F_x0041_", "_x0041_"})
}

var xmlText = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;")

// placed puts hostile texts where the placeholders «0», «1»... stand in a
// workbook that another program has written.
func placed(t testing.TB, path string, texts []string) string {
	t.Helper()
	mark := regexp.MustCompile(`«(\d+)»`)
	return shop.Repacked(t, path, "xl/sharedStrings.xml", func(s string) string {
		s = strings.ReplaceAll(s, "<t>", `<t xml:space="preserve">`)
		return mark.ReplaceAllStringFunc(s, func(m string) string {
			var n int
			_, err := fmt.Sscanf(m, "«%d»", &n)
			require.NoError(t, err)
			return texts[n]
		})
	})
}

// rawTexts are the hostile texts for [placed], and meekTexts others in their
// stead, for a workbook that is otherwise the same.
func rawTexts() (out []string) {
	for _, h := range hostileTexts() {
		out = append(out, h.raw)
	}
	return out
}

func meekTexts() (out []string) {
	for i := range hostileTexts() {
		out = append(out, fmt.Sprintf("meek%dx", i))
	}
	return out
}

// shapes are the formulas of workbooks with the places and numbers left out, and
// the texts that stand in them.
type shapes struct {
	formulas, texts map[string]bool
}

var (
	// A text, or the title of a sheet, whichever begins first.
	quotedPart = regexp.MustCompile(`"(?:[^"]|"")*"|'(?:[^']|'')*'!`)
	anyCell    = regexp.MustCompile(`\$?\b[A-Z]{1,3}\$?\d+\b`)
	anyColumn  = regexp.MustCompile(`\$[A-Z]{1,3}\b`)
	anyNumber  = regexp.MustCompile(`\b\d+(\.\d+)?([eE][-+]?\d+)?\b`)
)

// shapeOf takes a formula apart: what is left of it without texts, addresses and
// numbers, and the texts.
func shapeOf(formula string) (shape string, texts []string) {
	shape = quotedPart.ReplaceAllStringFunc(formula, func(s string) string {
		if s[0] == '\'' {
			return "S!"
		}
		texts = append(texts, strings.ReplaceAll(s[1:len(s)-1], `""`, `"`))
		return `""`
	})
	shape = anyCell.ReplaceAllString(shape, "R")
	shape = anyColumn.ReplaceAllString(shape, "C")
	return anyNumber.ReplaceAllString(shape, "0"), texts
}

func (s *shapes) add(g sheetstest.Grid) {
	for _, cells := range g {
		for _, v := range cells {
			if v.Formula != "" {
				shape, texts := shapeOf(v.Formula)
				s.formulas[shape] = true
				for _, t := range texts {
					s.texts[t] = true
				}
			}
		}
	}
}

// meekShapes are those of priced workbooks in which nothing is hostile.
func meekShapes(t testing.TB, paths ...string) *shapes {
	t.Helper()
	s := &shapes{formulas: map[string]bool{}, texts: map[string]bool{}}
	for _, p := range paths {
		s.add(sheetstest.Read(t, p))
	}
	require.Greater(t, len(s.formulas), 300)
	return s
}

// strange lists the formulas of a workbook that are none of these shapes, that
// another library cannot take apart, or in which a text stands that is neither
// the program's nor one of the texts given.
func (s *shapes) strange(g sheetstest.Grid, texts []string) (out []string) {
	known := map[string]bool{}
	for _, t := range texts {
		known[t], known[strings.TrimSpace(t)] = true, true
	}
	n := 0
	for sheet, cells := range g {
		for ref, v := range cells {
			if v.Formula == "" {
				continue
			}
			n++
			shape, in := shapeOf(v.Formula)
			if _, err := shop.ParseExpr(v.Formula); err != nil {
				out = append(out, fmt.Sprintf("%s!%s: %v", sheet, ref, err))
			}
			if !s.formulas[shape] {
				out = append(out, fmt.Sprintf("%s!%s: unknown shape: =%.200s (%.200s)", sheet, ref, v.Formula, shape))
			}
			for _, t := range in {
				if !s.texts[t] && !known[t] && !(strings.HasPrefix(v.Formula, "HYPERLINK(") && isPlace(t, g)) {
					out = append(out, fmt.Sprintf("%s!%s: %.80q stands in it: =%.200s", sheet, ref, t, v.Formula))
				}
			}
		}
	}
	if n < 1000 {
		out = append(out, fmt.Sprintf("only %d formulas", n))
	}
	slices.Sort(out)
	return out
}

// isPlace reports whether a text is a cell of the workbook, as a link names it or in
// plain words.
func isPlace(text string, g sheetstest.Grid) bool {
	at := strings.LastIndex(text, "!")
	if at < 0 {
		return false
	}
	if _, err := grid.ParseRange(text[at+1:]); err != nil {
		return false
	}
	for title := range g {
		if text[:at] == title || text[:at] == "#"+grid.QuoteSheet(title) || text[:at] == "#'"+strings.ReplaceAll(title, "'", "''")+"'" {
			return true
		}
	}
	return false
}

var (
	relationTo = regexp.MustCompile(`Target="[^"]*"`)
	linkingOut = regexp.MustCompile(`TargetMode|<hyperlink|externalReference|ddeLink|oleLink|<script|webPublish|externalLink`)
)

// samePackage demands that a workbook has the parts of another, with the same
// relations, and that nothing in it leads anywhere else.
func samePackage(t testing.TB, meek, hostile string) {
	t.Helper()
	want, got := shop.Parts(t, meek), shop.Parts(t, hostile)
	require.Equal(t, shop.PartNames(want), shop.PartNames(got))
	for name, text := range got {
		assert.Empty(t, linkingOut.FindString(text), name)
		if strings.HasSuffix(name, ".rels") {
			assert.Equal(t, relationTo.FindAllString(want[name], -1), relationTo.FindAllString(text, -1), name)
		}
		if name == "[Content_Types].xml" {
			assert.Equal(t, want[name], text)
		}
	}
}
