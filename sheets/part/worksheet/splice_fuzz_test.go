package worksheet

import (
	"bytes"
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/parttest"
)

// FuzzReadSheet: what is read as a sheet is well-formed by the standard
// decoder, and any other input is an error and no panic.
func FuzzReadSheet(f *testing.F) {
	for _, s := range parttest.Sheets() {
		f.Add(s)
	}
	ss := stringsOfWords("zero")
	f.Fuzz(func(t *testing.T, sheet string) {
		row, col := 0, 0
		_, err := Read(strings.NewReader(sheet), ss, func(r *Row) error {
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
	for i, s := range parttest.Sheets() {
		f.Add(s, i%4+1, i%5+1, "text", 1.5)
	}
	ss := stringsOfWords("zero")
	f.Fuzz(func(t *testing.T, sheet string, row, col int, text string, v float64) {
		if row < 1 || row > grid.MaxRow || col < 1 || col > grid.MaxCol-3 || v-v != 0 || len(text) > 1000 {
			return
		}
		right := false
		text = strings.ToValidUTF8(text, "?")
		change := Edit{
			Editor: edits{row: {Cells: []NewCell{
				{Col: col, Kind: Number, Num: v, Style: -1}, {Col: col + 1, Kind: Text, Text: text},
				{Col: col + 2, Op: Remove}, {Col: col + 3, Kind: Text, Text: text, Formula: "A1"},
			}}},
			Strings: ss, Extent: grid.Ref(row, col), Cols: []Col{{Min: col, Max: col, Width: 9, OutlineLevel: 1}}, SummaryRight: &right,
		}
		var once, twice bytes.Buffer
		if err := Splice(&once, strings.NewReader(sheet), change); err != nil {
			return
		}
		found := 0
		_, err := Read(bytes.NewReader(once.Bytes()), ss, func(r *Row) error {
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
