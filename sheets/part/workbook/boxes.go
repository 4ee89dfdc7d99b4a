package workbook

import (
	"fmt"
	"html"
	"regexp"
	"strings"

	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/opc"
)

// Box is a text that is drawn on a sheet, and the cell that it hangs on.
type Box struct {
	Row, Col int
	Text     string
}

// Boxes reads the texts of shapes on a sheet part, those of groups included. Text that a
// shape takes from a cell is the cell's, and what is to be pressed says nothing.
func Boxes(p opc.Parts, sheetPart string) (out []Box, err error) {
	rels, err := opc.RelsOf(p, sheetPart)
	if err != nil {
		return nil, err
	}
	for _, r := range rels {
		name, there := opc.FindPart(p, opc.ResolveTarget(sheetPart, r.Target))
		if r.External || !there || !r.Is("drawing") && !r.Is("vmlDrawing") {
			continue
		}
		src, err := p.Read(name)
		if err != nil {
			return nil, err
		}
		if r.Is("vmlDrawing") {
			out = append(out, oldBoxes(string(src))...)
			continue
		}
		t, err := markup.Parse(name, src)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		for _, anchor := range t.Root.Seen(nil) {
			at := Box{Row: 1, Col: 1}
			if from := anchor.Child("from"); from != nil {
				at.Row, at.Col = 1+number(from.Child("row")), 1+number(from.Child("col"))
			}
			out = drawn(out, anchor, at)
		}
	}
	return out, nil
}

func number(n *markup.Node) int {
	if n == nil {
		return 0
	}
	return max(0, markup.Int(strings.TrimSpace(n.Text), 0))
}

// drawn adds the texts of shapes in a node (ECMA-376 part 1, 20.5.2.29).
func drawn(out []Box, in *markup.Node, at Box) []Box {
	for _, n := range in.Seen(nil) {
		switch n.Local {
		case "grpSp":
			out = drawn(out, n, at)
		case "sp":
			if at.Text = words(n.Child("txBody")); at.Text != "" && n.Get("textlink") == "" && !isControl(n) {
				out = append(out, at)
			}
		}
	}
	return out
}

// isControl reports whether a shape stands for a control, which is drawn in the language of
// before as well (an extension that its maker has published; from memory).
func isControl(n *markup.Node) (is bool) {
	n.Walk(func(in *markup.Node) { is = is || in.Local == "compatExt" })
	return is
}

// words are the paragraphs of a text, each on a line of its own.
func words(body *markup.Node) string {
	if body == nil {
		return ""
	}
	var b strings.Builder
	for _, p := range body.Children {
		for _, n := range p.Seen(nil) { // of bodyPr, which stands before them, none has a text
			if n.Local == "br" {
				b.WriteByte('\n')
			} else if t := n.Child("t"); t != nil {
				b.WriteString(t.Text)
			}
		}
		b.WriteByte('\n')
	}
	return strings.TrimSpace(b.String())
}

// Shapes of before are written in a language that not every program writes well-formed.
var (
	oldShape  = regexp.MustCompile(`(?s)<v:(?:shape|rect|roundrect|oval)[\s>].*?</v:(?:shape|rect|roundrect|oval)>`)
	oldText   = regexp.MustCompile(`(?s)<v:textbox[^>]*>(.*?)</v:textbox>`)
	oldBreak  = regexp.MustCompile(`(?i)<br ?/?>|</div>`)
	oldTag    = regexp.MustCompile(`<[^>]*>`)
	oldKind   = regexp.MustCompile(`<x:ClientData[^>]*ObjectType=["']([A-Za-z]*)["']`)
	oldTicked = regexp.MustCompile(`<x:Checked>\s*1`)
	oldAnchor = regexp.MustCompile(`<x:Anchor>([^<]*)</`)
)

// oldBoxes are the texts of such shapes: no notes, which have a part of their own, and of
// controls labels, and what is ticked.
func oldBoxes(src string) (out []Box) {
	for _, shape := range oldShape.FindAllString(src, -1) {
		text := oldText.FindStringSubmatch(shape)
		if text == nil {
			continue
		}
		kind := ""
		if m := oldKind.FindStringSubmatch(shape); m != nil {
			kind = m[1]
		}
		switch kind {
		case "", "Rect", "RectA", "Shape", "Text", "Label", "GBox":
		case "Checkbox", "Radio":
			if !oldTicked.MatchString(shape) {
				continue
			}
		default:
			continue
		}
		at := Box{Row: 1, Col: 1, Text: strings.TrimSpace(html.UnescapeString(oldTag.ReplaceAllString(oldBreak.ReplaceAllString(text[1], "\n"), "")))}
		if m := oldAnchor.FindStringSubmatch(shape); m != nil {
			if fields := strings.Split(m[1], ","); len(fields) == 8 { // column, offset, row, offset: of the upper left corner, then the lower right
				at.Row, at.Col = 1+max(0, markup.Int(strings.TrimSpace(fields[2]), 0)), 1+max(0, markup.Int(strings.TrimSpace(fields[0]), 0))
			}
		}
		if at.Text != "" {
			out = append(out, at)
		}
	}
	return out
}
