package book

import (
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/part/worksheet"
)

// TableNames are the names in the first column of a table.
func (b *Book) TableNames(t *model.Scope) []string {
	if t == nil {
		return nil
	}
	name := t.Quantity("name")
	var out []string
	for _, f := range b.Values.Rows(t).Frames {
		if s := name.Text(f); s != "" {
			out = append(out, s)
		}
	}
	return out
}

// TableOfWords is the table whose names a list of words must be among, nil for none.
func (b *Book) TableOfWords(list string) *model.Scope {
	switch list {
	case "kind", "setup", "alloy":
		return b.Model.Table(list + "s")
	}
	return nil
}

// Heading is what stands over a calculated column.
func Heading(q *model.Quantity) string {
	h := q.Heading
	if q.Role == model.Input {
		h += ", as read"
	}
	if u := model.UnitLabel(q); u != "" {
		h += " (" + u + ")"
	}
	return h
}

// Heading is the heading with the book's sign for money.
func (b *Book) Heading(q *model.Quantity) string {
	return strings.ReplaceAll(Heading(q), "$", b.Currency())
}

// Currency is the sign for money, as the header has it.
func (b *Book) Currency() string {
	for _, h := range b.Model.Heads {
		if h.Key == "currency" {
			if s := CellText(*b.HeadValue(h)); s != "" {
				return s
			}
		}
	}
	return "$"
}

// OtherCurrency reports whether a heading of ours stands as we wrote it, but
// with another sign for money.
func (b *Book) OtherCurrency(q *model.Quantity, c *worksheet.Cell) bool {
	before, after, money := strings.Cut(Heading(q), "$")
	return money && c.Text != b.Heading(q) && strings.HasPrefix(c.Text, before) && strings.HasSuffix(c.Text, after) &&
		len(c.Text) > len(before)+len(after)
}

// Foot is the left of the footers: what the header says of the quote.
func (b *Book) Foot() string {
	var parts []string
	for _, h := range b.Model.Heads {
		v := CellText(*b.HeadValue(h))
		switch {
		case v == "" || h.Key == "currency" || h.Letter:
		case h.Key == "shop" || h.Key == "order" || h.Key == "customer":
			parts = append(parts, v)
		default:
			parts = append(parts, h.What+" "+v)
		}
	}
	return strings.Join(parts, ", ")
}

// HeadValue is a field of the header as it stands on Assumptions.
func (b *Book) HeadValue(h model.Head) *worksheet.Cell {
	if row := b.Own.Keys[HeadPrefix+h.Key]; row > 0 {
		return b.Own.Cell(row, AssumeValue)
	}
	if c := b.Own.Taken[HeadPrefix+h.Key]; c != nil {
		return c
	}
	if h.Value == "" {
		return &worksheet.Cell{}
	}
	return &worksheet.Cell{Kind: worksheet.Text, Text: h.Value}
}
