package book

import (
	"strings"

	"seamtally/sheets/part/opc"
)

// Where a package keeps its digital signatures (ECMA-376 part 2), and the
// relationship of the package that leads there.
const (
	signatureFolder = "_xmlsignatures/"
	signatureOrigin = "digital-signature/origin"
	packageRels     = "_rels/.rels"
	contentTypes    = "[Content_Types].xml"
)

// dropSignature takes the digital signature out of a workbook that is changed:
// it would no longer hold, and a spreadsheet program would call the file
// damaged. It reports whether there was one.
func dropSignature(e *opc.Edit) (bool, error) {
	var gone []string
	for _, name := range e.Names() {
		if strings.HasPrefix(strings.ToLower(name), signatureFolder) {
			gone = append(gone, name)
		}
	}
	if len(gone) == 0 || len(e.Changed()) == 0 {
		return false, nil
	}
	types, err := e.Read(contentTypes)
	if err != nil {
		return false, err
	}
	for _, name := range gone {
		e.Remove(name)
		if types, err = opc.RemoveOverride(types, name); err != nil {
			return false, err
		}
	}
	e.Replace(contentTypes, types)
	src, err := e.Read(packageRels)
	if err != nil {
		return false, err
	}
	rels, err := opc.ReadRels(packageRels, src)
	if err != nil {
		return false, err
	}
	for _, r := range rels {
		if strings.HasSuffix(r.Type, signatureOrigin) {
			if src, err = opc.RemoveRel(packageRels, src, r.ID); err != nil {
				return false, err
			}
		}
	}
	e.Replace(packageRels, src)
	return true, nil
}
