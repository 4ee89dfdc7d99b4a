package plain

import (
	"seamtally/sheets/look"

	"strings"

	"github.com/xuri/excelize/v2"
)

// bare takes out of a new file what its reader has no use for: who made it and
// when, and a theme full of numbers that could be taken for somebody's. It also
// puts in order what the library gathers from a map, so that equal books are
// equal files.
func bare(f *excelize.File) {
	const (
		head     = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n"
		core     = `<cp:coreProperties xmlns:cp="http://schemas.openxmlformats.org/package/2006/metadata/core-properties"/>`
		extended = `<Properties xmlns="http://schemas.openxmlformats.org/officeDocument/2006/extended-properties"/>`
	)
	f.Pkg.Store("docProps/core.xml", []byte(head+core))
	f.Pkg.Store("docProps/app.xml", []byte(head+extended))
	f.Theme = nil
	f.Pkg.Store("xl/theme/theme1.xml", []byte(head+plainTheme()))
	look.InOrder(f)
}

// plainTheme is the least theme that the format allows (ECMA-376 part 1, 20.1.6):
// black on white, one font, three equal styles of each kind.
func plainTheme() string {
	var b strings.Builder
	b.WriteString(`<a:theme xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main" name="Plain"><a:themeElements><a:clrScheme name="Plain">`)
	for _, name := range []string{"dk1", "lt1", "dk2", "lt2", "accent1", "accent2", "accent3", "accent4", "accent5", "accent6", "hlink", "folHlink"} {
		colour := "000000"
		if strings.HasPrefix(name, "lt") {
			colour = "FFFFFF"
		}
		b.WriteString(`<a:` + name + `><a:srgbClr val="` + colour + `"/></a:` + name + `>`)
	}
	const (
		latin = `<a:latin typeface="` + font + `"/><a:ea typeface=""/><a:cs typeface=""/>`
		fill  = `<a:solidFill><a:schemeClr val="phClr"/></a:solidFill>`
	)
	b.WriteString(`</a:clrScheme><a:fontScheme name="Plain"><a:majorFont>` + latin + `</a:majorFont><a:minorFont>` + latin + `</a:minorFont></a:fontScheme><a:fmtScheme name="Plain">`)
	for _, style := range []struct{ list, one string }{
		{"fillStyleLst", fill}, {"lnStyleLst", `<a:ln>` + fill + `</a:ln>`},
		{"effectStyleLst", `<a:effectStyle><a:effectLst/></a:effectStyle>`}, {"bgFillStyleLst", fill},
	} {
		b.WriteString(`<a:` + style.list + `>` + strings.Repeat(style.one, 3) + `</a:` + style.list + `>`)
	}
	b.WriteString(`</a:fmtScheme></a:themeElements></a:theme>`)
	return b.String()
}
