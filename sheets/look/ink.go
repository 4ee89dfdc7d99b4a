package look

import "github.com/xuri/excelize/v2"

// The inks: greys, and one pale tint that prints as white paper. Nothing is
// told by hue.
const (
	black    = "000000"
	charcoal = "262626" // reversed cells, bars, strong lines
	slate    = "595959" // small print, boxes
	stone    = "A6A6A6" // hatching under words
	ash      = "D9DEDD" // headings
	mist     = "EDEFEE" // headings of groups
	milk     = "F4F8F6" // where the estimator types
	paper    = "FFFFFF"
	leading  = "1F4E5F" // words that lead elsewhere, underlined besides
)

// Line styles as the file format counts them (ECMA-376 part 1, 18.18.3, in the
// order that excelize numbers them).
const (
	thin   = 1
	medium = 2
	thick  = 5
	double = 6
)

// Fill patterns as excelize numbers those of ECMA-376 part 1, 18.18.55.
const (
	solid     = 1
	lightDown = 13
	lightUp   = 14
)

// format gives the cell format of a style, in the book's font.
func (b *Book) format(s Style) *excelize.Style {
	font := excelize.Font{Family: b.font, Size: b.size, Color: black}
	x := &excelize.Style{
		Font:      &font,
		Alignment: &excelize.Alignment{Vertical: "center"},
	}
	align := "" // by the kind of value: numbers right, words left
	switch s.Role {
	case Title:
		font.Bold, font.Size = true, b.size+6
	case Section:
		font.Bold, font.Size = true, b.size+2
		x.Alignment.Vertical = "bottom"
		x.Border = lines(charcoal, medium, "bottom")
	case Heading:
		font.Bold = true
		x.Alignment.WrapText, x.Alignment.Vertical = true, "bottom"
		x.Fill = fill(solid, ash)
		x.Border = lines(charcoal, medium, "bottom")
		align = "center"
	case GroupHeading:
		font.Bold = true
		x.Fill = fill(solid, mist)
		x.Border = append(lines(charcoal, medium, "left"), lines(charcoal, thin, "bottom")...)
		align = "left"
	case Label:
		align = "left"
	case Words:
		x.Alignment.WrapText, x.Alignment.Vertical = true, "top"
		align = "left"
	case Key:
		font.Size, font.Color = small(b.size), slate
		align = "left"
	case Input, InputText:
		x.Fill = fill(solid, milk)
		x.Border = lines(slate, thin, "left", "right", "top", "bottom")
		align = side(s.Role == InputText)
	case Calc, CalcText:
		align = side(s.Role == CalcText)
	case Override, OverrideText:
		font.Bold = true
		x.Fill = fill(lightUp, stone)
		align = side(s.Role == OverrideText)
	case Refused:
		font.Italic = true
		x.Fill = fill(lightDown, stone)
		align = "left"
	case Total, TotalText:
		font.Bold = true
		x.Border = append(lines(charcoal, thin, "top"), lines(charcoal, double, "bottom")...)
		align = side(s.Role == TotalText)
	case Master:
		font.Bold, font.Size = true, b.size+5
		x.Border = lines(charcoal, medium, "left", "right", "top", "bottom")
		align = "center"
	case Note:
		font.Italic, font.Size, font.Color = true, small(b.size), slate
		align = "left"
	case Caution:
		font.Bold = true
		x.Alignment.WrapText, x.Alignment.Vertical = true, "top"
		x.Border = lines(black, thick, "left")
		align = "left"
	case Tile:
		font.Bold, font.Size = true, b.size+4
		x.Fill = fill(solid, mist)
		x.Alignment.ShrinkToFit = true
		align = "center"
	case TileLabel:
		font.Size, font.Color = small(b.size), slate
		x.Alignment.WrapText, x.Alignment.Vertical = true, "bottom"
		x.Fill = fill(solid, mist)
		x.Border = lines(charcoal, medium, "top")
		align = "center"
	case TileUnit:
		font.Size, font.Color = small(b.size), slate
		x.Fill = fill(solid, mist)
		align = "center"
	case Link:
		font.Underline, font.Color = "single", leading
		align = "left"
	}
	switch s.Align {
	case Left:
		align = "left"
	case Right:
		align = "right"
	case Centre:
		align = "center"
	}
	x.Alignment.Horizontal = align
	if align == "left" && (s.Off || indented(s.Role)) {
		x.Alignment.Indent = 1
	}
	if s.Wrap {
		x.Alignment.WrapText = true
	}
	x.Alignment.ShrinkToFit = x.Alignment.ShrinkToFit || s.Shrink
	if s.Large {
		font.Size = b.size * LargeTimes
		x.Alignment.WrapText, x.Alignment.ShrinkToFit = align == "left" || align == "center", align == "right"
	}
	if s.Format != "" {
		x.CustomNumFmt = &s.Format
	}
	return x
}

// flagged is how a bad word looks: reversed, which no cell is by itself.
func flagged() *excelize.Style {
	return &excelize.Style{
		Font: &excelize.Font{Bold: true, Color: paper},
		Fill: fill(solid, charcoal),
	}
}

// small is the size of small print, still readable on paper.
func small(size float64) float64 { return max(size-2, min(size, 8)) }

// indented keeps words off the number that ends in the column before.
func indented(r Role) bool {
	switch r {
	case InputText, CalcText, OverrideText, Refused, Caution, Link, TotalText:
		return true
	}
	return false
}

func side(text bool) string {
	if text {
		return "left"
	}
	return "right"
}

func fill(pattern int, colour string) excelize.Fill {
	return excelize.Fill{Type: "pattern", Pattern: pattern, Color: []string{colour}}
}

func lines(colour string, style int, sides ...string) []excelize.Border {
	all := make([]excelize.Border, len(sides))
	for i, s := range sides {
		all[i] = excelize.Border{Type: s, Color: colour, Style: style}
	}
	return all
}
