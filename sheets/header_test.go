package sheets_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// The header of the quote shows on Workings, in the footers and, its money
// sign, in every heading, also in a workbook that was priced before.
func TestHeaderFollows(t *testing.T) {
	clean, rep := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	assert.Equal(t, "$", rep.Currency)
	g := sheetstest.Read(t, clean)
	row := func(key string) string { return fmt.Sprint("C", shop.Assumption(t, g, key)) }
	in := shop.TypeIn(t, clean,
		shop.At("Assumptions", row("head_currency"), "€"), shop.At("Assumptions", row("head_shop"), "Demo shop & co"),
		shop.At("Assumptions", row("head_order"), "Demo order 7"), shop.At("Assumptions", row("head_revision"), "B"))
	out, rep := shop.Price(t, in)
	assert.Equal(t, "€", rep.Currency)

	g = sheetstest.Read(t, out)
	cost := shop.OurColumn(t, g, "Joints", "line_cost")
	assert.Equal(t, "Cost (€)", g["Joints"][cost+"1"].Text)
	money := 0
	for _, v := range g["Workings"] {
		if v.Kind == sheetstest.Text && strings.Contains(v.Text, "(€)") {
			money++
		}
		assert.False(t, v.Kind == sheetstest.Text && strings.Contains(v.Text, "($"), v.Text)
	}
	assert.Greater(t, money, 10)
	feet := 0
	for name, xml := range shop.Parts(t, out) {
		if strings.HasPrefix(name, "xl/worksheets/") && strings.Contains(xml, "Demo order 7, Revision B, Demo shop &amp;&amp; co") {
			feet++
		}
	}
	assert.Equal(t, 4, feet, "footers of the list, Summary, Workings and Assumptions")
	again, _ := shop.Price(t, out)
	assert.Equal(t, shop.Content(t, out), shop.Content(t, again))

	back, _ := shop.Price(t, shop.TypeIn(t, out, shop.At("Assumptions", row("head_currency"), "")))
	require.Equal(t, "Cost ($)", sheetstest.Read(t, back)["Joints"][cost+"1"].Text)
}
