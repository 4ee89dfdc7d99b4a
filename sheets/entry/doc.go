// Package entry reads what a shop writes: column headings, quantities and
// words. It turns "Wall Thk. (in)" into the key wall and the unit inch,
// `2 1/2"` into 2.5, "gr 9" into Ti-3Al-2.5V. It knows nothing of files,
// cells or formulas.
//
// Three rules hold throughout.
//
//   - Nothing is guessed. A heading such as "cut angle" (of the bend at one
//     weld, or of the saw, half of it?) and a value such as "1,2" (a decimal
//     or thousands?) come back as a question that says what to write instead.
//   - A value's own unit goes before the heading's, the heading's before the
//     book's. A unit that measures something else is an error.
//   - Quantities are worked out in rational numbers and rounded once, so that
//     76.2 mm in a book of inches is exactly 3.
//
// The spellings are texts for a domain person to extend: headings.txt and
// words.txt, among the templates.
package entry
