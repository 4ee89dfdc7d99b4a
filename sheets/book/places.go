package book

// Columns of a single assumption on the Assumptions sheet.
const (
	AssumeKey = iota + 1
	AssumeWhat
	AssumeValue
	AssumeUnit
	AssumeUsed
	AssumeUsedUnit
	AssumeLow
	AssumeHigh
	AssumeInside
	AssumeShipped
	AssumeChanged
	AssumeBasis
	AssumeNote
	AssumePlace
)

// Columns of the Columns table at the foot of Assumptions.
const (
	ColumnsSheet = iota + 1
	ColumnsFigure
	ColumnsWhose
	ColumnsUnit
	ColumnsHeading
	ColumnsSettled
	ColumnsSettledUnit
)

const (
	WhoseOurs = "calculated"
	WhoseShop = "yours"
)

const (
	PrintArea   = "_xlnm.Print_Area"
	printTitles = "_xlnm.Print_Titles"
)

// IsPrint reports whether a name is one by which a sheet of ours is printed: PrintWhole
// sets them.
func IsPrint(name string) bool { return name == PrintArea || name == printTitles }

// Beginnings of the names of what stands at the head of Assumptions.
const (
	HeadPrefix  = "head_"
	BasisPrefix = "basis_"
)

// The titles that our sheets usually have.
const (
	SummaryTitle     = "Summary"
	WorkingsTitle    = "Workings"
	OverviewTitle    = "Overview" // of Summary, where an earlier version's Workings is called so
	AssumptionsTitle = "Assumptions"
)

// FrontKey is what Summary, the page that answers first, goes by among our sheets.
const FrontKey = "front"

// Kind is a kind of sheet that the shop may choose to have beside Summary and
// Assumptions, to decide on a bid by.
type Kind struct{ Key, Title string }

// ratesBefore is what the first of them was called by earlier versions: a shop that
// looks for its hourly rate went there.
const ratesBefore = "Rates"

// Kinds are all there are, in the order in which they stand.
func Kinds() []Kind {
	return []Kind{{"rates", "Set-ups"}, {"breaks", "Breaks"}, {"buying", "Buying"}, {"range", "Range"}, {"schedule", "Schedule"}}
}
