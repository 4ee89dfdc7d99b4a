package sheets

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Worked out anew from what was kept of it, an order comes to the same.
func TestReworkedOrderIsTheSame(t *testing.T) {
	o, err := take(t.Context(), "../testdata/order.xlsx", "")
	require.NoError(t, err)
	defer o.close()
	assert.Len(t, o.rows, o.report.Priced)
	again := o.set.Clone()
	refused, err := o.rework(again)
	require.NoError(t, err)
	assert.Empty(t, refused)
	assert.Equal(t, o.report.Order, figures(o.model.OrderOf, again.Order))

	rate := o.model.Singles.Quantity("shop_rate")
	dearer := o.set.Clone()
	dearer.Singles.Num[rate.Slot] *= 2
	_, err = o.rework(dearer)
	require.NoError(t, err)
	assert.Greater(t, figures(o.model.OrderOf, dearer.Order)["order_cost"], o.report.Order["order_cost"])
	assert.Equal(t, o.report.Order, figures(o.model.OrderOf, o.values.Order), "the order itself is left alone")
}
