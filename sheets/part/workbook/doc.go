// Package workbook handles the workbook's own parts: the list of its sheets and
// defined names, styles and tables. They are changed by insertion only.
//
// Whole sheets come from another workbook ([Graft]) with their drawings, charts
// and notes, and go again ([Ungraft]).
//
// It knows nothing of the cells on a sheet, and nothing of what the names,
// styles and tables are for.
package workbook
