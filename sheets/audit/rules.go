package audit

import "seamtally/sheets/audit/formulas"

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
	RuleUnsettled     = "not settled"
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
	RuleLink          = formulas.Link
	RuleShopTotal     = "total of the shop's"
	RuleNoFigures     = "row without figures"
	RuleSheetRenamed  = "sheet renamed"
	RuleFormulaGone   = "formula gone"
	RuleColumnGone    = "calculated column gone"
	RuleTypedOver     = "formula typed over"
	RuleNotStored     = "no stored value"
	RuleErrorValue    = "error value"
	RuleReference     = formulas.Reference
	RuleAnchor        = formulas.Anchor
	RuleMasked        = formulas.Masked
	RuleTotal         = formulas.Total
	RuleConstant      = formulas.Constant
	RuleFormula       = formulas.Formula
	RuleOverride      = "override not recorded"
	RuleOverrideSeen  = "override"
	RuleOldReading    = "reading out of date"
	RuleStale         = "stale value"
	RuleEarlier       = "earlier formulas"
	RuleIterates      = "iterative calculation"
	RuleDisguised     = "value not shown as it is"
	RuleHidden        = "hidden results"
	RuleOtherRows     = "sheet of other rows"
	RuleKeptChanged   = "value changed"
	RuleTouched       = "touched since the last run"
	RuleLookAlike     = "words like a figure's"
)
