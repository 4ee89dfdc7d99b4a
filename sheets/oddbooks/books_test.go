// Package oddbooks_test tries workbooks that are not as ours would be: of other programs, of
// shops with habits of their own, and thrown together by chance.
package oddbooks_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/sheets/tell"
)

func TestMain(m *testing.M) { shop.Main(m) }

var update = flag.Bool("update", false, "write testdata/books/*.check anew; review them by eye")

// oddBook is a line of testdata/books/index.txt.
type oddBook struct {
	name                  string
	read, priced, leftOut int
	odd                   string
}

func (b oddBook) path() string { return shop.Demo(filepath.Join("books", b.name)) }

// oddBooks reads the index of the corpus, and demands that it lists the files
// that there are.
func oddBooks(t testing.TB) []oddBook {
	t.Helper()
	dir := shop.Demo("books")
	var out []oddBook
	var names []string
	for _, line := range strings.Split(strings.TrimSpace(shop.Content(t, filepath.Join(dir, "index.txt"))), "\n") {
		if strings.HasPrefix(line, "#") {
			continue
		}
		var b oddBook
		_, err := fmt.Sscan(line, &b.name, &b.read, &b.priced, &b.leftOut, &b.odd)
		require.NoError(t, err, line)
		b.odd = line[strings.LastIndex(line, "  ")+2:]
		out, names = append(out, b), append(names, b.name)
	}
	var files []string
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		if strings.HasPrefix(filepath.Ext(e.Name()), ".xls") {
			files = append(files, e.Name())
		}
	}
	sort.Strings(names)
	require.Equal(t, files, names, "testdata/books/index.txt lists the workbooks there")
	return out
}

// pricedBook prices a workbook of the corpus under its own kind of name.
func pricedBook(t testing.TB, in string) (string, *sheets.Report) {
	t.Helper()
	out := filepath.Join(t.TempDir(), "priced"+filepath.Ext(in))
	rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: out})
	require.NoError(t, err)
	return out, rep
}

func TestBooks(t *testing.T) {
	nth := 2
	if testing.Short() {
		nth = 4 // enough to look for races
	}
	for _, b := range shop.Some(oddBooks(t), nth) {
		t.Run(b.name, func(t *testing.T) {
			t.Parallel()
			before := shop.Content(t, b.path())
			out, rep := pricedBook(t, b.path())
			assert.Equal(t, before, shop.Content(t, b.path()), "the input")
			assert.Equal(t, []int{b.read, b.priced, b.leftOut}, []int{rep.Read, rep.Priced, rep.LeftOut}, "rows read, priced, left out: %v", rep.Findings)

			ours := shop.OursIn(t, b.path())
			lost, err := sheetstest.Kept(b.path(), out, ours)
			require.NoError(t, err)
			assert.Empty(t, lost, "lost or changed by pricing")
			faults, err := sheetstest.OutOfOrder(out)
			require.NoError(t, err)
			assert.Empty(t, faults)

			again, two := pricedBook(t, out)
			assert.True(t, shop.Content(t, out) == shop.Content(t, again), "priced again, the bytes differ")
			assert.True(t, two.Unchanged)
			assert.Equal(t, rep.Order, two.Order)

			for name := range ours {
				ours[name] = [2]int{}
			}
			back := filepath.Join(t.TempDir(), "cleared"+filepath.Ext(out))
			_, err = sheets.Clear(t.Context(), sheets.ClearOptions{In: out, Out: back})
			require.NoError(t, err)
			lost, err = sheetstest.Kept(b.path(), back, ours)
			require.NoError(t, err)
			assert.Empty(t, lost, "lost or changed by pricing and clearing")
		})
	}
}

// The words of check for every workbook, as an estimator reads them.
func TestBooksAreToldOf(t *testing.T) {
	for _, b := range oddBooks(t) {
		t.Run(b.name, func(t *testing.T) {
			check, err := sheets.Check(t.Context(), b.path(), "")
			require.NoError(t, err)
			var said bytes.Buffer
			require.NoError(t, tell.Voice{Out: &said, Err: &said}.Checked(check))
			golden := strings.TrimSuffix(b.path(), filepath.Ext(b.name)) + ".check"
			if *update {
				require.NoError(t, os.WriteFile(golden, said.Bytes(), 0o644))
			}
			assert.Equal(t, shop.Content(t, golden), said.String(), "see -update")
		})
	}
}

// LibreOffice and openpyxl must agree on every value that we store.
func TestBooksElsewhere(t *testing.T) {
	t.Parallel() // most of its time is LibreOffice's, or another program's
	if testing.Short() {
		t.Skip("heavy")
	}
	sheetstest.NeedLibreOffice(t)
	sheetstest.NeedOpenpyxl(t)
	var outs []string
	books := shop.Some(oddBooks(t), 6) // of each kind of oddity
	for _, b := range books {
		out, _ := pricedBook(t, b.path())
		outs = append(outs, out)
	}
	python := map[string]sheetstest.Grid{}
	var readable []string
	for i, b := range books {
		if b.name != "strict.xlsx" { // openpyxl finds no sheets in the strict form, before us either
			readable = append(readable, outs[i])
		}
	}
	for i, g := range sheetstest.ReadOpenpyxl(t, readable...) {
		python[readable[i]] = g
	}
	office := sheetstest.RecalculateAll(t, outs...)
	for i, b := range books {
		t.Run(b.name, func(t *testing.T) {
			stored := sheetstest.Read(t, outs[i])
			withoutBlanks(stored, sheetstest.Read(t, b.path()))
			n := sheetstest.Compare(t, stored, office[i], 1e-9)
			require.Greater(t, n, 500)
			if g := python[outs[i]]; g != nil {
				sameValues(t, stored, g)
			}
		})
	}
}

// withoutBlanks takes out the shop's own formulas that came without a value, and
// carriage returns, which LibreOffice does not keep.
func withoutBlanks(stored, shop sheetstest.Grid) {
	for sheet, cells := range stored {
		for ref, v := range cells {
			if was := shop[sheet][ref]; was.Formula != "" && was.Kind == sheetstest.Empty {
				delete(cells, ref)
				continue
			}
			v.Text = strings.ReplaceAll(strings.ReplaceAll(v.Text, "_x000D_", ""), "\r", "")
			cells[ref] = v
		}
	}
}

// sameValues compares stored values as two readers read them.
func sameValues(t *testing.T, a, b sheetstest.Grid) {
	t.Helper()
	n := 0
	var differ []string
	for sheet, cells := range a {
		for ref, v := range cells {
			w := b[sheet][ref]
			if w.Kind == "date" {
				continue
			}
			if v.Kind == sheetstest.Empty || v.Kind == sheetstest.Text && v.Text == "" {
				v = sheetstest.Value{}
			}
			v.Formula = ""
			if w.Text == "" && w.Kind == sheetstest.Text {
				w = sheetstest.Value{}
			}
			n++
			w.Text = strings.ReplaceAll(strings.ReplaceAll(w.Text, "_x000D_", ""), "\r", "")
			if v != w {
				differ = append(differ, fmt.Sprintf("%s!%s: %v, elsewhere %v", sheet, ref, v, w))
			}
		}
	}
	if len(differ) > 10 {
		differ = append(differ[:10], "...")
	}
	require.Empty(t, differ)
	require.Greater(t, n, 500)
}
