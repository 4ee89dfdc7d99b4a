package offer

import (
	"bytes"
	"fmt"
	"image"
	_ "image/jpeg" // formats that an offer may have
	_ "image/png"
	"math"
	"strings"

	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/plain"
)

// picture is one of the shop's that an offer has on top.
type picture struct {
	cell       string // the cell under its upper left corner
	part       string
	data       []byte
	kind       string  // png or jpeg
	wide, high float64 // pixels
}

// Room for a picture on top of an offer, in points.
const (
	pictureHigh = 54.0
	pictureWide = 200.0
	pictureGap  = 8.0
)

// pictureOf finds the picture on a sheet, or at one of its cells. It is asked for by
// its place: a workbook may have others that no customer is to see.
func pictureOf(t *sheets.Run, at string) (*picture, error) {
	title, cell := at, ""
	if i := strings.LastIndex(at, "!"); i >= 0 && t.Workbook.Sheet(at) < 0 {
		title, cell = at[:i], strings.ToUpper(strings.ReplaceAll(at[i+1:], "$", ""))
	}
	title = strings.TrimSuffix(strings.TrimPrefix(title, "'"), "'")
	no := t.Workbook.Sheet(title)
	if no < 0 {
		return nil, fmt.Errorf("--picture: there is no sheet %q; name the sheet on which the picture stands", title)
	}
	all, err := pictures(t.Package, t.Workbook.Sheets[no].PartName)
	if err != nil {
		return nil, fmt.Errorf("pictures of sheet %q: %w", title, err)
	}
	var cells []string
	var found []picture
	for _, p := range all {
		cells = append(cells, p.cell)
		if cell == "" || p.cell == cell {
			found = append(found, p)
		}
	}
	switch {
	case len(all) == 0:
		return nil, fmt.Errorf("--picture: sheet %q has no picture", title)
	case len(found) == 0:
		return nil, fmt.Errorf("--picture: no picture begins at %s!%s; there are some at %s", title, cell, strings.Join(cells, ", "))
	case len(found) > 1:
		return nil, fmt.Errorf("--picture: sheet %q has %d pictures, at %s; say which, such as %s!%s", title, len(found), strings.Join(cells, ", "), title, cells[0])
	}
	p := &found[0]
	if p.data, err = t.Package.Read(p.part); err != nil {
		return nil, err
	}
	size, kind, err := image.DecodeConfig(bytes.NewReader(p.data))
	if err != nil || size.Width == 0 || size.Height == 0 {
		return nil, fmt.Errorf("--picture: the picture at %s!%s is no PNG or JPEG; put it into the workbook as one", title, p.cell)
	}
	p.kind, p.wide, p.high = kind, float64(size.Width), float64(size.Height)
	return p, nil
}

// pictures are those of a sheet (ECMA-376 part 1, 20.5.2.25), in the order of its drawing.
func pictures(p *opc.Package, sheet string) ([]picture, error) {
	var out []picture
	of, err := opc.RelsOf(p, sheet)
	if err != nil {
		return nil, err
	}
	for _, r := range of {
		if !r.Is("drawing") || r.External {
			continue
		}
		name := opc.ResolveTarget(sheet, r.Target)
		src, err := p.Read(name)
		if err != nil {
			return nil, err
		}
		tree, err := markup.Parse(name, src)
		if err != nil {
			return nil, err
		}
		rels, err := opc.RelsOf(p, name)
		if err != nil {
			return nil, err
		}
		tree.Root.Walk(func(n *markup.Node) {
			if n.Local != "blip" || n.Parent == nil || n.Parent.Local != "blipFill" {
				return
			}
			for _, r := range rels {
				if r.ID == n.RelID("embed") && !r.External {
					out = append(out, picture{cell: cornerOf(n), part: opc.ResolveTarget(name, r.Target)})
				}
			}
		})
	}
	return out, nil
}

// cornerOf is the cell under the upper left corner of the drawing that a node is of.
func cornerOf(n *markup.Node) string {
	for ; n != nil; n = n.Parent {
		from := n.Child("from")
		if from == nil {
			continue
		}
		var at [2]int
		for i, key := range []string{"row", "col"} {
			if c := from.Child(key); c != nil {
				at[i] = markup.Int(strings.TrimSpace(c.Text), 0)
			}
		}
		return grid.Ref(at[0]+1, at[1]+1)
	}
	return "A1"
}

// picture puts the shop's picture on top, in a row of its own.
func (w *offerWriter) picture() {
	p := w.r.picture
	if p == nil {
		return
	}
	const pixel = 0.75 // points, at 96 to the inch
	scale := min(pictureWide/(p.wide*pixel), pictureHigh/(p.high*pixel))
	w.Next(math.Ceil(p.high*pixel*scale + pictureGap))
	w.Do(w.File.AddPictureFromBytes(w.Name, grid.Ref(w.Row, offerLabel), &excelize.Picture{
		Extension: "." + p.kind, File: p.data,
		Format: &excelize.GraphicOptions{ScaleX: scale, ScaleY: scale, AltText: plain.Clipped(w.r.field(shopField), longestAlt), Positioning: "oneCell"},
	}))
}

// longestAlt is how much of the shop's name is said to who does not see the picture.
const longestAlt = 100
