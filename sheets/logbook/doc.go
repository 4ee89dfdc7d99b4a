// Package logbook keeps the log of a workbook: what its figures come from, recorded
// at each run, held against the last record and told in words, and digests of what a
// run leaves on our sheets. It knows nothing of where Assumptions has its rows, nor
// of what the shop may set there.
package logbook
