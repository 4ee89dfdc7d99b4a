// Package worksheet handles one worksheet part as a stream: [Read] hands out
// typed cells row by row, [Splice] writes cells into it and copies every other
// byte as it found it. Memory is bounded by the largest row and the shared
// strings, not by the sheet.
//
// It knows cells, formulas as text and styles as numbers. It does not evaluate
// formulas, and it knows nothing of the package around the sheet, of other
// sheets, or of what the numbers mean. Multi-cell array formulas in the way of
// an edit are refused.
package worksheet
