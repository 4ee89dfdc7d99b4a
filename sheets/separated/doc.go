// Package separated reads a list of separated values, as spreadsheet programs write
// them (.csv, .tsv), and makes a workbook of it. It knows nothing of joints.
package separated
