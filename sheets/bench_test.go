package sheets

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sheetstest"
)

// BenchmarkPrice prices generated orders, and beside each does the same with
// ready cells in place of figures: what is left is reading, packing and writing.
// The ratio of the two is what working out costs. Of some orders a tenth of the
// rows are distinct.
func BenchmarkPrice(b *testing.B) {
	for _, rows := range []int{1_000, 10_000, 50_000, 100_000} {
		for _, distinct := range []int{rows, rows / 10} {
			in := filepath.Join(b.TempDir(), "in.xlsx")
			generate := sync.OnceFunc(func() {
				data, err := sheetstest.GenerateRepeating(rows, distinct, 1, false)
				require.NoError(b, err)
				require.NoError(b, os.WriteFile(in, data, 0o600))
			})
			for _, bare := range []bool{false, true} {
				b.Run(fmt.Sprintf("rows=%d/distinct=%d/bare=%t", rows, distinct, bare), func(b *testing.B) {
					generate()
					for b.Loop() {
						priceFile(b, in, filepath.Join(b.TempDir(), "out.xlsx"), bare)
					}
					b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(rows), "us/row")
				})
			}
		}
	}
}

func priceFile(t testing.TB, in, out string, bare bool) *Report {
	bk, err := book.Open(in, "")
	require.NoError(t, err)
	defer bk.Close()
	run := newRun(context.Background(), bk, PriceOptions{In: in, Out: out}, Unwatched{})
	if bare {
		run.observe(readyCells{})
	}
	edit := bk.Package.Edit()
	defer edit.Close()
	require.NoError(t, run.all(edit))
	f, err := os.Create(out)
	require.NoError(t, err)
	defer f.Close()
	_, err = edit.WriteTo(f)
	require.NoError(t, err)
	return run.Report
}

// readyRows is how many rows are worked out for the others. The cells of that
// many lie further apart than the packer looks back for what it can say again.
const readyRows = 50

// readyCells has the first rows worked out; every other row gets the cells of
// one of these, formulas and all. What the rows hold is read all the same.
type readyCells struct{ Unwatched }

func (readyCells) Fills(ed *joints.Editor) {
	type readyRow struct {
		num   []float64
		text  []string
		cells []worksheet.NewCell
	}
	var ready []readyRow
	engine, fill, n := ed.Work, ed.Write, 0
	ed.Work = func(l *compute.Line, list int) (compute.Outcome, error) {
		if len(ready) == readyRows {
			n++
			copy(l.Frame.Num, ready[n%readyRows].num)
			copy(l.Frame.Text, ready[n%readyRows].text)
			return compute.Outcome{}, nil
		}
		return engine(l, list)
	}
	ed.Write = func(row int) {
		if len(ready) < readyRows {
			fill(row)
			f := &ed.Line.Frame
			ready = append(ready, readyRow{slices.Clone(f.Num), slices.Clone(f.Text), slices.Clone(ed.Out)})
			return
		}
		ed.Out = append(ed.Out[:0], ready[n%readyRows].cells...)
	}
}
