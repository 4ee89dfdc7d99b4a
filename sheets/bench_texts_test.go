package sheets

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/book"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sheetstest"
)

// BenchmarkTextsBeside prices a short list beside a long sheet of the shop's own; beside each
// the list alone is priced, and the sheet read with nothing made of it, as often as a run
// reads it: once for lists and once for what it says of them. What the sheet takes more than
// that is what its texts are asked.
func BenchmarkTextsBeside(b *testing.B) {
	things := []string{"bracket", "flange", "drawing", "tube", "bench", "note", "clamp", "cone", "order", "left", "45", "12 mm", "M8", "weld", "paint", "gasket"}
	r := rand.New(rand.NewPCG(5, 6))
	thing := func() string { return things[r.IntN(len(things))] }
	for _, sheet := range []struct {
		name string
		rows int
		row  func(i int) []any
	}{
		{"none", 0, nil},
		{"texts", 20_000, func(i int) (row []any) {
			for range 5 {
				row = append(row, fmt.Sprint(thing(), " ", thing(), " ", i))
			}
			return row
		}},
		{"supplier", 20_000, func(i int) []any {
			return []any{fmt.Sprintf("%d-%05d", r.IntN(90), i), thing() + " " + thing() + " " + thing(), float64(r.IntN(90000)) / 100, "ea"}
		}},
		{"wide", 2_000, func(int) (row []any) {
			for range 15 {
				row = append(row, fmt.Sprint("K", r.IntN(100_000)), thing()+" "+thing(), float64(r.IntN(90000))/100)
			}
			return row
		}},
	} {
		in := filepath.Join(b.TempDir(), "in.xlsx")
		data, err := sheetstest.GenerateRepeating(50, 50, 1, false)
		require.NoError(b, err)
		require.NoError(b, os.WriteFile(in, withSheet(b, data, sheet.rows, sheet.row), 0o600))
		b.Run(sheet.name+"/price", func(b *testing.B) {
			for b.Loop() {
				priceFile(b, in, filepath.Join(b.TempDir(), "out.xlsx"), false)
			}
		})
		b.Run(sheet.name+"/read", func(b *testing.B) {
			for b.Loop() {
				bk, err := book.Open(in, "")
				require.NoError(b, err)
				for range 2 {
					for _, s := range bk.Workbook.Sheets {
						_, err := bk.ReadPart(s.PartName, func(*worksheet.Row) error { return nil })
						require.NoError(b, err)
					}
				}
				bk.Close()
			}
		})
	}
}

// withSheet is a workbook with a sheet of the shop's own beside its lists.
func withSheet(b *testing.B, data []byte, rows int, row func(i int) []any) []byte {
	if rows == 0 {
		return data
	}
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(b, err)
	defer f.Close()
	_, err = f.NewSheet("Stock")
	require.NoError(b, err)
	w, err := f.NewStreamWriter("Stock")
	require.NoError(b, err)
	for i := range rows {
		require.NoError(b, w.SetRow(fmt.Sprint("A", i+1), row(i)))
	}
	require.NoError(b, w.Flush())
	out, err := f.WriteToBuffer()
	require.NoError(b, err)
	return out.Bytes()
}
