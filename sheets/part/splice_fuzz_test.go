package part

import (
	"bytes"
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func seedSheets() []string {
	return []string{
		wrapSheet(`<row r="1" spans="1:2"><c r="A1" s="1"><v>1</v></c><c r="B1" t="s"><v>0</v></c></row><row r="3"/>`),
		wrapSheet(`<row><c><v>1</v></c><c t="str"><f>A1&amp;"x"</f><v>1x</v></c></row>`),
		wrapSheet(`<row r="2"><c r="B2"><f t="shared" ref="B2:B3" si="0">A2</f></c></row><row r="3"><c r="B3"><f t="shared" si="0"/></c></row>`),
		wrapSheet(`<row r="2"><c r="B2"><f t="array" ref="B2:C3">A2:B3</f></c></row>`),
		`<x:worksheet xmlns:x="` + strictSheetNS + `"><x:sheetPr/><x:cols><x:col min="1" max="9"/></x:cols><x:sheetData/></x:worksheet>`,
		`<worksheet xmlns="` + sheetNS + `"/>`,
		"\xEF\xBB\xBF<?xml version=\"1.0\"?>" + wrapSheet("")[55:],
		"\xFF\xFE<\x00",
		wrapSheet(`<row r="1"><c r="A1" t="inlineStr"><is><t>_x0041_<![CDATA[x]]></t></is></c></row><!-- c --><?p i?>`),
	}
}

// FuzzReadSheet: what is read as a sheet is well-formed by the standard
// decoder, and any other input is an error and no panic.
func FuzzReadSheet(f *testing.F) {
	for _, s := range seedSheets() {
		f.Add(s)
	}
	ss := stringsOfWords("zero")
	f.Fuzz(func(t *testing.T, sheet string) {
		row, col := 0, 0
		_, err := ReadSheet(strings.NewReader(sheet), ss, func(r *Row) error {
			require.Greater(t, r.Num, row)
			row, col = r.Num, 0
			for _, c := range r.Cells {
				require.Greater(t, c.Col, col)
				col = c.Col
			}
			return nil
		})
		if err != nil {
			return
		}
		d := xml.NewDecoder(strings.NewReader(sheet))
		for {
			if _, err := d.Token(); err == io.EOF {
				return
			} else if err != nil {
				t.Fatalf("read as a sheet, and not well-formed: %v", err)
			}
		}
	})
}

// FuzzSplice: a sheet that can be spliced reads back with the cells that were
// written, and a second run changes nothing.
func FuzzSplice(f *testing.F) {
	for i, s := range seedSheets() {
		f.Add(s, i%4+1, i%5+1, "text", 1.5)
	}
	ss := stringsOfWords("zero")
	f.Fuzz(func(t *testing.T, sheet string, row, col int, text string, v float64) {
		if row < 1 || row > MaxRow || col < 1 || col > MaxCol-3 || v-v != 0 || len(text) > 1000 {
			return
		}
		right := false
		text = strings.ToValidUTF8(text, "?")
		change := SheetEdit{
			Editor: edits{row: {Cells: []NewCell{
				{Col: col, Kind: Number, Num: v, Style: -1}, {Col: col + 1, Kind: Text, Text: text},
				{Col: col + 2, Op: Remove}, {Col: col + 3, Kind: Text, Text: text, Formula: "A1"},
			}}},
			Strings: ss, Extent: Ref(row, col), Cols: []Col{{Min: col, Max: col, Width: 9, OutlineLevel: 1}}, SummaryRight: &right,
		}
		var once, twice bytes.Buffer
		if err := Splice(&once, strings.NewReader(sheet), change); err != nil {
			return
		}
		found := 0
		_, err := ReadSheet(bytes.NewReader(once.Bytes()), ss, func(r *Row) error {
			for _, c := range r.Cells {
				if c.Row != row {
					continue
				}
				switch c.Col {
				case col:
					require.True(t, c.Kind == Number && c.Num == v && !c.HasFormula, "%+v", c)
					found++
				case col + 1:
					require.Equal(t, text, c.Text)
					found++
				case col + 2:
					t.Fatal("removed, and there")
				case col + 3:
					require.Equal(t, "A1", c.Formula)
					require.Equal(t, text, c.Text)
					found++
				}
			}
			return nil
		})
		require.NoError(t, err, once.String())
		require.Equal(t, 3, found, once.String())
		require.NoError(t, Splice(&twice, bytes.NewReader(once.Bytes()), change))
		require.Equal(t, once.String(), twice.String())
	})
}

func FuzzMoveFormula(f *testing.F) {
	f.Add(`IF(A1>"x""A1",'A 1'!B2,T[[#This Row],[A]])+SUM(1:3,A:$B)`, 2, -1)
	f.Fuzz(func(t *testing.T, formula string, dRow, dCol int) {
		dRow, dCol = dRow%1000, dCol%1000
		moved := moveFormula(formula, dRow, dCol)
		if !strings.Contains(moved, refError) {
			// Canonical after one move, so that there and back is the same.
			there := moveFormula(moved, 3, 3)
			if !strings.Contains(there, refError) {
				require.Equal(t, moved, moveFormula(there, -3, -3))
			}
		}
	})
}
