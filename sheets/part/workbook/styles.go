package workbook

import (
	"fmt"
	"strconv"
	"strings"

	"seamtally/sheets/part/markup"
)

// maxXfs is how many cell formats a workbook may have (the specifications and
// limits of a widely used spreadsheet program: 65,490; from memory).
const maxXfs = 65490

// emptyStyles is the smallest styles part that programs open: one font, the
// two fills that readers expect, one border, one format.
const emptyStyles = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n" +
	`<styleSheet xmlns="` + markup.SheetNS + `">` +
	`<fonts count="1"><font><sz val="11"/><name val="Calibri"/><family val="2"/></font></fonts>` +
	`<fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills>` +
	`<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>` +
	`<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>` +
	`<cellXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/></cellXfs>` +
	`<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles>` +
	`</styleSheet>`

// stylesOrder is the order of the children of a styles part (ECMA-376 part 1,
// CT_Stylesheet).
func stylesOrder() []string {
	return []string{"numFmts", "fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles", "dxfs",
		"tableStyles", "colors", "extLst"}
}

// Styles is a styles part that takes over formats from another one. What it
// has is never changed; items are added at the end of their lists.
type Styles struct {
	t     *markup.Tree
	lists map[string]*styleList

	codes   map[int]string // number formats, by id
	split   map[int]bool   // ids that are not the same to all readers
	usedIDs map[int]bool   // ids that are defined or pointed at

	required []string // namespaces that decide what a reader takes for the lists

	memo  map[styleKey]int   // what has been imported already
	hides map[shownBy]string // what was asked of Hides already

	astray []bool // numbers of cell formats that cells have, be there such or not
}

// Avoid has no format take the number of one that there is not and cells have:
// they would look like ours, and show as unformatted now.
func (s *Styles) Avoid(had []bool) { s.astray = had }

type styleKey struct {
	from *Styles
	list string
	item int
}

// styleList is one list of the part: what there is, and what is added.
type styleList struct {
	places  []listPlace    // none where the part lacks the list
	lacking bool           // there are readers to whom the part lacks it
	items   []*markup.Node // as a reader has them that knows no extension
	count   int            // as the reader has them that has most
	added   []string
	index   map[string]int // by canonical text
}

func (l *styleList) len() int { return l.count + len(l.added) }

// ReadStyles reads a styles part. Nil or empty src gives the smallest part
// that will do.
func ReadStyles(src []byte) (*Styles, error) {
	s := &Styles{hides: map[shownBy]string{}, lists: map[string]*styleList{}, codes: map[int]string{}, split: map[int]bool{},
		usedIDs: map[int]bool{}, memo: map[styleKey]int{}}
	if len(src) == 0 {
		src = []byte(emptyStyles)
	}
	var err error
	if s.t, err = markup.ParseRoot("styles", src, "styleSheet", markup.SheetNS, markup.StrictSheetNS); err != nil {
		return nil, err
	}
	if err = s.readLists(); err != nil {
		return nil, err
	}
	s.t.Root.Walk(func(n *markup.Node) {
		if a := n.Attr("numFmtId"); a != nil {
			s.usedIDs[markup.Int(a.Value, 0)] = true
		}
	})
	return s, nil
}

// Len is how many cell formats the part has now.
func (s *Styles) Len() int { return s.lists["cellXfs"].len() }

// DefaultFont gives the name and the size in points of the font of unformatted
// cells, so that sheets of ours can be written in the shop's. Zero values: the
// part does not say.
func (s *Styles) DefaultFont() (name string, points float64) {
	fonts := s.lists["fonts"].items
	at := s.defaultOf("fontId")
	if at >= len(fonts) {
		return "", 0
	}
	points, err := strconv.ParseFloat(fonts[at].Child("sz").Get("val"), 64)
	if err != nil {
		points = 0
	}
	return fonts[at].Child("name").Get("val"), points
}

// defaultOf gives the id that the format of unformatted cells, number 0, has
// for key.
func (s *Styles) defaultOf(key string) int {
	if xfs := s.lists["cellXfs"].items; len(xfs) > 0 {
		return max(0, markup.Int(xfs[0].Get(key), 0))
	}
	return 0
}

// NumFmt gives the number format of a cell format: its id, and its code where
// it is known ("" for an id of the reader's own language). An index that is
// not in the part has the general format, as spreadsheet programs take it.
// Formats added by Import are not looked at.
func (s *Styles) NumFmt(xf int) (id int, code string) {
	xfs := s.lists["cellXfs"].items
	if xf < 0 || xf >= len(xfs) {
		return 0, "General"
	}
	id = markup.Int(xfs[xf].Get("numFmtId"), 0)
	return id, s.code(id)
}

// Struck reports whether the font of a cell format has a line through it.
func (s *Styles) Struck(xf int) bool {
	xfs, fonts := s.lists["cellXfs"].items, s.lists["fonts"].items
	if xf < 0 || xf >= len(xfs) {
		return false
	}
	font := markup.Int(xfs[xf].Get("fontId"), 0)
	if font < 0 || font >= len(fonts) {
		return false
	}
	strike := fonts[font].Child("strike")
	return strike != nil && strike.Get("val") != "0" && strike.Get("val") != "false"
}

// Points is the size of the letters of a cell format, 0 where it does not say.
func (s *Styles) Points(xf int) float64 {
	xfs, fonts := s.lists["cellXfs"].items, s.lists["fonts"].items
	if xf < 0 || xf >= len(xfs) {
		return 0
	}
	font := markup.Int(xfs[xf].Get("fontId"), 0)
	if font < 0 || font >= len(fonts) {
		return 0
	}
	return markup.Float(fonts[font].Child("sz").Get("val"))
}

func (s *Styles) code(id int) string {
	if c, ok := s.codes[id]; ok {
		return c
	}
	return builtinCode(id)
}

// Import takes over the cell format number xf of another styles part, with its
// font, fill, border, number format, alignment and protection, and returns
// its number here. Equal items are used again. The format of unformatted cells,
// 0, and the font that it has stand for those of this part. Named cell styles
// do not come along: the format becomes a direct one on this part's default.
func (s *Styles) Import(from *Styles, xf int) (int, error) {
	if xf == 0 {
		return 0, nil
	}
	key := styleKey{from, "cellXfs", xf}
	if at, ok := s.memo[key]; ok {
		return at, nil
	}
	src := from.lists["cellXfs"].items
	if xf < 0 || xf >= len(src) {
		return 0, fmt.Errorf("styles: there is no cell format %d, only %d", xf, len(src))
	}
	n := src[xf]
	numFmt := s.importNumFmt(from, markup.Int(n.Get("numFmtId"), 0))
	font := s.defaultOf("fontId")
	if id := markup.Int(n.Get("fontId"), 0); id != from.defaultOf("fontId") {
		var err error
		if font, err = s.importItem(from, "fonts", id); err != nil {
			return 0, err
		}
	}
	fill, err := s.importItem(from, "fills", markup.Int(n.Get("fillId"), 0))
	if err != nil {
		return 0, err
	}
	border, err := s.importItem(from, "borders", markup.Int(n.Get("borderId"), 0))
	if err != nil {
		return 0, err
	}
	attrs := map[string]string{
		"numFmtId": strconv.Itoa(numFmt), "fontId": strconv.Itoa(font),
		"fillId": strconv.Itoa(fill), "borderId": strconv.Itoa(border),
		// Readers differ on what a missing flag means, so each is said.
		"applyNumberFormat": "1", "applyFont": "1", "applyFill": "1", "applyBorder": "1",
	}
	if s.lists["cellStyleXfs"].len() > 0 {
		attrs["xfId"] = strconv.Itoa(s.defaultOf("xfId"))
	}
	if markup.Bool(n.Get("quotePrefix"), false) {
		attrs["quotePrefix"] = "1"
	}
	inner := ""
	for _, child := range []struct{ name, flag string }{
		{"alignment", "applyAlignment"}, {"protection", "applyProtection"},
	} {
		if c := n.Child(child.name); c != nil {
			attrs[child.flag] = "1"
			inner += s.copyOf(c)
		}
	}
	at, err := s.addFormat(attrs, inner)
	if err == nil {
		s.memo[key] = at
	}
	return at, err
}

// ImportDxf takes over the differential format number dxf, used by conditional
// formats, of another styles part, and returns its number here.
func (s *Styles) ImportDxf(from *Styles, dxf int) (int, error) {
	key := styleKey{from, "dxfs", dxf}
	if at, ok := s.memo[key]; ok {
		return at, nil
	}
	src := from.lists["dxfs"].items
	if dxf < 0 || dxf >= len(src) {
		return 0, fmt.Errorf("styles: there is no differential format %d, only %d", dxf, len(src))
	}
	n := *src[dxf]
	n.Children = append([]*markup.Node(nil), n.Children...)
	for i, c := range n.Children {
		if c.Local != "numFmt" || c.Space != n.Space {
			continue
		}
		// Its id is that of the workbook's list of number formats or free.
		id := s.importCode(c.Get("formatCode"))
		copied := *c
		copied.Attrs = []markup.Attr{{Local: "numFmtId", Value: strconv.Itoa(id)}, {Local: "formatCode", Value: c.Get("formatCode")}}
		n.Children[i] = &copied
	}
	at, err := s.add("dxfs", s.copyOf(&n))
	if err == nil {
		s.memo[key] = at
	}
	return at, err
}

// importItem takes over one font, fill or border. An index that leads nowhere
// is the default, as spreadsheet programs take it.
func (s *Styles) importItem(from *Styles, list string, at int) (int, error) {
	src := from.lists[list].items
	if at < 0 || at >= len(src) {
		return 0, nil
	}
	return s.add(list, s.copyOf(src[at]))
}

// importNumFmt gives the id here of a number format of another part.
func (s *Styles) importNumFmt(from *Styles, id int) int {
	code, custom := from.codes[id]
	_, clash := s.codes[id]
	switch {
	case !custom && !clash:
		return id // a built-in format, the same in every workbook
	case !custom:
		code = builtinCode(id)
	}
	return s.importCode(code)
}

// importCode gives the id of a number format code, new if need be. Ids below
// 164 are the built-in ones (ECMA-376 part 1, 18.8.30).
func (s *Styles) importCode(code string) int {
	best := -1
	for id, c := range s.codes {
		if c == code && !s.split[id] && (best < 0 || id < best) {
			best = id
		}
	}
	if best >= 0 {
		return best
	}
	id := 164
	for s.usedIDs[id] {
		id++
	}
	s.usedIDs[id] = true
	s.codes[id] = code
	l := s.lists["numFmts"]
	l.added = append(l.added, "<"+s.t.Root.Tag("numFmt")+` numFmtId="`+strconv.Itoa(id)+`" formatCode="`+markup.Escape(code, true)+`"/>`)
	return id
}

// add gives the index of the item xml in a list, appending it if there is no
// equal one. A list that the part lacks begins with the items that index 0
// stood for.
func (s *Styles) add(list, xml string) (int, error) {
	l := s.lists[list]
	if l.len() == 0 {
		for _, first := range s.defaults(list) {
			l.added = append(l.added, first)
			if err := l.note(s, first, len(l.added)-1); err != nil {
				return 0, err
			}
		}
	}
	n, err := s.parse(xml)
	if err != nil {
		return 0, err
	}
	text := canonical(n)
	if at, ok := l.index[text]; ok {
		return at, nil
	}
	for list == "cellXfs" && l.len() < len(s.astray) && s.astray[l.len()] {
		l.added = append(l.added, s.unformatted())
	}
	l.added = append(l.added, xml)
	l.index[text] = l.len() - 1
	return l.len() - 1, nil
}

// unformatted is a cell format that looks like none.
func (s *Styles) unformatted() string {
	return "<" + s.t.Root.Tag("xf") + ` numFmtId="0" fontId="` + strconv.Itoa(s.defaultOf("fontId")) + `" fillId="0" borderId="0"/>`
}

func (l *styleList) note(s *Styles, xml string, at int) error {
	n, err := s.parse(xml)
	if err == nil {
		l.index[canonical(n)] = at
	}
	return err
}

// parse reads an item as it will stand in this part.
func (s *Styles) parse(xml string) (*markup.Node, error) {
	decl := "xmlns"
	if s.t.Root.Prefix != "" {
		decl += ":" + s.t.Root.Prefix
	}
	t, err := markup.Parse("styles", []byte("<"+s.t.Root.Tag("item")+" "+decl+`="`+s.t.Root.Space+`">`+xml+"</"+s.t.Root.Tag("item")+">"))
	if err != nil {
		return nil, err
	}
	return t.Root.Children[0], nil
}

// defaults gives the items of the smallest styles part, for a list that this
// part lacks.
func (s *Styles) defaults(list string) []string {
	if list == "dxfs" {
		return nil
	}
	t, err := markup.Parse("styles", []byte(emptyStyles))
	if err != nil {
		return nil
	}
	var items []string
	for _, n := range t.Root.Child(list).Children {
		items = append(items, s.copyOf(n))
	}
	return items
}

// Bytes gives the part with what has been imported; just as it was if nothing
// was.
func (s *Styles) Bytes() ([]byte, error) {
	p := s.t.Patch()
	for _, name := range stylesOrder() {
		l := s.lists[name]
		if l == nil || len(l.added) == 0 {
			continue
		}
		xml := strings.Join(l.added, "")
		if len(l.places) > 0 && l.lacking {
			return nil, fmt.Errorf("the list %s is within mc:AlternateContent, and not in each of its branches; save the workbook anew from the spreadsheet program", name)
		}
		for _, at := range l.places {
			p.AppendChild(at.node, s.evenOut(name, at.missing)+xml)
			p.SetCount(at.node, l.len())
		}
		if len(l.places) > 0 {
			continue
		}
		tag := s.t.Root.Tag(name)
		p.InsertInOrder(s.t.Root, name, stylesOrder(), "<"+tag+` count="`+strconv.Itoa(l.len())+`">`+xml+"</"+tag+">")
	}
	return p.Bytes()
}
