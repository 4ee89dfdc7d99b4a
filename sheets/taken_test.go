package sheets

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/book"
	"seamtally/sheets/disk"
)

// Worked out anew from what was kept of it, an order comes to the same.
func TestReworkedOrderIsTheSame(t *testing.T) {
	o, err := Read(t.Context(), "../testdata/order.xlsx", "")
	require.NoError(t, err)
	defer o.Close()
	assert.Len(t, o.Joints, o.Report.Priced)
	again := o.Set.Clone()
	refused, err := o.Again(again, nil)
	require.NoError(t, err)
	assert.Empty(t, refused)
	assert.Equal(t, o.Report.Order, FiguresOf(o.Model.OrderOf, again.Order))

	rate := o.Model.Singles.Quantity("shop_rate")
	dearer := o.Set.Clone()
	dearer.Singles.Num[rate.Slot] *= 2
	_, err = o.Again(dearer, nil)
	require.NoError(t, err)
	assert.Greater(t, FiguresOf(o.Model.OrderOf, dearer.Order)["order_cost"], o.Report.Order["order_cost"])
	assert.Equal(t, o.Report.Order, FiguresOf(o.Model.OrderOf, o.Values.Order), "the order itself is left alone")
}

// What somebody saves while a workbook is being worked out is not written over.
func TestInputThatChangesMeanwhile(t *testing.T) {
	data, err := os.ReadFile("../testdata/order.xlsx")
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
