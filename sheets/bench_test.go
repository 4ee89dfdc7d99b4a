package sheets

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/sheets/sheetstest"
)

// BenchmarkPrice prices generated orders, and beside each does the same with
// ready figures in place of the engine: what is left is reading and writing.
// The ratio of the two is what working out costs.
func BenchmarkPrice(b *testing.B) {
	for _, rows := range []int{1_000, 10_000, 50_000} {
		in := filepath.Join(b.TempDir(), "in.xlsx")
		data, err := sheetstest.GenerateOrder(rows, 1, false)
		require.NoError(b, err)
		require.NoError(b, os.WriteFile(in, data, 0o600))
		for _, bare := range []bool{false, true} {
			b.Run(fmt.Sprintf("rows=%d/bare=%t", rows, bare), func(b *testing.B) {
				for b.Loop() {
					priceFile(b, in, filepath.Join(b.TempDir(), "out.xlsx"), bare)
				}
				b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(rows), "us/row")
			})
		}
	}
}

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
		priceFile(b, in, out, false)
		b.Run(fmt.Sprintf("rows=%d/price", rows), func(b *testing.B) {
			for b.Loop() {
				priceFile(b, out, filepath.Join(dir, "again.xlsx"), false)
			}
		})
		b.Run(fmt.Sprintf("rows=%d/audit", rows), func(b *testing.B) {
			for b.Loop() {
				_, err := Audit(b.Context(), AuditOptions{In: out})
				require.NoError(b, err)
			}
		})
	}
}

func priceFile(t testing.TB, in, out string, bare bool) *Report {
	bk, err := openBook(in, "")
	require.NoError(t, err)
	defer bk.close()
	run := &pricing{book: bk, o: PriceOptions{In: in, Out: out}, ctx: context.Background(), report: &Report{}}
	if bare {
		run.bare = readyFigures
	}
	edit := bk.pkg.Edit()
	defer edit.Close()
	require.NoError(t, run.all(edit))
	f, err := os.Create(out)
	require.NoError(t, err)
	defer f.Close()
	_, err = edit.WriteTo(f)
	require.NoError(t, err)
	return run.report
}

// readyFigures has the engine work out the first row only; every other row
// gets its figures.
func readyFigures(ed *listEditor) {
	var ready *compute.Line
	engine := ed.work
	ed.work = func(l *compute.Line, list int) (compute.Outcome, error) {
		if ready == nil {
			out, err := engine(l, list)
			ready = ed.b.model.NewLine()
			copy(ready.Frame.Num, l.Frame.Num)
			copy(ready.Frame.Text, l.Frame.Text)
			return out, err
		}
		copy(l.Frame.Num, ready.Frame.Num)
		copy(l.Frame.Text, ready.Frame.Text)
		return compute.Outcome{}, nil
	}
}
