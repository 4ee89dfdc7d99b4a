package part

import (
	"bytes"
	"html"
	"regexp"
	"strconv"
	"strings"
)

// MoveCells has everything in the workbook that points at moved cells follow,
// but for the formulas of cells on the sheets that skip names, which the caller
// writes: formulas, conditional formats and validations of all sheets, charts,
// and of the sheet itself the ranges of formats, links, merged cells, drawings
// and notes. A part in which nothing changes keeps its bytes. Defined names that
// follow are handed back, to be set with the rest of the workbook's part.
func (w *Workbook) MoveCells(e *Edit, m Moved, skip func(partName string) bool) (names []DefinedName, lost []LostRef, err error) {
	mv := &following{m: m, e: e}
	for _, s := range w.Sheets {
		if s.PartName == "" {
			continue
		}
		own := strings.EqualFold(s.Name, m.Sheet)
		if err := mv.sheet(s, own, skip(s.PartName)); err != nil {
			return nil, nil, err
		}
		if own {
			if err := mv.hanging(s.PartName); err != nil {
				return nil, nil, err
			}
		}
	}
	for _, name := range e.Names() {
		if chartPart.MatchString(name) {
			if err := mv.rewrite(name, func(src []byte) []byte { return mv.formulas(src, "", name, true) }); err != nil {
				return nil, nil, err
			}
		}
	}
	for _, d := range w.Names {
		on := ""
		if d.Sheet >= 0 && d.Sheet < len(w.Sheets) {
			on = w.Sheets[d.Sheet].Name
		}
		ref, gone := m.MoveRefs(d.Ref, on)
		for _, g := range gone {
			mv.lost = append(mv.lost, LostRef{d.Name, g})
		}
		if ref != d.Ref {
			d.Ref = ref
			names = append(names, d)
		}
	}
	return names, mv.lost, nil
}

var chartPart = regexp.MustCompile(`(^|/)(charts|chartEx)/[^/]+\.xml$`)

// following is one MoveCells at work.
type following struct {
	m    Moved
	e    *Edit
	lost []LostRef
}

// rewrite replaces a part by what change makes of it, if that is another.
func (mv *following) rewrite(name string, change func([]byte) []byte) error {
	src, err := mv.e.Read(name)
	if err != nil {
		return err
	}
	if out := change(src); !bytes.Equal(out, src) {
		mv.e.Replace(name, out)
	}
	return nil
}

// sheet has the formulas of a sheet follow; of the sheet itself, its ranges.
func (mv *following) sheet(s SheetEntry, own, skipped bool) error {
	if !own {
		there, err := mv.mentions(s.PartName)
		if err != nil || !there {
			return err
		}
	}
	return mv.rewrite(s.PartName, func(src []byte) []byte {
		src = mv.formulas(src, s.Name, s.Name, !skipped)
		if own {
			src = mv.ranges(src)
		}
		return src
	})
}

// mentions reports whether the title occurs in a part, which is streamed: most
// sheets have nothing to do with the one whose cells have gone.
func (mv *following) mentions(name string) (bool, error) {
	r, err := mv.e.Open(name)
	if err != nil {
		return false, err
	}
	defer r.Close()
	title := []byte(strings.ToLower(escape(strings.ReplaceAll(mv.m.Sheet, "'", "''"), false)))
	buf, kept := make([]byte, 1<<16), 0
	for {
		n, err := r.Read(buf[kept:])
		if bytes.Contains(bytes.ToLower(buf[:kept+n]), title) {
			return true, nil
		}
		if err != nil {
			if isEnd(err) {
				return false, nil
			}
			return false, err
		}
		keep := min(len(title), kept+n)
		copy(buf, buf[kept+n-keep:kept+n])
		kept = keep
	}
}

// A formula in a cell (f), in a conditional format (formula) or in a validation
// (formula1, formula2); in a chart f. Prefixes are anybody's.
var (
	formulaTag = regexp.MustCompile(`(?s)<((?:[A-Za-z0-9_]+:)?(f|formula|formula1|formula2))((?:\s[^<>]*)?)>([^<]*)</`)
	cellTag    = regexp.MustCompile(`<(?:[A-Za-z0-9_]+:)?c(?:\s[^<>]*?)?\sr="([A-Za-z]+[0-9]+)"`)
	refTag     = regexp.MustCompile(`(<(?:[A-Za-z0-9_]+:)?(?:conditionalFormatting|dataValidation|hyperlink|mergeCell)(?:\s[^<>]*?)?\s(?:sqref|ref)=")([^"]*)"`)
	noteTag    = regexp.MustCompile(`(<(?:[A-Za-z0-9_]+:)?(?:comment|threadedComment)(?:\s[^<>]*?)?\sref=")([^"]*)"`)
	anchorRow  = regexp.MustCompile(`(?s)(<((?:[A-Za-z0-9_]+:)?)from>.*?<(?:[A-Za-z0-9_]+:)?row>\s*)([0-9]+)(\s*</)(.*?)(</(?:[A-Za-z0-9_]+:)?(?:twoCellAnchor|oneCellAnchor)>)`)
	anchorTo   = regexp.MustCompile(`(?s)(<(?:[A-Za-z0-9_]+:)?to>.*?<(?:[A-Za-z0-9_]+:)?row>\s*)([0-9]+)`)
	vmlRow     = regexp.MustCompile(`(<x:Row>\s*)([0-9]+)`)
	vmlAnchor  = regexp.MustCompile(`(<x:Anchor>)([^<]*)(</)`)
)

// formulas has the formulas of a part follow. Those of cells are left alone where
// cells is false.
func (mv *following) formulas(src []byte, on, where string, cells bool) []byte {
	return replaceAll(formulaTag, src, func(at []int) []byte {
		if string(src[at[4]:at[5]]) == "f" && !cells {
			return nil
		}
		was := html.UnescapeString(string(src[at[8]:at[9]]))
		now, gone := mv.m.MoveRefs(was, on)
		for _, g := range gone {
			mv.lost = append(mv.lost, LostRef{whereIs(src[:at[0]], where), g})
		}
		if now == was {
			return nil
		}
		return join(src[at[0]:at[8]], []byte(escape(now, false)), src[at[9]:at[1]])
	})
}

// whereIs names the cell that the text so far ends in.
func whereIs(before []byte, where string) string {
	if i := bytes.LastIndex(before, []byte(` r="`)); i >= 0 {
		tail := before[max(0, bytes.LastIndexByte(before[:i], '<')):]
		if m := cellTag.FindSubmatch(tail); m != nil {
			return where + "!" + string(m[1])
		}
	}
	return where
}

// ranges has the ranges of the sheet itself follow.
func (mv *following) ranges(src []byte) []byte {
	return replaceAll(refTag, src, func(at []int) []byte {
		var out []string
		for _, ref := range strings.Fields(string(src[at[4]:at[5]])) {
			if r, err := ParseRange(ref); err == nil {
				ref = mv.m.rows(r).String()
			}
			out = append(out, ref)
		}
		return join(src[at[0]:at[4]], []byte(strings.Join(out, " ")), src[at[5]:at[1]])
	})
}

// hanging has the drawings and notes of the sheet follow its rows.
func (mv *following) hanging(sheet string) error {
	rels, err := relsOf(mv.e, sheet)
	if err != nil {
		return err
	}
	for _, r := range rels {
		name, ok := findPart(mv.e, ResolveTarget(sheet, r.Target))
		if r.External || !ok {
			continue
		}
		var change func([]byte) []byte
		switch kind := r.Type[strings.LastIndex(r.Type, "/")+1:]; kind {
		case "drawing":
			change = mv.anchors
		case "comments", "threadedComment":
			change = func(src []byte) []byte {
				return replaceAll(noteTag, src, func(at []int) []byte {
					c, err := ParseRange(string(src[at[4]:at[5]]))
					if err != nil {
						return nil
					}
					return join(src[at[0]:at[4]], []byte(Ref(mv.m.Row(c.Row1), c.Col1)), src[at[5]:at[1]])
				})
			}
		case "vmlDrawing":
			change = mv.noteShapes
		default:
			continue
		}
		if err := mv.rewrite(name, change); err != nil {
			return err
		}
	}
	return nil
}

// anchors moves drawings as far as the row that they hang on; they keep their
// size.
func (mv *following) anchors(src []byte) []byte {
	return replaceAll(anchorRow, src, func(at []int) []byte {
		row := number(src[at[6]:at[7]])
		by := mv.m.Row(row+1) - 1 - row
		rest := src[at[8]:at[1]]
		rest = replaceAll(anchorTo, rest, func(to []int) []byte {
			return join(rest[to[0]:to[4]], []byte(strconv.Itoa(number(rest[to[4]:to[5]])+by)))
		})
		return join(src[at[0]:at[6]], []byte(strconv.Itoa(row+by)), rest)
	})
}

// noteShapes moves the shapes of notes: the row that each belongs to, and its
// corners (the third and the seventh number of its anchor are rows).
func (mv *following) noteShapes(src []byte) []byte {
	src = replaceAll(vmlRow, src, func(at []int) []byte {
		return join(src[at[0]:at[4]], []byte(strconv.Itoa(mv.m.Row(number(src[at[4]:at[5]])+1)-1)))
	})
	return replaceAll(vmlAnchor, src, func(at []int) []byte {
		fields := strings.Split(string(src[at[4]:at[5]]), ",")
		if len(fields) != 8 {
			return nil
		}
		top := number([]byte(strings.TrimSpace(fields[2])))
		by := mv.m.Row(top+1) - 1 - top
		for _, i := range []int{2, 6} {
			fields[i] = " " + strconv.Itoa(number([]byte(strings.TrimSpace(fields[i])))+by)
		}
		return join(src[at[0]:at[4]], []byte(strings.Join(fields, ",")), src[at[5]:at[1]])
	})
}

func number(digits []byte) int {
	n, _ := strconv.Atoi(string(digits))
	return n
}

func join(pieces ...[]byte) []byte { return bytes.Join(pieces, nil) }

// replaceAll replaces what a pattern finds by what with makes of the places of
// its groups; nil leaves it.
func replaceAll(p *regexp.Regexp, src []byte, with func(at []int) []byte) []byte {
	var out []byte
	last := 0
	for _, at := range p.FindAllSubmatchIndex(src, -1) {
		if now := with(at); now != nil {
			out = append(append(out, src[last:at[0]]...), now...)
			last = at[1]
		}
	}
	if out == nil {
		return src
	}
	return append(out, src[last:]...)
}
