package worksheet

import (
	"strings"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
)

// Conditional is a conditional format of a sheet.
type Conditional struct {
	Ranges  []grid.Range
	Format  int  // number of its differential format, -1 for none
	Bare    bool // its bars or icons stand in the place of the value
	OfBlank bool // it is for cells with nothing, or a zero, in them
}

// Covers reports whether a conditional format is for a cell too.
func (c *Conditional) Covers(row, col int) bool {
	for _, r := range c.Ranges {
		if r.Row1 <= row && row <= r.Row2 && r.Col1 <= col && col <= r.Col2 {
			return true
		}
	}
	return false
}

// mostConditionals bounds how many conditional formats of a sheet are looked at.
const mostConditionals = 2000

// conditional takes in the conditional formats of the cells of one place.
func (rd *sheetReader) conditional() error {
	at, _ := markup.TagAttr(rd.p.Raw(), "sqref")
	var ranges []grid.Range
	for _, ref := range strings.Fields(at) {
		if r, err := grid.ParseRange(ref); err == nil {
			ranges = append(ranges, r)
		}
	}
	var last *Conditional
	for depth := rd.p.Depth() - 1; rd.p.Depth() > depth; {
		if err := rd.p.Next(); err != nil {
			return err
		}
		if rd.p.Tok.Kind != markup.Start || !rd.p.Tok.Main {
			continue
		}
		get := func(name string) string {
			text, _ := markup.TagAttr(rd.p.Raw(), name)
			return text
		}
		switch rd.p.Tok.Local {
		case "cfRule":
			if len(rd.info.Conditional) == mostConditionals {
				return nil
			}
			rd.info.Conditional = append(rd.info.Conditional, Conditional{Ranges: ranges, Format: markup.Int(get("dxfId"), -1), OfBlank: get("type") == "containsBlanks"})
			last = &rd.info.Conditional[len(rd.info.Conditional)-1]
			last.OfBlank = last.OfBlank || get("type") == "cellIs" && get("operator") == "equal"
		case "iconSet", "dataBar":
			if last != nil {
				last.Bare = !markup.Bool(get("showValue"), true)
			}
		case "formula":
			text, err := rd.p.Text(nil)
			if err != nil {
				return err
			}
			if last != nil {
				last.OfBlank = ofBlank(string(text), last.OfBlank)
			}
		}
	}
	return nil
}

// ofBlank reports whether the formula of a conditional format asks for a zero or a
// blank; equal is for one that the value is held against.
func ofBlank(f string, equal bool) bool {
	f = strings.ToUpper(strings.ReplaceAll(f, " ", ""))
	switch {
	case f == "":
		return equal
	case equal:
		return f == "0" || f == `""`
	}
	return strings.HasSuffix(f, "=0") && !strings.HasSuffix(f, ">=0") && !strings.HasSuffix(f, "<=0") || strings.HasSuffix(f, `=""`) ||
		strings.HasPrefix(f, "ISBLANK(") || strings.HasPrefix(f, "LEN(TRIM(")
}
