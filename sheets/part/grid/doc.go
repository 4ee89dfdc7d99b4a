// Package grid has the cells of a worksheet by their places: references and
// ranges read and written, formulas as far as they name cells.
//
// A formula can be copied elsewhere ([MoveFormula]), have its sheets called
// otherwise ([RenameSheets]), and follow cells that have gone ([Moved]).
//
// It knows nothing of what a formula works out, of XML, or of files.
package grid
