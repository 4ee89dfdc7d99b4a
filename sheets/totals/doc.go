// Package totals finds rows of a joint list that give again what the rows above say: the
// pieces of a size, or of all. It knows neither workbook nor messages.
package totals
