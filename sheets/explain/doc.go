// Package explain shows how one figure of a workbook comes about, down to the cells
// that the shop has typed.
package explain
