package sheets_test

import (
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets"
)

// A workbook that another program holds is not replaced, and the message says
// to close it.
func TestHeldOpen(t *testing.T) {
	path := filepath.Join(t.TempDir(), "order.xlsx")
	require.NoError(t, sheets.New(path, false, false))
	name, err := syscall.UTF16PtrFromString(path)
	require.NoError(t, err)
	const alone = 0 // shared with nobody
	h, err := syscall.CreateFile(name, syscall.GENERIC_READ, alone, nil, syscall.OPEN_EXISTING, 0, 0)
	require.NoError(t, err)
	err = sheets.New(path, false, true)
	require.ErrorContains(t, err, "another program has it open; close the workbook there")
	require.NoError(t, syscall.CloseHandle(h))
	require.NoError(t, sheets.New(path, false, true))
}

// A workbook is replaced by its own priced self: the program does not hold it
// against itself.
func TestInPlaceOnWindows(t *testing.T) {
	path := filepath.Join(t.TempDir(), "order.xlsx")
	require.NoError(t, sheets.New(path, false, false))
	_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: path, InPlace: true})
	require.NoError(t, err)
	_, err = sheets.Clear(t.Context(), sheets.ClearOptions{In: path, InPlace: true})
	require.NoError(t, err)
}
