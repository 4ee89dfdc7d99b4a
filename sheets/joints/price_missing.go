package joints

import (
	"fmt"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// checkPrice is the check of a row whose tube or rod has no price.
const checkPrice = "price_missing"

// advice is what to do about a check that a row raises; where a price is missing,
// of which tube or rod.
func (ed *Editor) advice(q *model.Quantity) string {
	if q.Key != checkPrice {
		return q.Fix
	}
	line, f := ed.b.Model.Line, &ed.Line.Frame
	var what, where []string
	for _, of := range []struct {
		thing, amount, price, table, number string
		sizes                               []string
	}{
		{"tube", "tube_used", "tube_rate", "stock", "stock_no", []string{"od", "wall"}},
		{"rod", "filler_mass", "rod_rate", "fillers", "rod_no", []string{"wire"}},
	} {
		t, no := ed.b.Model.Table(of.table), int(line.Quantity(of.number).Num(f))
		if line.Quantity(of.amount).Num(f) <= 0 || line.Quantity(of.price).Num(f) != 0 || no < 1 {
			continue
		}
		var sizes []string
		row := ed.b.Values.Rows(t).Frames[no-1]
		for _, key := range of.sizes {
			sizes = append(sizes, formula.GeneralText(t.Quantity(key).Num(row)))
		}
		unit := model.UnitName(t.Quantity(of.sizes[0]))
		what = append(what, fmt.Sprintf("of %s %s, %s %s", of.thing, t.Quantity("alloy").Text(row), strings.Join(sizes, " x "), unit))
		where = append(where, t.Title)
	}
	return fmt.Sprintf("type the price %s, on the Assumptions sheet, under %s", strings.Join(what, " and "), strings.Join(where, " and "))
}
