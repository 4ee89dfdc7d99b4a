package separated

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

func cells(l *List) (out [][]string) {
	for _, r := range l.Rows {
		out = append(out, r.Cells)
	}
	return out
}

// The separator is the one that makes even rows; quotes hold what they hold, and are
// letters elsewhere. Quoting is that of RFC 4180, sections 2.5 to 2.7; the line sep= is
// a spreadsheet program's, from memory.
func TestSeparators(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		sep  rune
		want [][]string
	}{
		"commas":         {"OD,Wall\n3,0.047\n", ',', [][]string{{"OD", "Wall"}, {"3", "0.047"}}},
		"mark of UTF-8":  {"\xEF\xBB\xBFOD,Wall\r\n3,0.047\r\n", ',', [][]string{{"OD", "Wall"}, {"3", "0.047"}}},
		"tabs":           {"OD\tWall\n3\t0.047", '\t', [][]string{{"OD", "Wall"}, {"3", "0.047"}}},
		"semicolons":     {"OD;Wall;Qty\n76,2;1,2;3\n63,5;1,2;4\n", ';', [][]string{{"OD", "Wall", "Qty"}, {"76,2", "1,2", "3"}, {"63,5", "1,2", "4"}}},
		"commas in both": {"OD, in;Wall, in;Note\n3;0.047;a, b\n2;0.035;c\n", ';', [][]string{{"OD, in", "Wall, in", "Note"}, {"3", "0.047", "a, b"}, {"2", "0.035", "c"}}},
		"it says":        {"sep=|\nOD|Wall,x\n", '|', [][]string{{"OD", "Wall,x"}}},
		"quotes":         {"a,\"b, \"\"c\"\"\nd\",e\"\n1,2,3\n", ',', [][]string{{"a", "b, \"c\"\nd", `e"`}, {"1", "2", "3"}}},
		"inches":         {"OD,Wall\n3\",0.047\"\n", ',', [][]string{{"OD", "Wall"}, {`3"`, `0.047"`}}},
		"blank cells":    {"a,,c\n,,\n", ',', [][]string{{"a", "", "c"}, {"", "", ""}}},
		"a title above":  {"Demo; list\n\na,b,c\n1,2,3\n4,5,6\n", ',', [][]string{{"Demo; list"}, {""}, {"a", "b", "c"}, {"1", "2", "3"}, {"4", "5", "6"}}},
		"one column":     {"a\nb\n", '\t', [][]string{{"a"}, {"b"}}},
		"quoted last":    {"a,\"b\"", ',', [][]string{{"a", "b"}}},
	} {
		l, err := Read([]byte(c.text))
		require.NoError(t, err, name)
		assert.Equal(t, string(c.sep), string(l.Separator), name)
		assert.Equal(t, c.want, cells(l), name)
	}
	l, err := Read([]byte("a,\"b\nc\"\nd,e\n"))
	require.NoError(t, err)
	assert.Equal(t, 3, l.Rows[1].Line, "lines are those of the file")
}

// What is not clear is refused, with its line and what to do.
func TestUnclear(t *testing.T) {
	for text, says := range map[string]string{
		"OD,Wall\n\xE9,1\n":                  "line 2: letters that are not UTF-8; save the list as CSV UTF-8",
		"\xFF\xFEO\x00D\x00":                 "UTF-16; save it as CSV UTF-8",
		"PK\x03\x04rest":                     "it is a workbook under the name of a list",
		"\xD0\xCF\x11\xE0rest":               "it is a workbook under the name of a list",
		"OD,Wall\n1,\x00\n":                  "line 2: a control character",
		"OD,Wall\n1,\"2\n3,4\n":              "line 2: a quotation mark that begins a cell is never closed",
		"OD,Wall\n\"1\"2,3\n":                "line 2: text behind a cell in quotation marks",
		"a;b,c\n1;2,3\n":                     "may be separated by semicolons or by commas; write sep=; or sep=, on a line above it",
		"sep=\nOD,Wall\n":                    "sep= names no separator",
		"OD;Wall\n76,2;1\n63;1.2\n":          `line 2: "76,2" has a decimal comma, and line 3: "1.2" a decimal point`,
		"OD;Tube\n3;1.200\n":                 `line 2: "1.200" may be a decimal or thousands; write it without thousands`,
		"OD;Tube\n3,5;1.200\n":               `line 2: "3,5" has a decimal comma, and line 2: "1.200" a point`,
		"OD;Wall\n1,200;2\n":                 `line 2: "1,200" may be a decimal or thousands; write it without thousands`,
		"a,b\n" + strings.Repeat("x", 32768): "line 2: a cell with more than 32767 letters",
		strings.Repeat(",", 1<<14):           "line 1: more than 16384 columns",
	} {
		_, err := Read([]byte(text))
		assert.ErrorContains(t, err, says, "%.40q", text)
	}
}

// Numbers are numbers, as far as nothing of what is typed is lost by that.
func TestNumbers(t *testing.T) {
	point, err := Read([]byte("a,b\n0.5,\"1\"\n"))
	require.NoError(t, err)
	comma, err := Read([]byte("a;b\n0,5;1,200\n"))
	require.NoError(t, err)
	assert.False(t, point.DecimalComma)
	assert.True(t, comma.DecimalComma)
	for cell, want := range map[string]float64{"3": 3, " 3 ": 3, "-1": -1, "0": 0, "1200": 1200, "123456789012345": 123456789012345, "3.": 3, ".047": 0.047, "0.047": 0.047} {
		x, ok := point.Number(cell)
		assert.True(t, ok, cell)
		assert.Equal(t, want, x, cell)
	}
	x, ok := comma.Number("1,200")
	assert.True(t, ok, "a comma is a decimal one in this list")
	assert.Equal(t, 1.2, x)
	for _, cell := range []string{"", "-", ".", "007", "1e5", "2E3", "+3", "1,5", "3\"", "=1+1", "1 200", "1.2.3", "12345678901234567", "NaN", "0x10", "٣"} {
		_, ok := point.Number(cell)
		assert.False(t, ok, cell)
	}
}

// The workbook has the list as typed: nothing in it is a formula, and equal lists are
// equal files.
func TestWorkbook(t *testing.T) {
	l, err := Read([]byte("Mark,OD (in),Note\n007,3,=1+1\n-J2,0.5,@x\nJ3,,\"two\nlines\"\n"))
	require.NoError(t, err)
	data, err := l.Workbook("a/b: demo list of a very long name indeed")
	require.NoError(t, err)
	again, err := l.Workbook("a/b: demo list of a very long name indeed")
	require.NoError(t, err)
	assert.True(t, bytes.Equal(data, again))
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	defer f.Close()
	require.Equal(t, []string{"a b  demo list of a very long n"}, f.GetSheetList())
	sheet := f.GetSheetList()[0]
	for ref, want := range map[string]struct {
		text string
		kind excelize.CellType
	}{
		"A2": {"007", excelize.CellTypeSharedString}, "B2": {"3", excelize.CellTypeUnset}, "C2": {"=1+1", excelize.CellTypeSharedString},
		"A3": {"-J2", excelize.CellTypeSharedString}, "B3": {"0.5", excelize.CellTypeUnset}, "C3": {"@x", excelize.CellTypeSharedString},
		"B4": {"", excelize.CellTypeUnset}, "C4": {"two\nlines", excelize.CellTypeSharedString},
	} {
		text, err := f.GetCellValue(sheet, ref)
		require.NoError(t, err)
		assert.Equal(t, want.text, text, ref)
		kind, err := f.GetCellType(sheet, ref)
		require.NoError(t, err)
		assert.Equal(t, want.kind, kind, ref)
		formula, err := f.GetCellFormula(sheet, ref)
		require.NoError(t, err)
		assert.Empty(t, formula, ref)
	}
	for name, want := range map[string]string{"": "Joints", StandardInput: "Joints", "'x'": "x", "History": "Joints", "[]": "Joints"} {
		assert.Equal(t, want, Title(name))
	}
}

// Whatever cells there are, written with quotes they come back as they were.
func TestQuotedComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sep := rapid.SampledFrom([]rune{',', ';', '\t'}).Draw(t, "sep")
		rows := rapid.SliceOfN(rapid.SliceOfN(rapid.StringMatching(`[a-z"=;, .0-9\n]{0,6}`), 1, 4), 1, 5).Draw(t, "rows")
		var text strings.Builder
		text.WriteString("sep=" + string(sep) + "\n")
		for _, row := range rows {
			for i, cell := range row {
				if i > 0 {
					text.WriteRune(sep)
				}
				text.WriteString(`"` + strings.ReplaceAll(cell, `"`, `""`) + `"`)
			}
			text.WriteString("\n")
		}
		got, err := split(strings.SplitN(text.String(), "\n", 2)[1], sep, 2)
		if err != nil {
			t.Fatal(err)
		}
		var have [][]string
		for _, r := range got {
			have = append(have, r.Cells)
		}
		assert.Equal(t, rows, have)
	})
}
