package joints

import (
	"strconv"
	"strings"
	"unicode"

	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// namesOtherRows reports whether a formula reads cells of its sheet in other rows than
// its own. Names and whole columns do; other sheets are none of its rows.
func namesOtherRows(formula string, row int) bool {
	if strings.Contains(formula, "!") {
		return false
	}
	if strings.Contains(formula, "[") {
		return !strings.Contains(formula, "@") && !strings.Contains(strings.ToLower(formula), "#this row")
	}
	_, arguments, _ := strings.Cut(strings.ReplaceAll(formula, "$", ""), "(")
	for arguments != "" {
		from := strings.IndexFunc(arguments, isOfName)
		if from < 0 {
			return false
		}
		arguments = arguments[from:]
		end := strings.IndexFunc(arguments, func(r rune) bool { return !isOfName(r) })
		if end < 0 {
			end = len(arguments)
		}
		word := arguments[:end]
		arguments = arguments[end:]
		at, _, cell := grid.ScanRef(word)
		switch {
		case cell && at == row, strings.HasPrefix(arguments, "("), !strings.ContainsFunc(word, unicode.IsLetter):
		default:
			return true
		}
	}
	return false
}

func isOfName(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_' || r == '.' }

// Tally counts pieces: all, of a diameter, and of a diameter with its wall.
type Tally struct {
	all float64
	Of  map[Size]float64
}

// Size is a size, as text that is the same for the same size; without a wall, all walls of the diameter.
type Size struct{ OD, Wall string }

// Add counts pieces of a size.
func (t *Tally) Add(s Size, pieces float64) {
	if t.Of == nil {
		t.Of = map[Size]float64{}
	}
	t.all += pieces
	t.Of[s] += pieces
	t.Of[Size{OD: s.OD}] += pieces
}

// is reports whether a number is that of all pieces, or of those of a size.
func (t *Tally) is(pieces float64, s Size) bool {
	return t.all > 0 && (pieces == t.all || pieces == t.Of[s] || pieces == t.Of[Size{OD: s.OD}])
}

// sums are the pieces that a total may give: those of the whole list, since the last
// total, and since the last row that is no joint.
type sums struct {
	list, block, run Tally
	row              int // the last joint
}

func (s *sums) count(row int, size Size, pieces float64) {
	if row != s.row+1 {
		s.run = Tally{}
	}
	s.row = row
	s.list.Add(size, pieces)
	s.block.Add(size, pieces)
	s.run.Add(size, pieces)
}

// are reports whether a number is that of the pieces above, of all or of a size.
func (s *sums) are(pieces float64, size Size) bool {
	return s.run.is(pieces, size) || s.block.is(pieces, size) || s.list.is(pieces, size)
}

// SumsUp reports whether a number is that of all the pieces above.
func (ed *Editor) SumsUp(pieces float64) bool { return ed.sums.are(pieces, Size{}) }

// sumsBlock reports whether the number of pieces on a row with the word for a total
// is that of the joints above it: of all, or of its size.
func (ed *Editor) sumsBlock() bool {
	kind := ed.Inputs[ed.kindAt]
	if ed.L.Shop["kind"].Col > 0 && !Filled(kind) && ed.L.Shop["qty"].Col == 0 {
		return true // a word for a total, and no kind where the others have one
	}
	pieces, ok := ed.Number(ed.QtyAt)
	if !ok {
		return false
	}
	return ed.sums.are(pieces, ed.SizeOfRow())
}

// SizeOfRow is the size on the row: its numbers in the units of their columns, whatever
// unit a cell gives, else what its cells say.
func (ed *Editor) SizeOfRow() Size { return Size{ed.sizeIn(ed.OdAt), ed.sizeIn(ed.WallAt)} }

func (ed *Editor) sizeIn(input int) string {
	if x, ok := ed.Number(input); ok {
		return strconv.FormatFloat(x, 'g', 9, 64)
	}
	if c := ed.Inputs[input]; c != nil {
		return strings.TrimSpace(book.CellText(*c))
	}
	return ""
}

// Number reads the cell of an input as a number of its column.
func (ed *Editor) Number(input int) (x float64, ok bool) {
	c, r := ed.Inputs[input], ed.Cols[input].Reader
	switch {
	case !Filled(c):
		return 0, false
	case c.Kind == worksheet.Number:
		return c.Num, true
	case c.Kind != worksheet.Text:
		return 0, false
	}
	got, err := ed.b.Measures.Quantity(c.Text, r.Want)
	return got.Value, err == nil && !got.PerOD
}

// countPieces takes a joint into the sums that a total may repeat.
func (ed *Editor) countPieces(row int) {
	pieces, size := 1.0, ed.SizeOfRow()
	if x, ok := ed.Number(ed.QtyAt); ok {
		pieces, ed.Came.Sums = x, ed.sums.are(x, size)
	}
	ed.sums.count(row, size, pieces)
}
