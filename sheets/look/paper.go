package look

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"seamtally/sheets/part/worksheet"
)

// PageFilled is how much of a page's height is filled at most: programs round the heights
// of rows and the scale of a page.
const PageFilled = 0.99

// longestFoot keeps the footer under the 255 characters that a spreadsheet
// program takes.
const longestFoot = 120

func (b *Book) print(s Sheet) error {
	p := s.Print
	way, wide, high := "landscape", max(p.PagesWide, 1), 0
	if p.Portrait {
		way = "portrait"
	}
	if p.OnePage {
		high = 1
	}
	layout := excelize.PageLayoutOptions{Orientation: &way, FitToWidth: &wide, FitToHeight: &high}
	if size := int(p.Paper); size > 0 {
		layout.Size = &size
	}
	if err := b.lib().SetPageLayout(s.Title, &layout); err != nil {
		return err
	}
	edge, foot, gap := worksheet.EdgeMargin, worksheet.FootMargin, worksheet.FooterMargin
	if err := b.lib().SetPageMargins(s.Title, &excelize.PageLayoutMarginsOptions{
		Left: &edge, Right: &edge, Top: &edge, Bottom: &foot, Header: &gap, Footer: &gap,
	}); err != nil {
		return err
	}
	if err := b.lib().SetHeaderFooter(s.Title, &excelize.HeaderFooterOptions{OddFooter: Footer(p.Foot)}); err != nil {
		return err
	}
	for _, row := range p.Breaks {
		if err := b.lib().InsertPageBreak(s.Title, fmt.Sprintf("A%d", row)); err != nil {
			return fmt.Errorf("page break at row %d: %w", row, err)
		}
	}
	if p.Area != "" {
		var all []string
		for _, area := range strings.Split(p.Area, ",") {
			ref, err := fixed(area, true)
			if err != nil {
				return fmt.Errorf("area %q: %w", p.Area, err)
			}
			all = append(all, ref)
		}
		if err := b.name(s.Title, "_xlnm.Print_Area", strings.Join(all, ","+quoted(s.Title)+"!")); err != nil {
			return fmt.Errorf("area %q: %w", p.Area, err)
		}
	}
	if p.TitleRows != "" {
		ref, err := fixed(p.TitleRows, false)
		if err == nil && p.TitleCols != "" {
			from, to, _ := strings.Cut(p.TitleCols, ":")
			ref = "$" + from + ":$" + to + "," + quoted(s.Title) + "!" + ref
		}
		if err == nil {
			err = b.name(s.Title, "_xlnm.Print_Titles", ref)
		}
		if err != nil {
			return fmt.Errorf("rows repeated %q: %w", p.TitleRows, err)
		}
	}
	return nil
}

func (b *Book) name(sheet, name, ref string) error {
	ref = quoted(sheet) + "!" + ref
	if err := b.lib().SetDefinedName(&excelize.DefinedName{Name: name, RefersTo: ref, Scope: sheet}); err != nil {
		return err
	}
	b.names = append(b.names, Name{Sheet: sheet, Name: name, Ref: ref})
	return nil
}

// Footer is what stands at the foot of every page: the shop and order, below them the
// file and sheet, and at the right the page and the day of printing. Side by side the
// first two ran into one another on an upright page. A size is parted by a blank from
// what follows, which may begin with a digit; "&" begins a code and is doubled.
func Footer(left string) string {
	if r := []rune(left); len(r) > longestFoot {
		left = string(r[:longestFoot-1]) + "…"
	}
	left = strings.Join(strings.Fields(strings.ReplaceAll(left, "&", "&&")), " ")
	return footBefore + left + footBehind
}

// What a footer of ours has around the shop and the order.
const (
	footBefore = "&L&8 "
	footBehind = "\n&F — &A&R&8 &P of &N, &D"
)

// IsFooter reports whether a footer is one that Footer gives.
func IsFooter(text string) bool {
	return strings.HasPrefix(text, footBefore) && strings.HasSuffix(text, footBehind)
}

// fixed gives a range of cells, or of whole rows, as names need it: with "$".
func fixed(ref string, cells bool) (string, error) {
	from, to, ok := strings.Cut(strings.ReplaceAll(ref, "$", ""), ":")
	if !ok {
		return "", fmt.Errorf("not a range; write it like A1:H60 or 5:5")
	}
	ends := []string{from, to}
	for i, end := range ends {
		if cells {
			col, row, err := excelize.CellNameToCoordinates(end)
			if err != nil {
				return "", err
			}
			if ends[i], err = excelize.CoordinatesToCellName(col, row, true); err != nil {
				return "", err
			}
			continue
		}
		if strings.Trim(end, "0123456789") != "" || end == "" || end[0] == '0' {
			return "", fmt.Errorf("%q is no row; write rows like 5:5", end)
		}
		ends[i] = "$" + end
	}
	return strings.Join(ends, ":"), nil
}
