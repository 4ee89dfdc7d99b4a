package sheets_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets"
)

func TestAuditOfTheDemo(t *testing.T) {
	out, _ := price(t, demo("order.xlsx"))
	rep, err := sheets.Audit(t.Context(), sheets.AuditOptions{In: out})
	require.NoError(t, err)
	for _, f := range rep.Faults {
		t.Logf("%s %s %s +%d: %s [%s|%s] %v %v", f.Grade, f.Rule, f.Cell, f.More, f.What, f.Found, f.Expected, f.Cost, f.Price)
	}
	t.Log(rep.Cells, rep.Rows, rep.Cost, rep.Price)
}
