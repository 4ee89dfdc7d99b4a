package sheetstest

import (
	"encoding/xml"
	"path"
	"slices"
	"strings"
)

// Types is [Content_Types].xml (ECMA-376 part 2).
type Types struct {
	XMLName  xml.Name       `xml:"http://schemas.openxmlformats.org/package/2006/content-types Types"`
	Default  []DefaultType  `xml:"Default"`
	Override []OverrideType `xml:"Override"`
}

// DefaultType gives the content type of all parts whose name ends so.
type DefaultType struct {
	Extension   string `xml:",attr"`
	ContentType string `xml:",attr"`
}

// OverrideType gives the content type of one part.
type OverrideType struct {
	PartName    string `xml:",attr"`
	ContentType string `xml:",attr"`
}

// Of gives the content type of a part, "" if it has none. Case makes no
// difference in names.
func (t *Types) Of(name string) string {
	for _, o := range t.Override {
		if strings.EqualFold(strings.TrimPrefix(o.PartName, "/"), name) {
			return o.ContentType
		}
	}
	for _, d := range t.Default {
		if strings.EqualFold("."+d.Extension, path.Ext(name)) {
			return d.ContentType
		}
	}
	return ""
}

// OverridesOnly rewrites [Content_Types].xml as some programs do: each of the
// parts has an override, and there are no defaults but those given.
func OverridesOnly(types string, names []string, defaults ...DefaultType) (string, error) {
	var t Types
	if err := xml.Unmarshal([]byte(types), &t); err != nil {
		return "", err
	}
	for _, name := range names {
		is := func(o OverrideType) bool { return strings.EqualFold(o.PartName, "/"+name) }
		if kind := t.Of(name); kind != "" && !slices.ContainsFunc(t.Override, is) && name != "[Content_Types].xml" {
			t.Override = append(t.Override, OverrideType{"/" + name, kind})
		}
	}
	t.Default = defaults
	out, err := xml.Marshal(&t)
	return xml.Header + string(out), err
}
