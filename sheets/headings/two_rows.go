package headings

import (
	"maps"
	"slices"

	"seamtally/compute/units"
	"seamtally/sheets/part/worksheet"
)

// Headings may stand over two rows in two ways: words with the rest of the heading, or
// its unit, below them, and groups over several headings. Some headings of a list stand
// in one row alone.

// score says how much a reading of headings knows: inputs first, then their units.
func (l *Found) score() int {
	if l == nil {
		return 0
	}
	units := 0
	for _, c := range l.Shop {
		if c.HasUnit {
			units++
		}
	}
	return len(l.Shop)<<8 + units
}

// completes reports whether the only words of a row make a heading with those below
// them, which make none, or not a plain one, by themselves: "Joint" over "no".
func (b Finder) completes(upper, below map[int]string) bool {
	for col, words := range upper {
		own := b.Quick.Recognise(below[col])
		if below[col] == "" || own.Key != "" && own.Question == "" || !b.Quick.Recognise(words+" "+below[col]).Exact {
			return false
		}
	}
	return len(upper) > 0
}

// hasNumbers reports whether a row holds any number: headings have none.
func hasNumbers(cells []worksheet.Cell) bool {
	for _, c := range cells {
		if c.Kind == worksheet.Number {
			return true
		}
	}
	return false
}

// moreBelow reads two rows as headings where the upper one would do alone, and the
// lower one has more: units, the rest of headings, and headings under blanks, or would do
// alone too. It is nil where the lower row is none.
func (b Finder) moreBelow(l *Found, upper, below map[int]string, sheet string, rows []worksheet.Row) *Found {
	if below == nil || hasNumbers(rows[1].Cells) {
		return nil
	}
	shops := maps.Clone(upper)
	for col := range b.Own.Columns(sheet, rows[0].Num, upper) {
		delete(shops, col) // ours, of an earlier run
	}
	both := b.asHeadings(sheet, rows[1].Num, below, shops)
	// Where each row would do alone, as of sizes in both units, no joint stands between
	// them: they are the headings of one list.
	lower := b.asHeadings(sheet, rows[1].Num, below, nil)
	if lower != nil && sameReading(lower.Shop, l.Shop) {
		lower = nil // the headings again
	}
	if both.score() < l.score() || both.score() == l.score() && lower == nil {
		return nil
	}
	for key, c := range both.Shop {
		was, has := l.Shop[key]
		whole := lower != nil && lower.Shop[key].Col == c.Col || upper[c.Col] == "" || below[c.Col] == "" || b.Quick.Recognise(upper[c.Col]+" "+below[c.Col]).Key == key
		if has && was.Col != c.Col && !whole || !has && !whole {
			return nil
		}
	}
	for key := range l.Shop {
		if _, still := both.Shop[key]; !still && !b.loosely(l.Shop[key]) {
			return nil
		}
	}
	return both
}

// withUnits gives headings over two rows the units of a third, if it is that. used is how
// many rows they take.
func (b Finder) withUnits(l *Found, rows []worksheet.Row) (_ *Found, used int) {
	l.DataRow, l.TopRow = l.HeadRow+1, rows[0].Num
	if len(rows) > 2 && rows[2].Num == l.HeadRow+1 && b.unitsRow(l, Texts(rows[2].Cells)) {
		l.DataRow++
		return l, 3
	}
	return l, 2
}

// loosely reports whether a heading only usually means what it was taken for.
func (b Finder) loosely(c Column) bool { return !b.Quick.Recognise(c.Head).Exact }

// underGroups reads headings that stand alone under a word which is over no other
// column, where the row of that word has groups: "Welding" over "Set-up", beside a group
// over OD and Wall. What pieces are counted of is said by such words, so that a number of
// pieces is not read so, nor is a size.
func (b Finder) underGroups(texts, above map[int]string, groups map[string]bool, table string, ours map[int]bool, found map[string]Column) {
	if !slices.Contains(slices.Collect(maps.Values(groups)), true) {
		return
	}
	for _, col := range Ordered(texts) {
		if ours[col] || above[col] == "" || groups[above[col]] {
			continue
		}
		if m := meaning(b.Quick, above[col], texts[col], false); m.Key != "" || m.Question != "" || m.Own {
			continue
		}
		m := b.Quick.RecogniseUnder(above[col], texts[col])
		desc, ok := b.Headings.Column(m.Key)
		if _, taken := found[m.Key]; !ok || taken || !m.Exact || desc.Table != table || m.Key == "qty" || m.Key == "od" || m.Key == "wall" {
			continue
		}
		found[m.Key] = Column{Col: col, Head: above[col] + " " + texts[col], Key: m.Key, Unit: m.Unit, HasUnit: m.HasUnit, Desc: desc}
	}
}

// unitsRow reads the row below the headings as their units, if it is that.
func (b Finder) unitsRow(l *Found, below map[int]string) bool {
	found := map[string]units.Unit{}
	for key, c := range l.Shop {
		text := below[c.Col]
		if text == "" {
			continue
		}
		unit, ok := b.Headings.UnitBelow(key, text)
		if !ok || c.HasUnit && !c.Unit.Equal(unit) {
			return false
		}
		found[key] = unit
	}
	for key, unit := range found {
		c := l.Shop[key]
		c.Unit, c.HasUnit = unit, true
		l.Shop[key] = c
	}
	return len(found) > 0
}
