// Package opc reads and rewrites the package around a workbook's parts: a zip
// as of ISO/IEC 29500-2 (open packaging conventions), with content types and
// relationships.
//
// A [Package] is opened from any io.ReaderAt, within [Limits] to what it may
// unpack to; what is no such package is refused by its kind. An [Edit] is a new
// package in the making: untouched entries are copied with their compressed
// bytes, replaced ones keep their place in the archive, and long ones are
// deflated into temporary files as they come.
//
// It knows nothing of what a part says, content types and relationships apart.
package opc
