package book

import (
	"fmt"
	"os"

	"seamtally/compute"
	"seamtally/sheets/disk"
	"seamtally/sheets/entry"
	"seamtally/sheets/page"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
	"seamtally/templates"
)

// vocabulary is what the program knows of how shops write.
type vocabulary struct {
	Headings *entry.Headings
	Quick    *entry.Headings // that say of what is no heading only so
	Words    *entry.Words
	Measures *entry.Measures
}

func loadVocabulary() (vocabulary, error) {
	var v vocabulary
	var err error
	if v.Headings, err = entry.LoadHeadings(templates.FS); err != nil {
		return v, err
	}
	v.Quick = v.Headings.WithoutNearest()
	if v.Words, err = entry.LoadWords(templates.FS); err != nil {
		return v, err
	}
	v.Measures, err = entry.LoadMeasures(templates.FS)
	return v, err
}

// Book is a shop's workbook while it is being read and filled.
type Book struct {
	AsWritten bool // formulas are looked at as they stand: names of ours that lead elsewhere stay ours
	vocabulary
	shopFile
	Package  *opc.Package
	Workbook *workbook.Workbook
	Strings  worksheet.Strings
	Styles   *workbook.Styles
	Looks    *page.Looks       // that our cells have in it
	Formats  worksheet.Formats // of the sheets that were read

	*compute.Order // from when its units are known
	Own            Ours
	Names          *page.Names
	Fingerprint    string         // of the model's formulas
	dates          map[int]bool   // cell formats that show dates
	beside         map[int]string // what they write beside a number
	Findings       []Finding

	over map[string][]worksheet.Cell // by part, see [Book.TypeOver]
	read readSheets
}

// Open opens a workbook and reads what it says about itself.
func Open(path, password string) (*Book, error) {
	v, err := loadVocabulary()
	if err != nil {
		return nil, err
	}
	if st, err := os.Stat(path); err == nil && !st.Mode().IsRegular() {
		// Seen to first: opening a pipe would wait for somebody to write to it.
		if st.IsDir() {
			return nil, fmt.Errorf("%s: is a folder; name a workbook", path)
		}
		return nil, fmt.Errorf("%s: is no file that can be read from any place in it; name a workbook", path)
	}
	f, err := os.Open(path)
	if disk.InUse(err) {
		return nil, fmt.Errorf("%s: another program has it open and lets nobody read it; close the workbook there", path)
	}
	if err != nil {
		return nil, err
	}
	b := &Book{vocabulary: v, shopFile: shopFile{File: f, Password: password}, Order: &compute.Order{}, dates: map[int]bool{}, beside: map[int]string{}}
	if err := b.open(); err != nil {
		f.Close()
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return b, nil
}

func (b *Book) open() error {
	var err error
	if b.Opened, err = b.File.Stat(); err != nil {
		return err
	}
	if b.Package, err = b.openPackage(b.File, b.Opened.Size()); err != nil {
		return err
	}
	if b.Workbook, err = workbook.Read(b.Package); err != nil {
		return err
	}
	for _, s := range b.Workbook.Sheets {
		if s.PartName == "" && s.Kind != workbook.NoPart { // it may have held joints, and the price would lack them
			return fmt.Errorf("sheet %q: its part is not in the file; restore the file from a copy", s.Name)
		}
	}
	if b.Workbook.SharedStrings != "" {
		r, err := b.Package.Open(b.Workbook.SharedStrings)
		if err != nil {
			return err
		}
		defer r.Close()
		if b.Strings, err = worksheet.ReadStrings(r); err != nil {
			return fmt.Errorf("%s: %w", b.Workbook.SharedStrings, err)
		}
	}
	if b.Styles, err = b.Workbook.ReadStyles(b.Package); err != nil {
		return err
	}
	b.Looks = page.NewLooks(b.Styles)
	return nil
}

// SplicePart streams a worksheet through its changes into the edited package.
func (b *Book) SplicePart(e *opc.Edit, name string, edit worksheet.Edit) error {
	src, err := b.Package.Open(name)
	if err != nil {
		return err
	}
	defer src.Close()
	dst, err := e.Spool(name)
	if err != nil {
		return err
	}
	if over := b.over[name]; over != nil {
		edit.Editor = overEditor{edit.Editor, over}
	}
	if err := worksheet.Splice(dst, src, edit); err != nil {
		dst.Close()
		return err
	}
	return dst.Close()
}

func (b *Book) Note(level Level, rule, cell, what, fix string) {
	b.Findings = append(b.Findings, Finding{Cell: cell, Level: level, What: what, Fix: fix, Rule: rule})
}
