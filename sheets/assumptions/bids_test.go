package assumptions_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// A bid of 0 counts as none, which is told at the cell in which it was typed: on the
// shop's own list where the line follows that, and on Assumptions where it does not.
func TestBidOfZeroIsTold(t *testing.T) {
	says := "bid for one car is 0, and counts as a blank: none is offered"
	for name, in := range map[string]string{
		"at the first pricing": shop.Unpriced(t, "order.xlsx"),
		"of one priced before": priced(t),
	} {
		t.Run(name, func(t *testing.T) {
			out, rep := shop.Price(t, shop.TypeIn(t, in, shop.At("Order", "C8", 0)))
			assert.True(t, shop.HasFinding(rep, "error", "Order!C8", says), "%v", rep.Findings)
			assert.False(t, rep.Complete)
			_, again := shop.Price(t, shop.TypeIn(t, out, shop.At("Order", "C8", nil)))
			assert.False(t, shop.HasFinding(again, "error", "Order!C8", says))
		})
	}
	in := priced(t)
	cell := fmt.Sprint("D", shop.TableRow(t, sheetstest.Read(t, in), "Track Demo-C"))
	_, rep := shop.Price(t, shop.TypeIn(t, in, shop.At("Assumptions", cell, 0)))
	assert.True(t, shop.HasFinding(rep, "error", "Assumptions!"+cell, says), "%v", rep.Findings)
}

func priced(t *testing.T) string {
	out, _ := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	return out
}
