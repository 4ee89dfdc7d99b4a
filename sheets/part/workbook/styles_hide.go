package workbook

import (
	"regexp"
	"strconv"
	"strings"

	"seamtally/sheets/part/markup"
)

// Hides says by what a cell format keeps a value from being seen, or shows another
// one: "" where it does neither. A number is asked for with its sign; text is for
// words. A zero may always be hidden. Formats added by Import are not looked at.
func (s *Styles) Hides(xf int, x float64, text bool) string {
	xfs := s.lists["cellXfs"].items
	if xf < 0 || xf >= len(xfs) {
		return ""
	}
	of := shownBy{xf, x < 0, x == 0, text}
	why, known := s.hides[of]
	if !known {
		_, code := s.NumFmt(xf)
		why = codeHides(code, x, text)
		if why == "" && alike(s.paint(xfs[xf]), s.ground(xfs[xf])) {
			why = "its words have the colour of the cell"
		}
		if points := s.Points(xf); why == "" && points > 0 && points < leastPoints {
			why = "its letters are too small to be read"
		}
		s.hides[of] = why
	}
	return why
}

// HidesBy says the same of a cell format together with a conditional format, by the number
// of its differential format.
func (s *Styles) HidesBy(dxf, xf int, x float64, text bool) string {
	xfs, dxfs := s.lists["cellXfs"].items, s.lists["dxfs"].items
	if dxf < 0 || dxf >= len(dxfs) || xf < 0 || xf >= len(xfs) {
		return ""
	}
	if code := dxfs[dxf].Child("numFmt"); code != nil {
		if why := codeHides(code.Get("formatCode"), x, text); why != "" {
			return why
		}
	}
	font, fill := dxfs[dxf].Child("font").Child("color"), dxfs[dxf].Child("fill").Child("patternFill")
	if font == nil && fill == nil {
		return ""
	}
	ink, ground := s.paint(xfs[xf]), s.ground(xfs[xf])
	if font != nil {
		ink = colour(font, black)
	}
	if back := fill.Child("bgColor"); back != nil { // of a solid fill, there it has the colour
		ground = colour(back, ground)
	}
	if alike(ink, ground) {
		return "its words have the colour of the cell"
	}
	return ""
}

// leastPoints is the size of the smallest letters that are taken to be read: this
// project's choice.
const leastPoints = 4

// shownBy is all that it depends on whether a value is seen.
type shownBy struct {
	xf                   int
	negative, zero, text bool
}

// sections takes a format code apart at its semicolons, without what is quoted,
// escaped or in brackets; literal is what was quoted or escaped.
func sections(code string) (bare, literal []string, conditions bool) {
	bare, literal = []string{""}, []string{""}
	for i := 0; i < len(code); i++ {
		last := len(bare) - 1
		switch c := code[i]; c {
		case '"':
			end := strings.IndexByte(code[i+1:], '"')
			if end < 0 {
				end = len(code) - i - 1
			}
			literal[last] += code[i+1 : i+1+end]
			i += end + 1
		case '\\', '_', '*':
			if i+1 < len(code) {
				if c == '\\' {
					literal[last] += code[i+1 : i+2]
				}
				i++
			}
		case '[':
			end := strings.IndexByte(code[i:], ']')
			if end < 0 {
				end = len(code) - i - 1
			}
			in := code[i : i+end]
			conditions = conditions || strings.ContainsAny(in, "<>=")
			if strings.ContainsAny(in, "hmsHMS") && len(strings.Trim(in, "[hmsHMS")) == 0 {
				bare[last] += "h" // hours that go on beyond a day
			}
			i += end
		case ';':
			bare, literal = append(bare, ""), append(literal, "")
		default:
			bare[last] += string(c)
		}
	}
	return bare, literal, conditions
}

var (
	shownPlace  = regexp.MustCompile(`(?i)[0#?@ymdhs]|general|standard`)
	scalingMark = regexp.MustCompile(`[0#?],+(?:[^0#?,]|$)`)
)

// codeHides looks at the section of a format code that a value is shown by.
func codeHides(code string, x float64, text bool) string {
	if code == "" { // of the reader's own language
		return ""
	}
	bare, literal, conditions := sections(code)
	at := 0
	switch {
	case text && len(bare) < 4, !text && x == 0, conditions:
		return ""
	case text:
		at = 3
	case x < 0 && len(bare) > 1:
		at = 1
	}
	switch {
	case !shownPlace.MatchString(bare[at]) && strings.TrimSpace(literal[at]) == "":
		return "its number format shows nothing"
	case !shownPlace.MatchString(bare[at]):
		return "its number format shows the same words for every value"
	case strings.ContainsAny(literal[at], "0123456789") && !text:
		return "its number format has figures of its own"
	case scalingMark.MatchString(bare[at]):
		return "its number format shows thousandths"
	}
	return ""
}

// Mistakes says how the number format of a cell makes another sort of amount of a number
// than a format code does: a share, a day, an amount in other money; "" if it does not.
func (s *Styles) Mistakes(xf int, wanted string) string {
	if xf < 0 || xf >= s.lists["cellXfs"].len() {
		return ""
	}
	_, have := s.NumFmt(xf)
	if have == wanted {
		return ""
	}
	switch is, should := sortOf(have), sortOf(wanted); {
	case is.share != should.share:
		return "its number format makes a share of it, or none of one"
	case is.day && !should.day:
		return "its number format makes a day or a time of it"
	case is.money != "" && is.money != should.money:
		return "its number format makes " + is.money + " of it"
	}
	return ""
}

// amountSort is which sort of amount a number format makes of a number.
type amountSort struct {
	share, day bool
	money      string // as a sign or a code of three letters
}

var (
	moneySign = regexp.MustCompile(`[$€£¥]|\b[A-Z]{3}\b`)
	ofLocale  = regexp.MustCompile(`\[\$([^\]-]*)[^\]]*\]`)
	dayPlace  = regexp.MustCompile(`(?i)[ymdhs]`)
	general   = regexp.MustCompile(`(?i)general|standard`)
)

func sortOf(code string) amountSort {
	quoted := ofLocale.ReplaceAllString(code, `"$1"`)
	bare, literal, _ := sections(quoted)
	shown := general.ReplaceAllString(bare[0], "")
	return amountSort{strings.Contains(shown, "%"), dayPlace.MatchString(shown), moneySign.FindString(literal[0] + moneySign.FindString(shown))}
}

// paint is the colour of a format's words, ground that of its cell; "" where it is
// not known.
func (s *Styles) paint(xf *markup.Node) string {
	fonts := s.lists["fonts"].items
	i := markup.Int(xf.Get("fontId"), 0)
	if i < 0 || i >= len(fonts) {
		return ""
	}
	return colour(fonts[i].Child("color"), black)
}

func (s *Styles) ground(xf *markup.Node) string {
	fills := s.lists["fills"].items
	i := markup.Int(xf.Get("fillId"), 0)
	if i < 0 || i >= len(fills) {
		return ""
	}
	p := fills[i].Child("patternFill")
	switch p.Get("patternType") {
	case "", "none":
		return white
	case "solid":
		return colour(p.Child("fgColor"), "")
	}
	return ""
}

const black, white = "000000", "FFFFFF"

// colour is a colour as six hexadecimal digits, as far as it can be told without the
// theme: themes begin with the colours of paper and ink.
func colour(n *markup.Node, usual string) string {
	switch rgb, theme, indexed := n.Get("rgb"), n.Get("theme"), n.Get("indexed"); {
	case n == nil:
		return usual
	case n.Get("tint") != "" && n.Get("tint") != "0":
		return ""
	case len(rgb) >= 6:
		return strings.ToUpper(rgb[len(rgb)-6:])
	case theme == "0", indexed == "1", indexed == "9", indexed == "65":
		return white
	case theme == "1", indexed == "0", indexed == "8", indexed == "64":
		return black
	case theme != "", indexed != "":
		return ""
	}
	return usual
}

// alikeBy is how far two colours may be apart in all, of 765, and still be one to the
// eye: this project's choice.
const alikeBy = 24

func alike(a, b string) bool {
	apart := 0
	for i := 0; i < 6; i += 2 {
		if len(a) != 6 || len(b) != 6 {
			return false
		}
		x, errX := strconv.ParseUint(a[i:i+2], 16, 8)
		y, errY := strconv.ParseUint(b[i:i+2], 16, 8)
		if errX != nil || errY != nil {
			return false
		}
		apart += max(int(x)-int(y), int(y)-int(x))
	}
	return apart <= alikeBy
}
