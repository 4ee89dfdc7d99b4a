package sheets_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest/shop"
)

// Worked out anew from what was kept of it, an order comes to the same.
func TestReworkedOrderIsTheSame(t *testing.T) {
	o, err := sheets.Read(t.Context(), shop.Unpriced(t, "order.xlsx"), "")
	require.NoError(t, err)
	defer o.Close()
	assert.Len(t, o.Joints, o.Report.Priced)
	again := o.Set.Clone()
	refused, err := o.Again(again, nil)
	require.NoError(t, err)
	assert.Empty(t, refused)
	assert.Equal(t, o.Report.Order, o.Model.OrderOf.Figures(again.Order))

	rate := o.Model.Singles.Quantity("shop_rate")
	dearer := o.Set.Clone()
	dearer.Singles.Num[rate.Slot] *= 2
	_, err = o.Again(dearer, nil)
	require.NoError(t, err)
	assert.Greater(t, o.Model.OrderOf.Figures(dearer.Order)["order_cost"], o.Report.Order["order_cost"])
	assert.Equal(t, o.Report.Order, o.Model.OrderOf.Figures(o.Values.Order), "the order itself is left alone")
}
