package workbook

import (
	"fmt"

	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/opc"
)

// addWorkbookRel adds a relationship of the workbook to one of its parts.
func addWorkbookRel(e *opc.Edit, w *Workbook, kind, name string) (string, error) {
	rels, err := opc.RelsOf(e, w.Part)
	if err != nil {
		return "", err
	}
	r := opc.Relationship{ID: opc.FreeRelID(rels), Type: markup.RelNS + "/" + kind, Target: opc.RelativeTarget(w.Part, name)}
	if w.Strict {
		r.Type = strictSpace(r.Type)
	}
	relsName := opc.RelsName(w.Part)
	return r.ID, e.Change(relsName, func(src []byte) ([]byte, error) { return opc.AddRel(relsName, src, r) })
}

func removeWorkbookRel(e *opc.Edit, w *Workbook, id string) error {
	name, ok := opc.FindPart(e, opc.RelsName(w.Part))
	if !ok {
		return nil
	}
	return e.Change(name, func(src []byte) ([]byte, error) { return opc.RemoveRel(name, src, id) })
}

// DropCalcChain takes the calculation chain out: part, content type and
// relationship. Programs build it anew; one that names cells without a
// formula is an error to them.
func DropCalcChain(e *opc.Edit, w *Workbook) error {
	if w.CalcChain == "" {
		return nil
	}
	rels, err := opc.RelsOf(e, w.Part)
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
	if err := e.RemoveTyped(w.CalcChain); err != nil {
		return err
	}
	w.CalcChain = ""
	return nil
}

// ReadStyles reads the workbook's styles part, the smallest one if it has
// none.
func (w *Workbook) ReadStyles(p opc.Parts) (*Styles, error) {
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
func (w *Workbook) PutStyles(e *opc.Edit, st *Styles) error {
	src, err := st.Bytes()
	if err != nil {
		return err
	}
	if w.Styles != "" {
		return e.Change(w.Styles, func([]byte) ([]byte, error) { return src, nil })
	}
	name := opc.ResolveTarget(w.Part, "styles.xml")
	if e.Has(name) {
		name = opc.FreePartName(e, opc.ResolveTarget(w.Part, "styles%d.xml"))
	}
	if err := e.AddTyped(name, src, "application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"); err != nil {
		return err
	}
	if _, err := addWorkbookRel(e, w, "styles", name); err != nil {
		return err
	}
	w.Styles = name
	return nil
}
