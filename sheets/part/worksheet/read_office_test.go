package worksheet

import (
	"archive/zip"
	"bytes"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/parttest"
)

// A shared formula spelled out here reads as LibreOffice spells it out.
func TestSharedFormulaAgreesWithLibreOffice(t *testing.T) {
	f := excelize.NewFile()
	ref, kind := "D2:F6", excelize.STCellFormulaTypeShared
	formula := `$A2*B$1+SUM(A$1:B2)+LEN("A1")+IF(Other!A1>0,LOG10(100),SUM($A:A))`
	require.NoError(t, f.SetCellFormula("Sheet1", "D2", formula, excelize.FormulaOpts{Ref: &ref, Type: &kind}))
	_, err := f.NewSheet("Other")
	require.NoError(t, err)
	p := parttest.Open(t, parttest.Saved(t, f), opc.OpenBytes)
	ours := map[string]string{}
	rc, err := p.Open("xl/worksheets/sheet1.xml")
	require.NoError(t, err)
	defer rc.Close()
	_, err = Read(rc, Strings{}, func(r *Row) error {
		for _, c := range r.Cells {
			ours[grid.Ref(c.Row, c.Col)] = c.Formula
		}
		return nil
	})
	require.NoError(t, err)
	require.Len(t, ours, 15)

	out := parttest.Convert(t, "xlsx", map[string][]byte{"shared.xlsx": parttest.Written(t, p.Edit())})
	theirs, err := excelize.OpenFile(filepath.Join(out, "shared.xlsx"))
	require.NoError(t, err)
	defer theirs.Close()
	for cell, formula := range ours {
		got, err := theirs.GetCellFormula("Sheet1", cell)
		require.NoError(t, err)
		assert.Equal(t, got, formula, cell)
	}
}

// No sheet is trusted before its end.
func TestDamagedSheetIsReported(t *testing.T) {
	sheet := parttest.Sheet(`<row r="1"><c r="A1"><v>12345</v></c></row>`)
	data := parttest.Zipped(t, opc.ContentTypes, "", "s.xml", sheet)
	p := parttest.Open(t, damageCRC(t, data), opc.OpenBytes)
	rc, err := p.Open("s.xml")
	require.NoError(t, err)
	_, err = Read(rc, Strings{}, nil)
	assert.ErrorIs(t, err, zip.ErrChecksum)
}

// damageCRC changes the checksum of the last entry in the directory.
func damageCRC(t *testing.T, data []byte) []byte {
	t.Helper()
	at := bytes.LastIndex(data, []byte("PK\x01\x02"))
	require.Positive(t, at)
	data[at+16] ^= 0xFF
	// The data descriptor repeats it; both must say the same to be plausible.
	if d := bytes.LastIndex(data[:at], []byte("PK\x07\x08")); d > 0 {
		data[d+4] ^= 0xFF
	}
	return data
}
