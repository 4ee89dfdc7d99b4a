package sheets_test

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
)

// Where a workbook of the corpus is not yet understood as it is meant. Each
// says what is wrong, and what must hold once it is mended.
func TestBooksNotUnderstoodYet(t *testing.T) {
	for _, f := range []struct {
		name, book, fault string
		holds             func(t *testing.T, c *sheets.CheckReport)
	}{
		{
			"a joint under merged cells", "merged-data-cells.xlsx",
			"a row whose kind, OD and wall are merged with the row above holds a mark only, and is passed over without a word",
			func(t *testing.T, c *sheets.CheckReport) { assert.Equal(t, 3, c.Read) },
		},
		{
			"headings again in other case", "headings-repeated.xlsx",
			"the same headings in upper case further down begin a new list, with headings of ours over it",
			func(t *testing.T, c *sheets.CheckReport) { assert.Len(t, c.Lists, 1) },
		},
		{
			"sign-off lines below the list", "notes-below.xlsx",
			"a word in the column of kinds, or of sizes, with neither size makes a sign-off line a joint that is left out",
			func(t *testing.T, c *sheets.CheckReport) { assert.Less(t, c.LeftOut, 4) },
		},
		{
			"a number kept as text", "numbers-as-text.xlsx",
			"the note about a number kept as text says what was read, not that it was text",
			func(t *testing.T, c *sheets.CheckReport) { assert.True(t, hasFinding(&c.Report, "Joints!D2", "text")) },
		},
	} {
		t.Run(f.name, func(t *testing.T) {
			t.Skip(f.fault)
			c, err := sheets.Check(t.Context(), filepath.Join("..", "testdata", "books", f.book), "")
			require.NoError(t, err)
			f.holds(t, c)
		})
	}
}
