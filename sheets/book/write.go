package book

import (
	"fmt"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// TitleFor keeps the title of a sheet of ours; a new one takes the usual title
// unless the shop has a sheet of that name.
func (b *Book) TitleFor(have, usual string) string {
	if have != "" {
		return have
	}
	title := usual
	for i := 2; b.Workbook.Sheet(title) >= 0; i++ {
		title = fmt.Sprintf("%s %d", usual, i)
	}
	if title != usual {
		b.Note(LevelNote, "title", usual, fmt.Sprintf("the workbook has a sheet %q of its own; ours is called %q", usual, title), "")
	}
	return title
}

// Patch changes the part that says what the workbook holds, and takes out a digital
// signature that no longer holds. It reports whether there was one.
func (b *Book) Patch(e *opc.Edit, patch workbook.Changes) (signed bool, err error) {
	src, err := e.Read(b.Workbook.Part)
	if err != nil {
		return false, err
	}
	out, err := b.Workbook.Patch(src, patch)
	if err != nil {
		return false, err
	}
	if string(out) != string(src) {
		e.Replace(b.Workbook.Part, out)
	}
	return dropSignature(e)
}

// PutWorkbook writes the parts that say what the workbook holds.
func (b *Book) PutWorkbook(e *opc.Edit, patch workbook.Changes) error {
	if err := b.Workbook.PutStyles(e, b.Styles); err != nil {
		return err
	}
	if err := workbook.DropCalcChain(e, b.Workbook); err != nil {
		return err
	}
	signed, err := b.Patch(e, patch)
	if err != nil {
		return err
	}
	if signed {
		b.Note(LevelWarning, "signature", "the workbook", "its digital signature does not hold for the priced workbook and is left out", "sign the priced workbook again, if it has to be signed")
	}
	wanted, actual := b.Names.Renamed()
	for i := range wanted {
		b.Note(LevelNote, "name", "the workbook's names", fmt.Sprintf("the workbook has a name %q of its own; ours is called %q", wanted[i], actual[i]), "")
	}
	return nil
}

// PaperOf is the paper that a shop is taken to print on, by the units that it works in.
func PaperOf(s model.System) look.Paper {
	return look.PaperFor(s == model.Metric)
}

// Target is where plans are written; see is shown their cells, see [page.Target].
func (b *Book) Target(see func(string, *worksheet.Row, *worksheet.Cell, page.Cell, worksheet.NewCell)) page.Target {
	to := page.Target{Workbook: b.Workbook, Styles: b.Styles, Strings: b.Strings, Looks: b.Looks, See: see, Read: b.ReadPart}
	if b.Model != nil { // its units are known
		to.Paper = PaperOf(b.Model.System)
	}
	return to
}

// PrintWhole has what is printed of a sheet that is there, and what is repeated on each
// page, follow what stands on it now.
func (b *Book) PrintWhole(p *page.Plan) (changed []workbook.DefinedName) {
	i := b.Workbook.Sheet(p.Title)
	r, err := grid.ParseRange(p.Shell.Print.Area)
	if p.Build || i < 0 || err != nil {
		return nil
	}
	want := map[string]string{PrintArea: page.RangeRef(p.Title, r)}
	if from, to, ok := strings.Cut(p.Shell.Print.TitleRows, ":"); ok {
		sheet, _, _ := strings.Cut(want[PrintArea], "!")
		want[printTitles] = sheet + "!$" + from + ":$" + to
	}
	for _, d := range b.Workbook.Names {
		if ref := want[d.Name]; d.Sheet == i && ref != "" && d.Ref != ref {
			d.Ref = ref
			changed = append(changed, d)
		}
	}
	return changed
}

// NoteCarried tells what the shop had typed on a sheet of ours and what stands
// elsewhere now.
func (b *Book) NoteCarried(p *page.Plan, gone []page.Carried) {
	for _, c := range gone {
		b.Note(LevelWarning, "carried", p.Title+"!"+c.To, fmt.Sprintf("what stood at %s has no place where it was and stands here now", c.From), "put it where you want it")
	}
}
