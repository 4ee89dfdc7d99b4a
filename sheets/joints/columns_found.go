package joints

import (
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
)

// Places gives a list the columns that earlier runs gave it.
func Places(o *book.Ours, l *List, m *model.Model) {
	l.Ours, l.retired = map[*model.Quantity]int{}, map[int]string{}
	for figure, col := range o.Resolve(l.Title, l.HeadRow, l.Heads) {
		if q := m.Line.Quantity(figure); q != nil {
			l.Ours[q] = col
		} else {
			l.retired[col] = l.Heads[col]
		}
	}
}

// Settled is what the shop has settled about a column.
func Settled(o *book.Ours, l *List, col int) book.ColumnRecord {
	for _, r := range o.Records {
		if !r.Ours && strings.EqualFold(r.Sheet, l.Title) && (r.Row == l.HeadRow || r.AnyRow) && r.Col == col && r.StillHeaded(l.Heads[col]) {
			return r
		}
	}
	return book.ColumnRecord{}
}
