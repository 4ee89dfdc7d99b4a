package sheets

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The numbers are those of winerror.h, as the documentation of Windows lists
// them under "System Error Codes".
func TestTroubleOf(t *testing.T) {
	renamed := func(e syscall.Errno) error { return &os.LinkError{Op: "rename", Old: "a", New: "b", Err: e} }
	opened := func(e syscall.Errno) error { return &os.PathError{Op: "open", Path: "b", Err: e} }
	for _, c := range []struct {
		err  error
		want trouble
	}{
		{renamed(32), heldOpen}, {renamed(5), heldOpen}, {opened(32), heldOpen}, {opened(33), heldOpen}, {renamed(1224), heldOpen},
		{opened(5), notAllowed}, {opened(19), writeProtected}, {opened(112), noRoom}, {opened(39), noRoom},
		{opened(2), otherTrouble}, {nil, otherTrouble},
	} {
		assert.Equal(t, c.want, troubleOf(c.err), "%v", c.err)
	}
}

// A workbook that another program holds is not replaced, and the message says
// to close it.
func TestHeldOpen(t *testing.T) {
	path := filepath.Join(t.TempDir(), "order.xlsx")
	require.NoError(t, New(path, false, false))
	name, err := syscall.UTF16PtrFromString(path)
	require.NoError(t, err)
	const alone = 0 // shared with nobody
	h, err := syscall.CreateFile(name, syscall.GENERIC_READ, alone, nil, syscall.OPEN_EXISTING, 0, 0)
	require.NoError(t, err)
	err = New(path, false, true)
	require.ErrorContains(t, err, "another program has it open; close the workbook there")
	require.NoError(t, syscall.CloseHandle(h))
	require.NoError(t, New(path, false, true))
}

// A workbook is replaced by its own priced self: the program does not hold it
// against itself.
func TestInPlaceOnWindows(t *testing.T) {
	path := filepath.Join(t.TempDir(), "order.xlsx")
	require.NoError(t, New(path, false, false))
	_, err := Price(t.Context(), PriceOptions{In: path, InPlace: true})
	require.NoError(t, err)
	_, err = Clear(t.Context(), ClearOptions{In: path, InPlace: true})
	require.NoError(t, err)
}
