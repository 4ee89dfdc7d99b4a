package book_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/book"
	"seamtally/sheets/disk"
	"seamtally/sheets/sheetstest/shop"
)

// What somebody saves while a workbook is being worked out is not written over.
func TestInputThatChangesMeanwhile(t *testing.T) {
	data, err := os.ReadFile(shop.Unpriced(t, "order.xlsx"))
	require.NoError(t, err)
	for how, change := range map[string]func(path string) error{
		"written to": func(path string) error { return os.WriteFile(path, data[:len(data)-1], 0o600) },
		"replaced": func(path string) error {
			if err := os.WriteFile(path+"~", data, 0o600); err != nil {
				return err
			}
			return os.Rename(path+"~", path)
		},
		"gone": os.Remove,
	} {
		t.Run(how, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "order.xlsx")
			require.NoError(t, os.WriteFile(path, data, 0o600))
			b, err := book.Open(path, "")
			require.NoError(t, err)
			defer b.Close()
			edit := b.Package.Edit()
			defer edit.Close()
			require.NoError(t, change(path))
			was, _ := os.ReadFile(path)
			to, err := disk.Vacant(path, true)
			require.NoError(t, err)
			require.ErrorContains(t, b.SaveEdit(to, edit), "was changed while it was being read; run it again")
			now, _ := os.ReadFile(path)
			assert.Equal(t, was, now)
			files, err := filepath.Glob(filepath.Join(filepath.Dir(path), ".seamtally*"))
			require.NoError(t, err)
			assert.Empty(t, files)
		})
	}
}
