package sheets

import (
	"errors"
	"fmt"
	"io"
	"os"

	"seamtally/compute"
	"seamtally/sheets/disk"
	"seamtally/sheets/encryption"
	"seamtally/sheets/entry"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
	"seamtally/templates"
)

// vocabulary is what the program knows of how shops write.
type vocabulary struct {
	headings *entry.Headings
	quick    *entry.Headings // that say of what is no heading only so
	words    *entry.Words
	measures *entry.Measures
}

func loadVocabulary() (vocabulary, error) {
	var v vocabulary
	var err error
	if v.headings, err = entry.LoadHeadings(templates.FS); err != nil {
		return v, err
	}
	v.quick = v.headings.WithoutNearest()
	if v.words, err = entry.LoadWords(templates.FS); err != nil {
		return v, err
	}
	v.measures, err = entry.LoadMeasures(templates.FS)
	return v, err
}

// book is a shop's workbook while it is being read and filled.
type book struct {
	vocabulary
	file    *os.File
	opened  os.FileInfo // the file when it was opened
	pkg     *part.Package
	wb      *part.Workbook
	strings part.Strings
	styles  *part.Styles

	*compute.Order // from when its units are known
	own            ownSheets
	names          *page.Names
	fingerprint    string       // of the model's formulas
	dates          map[int]bool // cell formats that show dates
	finding        []Finding

	password  string
	container *encryption.Container // of an encrypted file
}

// openBook opens a workbook and reads what it says about itself.
func openBook(path, password string) (*book, error) {
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
	b := &book{vocabulary: v, file: f, password: password, Order: &compute.Order{}, dates: map[int]bool{}}
	if err := b.open(); err != nil {
		f.Close()
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return b, nil
}

func (b *book) open() error {
	var err error
	if b.opened, err = b.file.Stat(); err != nil {
		return err
	}
	if b.pkg, err = b.openPackage(b.file, b.opened.Size()); err != nil {
		return err
	}
	if b.wb, err = part.ReadWorkbook(b.pkg); err != nil {
		return err
	}
	for _, s := range b.wb.Sheets {
		if s.PartName == "" { // it may have held joints, and the price would lack them
			return fmt.Errorf("sheet %q: its part is not in the file; restore the file from a copy", s.Name)
		}
	}
	if b.wb.SharedStrings != "" {
		r, err := b.pkg.Open(b.wb.SharedStrings)
		if err != nil {
			return err
		}
		defer r.Close()
		if b.strings, err = part.ReadSharedStrings(r); err != nil {
			return fmt.Errorf("%s: %w", b.wb.SharedStrings, err)
		}
	}
	b.styles, err = b.wb.ReadStyles(b.pkg)
	return err
}

func (b *book) close() { b.file.Close() }

// stillTheSame fails if the workbook was written to, or replaced by another,
// since it was opened: what was read may be of both, and what somebody has
// saved meanwhile must not be written over.
func (b *book) stillTheSame() error {
	now, err := os.Stat(b.file.Name())
	if err == nil && disk.SameState(b.opened, now) {
		return nil
	}
	return errors.New("the workbook was changed while it was being read; run it again")
}

// readPart streams a worksheet.
func (b *book) readPart(name string, each func(*part.Row) error) (*part.SheetInfo, error) {
	r, err := b.pkg.Open(name)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	info, err := part.ReadSheet(r, b.strings, each)
	if err != nil {
		return nil, err
	}
	_, err = io.Copy(io.Discard, r) // to the end, where the check sum is
	return info, err
}

// splicePart streams a worksheet through its changes into the edited package.
func (b *book) splicePart(e *part.Edit, name string, edit part.SheetEdit) error {
	src, err := b.pkg.Open(name)
	if err != nil {
		return err
	}
	defer src.Close()
	dst, err := e.Spool(name)
	if err != nil {
		return err
	}
	if err := part.Splice(dst, src, edit); err != nil {
		dst.Close()
		return err
	}
	return dst.Close()
}

func (b *book) note(level Level, rule, cell, what, fix string) {
	b.finding = append(b.finding, Finding{Cell: cell, Level: level, What: what, Fix: fix, Rule: rule})
}
