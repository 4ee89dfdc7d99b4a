package sayings

import (
	"slices"
	"strings"
	"unicode"

	"seamtally/compute/units"
)

// NamesUnit reports whether a text has a unit in it of the same dimension as another.
func (b *Reader) NamesUnit(text string, of units.Unit) bool {
	return slices.ContainsFunc(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && r != '°' }), func(w string) bool {
		_, unit, has, _ := b.Quantity("2 " + w)
		return has && unit.SameDim(of)
	})
}

// Counted reports whether a word makes a quantity with a number before it.
func (b *Reader) Counted(word string) bool {
	_, _, _, ok := b.Quantity("2 " + word)
	return ok
}
