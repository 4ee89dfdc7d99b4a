package assumptions_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// A cell of a table that would make the price wrong without a word is told by its
// place, and keeps the order from being complete until it is put right.
func TestCellsOfTablesAreGuarded(t *testing.T) {
	fresh, rep := shop.Price(t, shop.TwoButts(t))
	assert.True(t, rep.Complete, "%v", rep.Findings)
	g := sheetstest.Read(t, fresh)
	flanges := 0
	for ref, v := range g["Assumptions"] {
		if v.Text == "Flanges" {
			fmt.Sscanf(ref, "B%d", &flanges)
		}
	}
	if !assert.Positive(t, flanges) {
		return
	}
	at := func(col string) string { return fmt.Sprint(col, flanges) }

	spoiled, rep := shop.Price(t, shop.TypeIn(t, fresh, shop.At("Assumptions", at("E"), 10), shop.At("Assumptions", at("D"), nil), shop.At("Assumptions", at("G"), "once")))
	assert.False(t, rep.Complete)
	assert.True(t, shop.HasFinding(rep, "error", "Assumptions!"+at("D"), "quantity is blank, and counts as nothing"), "%v", rep.Findings)
	assert.True(t, shop.HasFinding(rep, "error", "Assumptions!"+at("G"), `"once"`), "%v", rep.Findings)
	g = sheetstest.Read(t, spoiled)
	assert.Equal(t, "INCOMPLETE", shop.Master(g))
	assert.Equal(t, 2.0, shop.OnSummary(t, g, "Cells of the tables on Assumptions to be settled, at the last run"))

	mended, rep := shop.Price(t, shop.TypeIn(t, spoiled, shop.At("Assumptions", at("D"), 1), shop.At("Assumptions", at("G"), "order")))
	assert.True(t, rep.Complete, "%v", rep.Findings)
	assert.Equal(t, "COMPLETE", shop.Master(sheetstest.Read(t, mended)))
}
