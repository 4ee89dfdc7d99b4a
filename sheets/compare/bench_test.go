package compare

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
)

// BenchmarkCompare shares out the gap between two orders in which every joint
// has changed, without and with changes that every joint is worked out with.
func BenchmarkCompare(b *testing.B) {
	for _, rows := range []int{500, 2_000} {
		path := filepath.Join(b.TempDir(), "order.xlsx")
		data, err := sheetstest.GenerateOrder(rows, 5, false)
		require.NoError(b, err)
		require.NoError(b, os.WriteFile(path, data, 0o600))
		was, err := sheets.Read(b.Context(), path, "")
		require.NoError(b, err)
		b.Cleanup(was.Close)
		for _, other := range []int{0, 3} {
			now := revised(b, was, func(r *revision) {
				for i := range r.rows {
					r.give(i, "tube", 30+float64(i%17))
				}
				for _, key := range []string{"shop_rate", "restart_clean", "tack_pitch"}[:other] {
					*r.single(key) *= 1.1
				}
			})
			b.Run(fmt.Sprintf("rows=%d/assumptions=%d", rows, other), func(b *testing.B) {
				for b.Loop() {
					r := bridged(b, was, now, "")
					b.ReportMetric(float64(r.Orders), "orders")
					b.ReportMetric(r.LargestError(), "error")
				}
			})
		}
	}
}
