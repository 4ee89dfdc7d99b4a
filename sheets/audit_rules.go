package sheets

// The rules of an audit: what kind of fault a [Fault] is, in words that do not
// change.
const (
	RuleJointAdded    = "joint added"
	RuleJointTwice    = "joint twice"
	RuleJointMissing  = "joint missing"
	RuleJointChanged  = "joint changed"
	RuleJointsChanged = "joints changed since the last run"
	RuleUnit          = "unit mixed up"
	RuleDate          = "date for a number"
	RuleTextOver      = "text typed over a figure"
	RuleLeftOut       = "row left out"
	RuleKeptAsText    = "number kept as text"
	RuleHiddenRow     = "hidden row priced"
	RuleHiddenSheet   = "hidden sheet priced"
	RuleNotInTable    = "no line in the table"
	RuleOutOfRange    = "assumption out of range"
	RuleNoBasis       = "assumption without a basis"
	RuleChanged       = "assumption changed"
	RuleNotLogged     = "assumption changed without a line in the log"
	RuleLineAdded     = "table line added"
	RuleLineGone      = "table line gone"
	RuleManual        = "manual calculation"
	RuleBrokenName    = "broken name"
	RuleLink          = "link to another workbook"
	RuleShopTotal     = "total of the shop's"
	RuleNoFigures     = "row without figures"
	RuleSheetRenamed  = "sheet renamed"
	RuleFormulaGone   = "formula gone"
	RuleColumnGone    = "calculated column gone"
	RuleTypedOver     = "formula typed over"
	RuleNotStored     = "no stored value"
	RuleErrorValue    = "error value"
	RuleOverride      = "override not recorded"
	RuleOldReading    = "reading out of date"
	RuleStale         = "stale value"
)

// Rules of a run's findings that count in an audit, where they are not the same
// words. A rule may go on after them with what it concerns.
const (
	findDate          = "date"
	findKeptAsText    = "kept as text"
	findUnreadable    = "assumption unreadable"
	findTypedOver     = "typed over"
	findHidden        = "hidden"
	findHiddenSheet   = "hidden sheet"
	findAdded         = "added"
	findMarkTwice     = "mark twice"
	findOutside       = "outside"
	findOpenElsewhere = "open elsewhere"
	findShortFilter   = "short filter"
	findShortTable    = "short table"
)
