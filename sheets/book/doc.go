// Package book is a shop's workbook opened: its sheets and names, our own sheets
// found again in it, what a run has to say of it, and how it is written back. It
// knows nothing of joint lists, nor of what stands on our sheets.
package book
