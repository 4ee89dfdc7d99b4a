package sheets_test

import (
	"archive/zip"
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sheetstest/shop"
)

// typedCell puts one cell in a sheet, and leaves the others.
type typedCell struct {
	row  int
	cell worksheet.NewCell
}

func (o typedCell) Next(after int) int {
	if after < o.row {
		return o.row
	}
	return 0
}

func (o typedCell) Row(r *worksheet.Row) (worksheet.RowEdit, error) {
	if r.Num != o.row {
		return worksheet.RowEdit{}, nil
	}
	return worksheet.RowEdit{Cells: []worksheet.NewCell{o.cell}}, nil
}

// FuzzAssumptions prices a priced workbook again with two cells of Assumptions
// typed over, whichever they are: no panic, a refusal that says where, or a
// workbook that a further run leaves as it is.
func FuzzAssumptions(f *testing.F) {
	out, _ := shop.Price(f, shop.Small(f, shop.Butt("J-1"), shop.Row{"J-2", "Demo car one", "pie cut", 1, 3, 0.049, nil, 90, 10, nil}))
	priced := []byte(shop.Content(f, out))
	wb := shop.WorkbookOf(f, out)
	sheet := wb.Sheets[wb.Sheet("Assumptions")].PartName
	for _, row := range shop.Some([]uint16{4, 20, 40, 60, 120, 180, 230, 260}, 3) {
		f.Add(row, uint8(3), uint8(0), "text", -1.0, row+1)
		f.Add(row, uint8(2), uint8(1), "", 1e300, row+3)
		f.Add(row, uint8(1), uint8(2), "A1", 0.0, row)
		f.Add(row, uint8(4), uint8(3), "#REF!", 2.5, row+2)
	}
	f.Fuzz(func(t *testing.T, row uint16, col, kind uint8, text string, x float64, other uint16) {
		if x-x != 0 || len(text) > 500 {
			t.Skip("no cell holds it")
		}
		text = strings.ToValidUTF8(text, "?")
		cell := worksheet.NewCell{Col: int(col)%16 + 1, Style: -1}
		switch kind % 5 {
		case 0:
			cell.Kind, cell.Text = worksheet.Text, text
		case 1:
			cell.Kind, cell.Num = worksheet.Number, x
		case 2:
			cell.Kind, cell.Num, cell.Formula = worksheet.Number, x, "A1"
		case 3:
			cell.Kind, cell.Text = worksheet.Error, "#REF!"
		case 4:
			cell.Kind, cell.Num = worksheet.Bool, 1
		}
		changed := bytes.NewBuffer(nil)
		z, err := zip.NewReader(bytes.NewReader(priced), int64(len(priced)))
		require.NoError(t, err)
		w := zip.NewWriter(changed)
		for _, e := range z.File {
			if e.Name != sheet {
				require.NoError(t, w.Copy(e))
				continue
			}
			src, err := e.Open()
			require.NoError(t, err)
			var once bytes.Buffer
			first := typedCell{int(row)%400 + 1, cell}
			require.NoError(t, worksheet.Splice(&once, src, worksheet.Edit{Editor: first, Extent: grid.Ref(first.row, cell.Col)}))
			second := typedCell{int(other)%400 + 1, cell}
			second.cell.Col = cell.Col%16 + 1
			to, err := w.Create(e.Name)
			require.NoError(t, err)
			require.NoError(t, worksheet.Splice(to, &once, worksheet.Edit{Editor: second, Extent: grid.Ref(second.row, second.cell.Col)}))
		}
		require.NoError(t, w.Close())
		in := shop.Put(t, changed.Bytes())
		again := filepath.Join(t.TempDir(), "again.xlsx")
		if _, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: again, Date: "2026-11-25"}); err != nil {
			require.True(t, strings.HasPrefix(err.Error(), in+": "), err.Error())
			require.Contains(t, err.Error(), "; ", "what to do")
			return
		}
		still := filepath.Join(t.TempDir(), "still.xlsx")
		_, err = sheets.Price(t.Context(), sheets.PriceOptions{In: again, Out: still, Date: "2026-11-25"})
		require.NoError(t, err)
		require.True(t, shop.Content(t, again) == shop.Content(t, still), "priced again, the bytes differ")
	})
}

// FuzzEncrypted opens encrypted workbooks with bytes changed, in the container or
// in what says how it is encrypted.
func FuzzEncrypted(f *testing.F) {
	whole, err := excelize.Encrypt([]byte(shop.Content(f, shop.Small(f, shop.Butt("J-1")))), &excelize.Options{Password: "tungsten"})
	require.NoError(f, err)
	f.Add(uint32(0x2C), []byte{0xFF, 0xFF, 0xFF, 0x7F}) // how many sectors of the table: [MS-CFB] 2.2
	f.Add(uint32(0x1E), []byte{0xFF, 0xFF})             // the size of a sector
	f.Add(uint32(0x200), []byte{0, 0, 0, 0})            // the table itself, in a circle
	f.Add(uint32(len(whole)/2), []byte{})
	f.Fuzz(func(t *testing.T, at uint32, bytesThere []byte) {
		data := bytes.Clone(whole)
		if len(bytesThere) == 0 {
			data = data[:int(at)%len(data)]
		}
		copy(data[min(int(at), len(data)):], bytesThere)
		in := filepath.Join(t.TempDir(), "order.xlsx")
		require.NoError(t, os.WriteFile(in, data, 0o600))
		if _, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, DryRun: true, Password: "tungsten"}); err != nil {
			require.True(t, strings.HasPrefix(err.Error(), in+": "), err.Error())
		}
	})
}
