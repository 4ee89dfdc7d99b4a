package sheets_test

import (
	"fmt"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// openLocked opens a second workbook with a password and copies a number of it
// into the document at hand; with another password it must not open.
const openLocked = `
Dim args(1) As New com.sun.star.beans.PropertyValue
args(0).Name = "Hidden"
args(0).Value = True
args(1).Name = "Password"
args(1).Value = "argon"
Dim locked As Object
On Error Resume Next
locked = StarDesktop.loadComponentFromURL("file://%[1]s", "_blank", 0, args())
On Error Goto Fault
If Not IsNull(locked) Then Error 5
args(1).Value = "tungsten"
locked = StarDesktop.loadComponentFromURL("file://%[1]s", "_blank", 0, args())
doc.Sheets.getByIndex(0).getCellRangeByName("Z1").Value = locked.Sheets.getByName("Joints").getCellRangeByName("%[2]s").Value
locked.close(True)
`

// LibreOffice opens the encrypted output with its password, and only with that.
func TestEncryptedOutputInLibreOffice(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	plain := shop.Small(t, shop.Butt("J-1"))
	data, err := excelize.Encrypt([]byte(shop.Content(t, plain)), &excelize.Options{Password: "tungsten"})
	require.NoError(t, err)
	out := filepath.Join(t.TempDir(), "out.xlsx")
	_, err = sheets.Price(t.Context(), sheets.PriceOptions{In: shop.Put(t, data), Out: out, Password: "tungsten"})
	require.NoError(t, err)
	g := sheetstest.Read(t, shop.Decrypted(t, out, "tungsten"))
	at := fmt.Sprint(shop.OurColumn(t, g, "Joints", "line_cost"), 2)
	require.Positive(t, g["Joints"][at].Num)
	copied := sheetstest.EditAll(t, sheetstest.OfficeEdit{Path: plain, Basic: fmt.Sprintf(openLocked, filepath.ToSlash(out), at)})
	f, err := excelize.OpenFile(copied[0])
	require.NoError(t, err)
	defer f.Close()
	got, err := f.GetCellValue("Joints", "Z1", excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	assert.Equal(t, fmt.Sprint(g["Joints"][at].Num), got)
}

// storeLocked saves a copy of the document at hand under a password.
const storeLocked = `
Dim args(1) As New com.sun.star.beans.PropertyValue
args(0).Name = "FilterName"
args(0).Value = "Calc MS Excel 2007 XML"
Dim how(1) As New com.sun.star.beans.NamedValue
how(0).Name = "OOXPassword"
how(0).Value = "tungsten"
how(1).Name = "CryptoType"
how(1).Value = "StrongEncryptionDataSpace"
args(1).Name = "EncryptionData"
args(1).Value = CreateUnoValue("[]com.sun.star.beans.NamedValue", how())
doc.storeToURL("file://%s", args())
`

// What LibreOffice has encrypted is priced, and another program opens the output.
func TestEncryptedByLibreOffice(t *testing.T) {
	plain, locked := shop.Small(t, shop.Butt("J-1")), filepath.Join(t.TempDir(), "locked.xlsx")
	sheetstest.EditAll(t, sheetstest.OfficeEdit{Path: plain, Basic: fmt.Sprintf(storeLocked, filepath.ToSlash(locked))})
	out := filepath.Join(t.TempDir(), "out.xlsx")
	report, err := sheets.Price(t.Context(), sheets.PriceOptions{In: locked, Out: out, Password: "tungsten"})
	require.NoError(t, err)
	assert.Equal(t, 1, report.Priced)
	assert.Equal(t, shop.Content(t, shop.Decrypted(t, out, "tungsten")), string(sheetstest.Msoffcrypto(t, "tungsten", out)[0]))
}
