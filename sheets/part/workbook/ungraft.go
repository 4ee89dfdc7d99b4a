package workbook

import (
	"fmt"

	"seamtally/sheets/part/opc"
)

// Ungraft takes the sheet called title out of the package that e makes, with
// all parts that only it leads to, their content types and the workbook's
// relationship, and out of w.Sheets and w.Names. The tab itself goes by
// WorkbookPatch.RemoveSheets. A sheet that is not there is an error.
func Ungraft(e *opc.Edit, w *Workbook, title string) error {
	at := w.Sheet(title)
	if at < 0 || w.Sheets[at].PartName == "" {
		return fmt.Errorf("sheet %q: the workbook has no such sheet", title)
	}
	s := w.Sheets[at]
	kept, err := opc.Reach(e, "", s.PartName)
	if err != nil {
		return fmt.Errorf("sheet %q: %w", title, err)
	}
	own, err := opc.Reach(e, s.PartName, "")
	if err != nil {
		return fmt.Errorf("sheet %q: %w", title, err)
	}
	for _, name := range e.Names() {
		if own[opc.PartKey(name)] && !kept[opc.PartKey(name)] {
			if err := e.RemoveTyped(name); err != nil {
				return fmt.Errorf("sheet %q: %w", title, err)
			}
		}
	}
	if err := removeWorkbookRel(e, w, s.RelID); err != nil {
		return fmt.Errorf("sheet %q: %w", title, err)
	}
	w.dropSheet(at)
	return nil
}

// dropSheet takes a tab out of w, and moves positions of tabs behind it.
func (w *Workbook) dropSheet(at int) {
	w.Sheets = append(w.Sheets[:at:at], w.Sheets[at+1:]...)
	var names []DefinedName
	for _, d := range w.Names {
		if d.Sheet == at {
			continue
		}
		if d.Sheet > at {
			d.Sheet--
		}
		names = append(names, d)
	}
	w.Names = names
	if w.ActiveTab > at || w.ActiveTab == len(w.Sheets) {
		w.ActiveTab--
	}
}
