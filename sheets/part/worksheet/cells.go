package worksheet

import "strconv"

// Kind says what a cell holds, or what its formula last gave.
type Kind uint8

// The kinds of stored value. Empty is a cell with a style only, or a formula
// without a stored value.
const (
	Empty Kind = iota
	Number
	Text
	Bool
	Error
)

// String names the kind in lower case.
func (k Kind) String() string {
	names := [...]string{"empty", "number", "text", "bool", "error"}
	if int(k) < len(names) {
		return names[k]
	}
	return "kind " + strconv.Itoa(int(k))
}

// Cell is one cell as stored. Row and Col count from 1.
//
// Num holds the value of a Number, and 1 or 0 for a Bool. Text holds the text
// of a Text cell (shared strings looked up, rich text flattened, phonetic
// guides left out, _xHHHH_ escapes decoded) and of an Error ("#N/A"). A date
// is a Number; only its style says that it is a date. A cell of the ISO 8601
// date type (t="d") is given as Text, and says so: spreadsheets show its number.
//
// Formula is without the equals sign. A cell that shares another cell's
// formula carries its own copy with the relative references moved. HasFormula
// may be true with an empty Formula for a data table.
type Cell struct {
	Row, Col   int
	Kind       Kind
	Num        float64
	Text       string
	Formula    string
	HasFormula bool
	ISODate    bool
	Style      int // index into cellXfs
}
