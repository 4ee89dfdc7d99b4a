package worksheet

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/parttest"
)

// sheetModel is a random sheet: each row as written, and what is in it.
type sheetModel struct {
	head, tail string
	rows       []rowModel
	strings    Strings
}

type rowModel struct {
	num   int
	text  string
	cells map[int]Cell
}

func (m sheetModel) String() string {
	var b strings.Builder
	b.WriteString(m.head)
	for _, r := range m.rows {
		b.WriteString(r.text)
	}
	return b.String() + m.tail
}

// drawSheet draws a sheet with gaps, implied places, self-closed rows, every
// kind of cell, in one of several dresses.
func drawSheet(t *rapid.T) sheetModel {
	prefix := rapid.SampledFrom([]string{"", "x:", "main:"}).Draw(t, "prefix")
	space := rapid.SampledFrom([]string{markup.SheetNS, markup.StrictSheetNS}).Draw(t, "space")
	blank := rapid.SampledFrom([]string{"", "\n", "\r\n  "}).Draw(t, "blank")
	decl := "xmlns"
	if prefix != "" {
		decl += ":" + strings.TrimSuffix(prefix, ":")
	}
	m := sheetModel{
		head:    fmt.Sprintf(`<%sworksheet %s="%s">%s<%ssheetPr/><!-- x --><%ssheetData>%s`, prefix, decl, space, blank, prefix, prefix, blank),
		tail:    fmt.Sprintf(`</%ssheetData>%s<%spageMargins left="1"/></%sworksheet>%s`, prefix, blank, prefix, prefix, blank),
		strings: stringsOfWords("zero", "one", " two "),
	}
	num := 0
	for range rapid.IntRange(0, 6).Draw(t, "rows") {
		num += rapid.SampledFrom([]int{1, 1, 2, 5}).Draw(t, "step")
		m.rows = append(m.rows, drawRow(t, num, m.rows, prefix, blank))
	}
	return m
}

func stringsOfWords(words ...string) Strings {
	var s Strings
	for _, w := range words {
		s.all += w
		s.end = append(s.end, len(s.all))
	}
	return s
}

func drawRow(t *rapid.T, num int, before []rowModel, prefix, blank string) rowModel {
	r := rowModel{num: num, cells: map[int]Cell{}}
	var b strings.Builder
	fmt.Fprintf(&b, "<%srow", prefix)
	implied := num == 1 || len(before) > 0 && before[len(before)-1].num == num-1
	if !implied || rapid.Bool().Draw(t, "row number") {
		fmt.Fprintf(&b, ` r="%d"`, num)
	}
	if rapid.Bool().Draw(t, "spans") {
		b.WriteString(` spans="1:2"`)
	}
	n := rapid.IntRange(0, 5).Draw(t, "cells")
	if n == 0 && rapid.Bool().Draw(t, "closed") {
		r.text = b.String() + "/>" + blank
		return r
	}
	b.WriteString(">")
	col := 0
	for range n {
		step := rapid.SampledFrom([]int{1, 1, 2, 4}).Draw(t, "gap")
		col += step
		b.WriteString(blank)
		ref := ""
		if step > 1 || rapid.Bool().Draw(t, "reference") {
			ref = fmt.Sprintf(` r="%s"`, grid.Ref(num, col))
		}
		text, cell := drawCell(t, ref, prefix)
		b.WriteString(text)
		r.cells[col] = cell
	}
	fmt.Fprintf(&b, "%s</%srow>%s", blank, prefix, blank)
	r.text = b.String()
	return r
}

func drawCell(t *rapid.T, ref, prefix string) (string, Cell) {
	c := Cell{Style: rapid.IntRange(0, 2).Draw(t, "style")}
	style := ""
	if c.Style > 0 || rapid.Bool().Draw(t, "say style 0") {
		style = fmt.Sprintf(` s="%d"`, c.Style)
	}
	text := ""
	switch rapid.IntRange(0, 6).Draw(t, "cell") {
	case 0:
		text = fmt.Sprintf("<c%s%s/>", ref, style)
	case 1:
		c.Kind, c.Num = Number, float64(rapid.IntRange(0, 3).Draw(t, "number"))
		text = fmt.Sprintf("<c%s%s><v>%v.0</v></c>", ref, style, c.Num)
	case 2:
		i := rapid.IntRange(0, 2).Draw(t, "string")
		c.Kind, c.Text = Text, []string{"zero", "one", " two "}[i]
		text = fmt.Sprintf(`<c%s t="s"%s><v>%d</v></c>`, ref, style, i)
	case 3:
		c.Kind, c.Text = Text, "one"
		text = fmt.Sprintf(`<c%s t="inlineStr"%s><is><t>o</t><r><t>ne</t></r></is></c>`, ref, style)
	case 4:
		c.Kind, c.Num, c.Formula, c.HasFormula = Number, 1, "A1+1", true
		text = fmt.Sprintf(`<c%s%s><f>A1+1</f><v>1</v></c>`, ref, style)
	case 5:
		c.Kind, c.Num = Bool, 1
		text = fmt.Sprintf(`<c%s%s t='b'><v>1</v></c>`, ref, style)
	case 6:
		c.Kind, c.Text, c.Formula, c.HasFormula = Error, "#N/A", "NA()", true
		text = fmt.Sprintf(`<c%s%s t="e"><f>NA()</f><v>#N/A</v></c>`, ref, style)
	}
	return strings.NewReplacer("</", "</"+prefix, "<", "<"+prefix).Replace(text), c
}

func drawEdits(t *rapid.T) edits {
	ed := edits{}
	for _, num := range rapid.SliceOfNDistinct(rapid.IntRange(1, 14), 0, 5, rapid.ID).Draw(t, "edited rows") {
		var row RowEdit
		col := 0
		for range rapid.IntRange(0, 5).Draw(t, "edits") {
			col += rapid.IntRange(1, 4).Draw(t, "column step")
			row.Cells = append(row.Cells, drawNewCell(t, col))
		}
		ed[num] = row
	}
	return ed
}

func drawNewCell(t *rapid.T, col int) NewCell {
	c := NewCell{Col: col, Style: rapid.IntRange(-1, 2).Draw(t, "new style"), Op: rapid.SampledFrom([]Op{Set, Set, Set, Clear, Remove}).Draw(t, "op")}
	if c.Op != Set {
		return c
	}
	c.Kind = rapid.SampledFrom([]Kind{Empty, Number, Text, Bool, Error}).Draw(t, "kind")
	c.Formula = rapid.SampledFrom([]string{"", "", "A1+1", "NA()", `"<&>"&A1`}).Draw(t, "formula")
	switch c.Kind {
	case Number:
		c.Num = rapid.OneOf(rapid.Float64(), rapid.Map(rapid.IntRange(0, 3), func(i int) float64 { return float64(i) })).Draw(t, "new number")
	case Bool:
		c.Num = float64(rapid.IntRange(0, 1).Draw(t, "new bool"))
	case Text:
		c.Text = rapid.OneOf(rapid.SampledFrom([]string{"one", " two ", "_x0041_", "a\r\n"}), rapid.StringN(0, 12, -1)).Draw(t, "new text")
	case Error:
		c.Text = rapid.SampledFrom([]string{"#N/A", "#DIV/0!"}).Draw(t, "new error")
	}
	return c
}

// applied is what an edit makes of a cell, and whether the cell is there.
func (c NewCell) applied(old Cell, exists bool) (Cell, bool) {
	style := c.Style
	if style < 0 {
		style = old.Style // 0 where there is none
	}
	switch {
	case c.Op == Remove:
		return Cell{}, false
	case c.Op == Clear:
		return Cell{Style: style}, exists || c.Style >= 0
	}
	return Cell{Kind: c.Kind, Num: c.Num, Text: c.Text, Formula: c.Formula, HasFormula: c.Formula != "", Style: style}, true
}

// Random edits of a random sheet: what is read back is the old sheet with the
// edits applied one by one; rows without edits and all around keep their
// bytes; doing it again changes nothing.
func TestSpliceProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, ed := drawSheet(t), drawEdits(t)
		was := m.String()
		want := map[string]Cell{}
		for _, r := range m.rows {
			for col, c := range r.cells {
				want[grid.Ref(r.num, col)] = c
			}
		}
		for num, row := range ed {
			for _, c := range row.Cells {
				old, exists := want[grid.Ref(num, c.Col)]
				delete(want, grid.Ref(num, c.Col))
				if cell, stays := c.applied(old, exists); stays {
					want[grid.Ref(num, c.Col)] = cell
				}
			}
		}
		var once, twice bytes.Buffer
		change := Edit{Editor: ed, Strings: m.strings}
		require.NoError(t, Splice(&once, strings.NewReader(was), change))
		got := map[string]Cell{}
		info, err := Read(bytes.NewReader(once.Bytes()), m.strings, func(r *Row) error {
			for _, c := range r.Cells {
				ref := grid.Ref(c.Row, c.Col)
				c.Row, c.Col = 0, 0
				got[ref] = c
			}
			return nil
		})
		require.NoError(t, err, once.String())
		require.Equal(t, want, got, "%s\n->\n%s", was, once.String())
		require.Equal(t, len(want), info.Cells)

		now := once.String()
		require.True(t, strings.HasPrefix(now, m.head), now)
		require.True(t, strings.HasSuffix(now, m.tail), now)
		rest := now
		for _, r := range m.rows {
			if len(ed[r.num].Cells) > 0 {
				continue
			}
			_, after, found := strings.Cut(rest, r.text)
			require.True(t, found, "row %d is not as it was:\n%s\n->\n%s", r.num, was, now)
			rest = after
		}
		require.NoError(t, Splice(&twice, strings.NewReader(now), change))
		require.Equal(t, now, twice.String())

		var same bytes.Buffer
		require.NoError(t, Splice(&same, strings.NewReader(was), Edit{Editor: edits{}, Strings: m.strings}))
		require.Equal(t, was, same.String(), "without edits nothing changes")
	})
}

// Column definitions laid over read back as a table of columns says.
func TestSpliceColumnsProperty(t *testing.T) {
	const most = 12
	draw := func(t *rapid.T, label string) (list []Col) {
		from := 1
		for range rapid.IntRange(0, 4).Draw(t, label) {
			c := Col{Min: from + rapid.IntRange(0, 2).Draw(t, "skip"), Style: rapid.IntRange(-1, 2).Draw(t, "style")}
			c.Max = c.Min + rapid.IntRange(0, 3).Draw(t, "more")
			c.Width = float64(rapid.IntRange(0, 3).Draw(t, "width"))
			c.Hidden = rapid.Bool().Draw(t, "hidden")
			c.OutlineLevel = rapid.IntRange(0, 2).Draw(t, "level")
			if c.Max > most {
				break
			}
			list = append(list, c)
			from = c.Max + 1
		}
		return list
	}
	table := func(cols []Col) map[int]Col {
		m := map[int]Col{}
		for _, c := range cols {
			for i := c.Min; i <= c.Max; i++ {
				one := c
				one.Min, one.Max = i, i
				m[i] = one
			}
		}
		return m
	}
	rapid.Check(t, func(t *rapid.T) {
		old, lay, gone := draw(t, "old"), draw(t, "laid"), draw(t, "gone")
		var first, once, twice bytes.Buffer
		plain := `<worksheet xmlns="` + markup.SheetNS + `"><sheetData/></worksheet>`
		require.NoError(t, Splice(&first, strings.NewReader(plain), Edit{Cols: old}))
		require.NoError(t, Splice(&once, bytes.NewReader(first.Bytes()), Edit{Cols: lay, RemoveCols: gone}))
		want := table(old)
		for i := range table(gone) {
			delete(want, i)
		}
		for i, c := range table(lay) {
			have, ok := want[i]
			if c.Width == 0 {
				c.Width = have.Width
			}
			if c.Style < 0 {
				c.Style = -1
				if ok {
					c.Style = have.Style
				}
			}
			want[i] = c
		}
		info, err := Read(bytes.NewReader(once.Bytes()), Strings{}, nil)
		require.NoError(t, err)
		got := table(info.Cols)
		for i := 1; i <= most; i++ {
			// Style 0 and no style are one thing.
			g, w := got[i], want[i]
			g.Style, w.Style = max(g.Style, 0), max(w.Style, 0)
			require.Equal(t, w, g, "column %d:\n%s\n->\n%s", i, first.String(), once.String())
		}
		require.NoError(t, Splice(&twice, bytes.NewReader(once.Bytes()), Edit{Cols: lay, RemoveCols: gone}))
		again, err := Read(bytes.NewReader(twice.Bytes()), Strings{}, nil)
		require.NoError(t, err)
		require.Equal(t, table(info.Cols), table(again.Cols))
	})
}

// A number written reads back as the same float64 through the whole round.
func TestSpliceNumbersExactly(t *testing.T) {
	values := []float64{0.1, 1.0 / 3, math.Pi, 1e300, 5e-324, -2.5, 123456789012345680, 0.30000000000000004}
	var row RowEdit
	for i, v := range values {
		row.Cells = append(row.Cells, num(i+1, v))
	}
	got := readCells(t, splice(t, parttest.Sheet(""), Edit{Editor: edits{1: row}}), Strings{})
	for i, v := range values {
		assert.Equal(t, v, got[grid.Ref(1, i+1)].Num)
	}
}
