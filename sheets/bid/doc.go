// Package bid says which sheets to decide on a bid by there are, which of them a
// workbook has, and has each laid out. It knows nothing of the run that it is part of,
// nor of what stands on a sheet.
package bid
