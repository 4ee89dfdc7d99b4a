package layout

import (
	"seamtally/sheets/book"
	"seamtally/sheets/logbook"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
)

// Made writes, on the next free row, when the values of a sheet were worked out
// and how, with a digest of what they were worked out from. A day that is there
// stays as long as that digest does: nothing has been worked out anew.
func (f *Laid) Made(how string, from ...any) error {
	digest, day := logbook.DigestOf(from...), f.By.Date
	if was, on, err := f.madeBefore(); err != nil {
		return err
	} else if was == digest {
		day = on
	}
	f.P.Put(f.Row, page.Text(ColName, look.Note, how, page.Ours))
	f.Row++
	f.P.Put(f.Row, page.Text(ColName, look.Label, "Worked out on; check number of what it rests on", page.Ours))
	f.P.Put(f.Row, page.Text(ColData, look.CalcText, day, page.Ours))
	f.P.Put(f.Row, page.Text(ColData+1, look.CalcText, digest, page.Ours))
	f.Names.Define(book.NameMade+f.Kind.Key, f.Cell(f.Row, ColData+1))
	f.Row += 2
	return nil
}

// madeBefore is what the sheet that is there says of itself.
func (f *Laid) madeBefore() (digest, day string, err error) {
	sheet, at, ok := page.SplitRef(f.Names.Find(book.NameMade + f.Kind.Key))
	if i := f.Workbook.Sheet(sheet); !ok || i < 0 || f.P.Build {
		return "", "", nil
	} else if _, err = f.ReadPart(f.Workbook.Sheets[i].PartName, func(r *worksheet.Row) error {
		for _, c := range r.Cells {
			switch {
			case r.Num != at.Row1:
			case c.Col == at.Col1:
				digest = book.CellText(c)
			case c.Col == at.Col1-1:
				day = book.CellText(c)
			}
		}
		if r.Num >= at.Row1 {
			return book.ErrEnough // a cut list is long
		}
		return nil
	}); err != nil {
		return "", "", err
	}
	return digest, day, nil
}
