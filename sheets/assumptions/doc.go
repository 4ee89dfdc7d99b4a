// Package assumptions reads what the shop has set on the sheet Assumptions, or in
// another workbook, and lays the sheet out. It knows nothing of Workings.
package assumptions
