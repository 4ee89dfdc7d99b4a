// Package part reads and rewrites the parts of a spreadsheet package (.xlsx,
// .xlsm: an OPC zip as of ISO/IEC 29500-2) without disturbing what it was not
// asked to change.
//
// A [Package] is opened from any io.ReaderAt. Untouched entries are copied
// with their compressed bytes; replaced ones keep their place in the archive.
// One worksheet is handled as a stream: [ReadSheet] hands out typed cells row
// by row, [Splice] writes cells into it and copies every other byte as it
// found it. Memory is bounded by the largest row and the shared strings, not
// by the sheet.
//
// The small parts around the sheets (workbook, styles, content types,
// relationships, tables) are changed by insertion only.
//
// The package knows cells, formulas as text and styles as numbers. It does not
// evaluate formulas and it knows nothing of what the numbers mean.
//
// What it does not do: encrypted packages, the older binary .xls, parts in
// UTF-16, multi-cell array formulas in the way of an edit. Each is refused
// with an error that says so.
package part
