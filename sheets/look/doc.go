// Package look says how the program's own sheets and cells look, and builds
// the shell of those sheets in a scratch workbook: styles, column widths, lists
// to choose from, marks for bad words, charts and print set-up. The cells come
// later and are written elsewhere; a shell holds none.
//
// Everything must be readable in black and white, on paper and on screen:
// shade, pattern, weight and slant carry the meaning, never a hue alone.
//
// The package knows nothing of joints or formulas, except in [Starter], which
// is the workbook that a shop begins with.
package look
