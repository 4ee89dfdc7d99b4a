package audit_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/audit"
	"seamtally/sheets/bid"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// What no order can be worked out with is told at its cell, in a workbook that was worked
// out with it: what follows is told with it, and nothing ends the audit.
func TestAnAuditComesToItsEnd(t *testing.T) {
	t.Parallel() // most of its time is LibreOffice's
	shop.Heavy(t)
	sheetstest.NeedLibreOffice(t)
	path := shop.Put(t, nil)
	_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: "../../testdata/order.xlsx", Out: path, Force: true, With: bid.Sheets()})
	require.NoError(t, err)
	g := sheetstest.Read(t, path)
	value := func(key string) string { return fmt.Sprint("C", shop.Assumption(t, g, key)) }
	tube := cellOf(t, g, "Assumptions", func(v sheetstest.Value) bool { return v.Num == 19.5 && v.Formula == "" })
	edits := []struct {
		sheet, ref, as string
		weighed        bool // what it does can be told
	}{
		{"Order", "B7", `.String = "0 cars"`, false},
		{"Order", "B7", `.Value = 0`, false},
		{"Order", "B7", `.Value = -2`, true},
		{"Order", "C7", `.Value = -5`, true},
		{"Assumptions", value("shop_rate"), `.String = "95 an hour"`, false},
		{"Assumptions", value("price_step"), `.String = ""`, false},
		{"Assumptions", value("time_correlation"), `.Value = 1`, true},
		{"Assumptions", tube, `.String = "on request"`, false},
	}
	var office []sheetstest.OfficeEdit
	for _, e := range edits {
		office = append(office, sheetstest.OfficeEdit{Path: path, Basic: fmt.Sprintf(`doc.Sheets.getByName("%s").getCellRangeByName("%s")%s`, e.sheet, e.ref, e.as)})
	}
	office = append(office, sheetstest.OfficeEdit{Path: path, Basic: `doc.Sheets.getByName("Order").getCellRangeByName("A7").String = "8 pcs"`})
	saved := sheetstest.EditAll(t, office...)
	for i, e := range edits {
		t.Run(e.sheet+" "+e.ref+e.as, func(t *testing.T) {
			rep := audited(t, saved[i], "")
			f := faultAt(rep, "assumption unreadable", e.sheet+"!"+e.ref)
			require.NotNil(t, f, "%+v", rep.Faults)
			assert.Contains(t, f.What, "cells show what comes of it")
			wrong := 0
			for _, o := range rep.Faults {
				assert.NotEqual(t, audit.Doubtful, o.Grade, "%+v", o)
				if o.Grade == audit.Wrong {
					wrong++
				}
			}
			assert.Equal(t, 1, wrong, "%+v", rep.Faults)
			assert.Equal(t, e.weighed, !math.IsNaN(f.Price), "%+v", f)
		})
	}
	renamed := audited(t, saved[len(edits)], "")
	assert.False(t, renamed.Verdict.Complete)
	assert.NotNil(t, faultAt(renamed, audit.RuleUnsettled, "Order!A7"), "%+v", renamed.Faults)

	// Ten times the cars in a workbook that was worked out anew is told where it was typed.
	more := sheetstest.EditAll(t, sheetstest.OfficeEdit{Path: path, Basic: `doc.Sheets.getByName("Order").getCellRangeByName("B7").Value = 80`})[0]
	rep := audited(t, more, "")
	f := faultAt(rep, audit.RuleNotLogged, "Order!B7")
	require.NotNil(t, f, "%+v", rep.Faults)
	was, now := shop.ReportOf(t, path), shop.ReportOf(t, more)
	assert.InDelta(t, now.Order["order_price"]-was.Order["order_price"], f.Price, 0.0051)
	for _, o := range rep.Faults {
		assert.Contains(t, []string{audit.RuleNotLogged, audit.RuleOtherRows, audit.RuleKeptAsText}, o.Rule, "%+v", o)
	}
}
