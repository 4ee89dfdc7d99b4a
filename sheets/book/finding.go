package book

// Level says how much a finding weighs.
type Level string

// The levels of a finding: a row with an error is left out, one with a warning
// is priced, a note says how something was understood.
const (
	LevelError   Level = "error"
	LevelWarning Level = "warning"
	LevelNote    Level = "note"
)

// Finding is one thing to tell the estimator. What says what is the matter,
// Fix what to do. Equal findings share Rule; Cell is "Sheet!F14".
type Finding struct {
	Cell  string `json:"cell"`
	Level Level  `json:"level"`
	What  string `json:"what"`
	Fix   string `json:"fix"`
	Rule  string `json:"-"`
	Check string `json:"-"` // key of the check of the order that it keeps from holding, "" for none
}

// Checks of the order that findings are counted by, by their keys in checks.txt.
const (
	CheckLeftOut   = "rows_left_out"
	CheckBeside    = "lists_beside"
	CheckSheets    = "sheets_unsettled"
	CheckColumns   = "columns_unsettled"
	CheckCars      = "cars_unsettled"
	CheckInputs    = "inputs_unsettled"
	CheckNoJoints  = "cars_without_joints"
	CheckUnpriced  = "cars_unpriced"
	CheckBelowRoom = "lines_below_room"
	CheckTables    = "tables_unsettled"
	CheckOdd       = "rows_odd"
	CheckOddTables = "tables_odd"
)

// Fails notes an error that keeps a check of the order from holding.
func (b *Book) Fails(check, rule, cell, what, fix string) {
	b.Note(LevelError, rule, cell, what, fix)
	b.Findings[len(b.Findings)-1].Check = check
}
