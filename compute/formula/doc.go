// Package formula reads formulas in spreadsheet notation over named
// quantities, and does three things with each: works it out, writes it as the
// formula of a cell, and spells it out for a person. It knows nothing of what
// the quantities are, nor of files.
//
// A formula goes through four steps. Parse turns text into a tree. Check
// finds the unit of every part against a Scope, refuses what does not fit
// (minutes + inches) and inserts the factors where only scales differ, from
// exact definitions. Compile gives a function of one row's values. Print and
// Spell write the same tree with the same factors, so that the value stored
// beside a cell's formula is the one that the formula gives.
//
// Notation is a spreadsheet's: -2^2 is 4, 2^3^2 is 64, & joins texts, = and
// <> compare without regard to capitals, IF looks only at the branch that it
// takes. Names are keys in lower case, bare or with a table before a point.
// Functions lists what is built in; a Scope may add others.
//
// Values are float64. An error is a NaN, which reaches the result whatever is
// done with it, comparisons included; Blank is a NaN of its own. Rounding,
// equality of nearly equal numbers and sums that cancel follow what
// spreadsheets do beyond 15 digits.
//
// What units cannot catch: two quantities of one unit swapped, a wrong
// constant, and a temperature (which has an origin, not only a scale).
package formula
