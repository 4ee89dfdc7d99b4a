package book

// Rules of a run's findings that count in an audit, where they are not the same
// words. A rule may go on after them with what it concerns.
const (
	FindDate          = "date"
	FindKeptAsText    = "kept as text"
	FindUnreadable    = "assumption unreadable"
	FindNoSheet       = "sheet not worked out"
	FindTypedOver     = "typed over"
	FindHidden        = "hidden"
	FindHiddenSheet   = "hidden sheet"
	FindAdded         = "added"
	FindTable         = "table"
	FindMarkTwice     = "mark twice"
	FindOutside       = "outside"
	FindOpenElsewhere = "open elsewhere"
	FindShortFilter   = "short filter"
	FindShortTable    = "short table"
	FindAsDisplayed   = "precision as displayed"
	FindByHand        = "calculates by hand"
)
