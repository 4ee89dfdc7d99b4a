package sheets_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

func TestDemoOrdersRecalculate(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	var outs []string
	for _, name := range []string{"order.xlsx", "order-metric.xlsx"} {
		out, rep := shop.Price(t, shop.Demo(name))
		require.Zero(t, rep.LeftOut, "%v", rep.Findings)
		require.True(t, rep.Complete, "%v", rep.Findings)
		outs = append(outs, out)
	}
	for i, grid := range sheetstest.RecalculateAll(t, outs...) {
		n := sheetstest.Compare(t, sheetstest.Read(t, outs[i]), grid, 1e-9)
		t.Logf("%s: %d formula cells equal", outs[i], n)
	}
}
