package sheets_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
)

// inFolder puts the demo order into a folder of its own.
func inFolder(t *testing.T) string {
	data, err := os.ReadFile(demo("order.xlsx"))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "order.xlsx")
	require.NoError(t, os.WriteFile(path, data, 0o640))
	return path
}

// left lists what a folder holds.
func left(t *testing.T, dir string) []string {
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

// A file that a spreadsheet program holds open is not replaced, but may be
// read, with a warning.
func TestOpenElsewhere(t *testing.T) {
	for _, lock := range []string{"~$order.xlsx", ".~lock.order.xlsx#"} {
		path := inFolder(t)
		before, err := os.ReadFile(path)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), lock), nil, 0o600))

		_, err = sheets.Price(t.Context(), sheets.PriceOptions{In: path, InPlace: true})
		require.ErrorContains(t, err, "is open in a spreadsheet program, which has left "+lock)
		after, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, before, after)

		rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: path})
		require.NoError(t, err)
		assert.True(t, hasFinding(rep, "what it has not saved is not priced"), "%v", rep.Findings)
		assert.ElementsMatch(t, []string{"order.xlsx", lock, "order-priced.xlsx"}, left(t, filepath.Dir(path)))
	}
}

func TestReadOnlyOutputStays(t *testing.T) {
	path := inFolder(t)
	require.NoError(t, os.Chmod(path, 0o440))
	_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: path, InPlace: true})
	require.ErrorContains(t, err, "is read-only")
	assert.Equal(t, []string{"order.xlsx"}, left(t, filepath.Dir(path)))
}

// In place through a link, the file that it leads to is replaced, and keeps
// its permissions; the link stays.
func TestInPlaceThroughALink(t *testing.T) {
	path := inFolder(t)
	link := filepath.Join(t.TempDir(), "link.xlsx")
	require.NoError(t, os.Symlink(path, link))
	_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: link, InPlace: true})
	require.NoError(t, err)
	st, err := os.Lstat(link)
	require.NoError(t, err)
	assert.NotZero(t, st.Mode()&os.ModeSymlink, "still a link")
	st, err = os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o640), st.Mode().Perm())
	rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: path, InPlace: true})
	require.NoError(t, err)
	assert.True(t, rep.Unchanged, "the file itself was priced")
	assert.Equal(t, []string{"link.xlsx"}, left(t, filepath.Dir(link)), "no litter beside the link")
}

// Something in the last column of a sheet leaves no room for ours.
func TestNoRoomToTheRight(t *testing.T) {
	why := refused(t, typeIn(t, small(t, butt("J-1")), typed{"Joints", "XFD1048576", 1}))
	assert.Contains(t, why, `sheet "Joints": there is no room for`)
	assert.Contains(t, why, "right of column XFD")
}
