// Package sheets is the workbook: it finds the joint lists that a shop keeps,
// reads them, has the figures worked out by package compute, and writes them
// back beside the shop's own columns, with Workings and Assumptions sheets.
// What a figure is and how it is worked out it does not know; where it stands
// and how it is written as a cell it does.
package sheets
