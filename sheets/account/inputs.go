package account

import (
	"fmt"

	"seamtally/sheets/book"
	"seamtally/sheets/joints"
)

// tellBeyond tells of numbers that are a factor off what their input ever is. A
// column of which the shop has settled what it is, and in which unit, is meant.
func (ac *account) tellBeyond(row int) {
	for i := range ac.Cols {
		c := &ac.Cols[i]
		if c.Reader == nil || c.Reader.Shop.Col == 0 || c.Q.IsText() || !joints.Filled(ac.Inputs[i]) || c.Reader.Shop.Settled && c.Reader.Shop.HasUnit {
			continue
		}
		ac.lookAtParts(i, row)
		usual := c.Q.Unusual(&ac.Line.Frame)
		if usual == "" {
			continue
		}
		fix := "check the number, its unit and its column"
		if desc, _ := ac.b.Headings.Column(c.Q.Key); desc.Relative {
			fix += " (a multiple of the diameter is written as in 1.5D)"
		}
		ac.b.unsettled(book.CheckInputs, "beyond "+c.Q.Key, ac.L.Ref(row, c.Reader.Shop.Col),
			fmt.Sprintf("%s is %s, and is usually %s", c.Reader.Name(), c.Q.AmountText(c.Q.Num(&ac.Line.Frame)), usual),
			fix+"; if it is meant, settle the column: "+book.SettleAs(ac.L.ColumnName(c.Reader.Shop.Col), c.Q.Key+", "+c.Q.Unit.String()))
	}
}

// tellIdle tells of inputs of a priced row that move nothing: the kind of the joint
// may not be the one that is meant. What would count under no kind is odd: a rod
// where there is no filler, a purged length without a purge.
func (ac *account) tellIdle(row int) {
	for _, idle := range ac.b.Idle(ac.Line) {
		col := ac.L.Shop[idle.Input.Key].Col
		if col == 0 {
			continue
		}
		if idle.Kind == "" {
			ac.b.Note(book.LevelWarning, "moves nothing "+idle.Input.Key, ac.L.Ref(row, col), idle.Input.Name()+" moves nothing on this row", "clear it, or correct what else the row says")
			continue
		}
		kind := ac.b.Model.Line.Quantity("kind").Text(&ac.Line.Frame)
		ac.b.unsettled(book.CheckInputs, "moves nothing "+idle.Input.Key, ac.L.Ref(row, col),
			fmt.Sprintf("what stands under %q moves nothing on a joint of the kind %s, as it would on a %s", ac.L.Shop[idle.Input.Key].Head, kind, idle.Kind), "correct the kind, or clear the cell")
	}
}
