package opc

import (
	"archive/zip"
	"bytes"
	"io"
	"path"
	"strings"
	"unicode/utf8"

	"seamtally/sheets/part/markup"
)

// saveAs is what to do with a table that is no workbook package.
const saveAs = "; open it in a spreadsheet program and save it as .xlsx"

// headBytes is how much of a file is looked at to name its kind.
const headBytes = 4096

// kindOfHead says what a file that is no zip seems to be, from its first
// bytes, and what to do with it.
func kindOfHead(head []byte) string {
	text := strings.ToLower(string(bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\xEF\xBB\xBF")), " \t\r\n")))
	switch {
	case strings.HasPrefix(text, "%pdf-"):
		return "a PDF, which shows a list and holds no cells; take the workbook that it was printed from"
	case strings.HasPrefix(text, "{\\rtf"):
		return "a text document (.rtf); copy its table into a spreadsheet program and save it as .xlsx"
	case strings.HasPrefix(text, "<?xml"), strings.HasPrefix(text, "<workbook"):
		return "an XML file, and not a workbook of the .xlsx kind" + saveAs
	case strings.HasPrefix(text, "<!doctype html"), strings.HasPrefix(text, "<html"), strings.HasPrefix(text, "<table"):
		return "a web page, whatever its name says" + saveAs
	case isText(head):
		return "plain text, as in a .csv or .tsv file, and not a workbook" + saveAs
	}
	return "not a workbook of the .xlsx or .xlsm kind" + saveAs
}

// isText reports whether the bytes, cut anywhere, are readable text.
func isText(head []byte) bool {
	if markup.LooksUTF16(head) {
		return true
	}
	for len(head) > 0 {
		r, n := utf8.DecodeRune(head)
		if r < ' ' && !strings.ContainsRune("\t\r\n\f", r) || r == 0x7F {
			return false
		}
		head = head[n:]
	}
	return true
}

// kindOfZip says what a zip that is no package seems to be.
func kindOfZip(z *zip.Reader) string {
	for _, f := range z.File {
		switch {
		case f.Name == "mimetype":
			return kindOfMime(f)
		case path.Ext(f.Name) == ".iwa", strings.HasPrefix(f.Name, "Index/"), f.Name == "Index.zip":
			return "a .numbers document or one of its family; export it as .xlsx from the program that made it"
		}
	}
	for _, f := range z.File {
		if ext := strings.ToLower(path.Ext(f.Name)); ext == ".xlsx" || ext == ".xlsm" {
			return "a zip that holds " + path.Base(partName(f.Name)) + "; unpack it and give that file"
		}
	}
	return "a zip without " + ContentTypes + ", so not a workbook; give the .xlsx or .xlsm file itself"
}

// kindOfMime reads the kind of an OpenDocument file (OASIS OpenDocument 1.3
// part 2, 3.3: an entry "mimetype" names it).
func kindOfMime(f *zip.File) string {
	r, err := f.Open()
	if err != nil {
		return kindOfHead([]byte{0})
	}
	defer r.Close()
	kind, _ := io.ReadAll(io.LimitReader(r, 200)) // a damaged one is not named more closely
	if strings.Contains(string(kind), "opendocument.spreadsheet") {
		return "an OpenDocument spreadsheet (.ods)" + saveAs
	}
	return "a document of another kind, and not a workbook; give an .xlsx or .xlsm file"
}

// ForeignMain says what a package is whose main part is no workbook in XML; ""
// where it may be one.
func ForeignMain(name string, src []byte) string {
	head := src[:min(len(src), headBytes)]
	switch {
	case strings.EqualFold(path.Ext(name), ".bin"):
		return "a binary workbook (.xlsb)" + saveAs
	case bytes.Contains(head, []byte("wordprocessingml")):
		return "a text document, and not a workbook; copy its table into a spreadsheet program and save it as .xlsx"
	case bytes.Contains(head, []byte("presentationml")):
		return "a presentation, and not a workbook; copy its table into a spreadsheet program and save it as .xlsx"
	}
	return ""
}
