package account_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// An amount that is typed where the price does not come from is not lost without a
// word: the order is not complete until it stands where it counts.
func TestAmountTypedWherePriceDoesNotComeFrom(t *testing.T) {
	clean, before := shop.Price(t, shop.TwoButts(t))
	for _, key := range []string{"labour", "line_cost"} {
		out, rep := shop.Price(t, shop.TypedOver(t, clean, key, 2, 500.0))
		assert.False(t, rep.Complete, key)
		assert.Equal(t, before.Order["order_price"], rep.Order["order_price"], key)
		cell := fmt.Sprint("Joints!", shop.OurColumn(t, sheetstest.Read(t, clean), "Joints", key), 2)
		require.True(t, shop.HasFinding(rep, cell, "Other work and parts"), "%v", rep.Findings)
		assert.Equal(t, "INCOMPLETE", shop.Master(sheetstest.Read(t, out)))
		_, again := shop.Price(t, shop.TypedOver(t, out, key, 2, nil))
		assert.True(t, again.Complete, key)
	}
	for _, key := range []string{"floor_time", "tube_cost", "arc_time"} {
		_, rep := shop.Price(t, shop.TypedOver(t, clean, key, 2, 500.0))
		assert.True(t, rep.Complete, key)
		assert.NotEqual(t, before.Order["order_price"], rep.Order["order_price"], key)
	}
}
