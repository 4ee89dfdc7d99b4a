package sheets

import (
	"io"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// clearFormats takes the cell formats of ours out that no cell has any more, where
// all that may have one can be looked through.
func clearFormats(b *book.Book, e *opc.Edit, gone []string) error {
	name, codes := b.Workbook.Styles, true
	if name == "" {
		return nil
	}
	for _, part := range e.Names() {
		if strings.Contains(part, "/revisions/") {
			return nil
		}
		codes = codes && !strings.Contains(part, "/pivot") // those have number formats of their own
	}
	var had worksheet.Formats
	for _, s := range b.Workbook.Sheets {
		switch {
		case slices.Contains(gone, s.Name) || s.Kind == workbook.NoPart || s.Kind == "chartsheet":
			continue
		case s.Kind != "worksheet":
			return nil
		}
		info, err := readEdited(b, e, s.PartName)
		if err != nil {
			return err
		}
		had.Add(info.Formats)
	}
	src, err := e.Read(name)
	if err != nil {
		return err
	}
	st, err := workbook.ReadStyles(src)
	if err != nil {
		return err
	}
	out, err := st.WithoutOurs(had, codes)
	if err == nil {
		e.Replace(name, out)
	}
	return err
}

// readEdited reads a sheet as it is to be written.
func readEdited(b *book.Book, e *opc.Edit, name string) (*worksheet.Info, error) {
	r, err := e.Open(name)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	info, err := worksheet.Read(r, b.Strings, nil)
	if err != nil {
		return nil, err
	}
	_, err = io.Copy(io.Discard, r)
	return info, err
}
