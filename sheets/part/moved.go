package part

// Moved says where cells of a sheet have gone.
type Moved struct {
	Sheet string
	At    func(row, col int) (newRow, newCol int, ok bool)
	Row   func(row int) int
}

// LostRef is a reference.
type LostRef struct{ Where, Ref string }

// MoveRefs rewrites.
func (m Moved) MoveRefs(formula, on string) (out string, lost []string) { return formula, nil }

// MoveCells has everything follow.
func (w *Workbook) MoveCells(e *Edit, m Moved, skip func(partName string) bool) (names []DefinedName, lost []LostRef, err error) {
	return nil, nil, nil
}
