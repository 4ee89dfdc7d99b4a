package audit_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/audit"
	"seamtally/sheets/bid"
	"seamtally/sheets/sheetstest"
)

// BenchmarkAudit audits priced orders, and beside each prices the same workbook
// again: an audit is to take no longer.
func BenchmarkAudit(b *testing.B) {
	for _, rows := range []int{1_000, 10_000} {
		dir := b.TempDir()
		in := filepath.Join(dir, "in.xlsx")
		data, err := sheetstest.GenerateOrder(rows, 1, false)
		require.NoError(b, err)
		require.NoError(b, os.WriteFile(in, data, 0o600))
		out := filepath.Join(dir, "priced.xlsx")
		priced(b, in, out)
		b.Run(fmt.Sprintf("rows=%d/price", rows), func(b *testing.B) {
			for b.Loop() {
				priced(b, out, filepath.Join(b.TempDir(), "again.xlsx"))
			}
		})
		b.Run(fmt.Sprintf("rows=%d/audit", rows), func(b *testing.B) {
			for b.Loop() {
				_, err := audit.Workbook(b.Context(), audit.Options{In: out})
				require.NoError(b, err)
			}
		})
	}
}

// BenchmarkSmall audits the demo order with all five sheets for the bid, and beside it
// prices the same workbook again.
func BenchmarkSmall(b *testing.B) {
	out := filepath.Join(b.TempDir(), "priced.xlsx")
	_, err := sheets.Price(b.Context(), sheets.PriceOptions{In: filepath.Join("..", "..", "testdata", "order.xlsx"), Out: out, With: bid.Sheets()})
	require.NoError(b, err)
	b.Run("price", func(b *testing.B) {
		for b.Loop() {
			priced(b, out, filepath.Join(b.TempDir(), "again.xlsx"))
		}
	})
	b.Run("audit", func(b *testing.B) {
		for b.Loop() {
			_, err := audit.Workbook(b.Context(), audit.Options{In: out})
			require.NoError(b, err)
		}
	})
}

func priced(b *testing.B, in, out string) {
	_, err := sheets.Price(b.Context(), sheets.PriceOptions{In: in, Out: out, Force: true})
	require.NoError(b, err)
}
