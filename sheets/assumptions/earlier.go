package assumptions

import (
	"fmt"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// Earlier is an earlier workbook, whose rates are taken into one that has none.
type Earlier struct {
	*Sheet             // what it has on Assumptions
	File, Sum   string // its name and its SHA-256, for the log
	IsEncrypted bool
	Took        Took

	at    *Places
	newer map[string]bool // single assumptions that stay as they are shipped now
}

// AsEarlier reads what a workbook hands on, once its units are known. What would
// come over otherwise than the workbook itself goes by it is refused.
func (b *Sheet) AsEarlier(file string) (*Earlier, error) {
	b.hands, b.Fingerprint = true, b.Model.Fingerprint()
	if err := b.Load(); err != nil {
		return nil, err
	}
	at, err := b.locate()
	if err != nil {
		return nil, err
	}
	if err := b.sound(at); err != nil {
		return nil, err
	}
	if b.placeReliability(at); at.columnsAdded {
		at.reliability, at.since = 0, 0
	}
	sum, err := b.InputSum()
	if err != nil {
		return nil, err
	}
	return &Earlier{Sheet: b, File: file, Sum: sum, IsEncrypted: b.Container != nil, at: at}, nil
}

// older reports whether another version of the program has priced the workbook.
func (b *Sheet) older() bool { return b.Own.Model != b.Fingerprint }

// sound refuses a sheet on which a name of ours has left its cells: its figures
// went by other cells than those that would be taken. Lines that no figure went
// by are refused too.
func (b *Sheet) sound(at *Places) error {
	ref := func(row, col int) string { return b.Own.Assumptions + "!" + grid.Ref(row, col) }
	for _, q := range b.Model.Singles.Quantities {
		row := at.Key[q.Key]
		_, r, named := page.SplitRef(b.Names.Find(q.Key))
		switch {
		case row == 0 && b.Names.Has(q.Key):
			return fmt.Errorf("%s!A: the row of %q is gone from the sheet; put its name back in the first column of its row, and price the workbook again", b.Own.Assumptions, q.Key)
		case row > 0 && (!named || r.Row1 != row || r.Col1 != book.AssumeUsed):
			return fmt.Errorf("%s: the name %s does not point here, so its figures went by another cell; price the workbook again, which sets the name right", ref(row, book.AssumeUsed), q.Key)
		}
	}
	for _, t := range b.Model.Tables {
		ta := at.Table[t]
		for _, q := range t.Quantities {
			name := t.Prefix + "_" + q.Key
			if _, r, ok := page.SplitRef(b.Names.Find(name)); ok && (r.Row1 != ta.First || r.Row2 != ta.last() || r.Col1 != r.Col2) {
				return fmt.Errorf("%s: the name %s does not stand beside the others of the table %q; point it at rows %d to %d, and price the workbook again",
					ref(r.Row1, r.Col1), name, t.Title, ta.First, ta.last())
			}
		}
		if !t.Closed && ta.rows > 0 && b.below(t, at) {
			return fmt.Errorf("%s: a line is typed below the room of the table %q, and would not come over; move it up, and price the workbook again", ref(ta.last()+1, tableCol), t.Title)
		}
	}
	return nil
}

// Took is what has come from an earlier workbook, and what of it needs a word.
type Took struct {
	Assumptions int      // that are otherwise than as shipped
	Values      []string // of them, those whose value is: "shop_rate 95 -> 110 $/h"
	Tables      []string // titles of those that are otherwise than as shipped
	Columns     int      // of joint lists, and sheets, that are settled
	Fields      int      // of the head and the basis

	Lacks    []string // what its version did not know: as shipped
	Dropped  []string // what this version does not know
	Outdated []string // what an earlier version shipped otherwise, and the shop left so: as shipped now
	Blank    []string // blank in a line of an earlier version, and shipped with a value now
	Left     []string // what each order settles for itself
	Formulas int      // cells whose formula came as its value
	Work     []string // lines of other work that are filled in
}

// String counts what came.
func (t Took) String() string {
	var parts []string
	for _, c := range []struct {
		n    int
		what string
	}{{t.Assumptions, "assumption"}, {len(t.Tables), "table"}, {t.Columns, "settled column"}, {t.Fields, "field"}} {
		if c.n == 1 {
			parts = append(parts, "1 "+c.what)
		} else {
			parts = append(parts, fmt.Sprintf("%d %ss", c.n, c.what))
		}
	}
	return strings.Join(parts, ", ")
}
