// Package follow has all that points at moved cells follow them ([Cells]):
// formulas, formats, validations and links of all sheets, names, charts,
// tables, drawings, notes and controls. What cannot follow stays, and is listed.
//
// It does not move the cells, and knows nothing of why they move; where they
// have gone is a grid.Moved.
package follow
