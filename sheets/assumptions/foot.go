package assumptions

import (
	"fmt"
	"slices"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/logbook"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/workbook"
)

// Rows between a table at the foot of Assumptions and what stands above it: a
// blank, its title, what it is about, its headings.
const footHead = 4

// layFoot gives the log and the tables below it their places on a new sheet,
// from a row on.
func (b *Sheet) layFoot(at *Places, row int) {
	at.log = page.Rows{First: row + footHead, Count: max(logbook.Room, len(b.Logged))}
	at.state = page.Rows{First: at.log.Last() + 1 + footHead, Count: len(b.Now)}
	at.columns = at.state.Last() + 1 + footHead
}

// placeFoot finds the foot of a sheet that is there, and makes room in it: for
// lines that the log needs, and for rows that the sheet does not have because
// an earlier version of the program made it. No row is ever inserted. The two
// tables at the very foot are the program's own, and so can be written anew
// further down; what is above them stays where it is.
func (b *Sheet) placeFoot(at *Places) error {
	free := b.footTop(at)
	from := free
	was := b.ReadLog()
	need := max(0, len(b.Logged)-(was.Rows.Last()-was.Last))
	taken := func() bool { // rows that the log would grow into
		for r := was.Rows.Last() + 1; r <= was.Rows.Last()+need; r++ {
			if r < from && b.Own.Used(r, logbook.ColNo, logbook.ColLast) || r >= from && b.Own.Used(r, book.ColumnsSettledUnit+1, logbook.ColLast) {
				return true
			}
		}
		return false
	}
	switch { // what arrives comes below the log, which could not grow any more
	case was.Rows.Count == 0:
	case need > 0:
		need = max(need, logbook.Room)
		free = max(free, was.Rows.Last()+need+1)
	case b.lacks(at):
		if need = logbook.Room; taken() {
			need = 0
		} else {
			free = max(free, was.Rows.Last()+need+1)
		}
	}
	row := b.placeArrivals(at, free)
	switch {
	case was.Rows.Count == 0:
		at.log = page.Rows{First: row + footHead, Count: max(logbook.Room, len(b.Logged))}
		row = at.log.Last() + 1
		at.anew = append(at.anew, page.Rows{First: at.log.First - footHead + 1, Count: at.log.Count + footHead - 1})
	case need == 0:
		at.log = was.Rows
	default:
		at.log = page.Rows{First: was.Rows.First, Count: was.Rows.Count + need}
		if taken() {
			return fmt.Errorf("%s!%s: the log needs %d more lines, and something stands below it; insert %d rows above this one, inside the log, and price again",
				b.Own.Assumptions, grid.Ref(was.Rows.Last(), logbook.ColNo), need, need)
		}
		at.anew = append(at.anew, page.Rows{First: was.Rows.Last() + 1, Count: need})
		row = max(row, at.log.Last()+1)
	}
	moved := row > from
	stateAt, had := b.BlockAt(book.NameState)
	at.state = page.Rows{First: row + footHead, Count: len(b.Now)}
	if had && !moved {
		at.state.First = stateAt.Row1
	} else if had {
		at.state.First = max(at.state.First, stateAt.Row1)
	}
	if !had || at.state.First != stateAt.Row1 {
		at.anew = append(at.anew, page.Rows{First: at.state.First - footHead + 1, Count: at.state.Count + footHead - 1})
	}
	below := at.state.Last() + 1 + footHead
	if columnsAt, ok := b.BlockAt(book.NameColumns); !ok || columnsAt.Row1 < below {
		at.columns, at.columnsMoved = below, true
	}
	return nil
}

// footTop is the first row that the tables at the foot take, with their titles.
// Where something of the shop's stands beside them, and rows have to arrive,
// these go below everything.
func (b *Sheet) footTop(at *Places) int {
	top := b.Own.Last + 2
	for _, name := range []string{book.NameState, book.NameColumns} {
		if r, ok := b.BlockAt(name); ok {
			top = min(top, r.Row1-footHead+1)
			at.gone = append(at.gone, grid.Range{Row1: r.Row1 - footHead + 1, Col1: book.ColumnsSheet, Row2: r.Row2, Col2: book.ColumnsSettledUnit})
		}
	}
	if b.ReadLog().Rows.Count > 0 && !b.lacks(at) {
		return top
	}
	for row := top; row <= b.Own.Last; row++ {
		if b.Own.Used(row, book.ColumnsSettledUnit+1, widest(at)) {
			return b.Own.Last + 2
		}
	}
	return top
}

// lacks reports whether a row has to arrive.
func (b *Sheet) lacks(at *Places) bool {
	fields, singles := b.missing(at)
	return len(fields)+len(singles) > 0 || slices.ContainsFunc(b.Model.Tables, b.without)
}

// missing are the fields of the head, the points of the basis and the assumptions
// that the sheet was made without. One whose name is in the workbook had a row, which
// is gone: it is not to come back with the shipped value as if that had been set.
func (b *Sheet) missing(at *Places) (fields []string, singles []*model.Quantity) {
	lacks := func(key string) {
		if at.Key[key] == 0 && !b.Names.Has(key) {
			fields = append(fields, key)
		}
	}
	for _, h := range b.Model.Heads {
		lacks(book.HeadPrefix + h.Key)
	}
	for _, h := range b.Model.Basis {
		lacks(book.BasisPrefix + h.Key)
	}
	for _, q := range b.Model.Singles.Quantities {
		if at.Key[q.Key] == 0 && !b.Names.Has(q.Key) {
			singles = append(singles, q)
		}
	}
	return fields, singles
}

// placeArrivals gives the missing rows and tables a place, and says which row comes next.
func (b *Sheet) placeArrivals(at *Places, row int) int {
	fields, singles := b.missing(at)
	from := row
	if len(fields) > 0 {
		row++
		if at.basis == 0 {
			at.basis, row = row, row+2
		}
		for _, key := range fields {
			at.Key[key] = row
			row++
		}
	}
	section := ""
	for _, q := range singles {
		if q.Section != section || section == "" {
			section = q.Section
			row += 2
		}
		at.Key[q.Key], at.LastKey = row, max(at.LastKey, row)
		row++
	}
	for _, t := range b.Model.Tables {
		if b.without(t) {
			row = b.layTable(at, t, row)
		}
	}
	if row > from {
		at.anew = append(at.anew, page.Rows{First: from, Count: row - from})
	}
	return row
}

// footMoved has whole rows written where something of ours moved to or has
// arrived, and takes out what of ours stands where it moved from.
func (a *Plan) footMoved() {
	if a.p.Build {
		return
	}
	for n, r := range a.p.Rows {
		if !a.At.Arrived(n) {
			continue
		}
		cells := r.Cells()
		for i := range cells {
			cells[i].Anew = true
		}
	}
	for _, was := range a.At.gone {
		for row := was.Row1; row <= was.Row2; row++ {
			planned := map[int]bool{}
			if r := a.p.Rows[row]; r != nil {
				for _, c := range r.Cells() {
					planned[c.Col] = true
				}
			}
			for col := was.Col1; col <= was.Col2; col++ {
				if a.Own.Cells[row][col] != nil && !planned[col] {
					a.p.Put(row, page.Cell{Col: col, Gone: true})
				}
			}
		}
	}
}

// PrintLog has the print area of a sheet that is there take in the log, and tables
// that have arrived, if it ends where this program, or an earlier version of it, would have it end.
func (b *Sheet) PrintLog(at *Places) []workbook.DefinedName {
	i := b.Workbook.Sheet(b.Own.Assumptions)
	if b.Own.Assumptions == "" || i < 0 {
		return nil
	}
	ends := map[int]bool{at.UnitFirst + len(at.pairs): true}
	if was := b.ReadLog().Rows; was.Count > 0 {
		ends = map[int]bool{was.Last() + 1: true}
	}
	for _, d := range b.Workbook.Names {
		if d.Name != book.PrintArea || d.Sheet != i {
			continue
		}
		last := at.log.Last() + 1
		for _, t := range b.Model.Tables {
			if ta := at.Table[t]; t.Later && at.Arrived(ta.First) {
				last = max(last, ta.last()+1)
			}
		}
		if sheet, r, ok := page.SplitRef(d.Ref); ok && ends[r.Row2] && r.Row2 < last {
			r.Row2 = last
			d.Ref = page.RangeRef(sheet, r)
			return []workbook.DefinedName{d}
		}
	}
	return nil
}
