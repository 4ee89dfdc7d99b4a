package sheetstest

import (
	"bytes"
	"encoding/xml"
	"io"
	"slices"
	"strings"
)

// mcSpace is the namespace of markup compatibility (ECMA-376 part 3).
const mcSpace = "http://schemas.openxmlformats.org/markup-compatibility/2006"

// Seen gives a part as a reader takes it who knows the namespaces listed, and
// those of the base standard: in place of mc:AlternateContent stands the first
// mc:Choice that it knows all of, else mc:Fallback, else nothing (ECMA-376
// part 3, from memory). All else is kept byte for byte.
func Seen(src []byte, known ...string) ([]byte, error) {
	if !bytes.Contains(src, []byte(mcSpace)) {
		return src, nil
	}
	type frame struct {
		ns           map[string]string // prefixes declared on it
		alternatives bool              // it is mc:AlternateContent
		took         bool              // one of its branches is taken already
		hidden       bool              // what is in it is not seen
	}
	open := []*frame{{}}
	space := func(prefix string) string {
		for i := len(open) - 1; i >= 0; i-- {
			if ns, ok := open[i].ns[prefix]; ok {
				return ns
			}
		}
		return ""
	}
	knows := func(prefixes string) bool {
		return !slices.ContainsFunc(strings.Fields(prefixes), func(p string) bool {
			ns := space(p)
			return !slices.Contains(known, ns) && !strings.Contains(ns, "/spreadsheetml/")
		})
	}
	d := xml.NewDecoder(bytes.NewReader(src))
	var out bytes.Buffer
	for {
		from := d.InputOffset()
		token, err := d.RawToken()
		if err == io.EOF {
			return out.Bytes(), nil
		}
		if err != nil {
			return nil, err
		}
		in := open[len(open)-1]
		text := src[from:d.InputOffset()]
		switch tok := token.(type) {
		case xml.StartElement:
			f := &frame{ns: map[string]string{}, hidden: in.hidden}
			requires := ""
			for _, a := range tok.Attr {
				if a.Name.Space == "xmlns" {
					f.ns[a.Name.Local] = a.Value
				}
				if a.Name.Local == "Requires" {
					requires = a.Value
				}
			}
			open = append(open, f)
			f.alternatives = space(tok.Name.Space) == mcSpace && tok.Name.Local == "AlternateContent"
			if in.alternatives {
				f.hidden = f.hidden || in.took || tok.Name.Local == "Choice" && !knows(requires)
				in.took = in.took || !f.hidden
			}
			if f.hidden || f.alternatives || in.alternatives {
				text = nil
			}
		case xml.EndElement:
			open = open[:len(open)-1]
			if in.hidden || in.alternatives || open[len(open)-1].alternatives {
				text = nil
			}
		default:
			if in.hidden || in.alternatives {
				text = nil
			}
		}
		out.Write(text)
	}
}
