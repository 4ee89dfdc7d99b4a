package assumptions

import (
	"fmt"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
)

// stickless asks for the length of a stick where a size is needed whose line has
// none: how many to buy, and what is paid for them, is not known without it.
func (a *Plan) stickless() {
	stock, tube := a.Model.Table("stock"), a.Model.ClosingScope("tube")
	at := a.At.Table[stock]
	for _, f := range a.Values.Rows(tube).Frames {
		no := int(tube.Quantity(tube.By).Num(f))
		if no < 1 || tube.Quantity("tube_needed").Num(f) <= 0 {
			continue
		}
		line := a.Values.Rows(stock).Frames[no-1]
		stick := stock.Quantity("stick")
		if stick.Num(line) > 0 {
			continue
		}
		size := func(key string) string { return formula.GeneralText(stock.Quantity(key).Num(line)) }
		a.Note(book.LevelWarning, "stick unknown", a.p.Title+"!"+grid.Ref(at.First+no-1, at.Cols[stick]),
			fmt.Sprintf("the stick of %s, %s x %s %s, has no length: what to buy is not known, and whole sticks are charged as used", stock.Quantity("alloy").Text(line), size("od"), size("wall"), model.UnitName(stock.Quantity("od"))),
			fmt.Sprintf("type the length that it is sold in, in %s", model.UnitName(stick)))
	}
}
