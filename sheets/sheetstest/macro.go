package sheetstest

import (
	"encoding/xml"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// OfficeEdit is a workbook and what someone does to it in LibreOffice: lines of
// Basic in which doc is the open document.
type OfficeEdit struct {
	Path, Basic string
}

const (
	basicModule = `<?xml version="1.0" encoding="UTF-8"?>
<script:module xmlns:script="http://openoffice.org/2000/script" script:name="Module1" script:language="StarBasic">%s</script:module>
`
	// A fault in one edit is written beside its output: a message box would
	// wait for someone who is not there.
	basicEdit = `
Sub Edit%[1]d
On Error Goto Fault
Dim hidden(0) As New com.sun.star.beans.PropertyValue
hidden(0).Name = "Hidden"
hidden(0).Value = True
Dim form(0) As New com.sun.star.beans.PropertyValue
form(0).Name = "FilterName"
form(0).Value = "Calc MS Excel 2007 XML"
Dim doc As Object
doc = StarDesktop.loadComponentFromURL("%[2]s", "_blank", 0, hidden())
%[3]s
doc.storeToURL("%[4]s", form())
doc.close(True)
Exit Sub
Fault:
Dim n As Integer
n = FreeFile
Open "%[5]s" For Output As #n
Print #n, Error$ & " in line " & Erl
Close #n
End Sub
`
)

// EditAll does each edit in LibreOffice, all in one start of it, saves each
// workbook under another name and returns the names in order.
func EditAll(t testing.TB, edits ...OfficeEdit) []string {
	t.Helper()
	NeedLibreOffice(t)
	office, err := officePath()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	outs := make([]string, len(edits))
	var code, all strings.Builder
	for i, e := range edits {
		outs[i] = filepath.Join(dir, fmt.Sprintf("edited-%d.xlsx", i))
		fmt.Fprintf(&code, basicEdit, i, fileURL(e.Path), e.Basic, fileURL(outs[i]), outs[i]+".fault")
		fmt.Fprintf(&all, "Edit%d\n", i)
	}
	fmt.Fprintf(&code, "Sub Run\n%sEnd Sub\n", all.String())
	var escaped strings.Builder
	if err := xml.EscapeText(&escaped, []byte(code.String())); err != nil {
		t.Fatal(err)
	}
	profile := filepath.Join(dir, "profile")
	start := func(what string) {
		if err := run(office, "-env:UserInstallation="+fileURL(profile), "--headless", "--norestore", what); err != nil {
			t.Fatalf("editing in LibreOffice: %v", err)
		}
	}
	// The first start fills the profile, and would write over a module there.
	start("--terminate_after_init")
	module := filepath.Join(profile, "user", "basic", "Standard", "Module1.xba")
	if err := os.WriteFile(module, []byte(fmt.Sprintf(basicModule, escaped.String())), 0o644); err != nil {
		t.Fatal(err)
	}
	start("macro:///Standard.Module1.Run")
	for i, out := range outs {
		if fault, err := os.ReadFile(out + ".fault"); err == nil {
			t.Fatalf("edit %d in LibreOffice: %s\n%s", i, fault, edits[i].Basic)
		}
		if _, err := os.Stat(out); err != nil {
			t.Fatalf("edit %d in LibreOffice saved nothing: %v\n%s", i, err, edits[i].Basic)
		}
	}
	return outs
}

func fileURL(path string) string {
	full, err := filepath.Abs(path)
	if err != nil {
		full = path
	}
	return (&url.URL{Scheme: "file", Path: filepath.ToSlash(full)}).String()
}
