package earlier_test

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// seenBook is a priced workbook as an independent reader sees it.
type seenBook struct {
	path     string
	formulas string   // which formulas it was worked out by
	titles   []string // of the sheets, in their order
	own      map[string]bool
	grid     sheetstest.Grid
	columns  map[string]map[string]string    // calculated columns: sheet, then column, the figure's key
	names    map[string]string               // with the sheet that they are of: what they point at
	log      []shop.LogEntry                 // lines of the log
	widths   map[string][]float64            // of our sheets
	drawn    []string                        // comments and pictures, with their cells
	blocks   map[string]map[string][]seenRow // of the Summary, by title and what the row is called
}

// seenRow is a row of a block on the Summary.
type seenRow struct {
	row  int
	note string // what the shop has typed beside it
}

func see(t testing.TB, path string) *seenBook {
	t.Helper()
	f, err := excelize.OpenFile(path, excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	defer f.Close()
	b := &seenBook{
		path: path, titles: f.GetSheetList(), own: map[string]bool{}, grid: sheetstest.Read(t, path),
		names: map[string]string{}, widths: map[string][]float64{},
	}
	for _, d := range f.GetDefinedName() {
		b.names[cmp.Or(d.Scope, "Workbook")+"!"+d.Name] = d.RefersTo
		if strings.HasPrefix(d.Name, "seamtally.") {
			title, _ := splitAt(d.RefersTo)
			b.own[title] = true
		}
	}
	for _, title := range b.titles {
		comments, err := f.GetComments(title)
		require.NoError(t, err)
		for _, c := range comments {
			b.drawn = append(b.drawn, fmt.Sprintf("comment on %s!%s: %s", title, c.Cell, c.Text))
		}
		at, err := f.GetPictureCells(title)
		require.NoError(t, err)
		for _, ref := range at {
			pictures, err := f.GetPictures(title, ref)
			require.NoError(t, err)
			for _, p := range pictures {
				b.drawn = append(b.drawn, fmt.Sprintf("picture on %s!%s: %x", title, ref, p.File))
			}
		}
		for col := 1; b.own[title] && col <= 40; col++ {
			name, err := excelize.ColumnNumberToName(col)
			require.NoError(t, err)
			w, err := f.GetColWidth(title, name)
			require.NoError(t, err)
			b.widths[title] = append(b.widths[title], w)
		}
	}
	if b.own["Assumptions"] {
		b.log, b.columns, b.blocks = shop.LogIn(t, path, b.grid), columnsOf(b.grid), blocksOf(b.grid["Summary"])
		b.formulas = b.grid["Assumptions"][fmt.Sprint("C", shop.TableRow(t, b.grid, "Formulas, as of"))].Text
	}
	return b
}

// splitAt parts a reference to a sheet: its title, and the cells.
func splitAt(ref string) (title, cells string) {
	i := strings.LastIndex(ref, "!")
	return strings.ReplaceAll(strings.Trim(ref[:max(i, 0)], "'"), "''", "'"), ref[i+1:]
}

// columnsOf reads the table of columns at the foot of Assumptions.
func columnsOf(g sheetstest.Grid) map[string]map[string]string {
	out, a := map[string]map[string]string{}, g["Assumptions"]
	for ref, v := range a {
		row, isC := strings.CutPrefix(ref, "C")
		if !isC || v.Text != "calculated" || a["E"+row].Formula == "" {
			continue
		}
		title, cell := splitAt(a["E"+row].Formula)
		if out[title] == nil {
			out[title] = map[string]string{}
		}
		col, _, err := excelize.SplitCellName(strings.ReplaceAll(cell, "$", ""))
		if err == nil {
			out[title][col] = a["B"+row].Text
		}
	}
	return out
}

// blocksOf finds the tables on the Summary that have notes.
func blocksOf(s map[string]sheetstest.Value) map[string]map[string][]seenRow {
	out := map[string]map[string][]seenRow{}
	title, note := "", ""
	for row := 1; row < 1000; row++ {
		switch a := s[fmt.Sprint("A", row)]; {
		case a.Text == "No.":
			for col := 'C'; col <= 'Z'; col++ {
				if s[fmt.Sprintf("%c%d", col, row)].Text == "Note" {
					note = string(col)
				}
			}
		case a.Kind == sheetstest.Text:
			title, note = a.Text, ""
		}
		name := s[fmt.Sprint("B", row)].Text
		if note == "" || s[fmt.Sprint("A", row)].Kind != sheetstest.Number {
			continue
		}
		if out[title] == nil {
			out[title] = map[string][]seenRow{}
		}
		out[title][name] = append(out[title][name], seenRow{row, s[fmt.Sprint(note, row)].Text})
	}
	return out
}

// notes counts what the shop has typed beside the rows of the Summary.
func (b *seenBook) notes() (n int) {
	for _, rows := range b.blocks {
		for _, all := range rows {
			for _, r := range all {
				if r.note != "" {
					n++
				}
			}
		}
	}
	return n
}

// shops are the cells of the joint lists and of other sheets that are not the
// program's, by sheet and reference.
func (b *seenBook) shops() sheetstest.Grid {
	out := sheetstest.Grid{}
	for title, cells := range b.grid {
		if b.own[title] {
			continue
		}
		out[title] = map[string]sheetstest.Value{}
		for ref, v := range cells {
			col, _, err := excelize.SplitCellName(ref)
			if err == nil && b.columns[title][col] == "" {
				out[title][ref] = v
			}
		}
	}
	return out
}

// typedOnAssumptions are the cells of Assumptions that are the shop's: by the key
// of the row and the column, or by the name of the table's column and the place
// in it.
func (b *seenBook) typedOnAssumptions() map[string]sheetstest.Value {
	out, a := map[string]sheetstest.Value{}, b.grid["Assumptions"]
	for row := 1; row < b.log[0].Row; row++ {
		key := a[fmt.Sprint("A", row)].Text
		if key == "" || key != strings.ToLower(key) || strings.Contains(key, " ") {
			continue
		}
		for _, col := range []string{"C", "D", "G", "H", "L", "M", "O", "P"} { // value, unit, range, basis, note, reliability, since
			if v, ok := a[fmt.Sprint(col, row)]; ok && v.Formula == "" {
				out[key+" "+col] = v
			}
		}
	}
	for name, ref := range b.names {
		_, name, _ = strings.Cut(name, "!")
		title, cells := splitAt(strings.ReplaceAll(ref, "$", ""))
		from, to, block := strings.Cut(cells, ":")
		if title != "Assumptions" || !block || strings.HasPrefix(name, "seamtally.") || strings.HasPrefix(name, "unit_") || strings.HasPrefix(name, "_") {
			continue
		}
		col, first, err := excelize.SplitCellName(from)
		_, last, err2 := excelize.SplitCellName(to)
		if err != nil || err2 != nil {
			continue
		}
		for row := first; row <= last; row++ {
			if v, ok := a[fmt.Sprint(col, row)]; ok && v.Formula == "" {
				out[fmt.Sprintf("%s, line %d", name, row-first+1)] = v
			}
		}
	}
	return out
}

// lost lists what is the shop's in an earlier workbook and is not, or not as it
// was, in the one that was made of it.
func lost(was, is *seenBook) (out []string) {
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	at := 0
	for _, title := range was.titles {
		i := slices.Index(is.titles, title)
		if i < at {
			say("sheet %s is lost, or stands elsewhere", title)
			continue
		}
		at = i
	}
	differing := func(what string, a, b map[string]sheetstest.Value) {
		for key, v := range a {
			if b[key] != v {
				say("%s %s: %v %q, was %v %q", what, key, b[key], b[key].Formula, v, v.Formula)
			}
		}
	}
	now := is.shops()
	for title, cells := range was.shops() {
		differing(title, cells, now[title])
		for ref, v := range now[title] {
			if _, ok := cells[ref]; !ok {
				say("%s %s: %v, was nothing", title, ref, v)
			}
		}
	}
	differing("Assumptions", was.typedOnAssumptions(), is.typedOnAssumptions())
	for title, rows := range was.blocks {
		for name, all := range rows {
			for i, r := range all {
				if have := is.blocks[title][name]; r.note != "" && (i >= len(have) || have[i].note != r.note) {
					say("Summary, %s, %s: the note %q is not there", title, name, r.note)
				}
			}
		}
	}
	for _, e := range was.log {
		if !slices.ContainsFunc(is.log, e.Same) {
			say("the log's line %v %q is not there, or not as it was", e.No, e.Text("What changed"))
		}
	}
	for name, ref := range was.names {
		if title, _ := splitAt(ref); !was.own[title] && is.names[name] != ref {
			say("name %s: %q, was %q", name, is.names[name], ref)
		}
	}
	for _, d := range was.drawn {
		if !slices.Contains(is.drawn, d) {
			say("%.100s: is not there", d)
		}
	}
	for title, widths := range was.widths {
		for i, w := range widths {
			if have := is.widths[title]; i >= len(have) || have[i] != w {
				say("%s: column %d was %v wide", title, i+1, w)
			}
		}
	}
	slices.Sort(out)
	return out
}
