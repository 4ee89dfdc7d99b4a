package part

import "fmt"

// Ungraft takes the sheet called title out of the package that e makes, with
// all parts that only it leads to, their content types and the workbook's
// relationship, and out of w.Sheets and w.Names. The tab itself goes by
// WorkbookPatch.RemoveSheets. A sheet that is not there is an error.
func Ungraft(e *Edit, w *Workbook, title string) error {
	at := w.Sheet(title)
	if at < 0 || w.Sheets[at].PartName == "" {
		return fmt.Errorf("sheet %q: the workbook has no such sheet", title)
	}
	s := w.Sheets[at]
	kept, err := reach(e, "", s.PartName)
	if err != nil {
		return fmt.Errorf("sheet %q: %w", title, err)
	}
	own, err := reach(e, s.PartName, "")
	if err != nil {
		return fmt.Errorf("sheet %q: %w", title, err)
	}
	for _, name := range e.Names() {
		if own[partKey(name)] && !kept[partKey(name)] {
			if err := removePart(e, name); err != nil {
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

// reach gives the keys of all parts that relationships lead to from a part
// (from the package for ""), itself included, on ways that do not touch the
// part called not.
func reach(p Parts, from, not string) (map[string]bool, error) {
	actual := map[string]string{}
	for _, n := range p.Names() {
		actual[partKey(n)] = n
	}
	seen := map[string]bool{partKey(from): true}
	todo := []string{from}
	for len(todo) > 0 {
		at := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if _, ok := actual[partKey(RelsName(at))]; !ok {
			continue // the common case, without a look through all names
		}
		rels, err := relsOf(p, at)
		if err != nil {
			return nil, err
		}
		for _, r := range rels {
			if r.External {
				continue
			}
			name, ok := findPart(p, ResolveTarget(at, r.Target))
			if !ok || seen[partKey(name)] || not != "" && partKey(name) == partKey(not) {
				continue
			}
			seen[partKey(name)] = true
			todo = append(todo, name)
		}
	}
	return seen, nil
}

// removePart takes a part, its .rels part and their content types out.
func removePart(e *Edit, name string) error {
	for _, n := range []string{name, RelsName(name)} {
		e.Remove(n)
		if err := change(e, contentTypes, func(src []byte) ([]byte, error) { return RemoveOverride(src, n) }); err != nil {
			return err
		}
	}
	return nil
}

func removeWorkbookRel(e *Edit, w *Workbook, id string) error {
	name, ok := findPart(e, RelsName(w.Part))
	if !ok {
		return nil
	}
	return change(e, name, func(src []byte) ([]byte, error) { return RemoveRel(name, src, id) })
}

// DropCalcChain takes the calculation chain out: part, content type and
// relationship. Programs build it anew; one that names cells without a
// formula is an error to them.
func DropCalcChain(e *Edit, w *Workbook) error {
	if w.CalcChain == "" {
		return nil
	}
	rels, err := relsOf(e, w.Part)
	if err != nil {
		return err
	}
	for _, r := range rels {
		if r.Is("calcChain") {
			if err := removeWorkbookRel(e, w, r.ID); err != nil {
				return err
			}
		}
	}
	if err := removePart(e, w.CalcChain); err != nil {
		return err
	}
	w.CalcChain = ""
	return nil
}

// ReadStyles reads the workbook's styles part, the smallest one if it has
// none.
func (w *Workbook) ReadStyles(p Parts) (*Styles, error) {
	if w.Styles == "" {
		return ReadStyles(nil)
	}
	src, err := p.Read(w.Styles)
	if err != nil {
		return nil, err
	}
	st, err := ReadStyles(src)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", w.Styles, err)
	}
	return st, nil
}

// PutStyles puts st in its place in the package that e makes, adding the part
// where the workbook has none.
func (w *Workbook) PutStyles(e *Edit, st *Styles) error {
	src, err := st.Bytes()
	if err != nil {
		return err
	}
	if w.Styles != "" {
		return change(e, w.Styles, func([]byte) ([]byte, error) { return src, nil })
	}
	name := ResolveTarget(w.Part, "styles.xml")
	if e.Has(name) {
		name = FreePartName(e, ResolveTarget(w.Part, "styles%d.xml"))
	}
	if err := addPart(e, name, src, "application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"); err != nil {
		return err
	}
	if _, err := addWorkbookRel(e, w, "styles", name); err != nil {
		return err
	}
	w.Styles = name
	return nil
}
