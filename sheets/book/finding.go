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
}
