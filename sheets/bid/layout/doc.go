// Package layout lays a sheet for the bid out from its stanzas: blocks of rows, the
// cars and the order worked out once more with something otherwise, checks, and what
// the shop has typed beside them. It knows nothing of any one sheet.
package layout
