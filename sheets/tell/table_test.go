package tell

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/book"
)

// An invented order of two cars. The figures are made up to show every width,
// not worked out.
func twoCars() *sheets.Report {
	return &sheets.Report{
		Input: "order.xlsx", Output: "order-priced.xlsx", Currency: "$", Verdict: sheets.Verdict{Complete: true},
		Units: map[string]string{
			"car_arc": "h", "car_hours": "h", "car_argon": "ft³", "car_filler": "lb", "cost_car": "$", "price_car": "$",
			"car_welds": "welds", "order_cars": "cars",
		},
		Read: 4, Priced: 3, LeftOut: 1,
		Cars: []sheets.CarReport{
			{Car: "Coupe", Ordered: 2, Figures: model.Figures{
				"car_welds": 48, "car_stops": 1312, "car_arc": 2.345, "car_hours": 31.5, "car_argon": 812.04,
				"car_filler": 0.31249, "cost_car": 4181.07, "price_car": 5975, "price_all": 11950,
			}},
			{Car: "Überlandwagen Ⅱ", Ordered: 1, Figures: model.Figures{
				"car_welds": 6, "car_stops": 0, "car_arc": 0.3, "car_hours": 2, "car_argon": 40,
				"car_filler": math.NaN(), "cost_car": 250, "price_car": 375,
			}},
		},
		Order: model.Figures{
			"order_cars": 3, "order_welds": 102, "order_stops": 2624, "order_arc": 4.99, "order_hours": 65,
			"order_argon": 1664.08, "order_cost": 8612.14, "order_price": 1234567.5,
		},
		Lines: []sheets.LineReport{{Sheet: "Coupe", Row: 5, Mark: "<A&B>", Car: "Coupe", Words: map[string]string{"kind": "pie cut"}, Figures: model.Figures{"arc_time": 1.5, "seam": math.Inf(1)}}},
		Findings: []book.Finding{
			{Cell: "Coupe!F6", Level: book.LevelError, What: "wall is blank", Fix: "fill it in", Rule: "wall"},
			{Cell: "Coupe!F7", Level: book.LevelWarning, What: "gap is wide", Fix: "check it"},
			{Cell: "Coupe!A1", Level: book.LevelNote, What: "read as mark"},
		},
	}
}

func TestTable(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Table(&b, twoCars()))
	assert.Equal(t, strings.TrimLeft(`
COMPLETE

One car          Cars  Welds  Stops  Arc, h  Hours, h  Argon, ft³  Filler, lb   Cost, $      Price, $
Coupe               2     48  1,312    2.35     31.50       812.0       0.312  4,181.07      5,975.00
Überlandwagen Ⅱ     1      6      0    0.30      2.00        40.0           -    250.00        375.00
Whole order         3    102  2,624    4.99     65.00     1,664.1           -  8,612.14  1,234,567.50
`, "\n"), b.String())
}

func TestTableOfAMetricBookInItsCurrency(t *testing.T) {
	r := twoCars()
	r.Currency = "€"
	r.Units["car_argon"], r.Units["car_filler"] = "L", "g"
	r.Cars, r.Order = r.Cars[:1], model.Figures{}
	var b bytes.Buffer
	require.NoError(t, Table(&b, r))
	assert.Equal(t, strings.TrimLeft(`
COMPLETE

One car      Cars  Welds  Stops  Arc, h  Hours, h  Argon, L  Filler, g   Cost, €  Price, €
Coupe           2     48  1,312    2.35     31.50     812.0        0.3  4,181.07  5,975.00
Whole order     -      -      -       -         -         -          -         -         -
`, "\n"), b.String())
}

func TestNoCarNoTable(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Table(&b, &sheets.Report{}))
	assert.Equal(t, "INCOMPLETE: 0 reasons\n", b.String())
}

func TestJSON(t *testing.T) {
	r := twoCars()
	r.Cars, r.Units, r.Order = r.Cars[1:], map[string]string{"order_price": "$", "order_margin": "%"}, model.Figures{"order_price": 1234567.5, "order_margin": 0.25}
	var b bytes.Buffer
	require.NoError(t, JSON(&b, r))
	assert.Equal(t, strings.TrimLeft(`
{
  "cars": [
    {
      "car": "Überlandwagen Ⅱ",
      "car_arc": 0.3,
      "car_argon": 40,
      "car_hours": 2,
      "car_stops": 0,
      "car_welds": 6,
      "cars_ordered": 1,
      "cost_car": 250,
      "price_car": 375
    }
  ],
  "complete": true,
  "findings": [
    {
      "cell": "Coupe!F6",
      "fix": "fill it in",
      "level": "error",
      "what": "wall is blank"
    },
    {
      "cell": "Coupe!F7",
      "fix": "check it",
      "level": "warning",
      "what": "gap is wide"
    }
  ],
  "input": "order.xlsx",
  "lines": [
    {
      "arc_time": 1.5,
      "car": "Coupe",
      "kind": "pie cut",
      "mark": "<A&B>",
      "row": 5,
      "sheet": "Coupe"
    }
  ],
  "logged": [],
  "open": [],
  "order": {
    "order_margin": 0.25,
    "order_price": 1234567.5
  },
  "output": "order-priced.xlsx",
  "reasons": [],
  "rows": {
    "left_out": 1,
    "priced": 3,
    "read": 4
  },
  "units": {
    "order_margin": "1",
    "order_price": "$"
  },
  "version": 1
}
`, "\n"), b.String())
}

func TestJSONOfNothingHasListsAndObjects(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, JSON(&b, &sheets.Report{}))
	var got map[string]any
	require.NoError(t, json.Unmarshal(b.Bytes(), &got))
	assert.Equal(t, []any{}, got["cars"])
	assert.Equal(t, []any{}, got["lines"])
	assert.Equal(t, []any{}, got["findings"])
	assert.Equal(t, map[string]any{}, got["units"])
	assert.Equal(t, map[string]any{}, got["order"])
}
