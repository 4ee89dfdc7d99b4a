package sheets

import (
	"fmt"

	"seamtally/sheets/page"
	"seamtally/sheets/part"
)

// titleFor keeps the title of a sheet of ours; a new one takes the usual title
// unless the shop has a sheet of that name.
func (b *book) titleFor(have, usual string) string {
	if have != "" {
		return have
	}
	title := usual
	for i := 2; b.wb.Sheet(title) >= 0; i++ {
		title = fmt.Sprintf("%s %d", usual, i)
	}
	if title != usual {
		b.note(LevelNote, "title", usual, fmt.Sprintf("the workbook has a sheet %q of its own; ours is called %q", usual, title), "")
	}
	return title
}

// putWorkbook writes the parts that say what the workbook holds.
func (b *book) putWorkbook(e *part.Edit, patch part.WorkbookPatch) error {
	if err := b.wb.PutStyles(e, b.styles); err != nil {
		return err
	}
	if err := part.DropCalcChain(e, b.wb); err != nil {
		return err
	}
	src, err := e.Read(b.wb.Part)
	if err != nil {
		return err
	}
	out, err := b.wb.Patch(src, patch)
	if err != nil {
		return err
	}
	if string(out) != string(src) {
		e.Replace(b.wb.Part, out)
	}
	signed, err := dropSignature(e)
	if err != nil {
		return err
	}
	if signed {
		b.note(LevelWarning, "signature", "the workbook", "its digital signature does not hold for the priced workbook and is left out", "sign the priced workbook again, if it has to be signed")
	}
	wanted, actual := b.names.Renamed()
	for i := range wanted {
		b.note(LevelNote, "name", "the workbook's names", fmt.Sprintf("the workbook has a name %q of its own; ours is called %q", wanted[i], actual[i]), "")
	}
	return nil
}

// target is where plans are written; see is shown their cells, see [page.Target].
func (b *book) target(see func(string, *part.Row, *part.Cell, page.Cell, part.NewCell)) page.Target {
	return page.Target{Workbook: b.wb, Styles: b.styles, Strings: b.strings, See: see}
}

// printWhole has the print area of a sheet that is there follow its length.
func (b *book) printWhole(p *page.Plan) []part.DefinedName {
	i := b.wb.Sheet(p.Title)
	r, err := part.ParseRange(p.Shell.Print.Area)
	if p.Build || i < 0 || err != nil {
		return nil
	}
	for _, d := range b.wb.Names {
		if d.Name == printArea && d.Sheet == i && d.Ref != page.RangeRef(p.Title, r) {
			d.Ref = page.RangeRef(p.Title, r)
			return []part.DefinedName{d}
		}
	}
	return nil
}
