package sheets_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest/shop"
)

// inFolder puts the demo order into a folder of its own.
func inFolder(t *testing.T) string {
	data, err := os.ReadFile(shop.Unpriced(t, "order.xlsx"))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "order.xlsx")
	require.NoError(t, os.WriteFile(path, data, 0o640))
	return path
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
		assert.True(t, shop.HasFinding(rep, "what it has not saved is not priced"), "%v", rep.Findings)
		assert.ElementsMatch(t, []string{"order.xlsx", lock, "order-priced.xlsx"}, shop.FilesIn(t, filepath.Dir(path)))
	}
}

func TestReadOnlyOutputStays(t *testing.T) {
	path := inFolder(t)
	require.NoError(t, os.Chmod(path, 0o440))
	_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: path, InPlace: true})
	require.ErrorContains(t, err, "is read-only")
	assert.Equal(t, []string{"order.xlsx"}, shop.FilesIn(t, filepath.Dir(path)))
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
	assert.Equal(t, []string{"link.xlsx"}, shop.FilesIn(t, filepath.Dir(link)), "no litter beside the link")
}

// An output that would be the input by another name, or that cannot be written,
// is refused before anything is worked out.
func TestOutputRefused(t *testing.T) {
	path := inFolder(t)
	dir := filepath.Dir(path)
	at := func(name string) string { return filepath.Join(dir, name) }
	require.NoError(t, os.Symlink(path, at("link.xlsx")))
	require.NoError(t, os.Link(path, at("hard.xlsx")))
	require.NoError(t, os.Symlink(at("gone"), at("astray.xlsx")))
	require.NoError(t, os.Mkdir(at("folder.xlsx"), 0o755))
	require.NoError(t, os.WriteFile(at("kept.xlsx"), nil, 0o444))
	require.NoError(t, os.WriteFile(at("open.xlsx"), nil, 0o644))
	require.NoError(t, os.WriteFile(at("~$open.xlsx"), nil, 0o644))
	require.NoError(t, os.Symlink(at("open.xlsx"), at("way.xlsx")))
	before, all := shop.Content(t, path), shop.FilesIn(t, dir)
	for out, says := range map[string]string{
		"order.xlsx":        "the output would replace the input; add --in-place",
		"link.xlsx":         "the output would replace the input; add --in-place",
		"hard.xlsx":         "the output would replace the input; add --in-place",
		"astray.xlsx":       "is a link that leads to no file",
		"folder.xlsx":       "is a folder; name a file",
		"kept.xlsx":         "is read-only; make it writable",
		"open.xlsx":         "is open in a spreadsheet program",
		"way.xlsx":          "is open in a spreadsheet program",
		"none/out.xlsx":     "is not there; make it first",
		"out.xlsm":          "the output must end as the input does",
		"order.xlsx/a.xlsx": "; ",
	} {
		_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: path, Out: at(out), Force: true})
		require.ErrorContains(t, err, says, out)
		require.ErrorContains(t, err, at(out)+": ", out)
		_, err = sheets.Clear(t.Context(), sheets.ClearOptions{In: path, Out: at(out), Force: true})
		require.ErrorContains(t, err, says, out)
	}
	assert.Equal(t, before, shop.Content(t, path))
	assert.Equal(t, all, shop.FilesIn(t, dir))
}

// An output that is replaced keeps its permissions, and a link to it stays.
func TestReplacedOutput(t *testing.T) {
	path := inFolder(t)
	dir := t.TempDir()
	out, link := filepath.Join(dir, "out.xlsx"), filepath.Join(dir, "link.xlsx")
	require.NoError(t, os.WriteFile(out, []byte("older"), 0o604))
	require.NoError(t, os.Chmod(out, 0o604))
	require.NoError(t, os.Symlink("out.xlsx", link))
	_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: path, Out: link, Force: true})
	require.NoError(t, err)
	to, err := os.Readlink(link)
	require.NoError(t, err)
	assert.Equal(t, "out.xlsx", to)
	st, err := os.Stat(out)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o604), st.Mode().Perm())
	want, _ := shop.Price(t, path)
	assert.Equal(t, shop.Content(t, want), shop.Content(t, out))
	assert.Equal(t, []string{"link.xlsx", "out.xlsx"}, shop.FilesIn(t, dir))
}

// Something in the last column of a sheet leaves no room for ours.
func TestNoRoomToTheRight(t *testing.T) {
	why := shop.Refused(t, shop.TypeIn(t, shop.Small(t, shop.Butt("J-1")), shop.At("Joints", "XFD1048576", 1)))
	assert.Contains(t, why, `sheet "Joints": there is no room for`)
	assert.Contains(t, why, "right of column XFD")
}
