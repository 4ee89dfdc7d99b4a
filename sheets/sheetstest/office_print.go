package sheetstest

import (
	"encoding/xml"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Printed is a page of a workbook as LibreOffice prints it.
type Printed struct {
	Wide, High float64 // in points
	Texts      []PrintedText
}

// PrintedText is a run of letters on a page.
type PrintedText struct {
	Text      string
	Points    float64 // of its letters, to a third of a point
	Left, Top float64
}

// Has reports whether a text stands on the page.
func (p Printed) Has(text string) bool { return p.Find(text) != nil }

// Find is the first run of letters on the page that has the text, whole words of it:
// cells close by one another come as one run.
func (p Printed) Find(text string) *PrintedText {
	for i := range p.Texts {
		if strings.Contains(" "+p.Texts[i].Text+" ", " "+text+" ") {
			return &p.Texts[i]
		}
	}
	return nil
}

// Print prints every page of the workbook at path. It needs pdftohtml, which comes
// with pdftoppm, and skips or fails as [NeedLibreOffice] does.
func Print(t testing.TB, path string) []Printed {
	t.Helper()
	NeedLibreOffice(t)
	tool, err := exec.LookPath("pdftohtml")
	if err != nil {
		missing(t, "pdftohtml is not installed, so no page can be read")
	}
	dir := t.TempDir()
	if err := convert(dir, "pdf:calc_pdf_Export", dir, path); err != nil {
		t.Fatalf("printing %s: %v", path, err)
	}
	name := filepath.Base(path)
	base := filepath.Join(dir, name[:len(name)-len(filepath.Ext(name))])
	const zoom = 3 // its most
	if err := run(tool, "-xml", "-i", "-q", "-zoom", "3", base+".pdf", base); err != nil {
		t.Fatalf("reading the pages of %s: %v", path, err)
	}
	src, err := os.ReadFile(base + ".xml")
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Pages []struct {
			Width  float64 `xml:"width,attr"`
			Height float64 `xml:"height,attr"`
			Fonts  []struct {
				ID   string  `xml:"id,attr"`
				Size float64 `xml:"size,attr"`
			} `xml:"fontspec"`
			Texts []struct {
				Font  string  `xml:"font,attr"`
				Left  float64 `xml:"left,attr"`
				Top   float64 `xml:"top,attr"`
				Inner string  `xml:",innerxml"`
			} `xml:"text"`
		} `xml:"page"`
	}
	if err := xml.Unmarshal(src, &doc); err != nil {
		t.Fatalf("reading the pages of %s: %v", path, err)
	}
	plain := strings.NewReplacer("<b>", "", "</b>", "", "<i>", "", "</i>", "", "&amp;", "&", "&lt;", "<", "&gt;", ">")
	sizes := map[string]float64{} // a font is told of on the first page that has it
	var out []Printed
	for _, p := range doc.Pages {
		page := Printed{Wide: p.Width / zoom, High: p.Height / zoom}
		for _, f := range p.Fonts {
			sizes[f.ID] = f.Size / zoom
		}
		for _, x := range p.Texts {
			page.Texts = append(page.Texts, PrintedText{strings.TrimSpace(plain.Replace(x.Inner)), sizes[x.Font], x.Left / zoom, x.Top / zoom})
		}
		out = append(out, page)
	}
	return out
}
