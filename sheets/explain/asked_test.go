package explain

import (
	"fmt"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest/shop"
)

// Words that a person types for the order are known by the headings of its figures: those
// on Summary first, then all of the order, then what is set.
func TestOrderInPlainWords(t *testing.T) {
	o, err := sheets.Read(t.Context(), filepath.Join("..", "..", "testdata", "order.xlsx"), "")
	require.NoError(t, err)
	defer o.Close()
	for word, key := range map[string]string{
		"price": "order_price", "Cost": "order_cost", "hours": "order_hours", "margin": "order_margin", "days": "days", "working days": "days",
		"welds": "order_welds", "labour": "money_labour", "contingency": "money_contingency", "order price": "order_price",
		"shop rate": "shop_rate", "overhead": "overhead", "price of the ORDER": "order_price",
	} {
		x, err := explain(o, Options{Mark: word})
		require.NoError(t, err, word)
		assert.Equal(t, OfOrder, x.Of, word)
		assert.Equal(t, key, x.Figure, word)
		beside, err := explain(o, Options{Mark: "order", Figure: word})
		require.NoError(t, err, word)
		assert.Equal(t, x, beside, word)
	}
	x, err := explain(o, Options{Mark: "margin"})
	require.NoError(t, err)
	require.NotEmpty(t, x.Notes)
	assert.Contains(t, x.Notes[0], "what is set as margin is another: margin, of the price (not a markup on cost), 30 %, in Assumptions!E")

	for word, says := range map[string]string{
		"argon":     `"argon" is the heading of 2 figures; name one of order_argon (Argon (ft³)), money_argon (Argon ($))`,
		"labor":     `near to it: money_labour (Labour and overhead); name a joint's mark`,
		"prise":     `near to it: order_price (Price of the order), `,
		"car hours": "car_hours is a figure of a car; name a car in front of it",
		"A-99":      `no joint and no car is called "A-99"; near to it: A-09, A-19; name a joint's mark, its cell as in Joints!7, a car, order, or a figure of the order`,
		"qq":        `no joint and no car is called "qq"; name a joint's mark`,
	} {
		_, err := explain(o, Options{Mark: word})
		assert.ErrorContains(t, err, says, word)
	}
	_, err = explain(o, Options{Mark: "A-99", Figure: "price"})
	assert.ErrorContains(t, err, `no joint and no car is called "A-99"`, "a figure of what is not there is none of the order")
}

// A part of a sum that is a formula is told in words.
func TestPartsInWords(t *testing.T) {
	o, err := sheets.Read(t.Context(), filepath.Join("..", "..", "testdata", "order.xlsx"), "")
	require.NoError(t, err)
	defer o.Close()
	for _, c := range []struct {
		mark, figure string
		words        []string
	}{
		{"A-07", "tack_time", []string{"Torch gas on while tacking, each weld", "from Tacks, each weld; Handling of one tack"}},
		{"Coupe Demo-A", "parts_money", []string{"Cost, each car, of every car"}},
		{"order", "money_labour", []string{"Labour, all cars"}},
	} {
		x, err := explain(o, Options{Mark: c.mark, Figure: c.figure})
		require.NoError(t, err)
		require.NotEmpty(t, x.Brief.Steps)
		var words []string
		for _, p := range x.Brief.Steps[0].Parts {
			words = append(words, p.Heading)
		}
		assert.Equal(t, c.words, words, c.figure)
	}
	x, err := explain(o, Options{Mark: "Coupe Demo-A", Figure: "parts_learn"})
	require.NoError(t, err)
	terms := x.Brief.Answers[0].Terms
	require.Len(t, terms, 2)
	assert.Equal(t, "Hours that learn, each car, of this car", terms[0].Words)
	assert.Equal(t, "Hours that learn, each car, of every car", terms[1].Words)
}

// Of more parts than are told the largest are, and the others come as one.
func TestManyParts(t *testing.T) {
	for _, cars := range []int{mostShares + 1, mostShares + 2, mostShares + 16} {
		f := excelize.NewFile()
		head := shop.Row{"Joint no", "Car", "Kind", "Qty", "OD (in)", "Wall (in)", "Tube length (in)"}
		require.NoError(t, f.SetSheetRow("Sheet1", "A1", &head))
		for i := range cars {
			row := shop.Row{fmt.Sprint("J-", i+1), fmt.Sprint("Demo car ", i+1), "butt", i + 1, 3, 0.049, 10}
			require.NoError(t, f.SetSheetRow("Sheet1", fmt.Sprint("A", i+2), &row))
		}
		x, err := Figures(t.Context(), Options{In: shop.Saved(t, f), Mark: "order", Figure: "order_priced"})
		require.NoError(t, err)
		require.NoError(t, f.Close())
		step := x.Brief.Steps[0]
		more := cars - mostShares
		if more == 1 {
			more = 0 // one more has a line as short as "1 more"
		}
		assert.Len(t, step.Parts, cars-more)
		assert.Equal(t, fmt.Sprint("Demo car ", cars), step.Parts[0].Key)
		assert.Equal(t, more, step.More.Count)
		shares := step.More.Of
		for _, p := range step.Parts {
			shares += p.Of
		}
		assert.InDelta(t, 1, shares, 1e-9)
		if more > 0 {
			assert.Positive(t, step.More.Value)
			assert.NotEmpty(t, step.More.Shown)
		}
	}
}
