package timesheet_test

import (
	"fmt"
	"math"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/book"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/sheets/timesheet"
)

func TestMain(m *testing.M) { shop.Main(m) }

// made is the time sheet of a workbook.
func made(t *testing.T, in string) *timesheet.Report {
	t.Helper()
	r, err := timesheet.Make(t.Context(), timesheet.Options{In: in, Out: filepath.Join(t.TempDir(), "floor.xlsx"), Draft: true})
	require.NoError(t, err)
	return r
}

// read is what a time sheet says.
func read(t *testing.T, path string) ([]timesheet.Line, []book.Finding) {
	t.Helper()
	lines, found, err := timesheet.Read(t.Context(), path, "")
	require.NoError(t, err)
	return lines, found
}

func TestSheet(t *testing.T) {
	r := made(t, shop.Demo("order.xlsx"))
	fmt.Println(r)
	f, err := excelize.OpenFile(r.Output)
	require.NoError(t, err)
	for _, s := range f.GetSheetList() {
		rows, _ := f.GetRows(s)
		for i, r := range rows {
			fmt.Println(s, i+1, r)
		}
	}
	assert.True(t, math.IsNaN(math.NaN()))
}
