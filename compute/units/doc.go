// Package units reads units such as ft³/h, multiplies them, and gives the exact
// factor between two of one dimension. It knows nothing of formulas, nor of which
// quantity has which unit.
package units
