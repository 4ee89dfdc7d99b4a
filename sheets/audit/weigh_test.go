package audit

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/weigh"
	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
)

// BenchmarkWeigh weighs 300 faults: figures that somebody has changed, each in
// a row of its own, and as many sums on Summary.
func BenchmarkWeigh(b *testing.B) {
	for _, rows := range []int{1_000, 10_000} {
		data, err := sheetstest.GenerateOrder(rows, 5, false)
		require.NoError(b, err)
		path := filepath.Join(b.TempDir(), "order.xlsx")
		require.NoError(b, os.WriteFile(path, data, 0o600))
		of, err := sheets.Read(b.Context(), path, "")
		require.NoError(b, err)
		b.Cleanup(of.Close)
		for _, kind := range []string{"rows", "summary"} {
			b.Run(fmt.Sprintf("rows=%d/faults=300/%s", rows, kind), func(b *testing.B) {
				for b.Loop() {
					a := &auditor{Run: of, byKey: map[string]*auditFault{}, scales: weigh.New(of.Order)}
					for i := range 300 {
						f := a.add(fmt.Sprint(i), Fault{})
						if kind == "rows" {
							r := &a.Joints[i*len(a.Joints)/300]
							f.show(weigh.Row{List: r.List, Row: r.Row}, a.Model.Line.Quantity("arc_time"), float64(i))
							continue
						}
						f.held = append(f.held, func(v *compute.Values) {
							v.HoldSum(a.All[0].No, a.Model.Line.Quantity("floor_time"), a.Model.Line.Quantity("car_no"), 1, float64(i))
						})
					}
					require.NoError(b, a.weigh())
					b.ReportMetric(float64(a.scales.Unweighed), "unweighed")
				}
			})
		}
	}
}
