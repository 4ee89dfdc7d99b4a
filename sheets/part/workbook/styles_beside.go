package workbook

import (
	"fmt"
	"strconv"

	"seamtally/sheets/part/markup"
)

// Beside gives the cell format with the font, the fill, the borders and the vertical
// alignment of one format of this part, and the number format, horizontal alignment
// and protection of another: for a cell that is to look like its neighbour.
func (s *Styles) Beside(neighbour, own int) (int, error) {
	near, err := s.format(neighbour)
	if err != nil {
		return 0, err
	}
	n, err := s.format(own)
	if err != nil {
		return 0, err
	}
	attrs := map[string]string{}
	for _, key := range []string{"fontId", "fillId", "borderId"} {
		attrs[key] = strconv.Itoa(markup.Int(near.Get(key), 0))
	}
	for _, key := range []string{"numFmtId", "xfId", "applyAlignment", "applyProtection"} {
		if v := n.Get(key); v != "" {
			attrs[key] = v
		}
	}
	for _, flag := range []string{"applyNumberFormat", "applyFont", "applyFill", "applyBorder"} {
		attrs[flag] = "1"
	}
	inner := ""
	for _, name := range []string{"alignment", "protection"} {
		c := n.Child(name)
		if c == nil {
			continue
		}
		if name == "alignment" { // as high in the row as its neighbour
			at := map[string]string{}
			for _, a := range c.Attrs {
				at[a.Local] = a.Value
			}
			delete(at, "vertical")
			if v := near.Child(name).Get("vertical"); v != "" {
				at["vertical"] = v
			}
			inner += "<" + s.t.Root.Tag(name) + sortedAttrs(at) + "/>"
			continue
		}
		inner += s.copyOf(c)
	}
	return s.addFormat(attrs, inner)
}

// addFormat adds a cell format, if there is no equal one.
func (s *Styles) addFormat(attrs map[string]string, inner string) (int, error) {
	tag := s.t.Root.Tag("xf")
	xml := "<" + tag + sortedAttrs(attrs)
	if inner == "" {
		xml += "/>"
	} else {
		xml += ">" + inner + "</" + tag + ">"
	}
	at, err := s.add("cellXfs", xml)
	if err == nil && at >= maxXfs {
		err = fmt.Errorf("styles: the workbook has %d cell formats, the most that it may; remove unused ones", maxXfs)
	}
	return at, err
}

// format is a cell format of the part, or one that was added.
func (s *Styles) format(xf int) (*markup.Node, error) {
	l := s.lists["cellXfs"]
	switch {
	case xf >= 0 && xf < len(l.items):
		return l.items[xf], nil
	case xf >= l.count && xf < l.len():
		return s.parse(l.added[xf-l.count])
	}
	return nil, fmt.Errorf("styles: there is no cell format %d, only %d", xf, l.len())
}
