package shop

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/look"
	"seamtally/sheets/sheetstest"
)

// Packed makes a zip of parts, those of other names than "mimetype" packed.
func Packed(t testing.TB, parts map[string]string) []byte {
	t.Helper()
	var buf bytes.Buffer
	w := zip.NewWriter(&buf)
	for _, name := range slices.Sorted(maps.Keys(parts)) {
		to, err := w.Create(name)
		require.NoError(t, err)
		_, err = io.WriteString(to, parts[name])
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return buf.Bytes()
}

// Demo is the path of an invented order that comes with the program, from the
// folder of any package: all tests find the module above where they run.
func Demo(name string) string {
	dir := "."
	for range 10 {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		dir = filepath.Join(dir, "..")
	}
	return filepath.Join(dir, "testdata", filepath.FromSlash(name))
}

// Unpriced is a demo order before the shop set any rates: joints and cars alone, as
// a workbook has them that the program has never seen.
func Unpriced(t testing.TB, name string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), filepath.Base(name))
	_, err := sheets.Clear(t.Context(), sheets.ClearOptions{In: Demo(name), Out: path})
	require.NoError(t, err)
	return path
}

// Put writes a file of its own for the test.
func Put(t testing.TB, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "shop.xlsx")
	require.NoError(t, os.WriteFile(path, data, 0o644))
	return path
}

// Starter is the starter workbook.
func Starter(t testing.TB, metric bool) string {
	t.Helper()
	data, err := look.Starter(metric)
	require.NoError(t, err)
	return Put(t, data)
}

// Generated is an order drawn by chance.
func Generated(t testing.TB, rows int, seed int64, metric bool) string {
	t.Helper()
	data, err := sheetstest.GenerateOrder(rows, seed, metric)
	require.NoError(t, err)
	return Put(t, data)
}

// Row is a row of a small list, as typed.
type Row = []any

// The columns of a small list.
const (
	ColMark, ColCar, ColKind, ColQty, ColOD, ColWall = "A", "B", "C", "D", "E", "F"
	ColSetup, ColBend, ColTube, ColAlloy             = "G", "H", "I", "J"
)

// SmallHead are the headings of a small list.
var SmallHead = Row{"Joint no", "Car", "Kind", "Qty", "OD (in)", "Wall (in)", "Set-up", "Bend °", "Tube length (in)", "Alloy"}

// Butt is a joint that can be priced, of a size in stock.
func Butt(mark string) Row {
	return Row{mark, "Demo car one", "butt", 2, 3, 0.049, nil, nil, 10, nil}
}

// Small makes a workbook with one joint list: headings on row 1 of "Joints".
func Small(t testing.TB, rows ...Row) string {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	require.NoError(t, f.SetSheetName("Sheet1", "Joints"))
	for i, row := range append([]Row{SmallHead}, rows...) {
		require.NoError(t, f.SetSheetRow("Joints", fmt.Sprintf("A%d", i+1), &row))
	}
	return Saved(t, f)
}

// Saved writes a workbook of the spreadsheet library to a file.
func Saved(t testing.TB, f *excelize.File) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "shop.xlsx")
	require.NoError(t, f.SaveAs(path))
	return path
}

// Edited opens a workbook as another program does, changes it and saves a copy.
func Edited(t testing.TB, path string, change func(f *excelize.File)) string {
	t.Helper()
	f, err := excelize.OpenFile(path, excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	defer f.Close()
	change(f)
	return Saved(t, f)
}

// Cell is one cell as someone types over it.
type Cell struct {
	Sheet, Ref string
	Value      any
}

// At is a cell with what is typed there.
func At(sheet, ref string, value any) Cell { return Cell{sheet, ref, value} }

// TypeIn types over cells of a workbook, in a copy.
func TypeIn(t testing.TB, path string, cells ...Cell) string {
	t.Helper()
	return Edited(t, path, func(f *excelize.File) {
		for _, c := range cells {
			require.NoError(t, f.SetCellValue(c.Sheet, c.Ref, c.Value))
		}
	})
}

// Repacked changes the text of one part of a package.
func Repacked(t testing.TB, path, part string, change func(string) string) string {
	t.Helper()
	z, err := zip.OpenReader(path)
	require.NoError(t, err)
	defer z.Close()
	out := filepath.Join(t.TempDir(), "shop.xlsx")
	file, err := os.Create(out)
	require.NoError(t, err)
	defer file.Close()
	w := zip.NewWriter(file)
	found := false
	for _, f := range z.File {
		if f.Name != part {
			require.NoError(t, w.Copy(f))
			continue
		}
		found = true
		r, err := f.Open()
		require.NoError(t, err)
		data, err := io.ReadAll(r)
		require.NoError(t, err)
		to, err := w.Create(part)
		require.NoError(t, err)
		_, err = io.WriteString(to, change(string(data)))
		require.NoError(t, err)
	}
	require.True(t, found, part)
	require.NoError(t, w.Close())
	return out
}

// SheetRenamed gives "Joints" another name as a spreadsheet does: in the workbook
// and in every formula.
func SheetRenamed(t *testing.T, path, title string) string {
	t.Helper()
	escape := strings.NewReplacer("&", "&amp;", "<", "&lt;", "'", "&apos;").Replace
	for part := range Parts(t, path) {
		if !strings.HasPrefix(part, "xl/") || !strings.HasSuffix(part, ".xml") {
			continue
		}
		path = Repacked(t, path, part, func(s string) string {
			s = strings.ReplaceAll(s, `name="Joints"`, `name="`+escape(title)+`"`)
			quoted := "'" + strings.ReplaceAll(title, "'", "''") + "'!"
			for _, is := range []string{"'Joints'!", "&apos;Joints&apos;!", "&#39;Joints&#39;!"} {
				s = strings.ReplaceAll(s, is, escape(quoted))
			}
			return s
		})
	}
	return path
}

// TypedOver types a value over a calculated cell of "Joints" in a priced workbook.
func TypedOver(t *testing.T, path, key string, row int, value any) string {
	t.Helper()
	g := sheetstest.Read(t, path)
	return TypeIn(t, path, Cell{"Joints", fmt.Sprint(OurColumn(t, g, "Joints", key), row), value})
}

// TwoButts is a small workbook of two joints that can be priced.
func TwoButts(t *testing.T) string { return Small(t, Butt("J-1"), Butt("J-2")) }
