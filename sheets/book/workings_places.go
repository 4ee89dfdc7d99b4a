package book

// Columns of Workings.
const (
	SumNo    = 1
	SumName  = 2
	SumFirst = 3
	SumLast  = 14 // the last that is printed: notes
)
