package sheets_test

import (
	"context"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
)

func price(t testing.TB, in string) (string, *sheets.Report) {
	out := filepath.Join(t.TempDir(), "priced.xlsx")
	rep, err := sheets.Price(context.Background(), sheets.PriceOptions{In: in, Out: out})
	require.NoError(t, err)
	return out, rep
}

func TestDemoOrdersRecalculate(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	var outs []string
	for _, name := range []string{"order.xlsx", "order-metric.xlsx"} {
		out, rep := price(t, demo(name))
		require.Zero(t, rep.LeftOut, "%v", rep.Findings)
		require.True(t, rep.Complete, "%v", rep.Findings)
		outs = append(outs, out)
	}
	for i, grid := range sheetstest.RecalculateAll(t, outs...) {
		n := sheetstest.Compare(t, sheetstest.Read(t, outs[i]), grid, 1e-9)
		t.Logf("%s: %d formula cells equal", outs[i], n)
	}
}
